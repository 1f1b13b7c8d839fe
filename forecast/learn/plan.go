package learn

import (
	"cmp"
	"context"
	"slices"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// Plan is what to do where the pair stands in a place: follow the pieces of one insertion,
// and do it if what it leaves is accepted; otherwise do another, and see what that leaves.
//
// Times are means over the place's cases, each as likely as any other. Following the pieces is
// paid either way, and takes the place of recognising where the insertion is done. Doing
// nothing, where the pair is in its slot, has no pieces to follow: what is there is recognised,
// either way. In places without a piece of the pair on top an insertion counts once for each
// AUF, as each leaves something else there.
type Plan struct {
	Place              lastslot.Place
	Predict, Otherwise PlanPart
	// Accept are the patterns with which the first is done, in order of their numbers.
	Accept []lastslot.Pattern
	// Takes is the mean with the plan, and Alone that with the best one insertion, unseen.
	Takes, Alone time.Duration
	// Best is that one.
	Best PlanPart

	// worth is by how much accepting each pattern is less than not, in milliseconds over all
	// cases; it may be below 0.
	worth [lastslot.Patterns]int64
}

// PlanPart is an insertion of a plan, no turns for doing nothing.
type PlanPart struct {
	// Rotation is the turn of y before the insertion, Slot where the slot then is.
	Rotation cube.Sequence
	Slot     lastslot.Slot
	// AUF is before the insertion where no piece of the pair is on top; elsewhere it goes by
	// the case and stands in no plan.
	AUF       cube.Sequence
	Insertion cube.Sequence
	// Track is how many pieces are to be followed, Tracked whether the person does.
	Track   int
	Tracked bool
}

// Turns are rotation, AUF and insertion.
func (p *PlanPart) Turns() cube.Sequence { return cube.Join(p.Rotation, p.AUF, p.Insertion) }

// Saves is by how much the plan takes less than the best insertion alone; below 0 where it
// does not.
func (p *Plan) Saves() time.Duration { return p.Alone - p.Takes }

// planned is an insertion after an AUF as plans use it. Cases are by their number among the
// ways the rest can be turned, summed over the place's AUFs, in milliseconds.
type planned struct {
	PlanPart
	// leaves has the pattern that it leaves.
	leaves [lastslot.Outcomes]uint8
	// unseen is what it takes with what follows, done where the plan is what it takes where the
	// first look is saved, and watch what is paid for that either way.
	unseen, done [lastslot.Outcomes]uint32
	watch        uint64
	alone        uint64
	// accepted has the sums of done by pattern.
	accepted [lastslot.Patterns]uint64
}

// PlanOf is the best plan of the place over the insertions that the person knows; of several
// the first by what is tracked and then by what is done otherwise, both by their time alone,
// count and turns. Where tracked, the first must be one that the person tracks. It is nil where
// there is none: with one insertion there is nothing to choose. It stops with the context's
// error when that is done.
func PlanOf(ctx context.Context, f *forecast.Forecaster, p lastslot.Place, tracked bool) (*Plan, error) {
	all := plannedAt(f, p)
	if len(all) < 2 {
		return nil, nil
	}
	// least has the least that any takes in each case.
	least := all[0].unseen
	for _, one := range all[1:] {
		for i, takes := range one.unseen {
			least[i] = min(least[i], takes)
		}
	}
	// Those that may be the best of all come first, so that most need not be looked at.
	type bounded struct {
		number int
		bound  uint64
	}
	var order []bounded
	for number, a := range all {
		if !tracked || a.Tracked {
			order = append(order, bounded{number, a.bound(&least)})
		}
	}
	slices.SortFunc(order, func(a, b bounded) int { return cmp.Or(cmp.Compare(a.bound, b.bound), cmp.Compare(a.number, b.number)) })
	number, best := len(all), ^uint64(0)
	var other *planned
	for _, o := range order {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if o.bound > best {
			break
		}
		parts := all[o.number].parts(&least)
		for _, b := range all {
			if b == all[o.number] {
				continue
			}
			if sum := all[o.number].with(b, parts, best); sum < best || sum == best && o.number < number {
				number, other, best = o.number, b, sum
			}
		}
	}
	if other == nil {
		return nil, nil
	}
	first := all[number]
	cases := time.Duration(p.Cases())
	plan := &Plan{
		Place: p, Predict: first.PlanPart, Otherwise: other.PlanPart, Best: all[0].PlanPart,
		Takes: time.Duration(best) * ms / cases, Alone: time.Duration(all[0].alone) * ms / cases,
	}
	for pattern, otherwise := range first.otherwise(other) {
		plan.worth[pattern] = int64(otherwise) - int64(first.accepted[pattern])
		if plan.worth[pattern] > 0 {
			plan.Accept = append(plan.Accept, lastslot.Pattern(pattern))
		}
	}
	return plan, nil
}

// bound is the least that a plan can take in which this is tracked, where any other takes at
// least so much in each case.
func (a *planned) bound(least *[lastslot.Outcomes]uint32) uint64 {
	return a.value(a.by(least))
}

// part has the cases in which a pattern is left.
type part struct {
	cases []uint8
	// accepted is what they take where it is, and after the least that the parts after this one
	// take.
	accepted, after uint64
}

// parts are those of the patterns that this leaves.
func (a *planned) parts(least *[lastslot.Outcomes]uint32) (parts []part) {
	var cases [lastslot.Patterns][]uint8
	for i, pattern := range a.leaves {
		cases[pattern] = append(cases[pattern], uint8(i))
	}
	after := uint64(0)
	sums := a.by(least)
	for pattern, of := range cases {
		if len(of) > 0 {
			parts = append(parts, part{of, a.accepted[pattern], after})
			after += min(sums[pattern], a.accepted[pattern])
		}
	}
	slices.Reverse(parts)
	return parts
}

// with is what the plan takes in which this is tracked and the other done otherwise; or
// more than the best, once it is no less than that whatever follows.
func (a *planned) with(b *planned, parts []part, best uint64) uint64 {
	sum := a.watch
	for i := range parts {
		var otherwise uint64
		for _, c := range parts[i].cases {
			otherwise += uint64(b.unseen[c])
		}
		if sum += min(otherwise, parts[i].accepted); sum+parts[i].after > best {
			return ^uint64(0)
		}
	}
	return sum
}

// otherwise has by the pattern that this leaves what the other takes.
func (a *planned) otherwise(b *planned) (sums [lastslot.Patterns]uint64) { return a.by(&b.unseen) }

func (a *planned) by(takes *[lastslot.Outcomes]uint32) (sums [lastslot.Patterns]uint64) {
	for i, pattern := range a.leaves {
		sums[pattern] += uint64(takes[i])
	}
	return sums
}

func (a *planned) value(otherwise [lastslot.Patterns]uint64) uint64 {
	sum := a.watch
	for pattern, takes := range otherwise {
		sum += min(takes, a.accepted[pattern])
	}
	return sum
}

// plannedAt lists what the person knows for the place, the best alone first. Of what does the
// same the quicker is enough.
func plannedAt(f *forecast.Forecaster, p lastslot.Place) (all []*planned) {
	l := casesAt(f, p)
	if p.Solved() {
		all = append(all, nothingPlanned(f, l))
	}
	for _, c := range f.KnownCandidates(p) {
		one := &learnable{unfitted: c.Insertion, Lesson: Lesson{Insert: c.Insert}}
		l.fit(one)
		track := c.Insertion.Map().Track()
		for n := range one.fits {
			part := PlanPart{Rotation: c.Rotation, Slot: c.Insertion.Slot, Insertion: c.Insertion.Turns, Track: track, Tracked: c.Followed > 0}
			if len(l.aufs) == 1 {
				part.AUF = lastslot.AUFs[one.fits[n].quarters]
			}
			all = append(all, l.planned(f, part, &one.fits[n]))
		}
	}
	slices.SortStableFunc(all, func(a, b *planned) int {
		return cmp.Or(cmp.Compare(a.alone, b.alone), cmp.Compare(a.Insertion.Count(), b.Insertion.Count()), a.Turns().Compare(b.Turns()))
	})
	return distinct(all)
}

// distinct leaves out what leaves the same as one before it and nowhere takes less.
func distinct(all []*planned) (kept []*planned) {
	seen := map[[lastslot.Outcomes]uint8][]*planned{}
	for _, one := range all {
		if slices.ContainsFunc(seen[one.leaves], one.needless) {
			continue
		}
		seen[one.leaves] = append(seen[one.leaves], one)
		kept = append(kept, one)
	}
	return kept
}

// needless says whether another is as good everywhere that leaves the same patterns.
func (a *planned) needless(other *planned) bool {
	if a.Tracked && !other.Tracked || other.watch > a.watch {
		return false
	}
	for i := range a.unseen {
		if other.unseen[i] > a.unseen[i] || other.done[i] > a.done[i] {
			return false
		}
	}
	return true
}

// planned is an insertion that fits the place.
func (l *learning) planned(f *forecast.Forecaster, part PlanPart, fit *fit) *planned {
	one := &planned{PlanPart: part, watch: uint64(f.Tracking(part.Track)/ms) * uint64(l.place.Cases())}
	var insert uint32
	for i := range l.aufs {
		insert += fit.insert[i]
	}
	times := uint32(len(l.aufs))
	for i := range one.leaves {
		left := lastslot.Outcome(int(l.left.Corners[fit.corners][l.twists[i/8]])*8 + int(l.left.Edges[fit.edges][l.flips[i%8]])).Turned(int(fit.turned))
		one.set(i, left.Pattern(), insert+times*uint32(f.After(left, 0)/ms), insert+times*uint32(f.Foreseen(left)/ms))
	}
	return one
}

// nothingPlanned is doing nothing where the pair is in its slot.
func nothingPlanned(f *forecast.Forecaster, l *learning) *planned {
	one := new(planned)
	one.Tracked = true // everybody sees what is there
	for i := range one.leaves {
		c := lastslot.Case{Slot: l.place.Slot, Corner: lastslot.InSlot, Edge: lastslot.InSlot}
		c.Twists, c.Flips = lastslot.TwistsAt(int(l.twists[i/8])), lastslot.FlipsAt(int(l.flips[i%8]))
		there := lastslot.AUFMaps[0].Leaves(&c)
		first, seen := f.FirstLook(there)
		one.watch += uint64(first / ms)
		one.set(i, there.Pattern(), uint32((first+seen)/ms), uint32(seen/ms))
	}
	return one
}

// set says what the one takes in the case with the number.
func (a *planned) set(i int, leaves lastslot.Pattern, unseen, done uint32) {
	a.leaves[i], a.unseen[i], a.done[i] = uint8(leaves), unseen, done
	a.alone += uint64(unseen)
	a.accepted[leaves] += uint64(done)
}
