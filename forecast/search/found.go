package search

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
)

// Insertions are what [FindInsertions] found.
type Insertions struct{ rows [2][][]cube.Sequence }

// TwoHands has each motion spelt for two hands, for a slot at FR and at BR, in
// order of the first's time.
func (i *Insertions) TwoHands() [][]cube.Sequence { return i.rows[hands.TwoHands] }

// RightHand has each motion spelt for the right hand alone, for a slot at FR, FL,
// BL and BR, in order of the first's time.
func (i *Insertions) RightHand() [][]cube.Sequence { return i.rows[hands.RightHand] }

// FindInsertions finds insertions for a slot at front right: every one of at most
// twice halfTokens tokens, a face, wide or slice turn each; every one that few
// have; and others, rows of face turns. Of those whose maps are the same but for a
// turn of U at the end the easiest is kept. All that the complete search found are
// kept, and of the rest those that are the easiest, for some hands, to leave some
// pattern of some case.
func FindInsertions(ctx context.Context, halfTokens int, few []Few, others []cube.Sequence, report func(string)) (*Insertions, error) {
	start := time.Now()
	reportf := func(format string, values ...any) {
		report(fmt.Sprintf(format, values...) + fmt.Sprintf(", after %v", time.Since(start).Round(time.Millisecond)))
	}
	f := &findings{numbers: map[[10]byte]int32{}}
	if err := meet(ctx, CrossAndThreeSlots, halfTokens, true, f.add); err != nil {
		return nil, err
	}
	complete := len(f.first)
	reportf("%d motions with %d maps: all of at most %d tokens", len(f.list), complete, 2*halfTokens)
	for _, few := range few {
		before := len(f.first)
		err := meetImages(ctx, CrossAndThreeSlots, few, f.add)
		if err != nil {
			return nil, err
		}
		reportf("%d more maps from %s, of at most %d turns", len(f.first)-before, layerNames(few.Layers), few.Turns)
	}
	before := len(f.first)
	for _, row := range others {
		m := motionOf(row)
		f.add(m)
		f.add(m.across())
	}
	reportf("%d more maps from the atlas", len(f.first)-before)
	spelled, err := f.spell(ctx, reportf)
	if err != nil {
		return nil, err
	}
	reportf("%d maps are spelt", len(f.first))
	found := &Insertions{}
	for _, handed := range []hands.Handed{hands.TwoHands, hands.RightHand} {
		chosen := f.choose(spelled, complete, handed)
		reportf("%s: %d of %d other maps are the easiest somewhere", handed, len(chosen)-complete, len(f.first)-complete)
		found.rows[handed] = rowsOf(spelled, chosen, handed)
	}
	return found, nil
}

// rowsOf has the spellings of each number, in order of the time at front right.
func rowsOf(spelled [][len(views)]spelling, chosen []int32, handed hands.Handed) [][]cube.Sequence {
	first := slices.IndexFunc(views[:], func(v view) bool { return v.hands == handed })
	slices.SortFunc(chosen, func(a, b int32) int {
		return cmp.Or(cmp.Compare(spelled[a][first].price, spelled[b][first].price), compareTexts(spelled[a][first].turns, spelled[b][first].turns))
	})
	rows := make([][]cube.Sequence, len(chosen))
	for i, number := range chosen {
		for j, v := range views {
			if v.hands == handed {
				rows[i] = append(rows[i], spelled[number][j].turns)
			}
		}
	}
	return rows
}

// Searched says in a sentence what [FindInsertions] searches.
func Searched(halfTokens int, few []Few) string {
	var parts []string
	for _, f := range few {
		parts = append(parts, fmt.Sprintf("%s to %d", layerNames(f.Layers), f.Turns))
	}
	return fmt.Sprintf("All insertions of at most %d turns, of one layer, two layers or a slice each; for each slot and both hands those with few layers to more turns (%s); and one with the fewest face turns for every case and pattern.",
		2*halfTokens, strings.Join(parts, ", "))
}

// meetImages is [meetFew] from each of the slots and in the mirror.
func meetImages(ctx context.Context, kept Kept, few Few, found func(motion)) error {
	for _, image := range []Few{few, few.mirror()} {
		for hold := range cube.Hold(uprightHolds) {
			if err := meetFew(ctx, kept, image, hold, found); err != nil {
				return err
			}
		}
	}
	return nil
}

func layerNames(layers []cube.Layer) string {
	var names []string
	for _, l := range layers {
		names = append(names, cube.TurnOf(l, 1).String())
	}
	return strings.Join(names, " ")
}

func compareTexts(a, b cube.Sequence) int { return strings.Compare(a.String(), b.String()) }

