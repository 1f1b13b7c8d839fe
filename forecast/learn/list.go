package learn

import (
	"cmp"
	"slices"
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

// List is what a person can learn for a place, in the order in which it
// is worth most.
//
// With a set of insertions known, the average of a place is that of the totals of
// its best options, over all its cases alike. The list begins with what the
// person knows. Then it is greedy: the next is the insertion that lowers the
// average most; of several, the one with the lowest count, then the first as
// text. It ends with the last level, or where nothing more is saved. Of the person's own
// insertions that do the same, only the quickest is in it.
//
// Where the person knows no insertion, there is no average to compare the first
// with: it is the one that alone has the lowest, and saves nothing. Where the
// pair is in its slot already, one can always do nothing.
type List struct {
	Place   lastslot.Place
	Lessons []Lesson
	// Known is how many of the lessons are known.
	Known int
	// Average is that with what is known; where nothing is, with the first lesson.
	Average time.Duration
}

// Counted is 1 where the first lesson counts as known because the person knows
// nothing for the place and the pair is not in its slot; otherwise 0.
func (l *List) Counted() int {
	if l.Known == 0 && !l.Place.Solved() {
		return 1
	}
	return 0
}

// NextLevel is up to which lesson the next level goes that is not known whole, and
// by how much the average is less with all of it.
func (l *List) NextLevel() (upTo int, saves time.Duration) {
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

// NextOf is what to learn next of all the lists, at most so many, the lesson
// first that saves most over the cases of all lists alike. What counts as known in
// a list is passed over.
func NextOf(lists []List, most int) (next []Next) {
	return NextWeighted(lists, lastslot.Place.Cases, most)
}

// NextWeighted is the same with each place as often as weight says, and in it all cases
// alike.
func NextWeighted(lists []List, weight func(lastslot.Place) int, most int) (next []Next) {
	sum := 0
	for _, list := range lists {
		sum += weight(list.Place)
	}
	for i := range lists {
		list := &lists[i]
		for n := max(list.Known, list.Counted()); n < len(list.Lessons); n++ {
			saves := list.Lessons[n].Saves * time.Duration(weight(list.Place)) / time.Duration(sum)
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
