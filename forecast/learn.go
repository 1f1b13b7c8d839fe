package forecast

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"time"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Levels are how many insertions of a place make up each level of a learning
// list.
var Levels = [...]int{1, 3, 8, 20}

// LevelOf is the level, counted from 1, that the insertion with the number,
// counted from 1, belongs to.
func LevelOf(number int) int {
	for level, upTo := range Levels {
		if number <= upTo {
			return level + 1
		}
	}
	return len(Levels)
}

// LearningList is what a person can learn for a place, in the order in which it
// is worth most.
//
// With a set of insertions known, the average of a place is that of the totals of
// its best options, over all its cases alike. The list begins with what the
// person knows. Then it is greedy: the next is the insertion that lowers the
// average most; of several, the one with the lowest count, then the first as
// text. It ends with the last level, or where nothing more is saved.
//
// Where the person knows no insertion, there is no average to compare the first
// with: it is the one that alone has the lowest, and saves nothing. Where the
// pair is in its slot already, one can always do nothing.
type LearningList struct {
	Place   lastslot.Place
	Lessons []Lesson
	// Known is how many of the lessons are known.
	Known int
	// Average is that with what is known; where nothing is, with the first lesson.
	Average time.Duration
}

// Counted is 1 where the first lesson counts as known because the person knows
// nothing for the place and the pair is not in its slot; otherwise 0.
func (l *LearningList) Counted() int {
	if l.Known == 0 && !l.Place.Solved() {
		return 1
	}
	return 0
}

// NextLevel is up to which lesson the next level goes that is not known whole, and
// by how much the average is less with all of it.
func (l *LearningList) NextLevel() (upTo int, saves time.Duration) {
	have := max(l.Known, l.Counted())
	for _, level := range Levels {
		upTo = min(level, len(l.Lessons))
		if upTo > have {
			break
		}
	}
	for _, lesson := range l.Lessons[min(have, upTo):upTo] {
		saves += lesson.Saves
	}
	return upTo, saves
}

// Next is a lesson of one of several lists, both by number, and by how much the
// average over all their cases is less with it.
type Next struct {
	List, Lesson int
	Saves        time.Duration
}

// LearnNext is what to learn next of all the lists, at most so many, the lesson
// first that saves most over the cases of all lists alike. What counts as known in
// a list is passed over.
func LearnNext(lists []LearningList, most int) (next []Next) {
	cases := 0
	for _, list := range lists {
		cases += list.Place.Cases()
	}
	for i := range lists {
		list := &lists[i]
		for n := max(list.Known, list.Counted()); n < len(list.Lessons); n++ {
			saves := list.Lessons[n].Saves * time.Duration(list.Place.Cases()) / time.Duration(cases)
			next = append(next, Next{i, n, saves})
		}
	}
	// In a list each saves no more than the one before it, so none is overtaken.
	slices.SortStableFunc(next, func(a, b Next) int { return cmp.Compare(b.Saves, a.Saves) })
	return next[:min(len(next), most)]
}

// Lesson is one insertion of a list. Those that differ by AUF or by a rotation
// before are one.
type Lesson struct {
	// Rotation is the turn of y before the insertion, and Slot where the slot then
	// is.
	Rotation  cube.Sequence
	Slot      lastslot.Slot
	Insertion cube.Sequence
	Known     bool
	// Insert is the time for rotation and insertion.
	Insert time.Duration
	// Average is that of the place with this and all lessons before it; Saves is by
	// how much less it is than without this one.
	Average, Saves time.Duration
	// Best is in how many of the place's cases this is quicker than all before it,
	// and Leaves the patterns that it then leaves, the commonest first.
	Best   int
	Leaves []lastslot.Pattern
}

// Turns are the rotation and the insertion.
func (l *Lesson) Turns() cube.Sequence { return cube.Join(l.Rotation, l.Insertion) }

// fit is a map that brings the pair into its slot from its place: an insertion
// after an AUF.
type fit struct {
	corners, edges uint16
	turned         uint8
	// insert is the time with rotation and AUF, in milliseconds, in the cases after
	// each of the place's AUFs: there another AUF is needed to do the same.
	insert [4]uint32
}

// learnable is an insertion that can stand in a list.
type learnable struct {
	Lesson
	// fits is one, or where both pieces of the pair are in the slot one for each AUF.
	fits []fit
	// inBook is the book's insertion whose fits are not worked out yet.
	inBook *lastslot.Insertion
	// bound is the most that it can save now, in milliseconds over all cases.
	bound  uint64
	learnt bool
}

// learning is what goes on while a list is made. Its cases are those of the place
// as it is, in the order of their twists and then of their flips, and the same
// again after each AUF.
type learning struct {
	f     *Forecaster
	place lastslot.Place
	aufs  []int
	// twists and flips are those that the cases have, by number.
	twists [27]uint8
	flips  [8]uint8
	// after has the time after each outcome, in milliseconds, by the hold that the
	// insertion ends in.
	after [4][lastslot.Outcomes]uint32
	// best has the total of the best option for each case, and total those of the
	// insertion that is looked at, in milliseconds.
	best, total []uint32
}