// spell is the easiest spelling of each number's motions for each view.
func (f *findings) spell(ctx context.Context, reportf func(string, ...any)) ([][len(views)]spelling, error) {
	// The shorter first: then the dearer need not be spelt to the end.
	slices.SortFunc(f.list, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(a.number, b.number), cmp.Compare(len(a.motion), len(b.motion)), cmp.Compare(a.motion, b.motion))
	})
	f.list = slices.Compact(f.list)
	reportf("%d different motions", len(f.list))
	spelled := make([][len(views)]spelling, len(f.first))
	starts := make([]int, 0, len(f.first)+1)
	for i := range f.list {
		if i == 0 || f.list[i].number != f.list[i-1].number {
			starts = append(starts, i)
		}
	}
	starts = append(starts, len(f.list))
	const portion = 256
	var next atomic.Int64
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			spellers := [...]*Speller{hands.TwoHands: NewSpeller(hands.TwoHands), hands.RightHand: NewSpeller(hands.RightHand)}
			for ctx.Err() == nil {
				first := int(next.Add(portion)) - portion
				if first >= len(f.first) {
					return
				}
				for number := first; number < min(first+portion, len(f.first)); number++ {
					best := &spelled[number]
					for _, c := range f.list[starts[number]:starts[number+1]] {
						m := motionFrom(c.motion)
						for h, speller := range spellers {
							speller.prepare(m)
							for i, view := range views {
								if view.hands == hands.Handed(h) {
									speller.improve(&best[i], m, holdAt(view.slot))
								}
							}
						}
					}
				}
			}
		})
	}
	workers.Wait()
	return spelled, ctx.Err()
}

// improve takes the spelling of the motion that was prepared where it is better.
func (s *Speller) improve(best *spelling, m motion, start cube.Hold) {
	bound := never
	if best.turns != nil {
		bound = best.price
	}
	if found, ok := s.spell(m, start, bound); ok && (best.turns == nil || found.before(*best)) {
		*best = found
	}
}

// FindFollowUps finds, for each pattern but the oriented one, the easiest sequences
// that orient it and keep the first two layers, for two hands and for the right
// one, the easiest of all first and then the easiest of other kinds: of all with at most twice halfTurns face turns, of all with at most twice
// halfTokens tokens, a face, wide or slice turn each, and of all that few have.
// The AUF that the sequence needs before it is left to the forecast.
func FindFollowUps(ctx context.Context, halfTurns, halfTokens int, few []Few) (both, one [lastslot.Patterns][]cube.Sequence, err error) {
	var motions []string
	add := func(m motion) { motions = append(motions, string(m.bytes())) }
	if err := meet(ctx, FirstTwoLayers, halfTurns, false, add); err != nil {
		return both, one, err
	}
	if err := meet(ctx, FirstTwoLayers, halfTokens, true, add); err != nil {
		return both, one, err
	}
	slot := Kept{Corners: []cube.CornerPlace{cube.DFR}, Edges: []cube.EdgePlace{cube.FR}}
	for _, few := range few {
		err := meetImages(ctx, CrossAndThreeSlots, few, func(m motion) {
			if c := m.cube(); slot.keptBy(c) {
				add(m)
			}
		})
		if err != nil {
			return both, one, err
		}
	}
	slices.SortFunc(motions, func(a, b string) int { return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(a, b)) })
	motions = slices.Compact(motions)
	var spelling sync.WaitGroup
	for handed, sequences := range map[hands.Handed]*[lastslot.Patterns][]cube.Sequence{hands.TwoHands: &both, hands.RightHand: &one} {
		spelling.Go(func() {
			*sequences = followUps(ctx, motions, handed)
		})
	}
	spelling.Wait()
	return both, one, ctx.Err()
}

func followUps(ctx context.Context, motions []string, handed hands.Handed) (sequences [lastslot.Patterns][]cube.Sequence) {
	var best [lastslot.Patterns]choices
	speller := NewSpeller(handed)
	for i, text := range motions {
		if i&0xfff == 0 && ctx.Err() != nil {
			return sequences
		}
		m := motionFrom(text)
		// The sequence orients what undoing it makes of the oriented top.
		pattern := lastslot.OutcomeOf(m.inverse().cube()).Pattern()
		if pattern == 0 {
			continue
		}
		speller.prepare(m)
		for start := range cube.Hold(uprightHolds) {
			if found, ok := speller.spell(m, start, best[pattern].bound()); ok {
				best[pattern].take(found, angleOf(found.turns, pattern))
			}
		}
	}
	for p := range best {
		sequences[p] = best[p].list()
	}
	return sequences
}

// Lines writes what was found as the embedded files have it: sequences of one
// find in a line, with a tab between them.
func Lines(rows [][]cube.Sequence) []byte {
	var b bytes.Buffer
	for _, row := range rows {
		texts := make([]string, len(row))
		for i, s := range row {
			texts[i] = s.String()
		}
		b.WriteString(strings.Join(texts, "\t"))
		b.WriteByte('\n')
	}
	return b.Bytes()
}
