package learn

import (
	"cmp"
	"context"
	"slices"
	"sort"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// Totals are whole milliseconds, as the forecast's are.
const ms = time.Millisecond

// fit is a map that brings the pair into its slot from its place: an insertion
// after an AUF.
type fit struct {
	corners, edges uint16
	turned         uint8
	quarters       uint8 // of U before the insertion
	// insert is the time with rotation and AUF, in milliseconds, in the cases after
	// each of the place's AUFs: there another AUF is needed to do the same.
	insert [4]uint32
}

// learning is what goes on while a list is made. Its cases are those of the place
// as it is, in the order of their twists and then of their flips, and the same
// again after each AUF.
type learning struct {
	place lastslot.Place
	aufs  []int
	// auf has how long each AUF takes, and left what maps leave.
	auf  [4]uint32
	left *lastslot.Left
	// twists and flips are those that the cases have, by number.
	twists [27]uint8
	flips  [8]uint8
	// after has the time after each outcome, in milliseconds, by how many pieces are
	// followed and by the hold that the insertion ends in.
	after [2*lastslot.InSlot + 1][4][lastslot.Outcomes]uint32
	// best has the total of the best option for each case, and total those of the
	// insertion that is looked at, in milliseconds.
	best, total []uint32
}

func newLearning(f *forecast.Forecaster, p lastslot.Place) *learning {
	l := casesAt(f, p)
	for turned := range l.after[0] {
		for o := range l.after[0][turned] {
			for track := range l.after {
				l.after[track][turned][o] = uint32(f.After(lastslot.Outcome(o).Turned(turned), track) / ms)
			}
		}
	}
	l.best, l.total = make([]uint32, p.Cases()), make([]uint32, p.Cases())
	for i := range l.best {
		l.best[i] = never
	}
	return l
}

// casesAt is the same with nothing known of what follows.
func casesAt(f *forecast.Forecaster, p lastslot.Place) *learning {
	l := &learning{place: p, aufs: p.AUFs(), left: lastslot.LeftTables()}
	for quarters := range l.auf {
		l.auf[quarters] = uint32(f.AUF(quarters) / ms)
	}
	n := 0
	for twists := range lastslot.CornerTwists {
		if lastslot.TwistsAt(twists)[p.Corner] == p.Twist {
			l.twists[n] = uint8(twists)
			n++
		}
	}
	n = 0
	for flips := range lastslot.EdgeFlips {
		if lastslot.FlipsAt(flips)[p.Edge] == p.Flip {
			l.flips[n] = uint8(flips)
			n++
		}
	}
	return l
}

// never is a total for cases for which nothing is known: more than any, and so
// little that a place's sum of them is far below the range.
const never = 1 << 24

// Of makes the list of a place for the forecaster's person. It stops with the
// context's error when that is done.
func Of(ctx context.Context, f *forecast.Forecaster, p lastslot.Place) (List, error) {
	l := newLearning(f, p)
	compared := p.Solved()
	if compared {
		nothing := &learnable{}
		corners, edges := lastslot.AUFMaps[0].Numbers()
		nothing.fits = []fit{{corners: uint16(corners), edges: uint16(edges)}}
		l.learn(nothing)
	}

	list := List{Place: p}
	known, others := learnables(f, p)
	take := func(from []*learnable) bool {
		next, saves := l.next(ctx, from)
		if next == nil || saves == 0 && compared {
			return false
		}
		l.learn(next)
		next.Average = l.average()
		if compared {
			next.Saves = time.Duration(saves) * ms / time.Duration(len(l.best))
		}
		list.Lessons = append(list.Lessons, next.Lesson)
		return true
	}
	for take(known) {
		compared = true
	}
	// What is left of the known saves nothing, whatever comes before it.
	known = slices.DeleteFunc(known, func(one *learnable) bool { return one.learnt })
	slices.SortFunc(known, (*learnable).compare)
	for _, one := range known {
		one.Average = l.average()
		list.Lessons = append(list.Lessons, one.Lesson)
	}
	list.Known = len(list.Lessons)
	if !compared {
		first := others
		if len(l.aufs) > 1 {
			// Alone, each leaves every outcome equally often: the quickest is the best, with
			// what predicting saves.
			alone := func(one *learnable) uint64 {
				sum := uint64(one.Insert/ms) * lastslot.Outcomes
				for _, total := range l.after[one.track][0] {
					sum += uint64(total)
				}
				return sum
			}
			quickest := alone(slices.MinFunc(others, func(a, b *learnable) int { return cmp.Compare(alone(a), alone(b)) }))
			first = slices.DeleteFunc(slices.Clone(others), func(one *learnable) bool { return alone(one) > quickest })
		}
		take(first)
		compared = true
	}
	list.Average = l.average()
	l.bound(others)
	for len(list.Lessons) < Levels[len(Levels)-1] && take(others) {
	}
	if err := ctx.Err(); err != nil {
		return List{}, err
	}
	return list, nil
}

// add adds a map, of the insertion after an AUF.
func (l *learning) add(one *learnable, corners, edges uint16, turned uint8, quarters int) {
	added := fit{corners: corners, edges: edges, turned: turned, quarters: uint8(quarters)}
	for i, before := range l.aufs {
		added.insert[i] = uint32(one.Insert/ms) + l.auf[(quarters-before)&3]
	}
	one.fits = append(one.fits, added)
}

// bound says of each insertion what it can save at most, and puts them in that
// order. After each AUF an insertion leaves every outcome in one case: it saves no
// more than one that leaves the quickest where it would save most, and so on.
func (l *learning) bound(all []*learnable) {
	best := slices.Clone(l.best)
	slices.Sort(best)
	slices.Reverse(best)
	// spare is the time for the insertion alone in which it saves anything, falling
	// from case to case; sums are those up to each.
	for track := range l.after {
		after := make([]uint32, 0, len(lastslot.AUFs)*lastslot.Outcomes)
		for quarters := range lastslot.AUFs {
			for _, total := range l.after[track][0] {
				after = append(after, l.auf[quarters]+total)
			}
		}
		slices.Sort(after)
		spare, sums := make([]int64, len(best)), make([]int64, len(best)+1)
		for i := range best {
			spare[i] = int64(best[i]) - int64(after[i])
			sums[i+1] = sums[i] + spare[i]
		}
		for _, one := range all {
			if one.track == track {
				insert := int64(one.Insert / ms)
				n := sort.Search(len(spare), func(i int) bool { return spare[i] <= insert })
				one.bound = min(one.bound, uint64(sums[n]-insert*int64(n)))
			}
		}
	}
	slices.SortStableFunc(all, func(a, b *learnable) int { return cmp.Compare(b.bound, a.bound) })
}

// fit works out how an insertion fits the place.
func (l *learning) fit(one *learnable) {
	spelled, slot, place := one.unfitted, l.place.Slot, l.place.Pair().PairPlace()
	one.unfitted = nil
	does, turned := spelled.SeenAt(slot), uint8((lastslot.Quarters(slot, spelled.Slot)+spelled.Turned())&3)
	for quarters := range lastslot.AUFs {
		if whole := lastslot.AUFMaps[quarters].Then(does); whole.PairPlace() == place {
			corners, edges := whole.Numbers()
			l.add(one, uint16(corners), uint16(edges), turned, quarters)
		}
	}
}

// then is the time after the fit's map in each case, in milliseconds.
func (l *learning) then(one *learnable, fit *fit) (then [lastslot.Outcomes]uint32) {
	corners, edges, after := &l.left.Corners[fit.corners], &l.left.Edges[fit.edges], &l.after[one.track][fit.turned]
	var flips [8]uint8
	for k, number := range l.flips {
		flips[k] = edges[number]
	}
	for j, number := range l.twists {
		left := int(corners[number]) * 8
		for k, flip := range flips {
			then[j*8+k] = after[left+int(flip)]
		}
	}
	return then
}

// look works out the totals of an insertion for all cases.
func (l *learning) look(one *learnable) {
	if one.unfitted != nil {
		l.fit(one)
	}
	for n := range one.fits {
		fit := &one.fits[n]
		then := l.then(one, fit)
		for i := range l.aufs {
			totals, insert := l.total[i*lastslot.Outcomes:(i+1)*lastslot.Outcomes], fit.insert[i]
			for at, seconds := range then {
				if n == 0 || insert+seconds < totals[at] {
					totals[at] = insert + seconds
				}
			}
		}
	}
}

// saves is by how many milliseconds the totals of all cases are less in sum where
// the insertion is known too.
func (l *learning) saves(one *learnable) (sum uint64) {
	if one.unfitted != nil {
		l.fit(one)
	}
	if len(one.fits) > 1 {
		l.look(one)
		for i, best := range l.best {
			sum += uint64(best - min(best, l.total[i]))
		}
		return sum
	}
	// Almost always: nothing need be written down.
	fit := &one.fits[0]
	then := l.then(one, fit)
	for i := range l.aufs {
		best, insert := (*[lastslot.Outcomes]uint32)(l.best[i*lastslot.Outcomes:]), fit.insert[i]
		var less uint32 // of 216 totals, none above never
		for at, seconds := range then {
			less += max(best[at], insert+seconds) - (insert + seconds)
		}
		sum += uint64(less)
	}
	return sum
}

// next is the insertion that saves most. What one saves grows less with each
// other that is known, so only those need be looked at again that could still be
// it.
//
// It stops with none when the context is done: to look at one takes some
// microseconds, and there are thousands.
func (l *learning) next(ctx context.Context, from []*learnable) (next *learnable, saves uint64) {
	var first *learnable
	for _, one := range from {
		if !one.learnt && (first == nil || one.bound > first.bound) {
			first = one
		}
	}
	look := func(one *learnable) {
		one.bound = l.saves(one)
		if next == nil || one.bound > saves || one.bound == saves && one.before(next) {
			next, saves = one, one.bound
		}
	}
	if first == nil || ctx.Err() != nil {
		return nil, 0
	}
	look(first)
	for _, one := range from {
		if one != first && !one.learnt && one.bound >= saves {
			if ctx.Err() != nil {
				return nil, 0
			}
			look(one)
		}
	}
	return next, saves
}

// learn counts the insertion as known from now on.
func (l *learning) learn(one *learnable) {
	one.learnt = true
	l.look(one)
	var left [lastslot.Patterns]int
	for i, total := range l.total {
		if total >= l.best[i] {
			continue
		}
		l.best[i] = total
		one.Best++
		left[l.leaves(one, i, total).Pattern()]++
	}
	for p, n := range left {
		if n > 0 {
			one.Leaves = append(one.Leaves, lastslot.Pattern(p))
		}
	}
	slices.SortStableFunc(one.Leaves, func(a, b lastslot.Pattern) int { return cmp.Compare(left[b], left[a]) })
}

// leaves is what the insertion's fit with the total leaves of the case with the number.
func (l *learning) leaves(one *learnable, number int, total uint32) lastslot.Outcome {
	auf, at := number/lastslot.Outcomes, number%lastslot.Outcomes
	for _, fit := range one.fits {
		left := int(l.left.Corners[fit.corners][l.twists[at/8]])*8 + int(l.left.Edges[fit.edges][l.flips[at%8]])
		if fit.insert[auf]+l.after[one.track][fit.turned][left] == total {
			return lastslot.Outcome(left).Turned(int(fit.turned))
		}
	}
	panic("learn: a total that no fit has")
}

func (l *learning) average() time.Duration {
	var sum uint64
	for _, best := range l.best {
		sum += uint64(best)
	}
	return time.Duration(sum) * ms / time.Duration(len(l.best))
}
