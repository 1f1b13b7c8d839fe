package forecast

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"slotcast/cube"
)

// Place is where the pair of an open slot stands and how it is turned, up to
// AUF: of the places that a turn of U makes of each other it is the one with the
// corner above the slot; where the corner is in the slot, the one with the edge
// at the front, for a slot at the back at the back.
type Place struct {
	Slot Slot
	// Corner and Edge are the spots of the pair's pieces; see the package comment.
	Corner, Edge int
	Twist, Flip  int
}

// PlacesPerSlot is the number of places of a slot's pair: 24 with both pieces on
// top, 6 with the corner alone there, 6 with the edge alone, 6 with none.
const PlacesPerSlot = 42

// above has the corner spot above each slot, and beside it the edge spot at the
// front or back.
var above = [Slots]struct{ corner, edge int }{FR: {3, 3}, FL: {2, 3}, BL: {0, 0}, BR: {1, 0}}

// Place is where the case's pair stands.
func (c Case) Place() Place {
	for quarters := range 4 {
		p := placeOf(c.Turned(quarters))
		switch {
		case p.Corner != InSlot && p.Corner != above[p.Slot].corner:
		case p.Corner == InSlot && p.Edge != InSlot && p.Edge != above[p.Slot].edge:
		default:
			return p
		}
	}
	panic("forecast: a place that no turn of U brings above its slot")
}

// placeOf is the place as it is, with no AUF.
func placeOf(c Case) Place {
	return Place{Slot: c.Slot, Corner: c.Corner, Edge: c.Edge, Twist: c.Twists[c.Corner], Flip: c.Flips[c.Edge]}
}

// pair is a case in which nothing but the pair is told.
func (p Place) pair() Case {
	c := Case{Slot: p.Slot, Corner: p.Corner, Edge: p.Edge}
	c.Twists[p.Corner], c.Flips[p.Edge] = p.Twist, p.Flip
	return c
}

// String names the place by the slot, by the sticker that shows the bottom colour
// of the pair's corner and by the one that shows the front colour of its edge, for
// a slot at the back its back colour: "FR-UFR.R-UB.U". A sticker is named by its
// place and by the face that it is on.
func (p Place) String() string {
	corner, edge := p.Slot.CornerPlace(p.Corner), p.Slot.EdgePlace(p.Edge)
	return fmt.Sprintf("%s-%s.%s-%s.%s", p.Slot, corner, corner.Facelets()[p.Twist], edge, edge.Facelets()[p.Flip])
}

// ParsePlace reads what [Place.String] writes, whatever AUF it is after.
func ParsePlace(name string) (Place, error) {
	for slot := range Slot(Slots) {
		if !strings.HasPrefix(name, slot.String()+"-") {
			continue
		}
		for _, p := range Places(slot) {
			for quarters := range 4 {
				if placeOf(p.pair().Turned(quarters)).String() == name {
					return p, nil
				}
			}
		}
	}
	return Place{}, fmt.Errorf("no place “%s”: a place is written as %s, the slot, the sticker with the bottom colour of the pair's corner and the one with the front or back colour of its edge", name, Place{FR, 3, 0, 1, 0})
}

// Solved says whether the pair is in its slot already.
func (p Place) Solved() bool { return p.pair().Solved() }

// Cases is the number of the place's cases, all AUFs counted: 864 or, with both
// pieces in the slot, 216.
func (p Place) Cases() int { return len(p.phases()) * Outcomes }

// Case is one of the place's cases: the one in which nothing on top need be
// turned but what must be for a puzzle that was only turned.
func (p Place) Case() Case {
	c := p.pair()
	twists, flips := 0, 0
	for spot := range Spots {
		twists += c.Twists[spot]
		flips += c.Flips[spot]
	}
	// Farthest from the slot, so that the pair is seen beside what is oriented.
	for _, spot := range [...]int{InSlot, 0, 1, 2} {
		if spot != p.Corner && twists%3 != 0 {
			c.Twists[spot] = 3 - twists%3
			twists = 0
		}
		if spot != p.Edge && flips%2 != 0 {
			c.Flips[spot] = 1
			flips = 0
		}
	}
	return c
}

// Places lists those of the slot: both pieces on top first, then those with more
// and more of the pair in the slot.
func Places(slot Slot) []Place {
	var places []Place
	for corner := range Spots {
		for edge := range Spots {
			for twist := range 3 {
				for flip := range 2 {
					p := Place{Slot: slot, Corner: corner, Edge: edge, Twist: twist, Flip: flip}
					if p.pair().Place() == p {
						places = append(places, p)
					}
				}
			}
		}
	}
	slices.SortStableFunc(places, func(a, b Place) int { return cmp.Compare(a.inSlot(), b.inSlot()) })
	return places
}