func (f *Forecaster) learning(p lastslot.Place) *learning {
	l := &learning{f: f, place: p, aufs: p.AUFs()}
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
	for turned := range l.after {
		for o := range l.after[turned] {
			l.after[turned][o] = uint32(f.after[lastslot.Outcome(o).Turned(turned)].total)
		}
	}
	l.best, l.total = make([]uint32, p.Cases()), make([]uint32, p.Cases())
	for i := range l.best {
		l.best[i] = never
	}
	return l
}

// never is a total for cases for which nothing is known: more than any, and so
// little that a place's sum of them is far below the range.
const never = 1 << 24

// LearningList makes the list of a place for the forecaster's person.
func (f *Forecaster) LearningList(p lastslot.Place) LearningList {
	l := f.learning(p)
	compared := p.Solved()
	if compared {
		nothing := &learnable{}
		corners, edges := lastslot.AUFMaps[0].Numbers()
		nothing.fits = []fit{{corners: uint16(corners), edges: uint16(edges)}}
		l.learn(nothing)
	}

	list := LearningList{Place: p}
	known, others := l.learnables()
	take := func(from []*learnable) bool {
		next, saves := l.next(from)
		if next == nil || saves == 0 && !next.Known {
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
	list.Known = len(list.Lessons)
	if !compared {
		first := others
		if len(l.aufs) > 1 {
			// Alone, each leaves every outcome equally often: the quickest is the best.
			quickest := slices.MinFunc(others, func(a, b *learnable) int { return cmp.Compare(a.Insert, b.Insert) }).Insert
			first = slices.DeleteFunc(slices.Clone(others), func(one *learnable) bool { return one.Insert > quickest })
		}
		take(first)
		compared = true
	}
	list.Average = l.average()
	l.bound(others)
	for len(list.Lessons) < Levels[len(Levels)-1] && take(others) {
	}
	return list
}

// learnables lists what the person knows for the place, and what else there is.
func (l *learning) learnables() (known, others []*learnable) {
	f, b, p := l.f, l.f.book, l.place
	byTurns := map[string]*learnable{}
	for _, w := range f.ownAt(p.Slot, p.Pair().PairPlace()) {
		slot, turns := (&Option{Turns: w.turns}).Insertion(p.Slot)
		rotation, before, _ := split(w.turns)
		key := insertionKey(slot, turns)
		own := byTurns[key]
		if own == nil {
			own = &learnable{bound: math.MaxUint64, Lesson: Lesson{
				Rotation: rotation, Slot: slot, Insertion: turns, Known: w.known, Insert: w.seconds.Rotation + w.seconds.Insertion,
			}}
			byTurns[key] = own
			if w.known {
				known = append(known, own)
			} else {
				others = append(others, own)
			}
		}
		l.add(own, w.corners, w.edges, w.turned, quartersOf(before))
	}
	seen := map[uint16]bool{}
	for _, quarters := range l.aufs {
		for _, w := range b.ways[p.Slot][p.Pair().Turned(quarters).PairPlace()] {
			if w.number == noMotion || seen[w.number] || f.hidden[slotMotion{p.Slot, int(w.number)}] {
				continue
			}
			seen[w.number] = true
			spelled := &b.spelled[b.spelledAt(p.Slot, int(w.number))][w.number]
			if len(byTurns) > 0 && byTurns[insertionKey(spelled.Slot, spelled.Turns)] != nil {
				continue
			}
			others = append(others, &learnable{inBook: spelled, bound: math.MaxUint64, Lesson: Lesson{
				Rotation: lastslot.Rotations[lastslot.Quarters(p.Slot, spelled.Slot)], Slot: spelled.Slot, Insertion: spelled.Turns, Insert: f.insertionCost(p.Slot, &w),
			}})
		}
	}
	return known, others
}

// aufCost is how long the person takes for a turn of U, and insertionCost for the
// rotation and the insertion of a way of the book.
func (f *Forecaster) aufCost(quarters int) time.Duration {
	return time.Duration(f.prefixes[quarters]) * ms
}

func (f *Forecaster) insertionCost(slot lastslot.Slot, w *way) time.Duration {
	s := f.seconds(w)
	return s.Rotation + s.Insertion
}

// quartersOf is how far an AUF turns.
func quartersOf(turns cube.Sequence) int {
	if len(turns) == 0 {
		return 0
	}
	return turns[0].Quarters()
}

// add adds a map, of the insertion after an AUF.
func (l *learning) add(one *learnable, corners, edges uint16, turned uint8, quarters int) {
	added := fit{corners: corners, edges: edges, turned: turned}
	for i, before := range l.aufs {
		added.insert[i] = uint32((one.Insert + l.f.aufCost((quarters-before)&3)) / ms)
	}
	one.fits = append(one.fits, added)
}

func insertionKey(slot lastslot.Slot, turns cube.Sequence) string {
	return fmt.Sprintf("%d%v", slot, []cube.Turn(turns))
}

// bound says of each insertion what it can save at most, and puts them in that
// order. After each AUF an insertion leaves every outcome in one case: it saves no
// more than one that leaves the quickest where it would save most, and so on.
func (l *learning) bound(all []*learnable) {
	after := make([]uint32, 0, len(lastslot.AUFs)*lastslot.Outcomes)
	for quarters := range lastslot.AUFs {
		for _, total := range l.after[0] {
			after = append(after, uint32(l.f.aufCost(quarters)/ms)+total)
		}
	}
	slices.Sort(after)
	best := slices.Clone(l.best)
	slices.Sort(best)
	slices.Reverse(best)
	// spare is the time for the insertion alone in which it saves anything, falling
	// from case to case; sums are those up to each.
	spare, sums := make([]int64, len(best)), make([]int64, len(best)+1)
	for i := range best {
		spare[i] = int64(best[i]) - int64(after[i])
		sums[i+1] = sums[i] + spare[i]
	}
	for _, one := range all {
		insert := int64(one.Insert / ms)
		n := sort.Search(len(spare), func(i int) bool { return spare[i] <= insert })
		one.bound = min(one.bound, uint64(sums[n]-insert*int64(n)))
	}
	slices.SortStableFunc(all, func(a, b *learnable) int { return cmp.Compare(b.bound, a.bound) })
}

// fit works out how an insertion of the book fits the place.
func (l *learning) fit(one *learnable) {
	spelled, slot, place := one.inBook, l.place.Slot, l.place.Pair().PairPlace()
	one.inBook = nil
	motion, turned := spelled.SeenAt(slot), uint8((lastslot.Quarters(slot, spelled.Slot)+spelled.Turned())&3)
	for quarters := range lastslot.AUFs {
		if whole := lastslot.AUFMaps[quarters].Then(motion); whole.PairPlace() == place {
			corners, edges := whole.Numbers()
			l.add(one, uint16(corners), uint16(edges), turned, quarters)
		}
	}
}

// look works out the totals of an insertion for all cases.
func (l *learning) look(one *learnable) {
	if one.inBook != nil {
		l.fit(one)
	}
	for n := range one.fits {
		fit := &one.fits[n]
		corners, edges, after := &l.f.book.cornersLeft[fit.corners], &l.f.book.edgesLeft[fit.edges], &l.after[fit.turned]
		var flips [8]uint8
		for k, number := range l.flips {
			flips[k] = edges[number]
		}
		var then [lastslot.Outcomes]uint32
		for j, number := range l.twists {
			left := int(corners[number]) * 8
			for k, flip := range flips {
				then[j*8+k] = after[left+int(flip)]
			}
		}
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
	l.look(one)
	for i, best := range l.best {
		sum += uint64(best - min(best, l.total[i]))
	}
	return sum
}

// next is the insertion that saves most. What one saves grows less with each
// other that is known, so only those need be looked at again that could still be
// it.
func (l *learning) next(from []*learnable) (next *learnable, saves uint64) {
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
	if first == nil {
		return nil, 0
	}
	look(first)
	for _, one := range from {
		if one != first && !one.learnt && one.bound >= saves {
			look(one)
		}
	}
	return next, saves
}

// before is the order of insertions that save the same.
func (l *learnable) before(o *learnable) bool {
	return cmp.Or(cmp.Compare(l.Insertion.Count(), o.Insertion.Count()), compareTexts(l.Turns(), o.Turns())) < 0
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
		left[l.leaves(one.fits, i, total).Pattern()]++
	}
	for p, n := range left {
		if n > 0 {
			one.Leaves = append(one.Leaves, lastslot.Pattern(p))
		}
	}
	slices.SortStableFunc(one.Leaves, func(a, b lastslot.Pattern) int { return cmp.Compare(left[b], left[a]) })
}

// leaves is what the fit with the total leaves of the case with the number.
func (l *learning) leaves(fits []fit, number int, total uint32) lastslot.Outcome {
	auf, at := number/lastslot.Outcomes, number%lastslot.Outcomes
	for _, fit := range fits {
		left := int(l.f.book.cornersLeft[fit.corners][l.twists[at/8]])*8 + int(l.f.book.edgesLeft[fit.edges][l.flips[at%8]])
		if fit.insert[auf]+l.after[fit.turned][left] == total {
			return lastslot.Outcome(left).Turned(int(fit.turned))
		}
	}
	panic("forecast: a total that no fit has")
}

func (l *learning) average() time.Duration {
	var sum uint64
	for _, best := range l.best {
		sum += uint64(best)
	}
	return time.Duration(sum) * ms / time.Duration(len(l.best))
}
