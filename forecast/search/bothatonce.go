package search

import (
	"cmp"
	"context"
	"slices"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/twoslots"
)

// prefixPrices are those of rotations and AUF.
type prefixPrices struct{ rotations, aufs [4]price }

func prefixPricesOf(handed hands.Handed) (p prefixPrices) {
	for quarters := 1; quarters < 4; quarters++ {
		of := func(l cube.Layer) price {
			return price(milliseconds(hands.Estimate(cube.Sequence{cube.TurnOf(l, quarters)}, handed))) << msShift
		}
		p.rotations[quarters], p.aufs[quarters] = of(cube.Y), of(cube.U)
	}
	return p
}

// standing is where the pairs must stand for the map to fill both slots.
func (f *stepFindings) standing(m *twoslots.Map) int {
	slots := f.open.Slots()
	return m.FilledFrom(f.open, slots[0])*twoslots.PairPlaces + m.FilledFrom(f.open, slots[1])
}

// bothAtOnce chooses, of further motions, those that are the easiest to fill both slots
// from some standing of the two pairs, in some view.
func (f *stepFindings) bothAtOnce(ctx context.Context, more map[string]bool) ([]string, error) {
	const standings = twoslots.PairPlaces * twoslots.PairPlaces
	var prefixes [2]prefixPrices
	for handed := range prefixes {
		prefixes[handed] = prefixPricesOf(hands.Handed(handed))
	}
	least := slices.Repeat([]price{never}, standings*stepViews)
	for number := range f.maps {
		for view := range stepViews {
			prefix, price := &prefixes[view/uprightHolds], never
			for rotation := range prefix.rotations {
				at := stepView(hands.Handed(view/uprightHolds), view%uprightHolds+rotation)
				price = min(price, prefix.rotations[rotation]+f.spelled[number][at].price)
			}
			for quarters := range prefix.aufs {
				turned := twoslots.AUFMaps[quarters].Then(&f.maps[number])
				at := f.standing(&turned)*stepViews + view
				least[at] = min(least[at], prefix.aufs[quarters]+price)
			}
		}
	}

	// Those that turns of U make of each other are looked at together: by the lowest of
	// their standings.
	type further struct {
		standing int
		motion   string
	}
	var list []further
	for text := range more {
		does := f.mapOf(motionFrom(text))
		lowest := standings
		for quarters := range 4 {
			turned := twoslots.AUFMaps[quarters].Then(&does)
			lowest = min(lowest, f.standing(&turned))
		}
		list = append(list, further{lowest, text})
	}
	slices.SortFunc(list, func(a, b further) int {
		return cmp.Or(cmp.Compare(a.standing, b.standing), cmp.Compare(len(a.motion), len(b.motion)), cmp.Compare(a.motion, b.motion))
	})
	var starts []int
	for i := range list {
		if i == 0 || list[i].standing != list[i-1].standing {
			starts = append(starts, i)
		}
	}
	starts = append(starts, len(list))
	chosen := make([][]string, len(starts)-1)
	inPortions(ctx, len(starts)-1, func(spellers *[2]*Speller, i int) {
		by := map[int]string{} // by standing and view
		for _, one := range list[starts[i]:starts[i+1]] {
			m := motionFrom(one.motion)
			does := f.mapOf(m)
			for handed, speller := range spellers {
				speller.prepare(m)
				for hold := range uprightHolds {
					view := stepView(hands.Handed(handed), hold)
					found, ok := speller.spell(m, cube.Hold(hold), least[f.standing(&does)*stepViews+view])
					if !ok {
						continue
					}
					for quarters, auf := range prefixes[handed].aufs {
						turned := twoslots.AUFMaps[quarters].Then(&does)
						at := f.standing(&turned)*stepViews + view
						if auf+found.price < least[at] {
							least[at], by[at] = auf+found.price, one.motion
						}
					}
				}
			}
		}
		for _, text := range by {
			chosen[i] = append(chosen[i], text)
		}
	})
	all := slices.Concat(chosen...)
	slices.Sort(all)
	return slices.Compact(all), ctx.Err()
}