// inSlot is how much of the pair is in the slot, the edge counted before the
// corner.
func (p Place) inSlot() (n int) {
	if p.Edge == InSlot {
		n++
	}
	if p.Corner == InSlot {
		n += 2
	}
	return n
}

// phase is the place after one AUF: its number as of [pairPlace], and the twists
// and flips, by number, that its cases have.
type phase struct {
	place  int
	twists [27]uint8
	flips  [8]uint8
}

func (p Place) phases() []phase {
	var phases []phase
	for quarters := range 4 {
		c := p.pair().Turned(quarters)
		ph := phase{place: c.pairPlace()}
		if slices.ContainsFunc(phases, func(o phase) bool { return o.place == ph.place }) {
			continue
		}
		n := 0
		for twists := range cornerTwists {
			if twistsAt(twists)[c.Corner] == p.Twist {
				ph.twists[n] = uint8(twists)
				n++
			}
		}
		n = 0
		for flips := range edgeFlips {
			if flipsAt(flips)[c.Edge] == p.Flip {
				ph.flips[n] = uint8(flips)
				n++
			}
		}
		phases = append(phases, ph)
	}
	return phases
}

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
	Place   Place
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
	Slot      Slot
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
	Leaves []Pattern
}

// Turns are the rotation and the insertion.
func (l *Lesson) Turns() cube.Sequence { return cube.Join(l.Rotation, l.Insertion) }

// fit is an insertion after an AUF that brings the pair from a phase into its
// slot.
type fit struct {
	corners, edges uint16
	turned         uint8
	insert         uint32 // milliseconds, AUF and rotation included
}

// learnable is an insertion that can stand in a list.
type learnable struct {
	Lesson
	// fits are by phase.
	fits [4][]fit
	// inBook is the book's insertion whose fits are not worked out yet.
	inBook *Insertion
	// bound is the most that it can save now, in milliseconds over all cases.
	bound  uint64
	learnt bool
}

// learning is what goes on while a list is made.
type learning struct {
	f      *Forecaster
	place  Place
	phases []phase
	// after has the time after each outcome, in milliseconds, by the hold that the
	// insertion ends in.
	after [4][Outcomes]uint32
	// best has the total of the best option for each case, and total those of the
	// insertion that is looked at, in milliseconds.
	best, total []uint32
}

// never is a total for cases for which nothing is known: more than any, and so
// little that a place's sum of them is far below the range.
const never = 1 << 24

