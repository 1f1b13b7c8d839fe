package learn

import (
	"context"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// Known is what somebody's best known options take and leave, over all cases of a slot in
// whose place they know an insertion.
type Known struct {
	// Total is the sum of their totals; Cases is how many cases there are of the slot, and
	// Without in how many of them nothing is known.
	Total          time.Duration
	Cases, Without int
	// Leaves is in how many cases each pattern is left.
	Leaves [lastslot.Patterns]int
}

// Edges is in how many cases edges of the kind are left, the oriented top left out of the
// cross.
func (k *Known) Edges(kind lastslot.Edges) (n int) {
	for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
		if p.Outcome().Edges() == kind {
			n += k.Leaves[p]
		}
	}
	return n
}

// KnownOf looks at all cases of the slot. It stops with the context's error when that is done.
func KnownOf(ctx context.Context, f *forecast.Forecaster, slot lastslot.Slot) (k Known, err error) {
	var after [2*lastslot.InSlot + 1][lastslot.Outcomes]uint32
	for track := range after {
		for o := range after[track] {
			after[track][o] = uint32(f.After(lastslot.Outcome(o), track) / ms)
		}
	}
	for _, p := range lastslot.Places(slot) {
		if err := ctx.Err(); err != nil {
			return k, err
		}
		k.Cases += p.Cases()
		l := casesAt(f, p)
		best, leaves := make([]uint32, p.Cases()), make([]lastslot.Outcome, p.Cases())
		for i := range best {
			best[i] = never
		}
		offer := func(fit *fit, track int) {
			for i := range lastslot.Outcomes {
				left := lastslot.Outcome(int(l.left.Corners[fit.corners][l.twists[i/8]])*8 + int(l.left.Edges[fit.edges][l.flips[i%8]])).Turned(int(fit.turned))
				for auf := range l.aufs {
					if at, total := auf*lastslot.Outcomes+i, fit.insert[auf]+after[track][left]; total < best[at] {
						best[at], leaves[at] = total, left
					}
				}
			}
		}
		if p.Solved() {
			corners, edges := lastslot.AUFMaps[0].Numbers()
			offer(&fit{corners: uint16(corners), edges: uint16(edges)}, 0)
		}
		for _, c := range f.KnownCandidates(p) {
			one := &learnable{unfitted: c.Insertion, Lesson: Lesson{Insert: c.Insert}}
			l.fit(one)
			for n := range one.fits {
				offer(&one.fits[n], c.Followed)
			}
		}
		if best[0] == never {
			k.Without += p.Cases()
			continue
		}
		for i, total := range best {
			k.Total += time.Duration(total) * ms
			k.Leaves[leaves[i].Pattern()]++
		}
	}
	return k, nil
}