// LearningList makes the list of a place for the forecaster's person.
func (f *Forecaster) LearningList(p Place) LearningList {
	l := learning{f: f, place: p, phases: p.phases()}
	for turned := range l.after {
		for o := range l.after[turned] {
			l.after[turned][o] = uint32(f.after[turnedOutcomes[turned][o]].total)
		}
	}
	l.best, l.total = make([]uint32, len(l.phases)*Outcomes), make([]uint32, len(l.phases)*Outcomes)
	for i := range l.best {
		l.best[i] = never
	}
	compared := p.Solved()
	if compared {
		nothing := &learnable{}
		corners, edges := aufMaps[0].numbers()
		nothing.fits[0] = []fit{{corners: uint16(corners), edges: uint16(edges)}}
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
		if len(l.phases) > 1 {
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
	for i, ph := range l.phases {
		for _, w := range f.ownAt(p.Slot, ph.place) {
			o := Option{Turns: w.turns}
			slot, turns := o.Insertion(p.Slot)
			rotation, _, _ := split(w.turns)
			key := insertionKey(slot, turns)
			own := byTurns[key]
			if own == nil {
				own = &learnable{bound: math.MaxUint64, Lesson: Lesson{
					Rotation: rotation, Slot: slot, Insertion: turns, Known: w.known,
					Insert: w.seconds.Rotation + w.seconds.Insertion,
				}}
				byTurns[key] = own
				if w.known {
					known = append(known, own)
				} else {
					others = append(others, own)
				}
			}
			own.fits[i] = append(own.fits[i], fit{w.corners, w.edges, w.turned, uint32(w.seconds.Insert() / ms)})
		}
	}
	seen := map[uint16]bool{}
	for _, ph := range l.phases {
		for _, w := range b.ways[p.Slot][ph.place] {
			if w.number == noMotion || seen[w.number] || f.hidden[slotMotion{p.Slot, int(w.number)}] {
				continue
			}
			seen[w.number] = true
			spelled := &b.spelled[b.spelledAt(p.Slot, int(w.number))][w.number]
			if len(byTurns) > 0 && byTurns[insertionKey(spelled.Slot, spelled.Turns)] != nil {
				continue
			}
			rotation := roundHolds[round(p.Slot, spelled.Slot)]
			others = append(others, &learnable{inBook: spelled, bound: math.MaxUint64, Lesson: Lesson{
				Rotation: rotation, Slot: spelled.Slot, Insertion: spelled.Turns, Insert: Cost(rotation) + spelled.Cost,
			}})
		}
	}
	return known, others
}

func insertionKey(slot Slot, turns cube.Sequence) string {
	return fmt.Sprintf("%d%v", slot, []cube.Turn(turns))
}

// bound says of each insertion what it can save at most, and puts them in order:
// no more than one that takes as long and always leaves the quickest outcome.
func (l *learning) bound(all []*learnable) {
	quickest := slices.Min(l.after[0][:])
	best := slices.Clone(l.best)
	slices.Sort(best)
	// above has the sums of the totals from each on.
	above := make([]uint64, len(best)+1)
	for i := len(best) - 1; i >= 0; i-- {
		above[i] = above[i+1] + uint64(best[i])
	}
	for _, one := range all {
		least := uint32(one.Insert/ms) + quickest
		i, _ := slices.BinarySearch(best, least)
		one.bound = above[i] - uint64(least)*uint64(len(best)-i)
	}
	slices.SortStableFunc(all, func(a, b *learnable) int { return cmp.Compare(b.bound, a.bound) })
}

// fit works out how an insertion of the book fits the place: it has an AUF for
// each phase.
func (l *learning) fit(one *learnable) {
	spelled := one.inBook
	one.inBook = nil
	slot := l.place.Slot
	motion, turned := spelled.seenAt(slot), uint8((round(slot, spelled.Slot)+spelled.turned)&3)
	for quarters := range auf {
		whole := aufMaps[quarters].then(motion)
		place := whole.pairPlace()
		for i := range l.phases {
			if l.phases[i].place == place {
				corners, edges := whole.numbers()
				one.fits[i] = append(one.fits[i], fit{uint16(corners), uint16(edges), turned, uint32((one.Insert + aufCosts[quarters]) / ms)})
			}
		}
	}
}

// look works out the totals of an insertion for all cases.
func (l *learning) look(one *learnable) {
	if one.inBook != nil {
		l.fit(one)
	}
	for i := range l.phases {
		ph, totals := &l.phases[i], l.total[i*Outcomes:(i+1)*Outcomes]
		for n := range one.fits[i] {
			fit := &one.fits[i][n]
			corners, edges := &l.f.book.cornersLeft[fit.corners], &l.f.book.edgesLeft[fit.edges]
			var flips [8]uint8
			for j, number := range ph.flips {
				flips[j] = edges[number]
			}
			after := &l.after[fit.turned]
			for j, number := range ph.twists {
				row, left := totals[j*8:j*8+8], int(corners[number])*8
				for k, flip := range flips {
					total := fit.insert + after[left+int(flip)]
					if n == 0 || total < row[k] {
						row[k] = total
					}
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
	var left [Patterns]int
	for i := range l.phases {
		ph := &l.phases[i]
		for at := range Outcomes {
			total, best := l.total[i*Outcomes+at], &l.best[i*Outcomes+at]
			if total >= *best {
				continue
			}
			*best = total
			one.Best++
			left[l.leaves(ph, one.fits[i], at, total).Pattern()]++
		}
	}
	for p, n := range left {
		if n > 0 {
			one.Leaves = append(one.Leaves, Pattern(p))
		}
	}
	slices.SortStableFunc(one.Leaves, func(a, b Pattern) int { return cmp.Compare(left[b], left[a]) })
}

// leaves is what the fit with the total leaves of the phase's case with the
// number.
func (l *learning) leaves(ph *phase, fits []fit, at int, total uint32) Outcome {
	for _, fit := range fits {
		left := int(l.f.book.cornersLeft[fit.corners][ph.twists[at/8]])*8 + int(l.f.book.edgesLeft[fit.edges][ph.flips[at%8]])
		if fit.insert+l.after[fit.turned][left] == total {
			return turnedOutcomes[fit.turned][left]
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
