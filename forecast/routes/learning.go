package routes

import (
	"cmp"
	"container/heap"
	"context"
	"math"
	"slices"
	"time"

	"golang.org/x/sync/errgroup"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
)

// Places is the number of ways in which both pairs can stand with two slots open, whichever
// these are.
const Places = twoslots.Opens * placesPerOpen

const placesPerOpen = twoslots.PiecePlaces * 9 * twoslots.PiecePlaces * 4

// Lessons are what to learn with two slots open, for somebody who sees where both pairs are
// and not the top, and takes the quickest way that they know. All places of both pairs count
// alike, with each pair of slots.
type Lessons struct {
	// Mean is how long they take until the top is oriented, on average.
	Mean time.Duration
	// Known is for how many of the [Places] they know a way; the others are left out.
	Known int
	// Next is what to learn, each with what was saved when those before it are known.
	Next []Lesson
}

// Lesson is a step to be learnt.
type Lesson struct {
	twoslots.Step
	// Saves is by how much the mean goes down.
	Saves time.Duration
	// Case is one where it saves the most, so much, and Fills the slot that it fills there,
	// by Turns.
	Most  time.Duration
	Case  twoslots.Case
	Fills lastslot.Slot
	Turns cube.Sequence
}

// Lessons finds so many steps to learn. Each is the one that saves the most when those
// before it are known. It ends with the context.
func (r *Ranking) Lessons(ctx context.Context, most int) (Lessons, error) {
	l := &lessons{Ranking: r}
	if err := l.begin(ctx); err != nil {
		return Lessons{}, err
	}
	var all Lessons
	sum := int64(0)
	for open := range l.known {
		for _, ms := range l.known[open] {
			if ms != nothingKnown {
				sum += int64(ms)
				all.Known++
			}
		}
	}
	if all.Known == 0 {
		return all, nil
	}
	all.Mean = time.Duration(sum) * time.Millisecond / time.Duration(all.Known)
	if most == 0 {
		return all, nil
	}
	queue, err := l.candidates(ctx)
	if err != nil {
		return Lessons{}, err
	}
	for len(all.Next) < most && len(queue) > 0 {
		// The queue has what a step saves at the most, and that only goes down as others are
		// learnt: the first that does save so much is the best.
		best := &queue[0]
		if saves := l.saving(&best.study); saves != best.saves {
			best.saves = saves
			heap.Fix(&queue, 0)
			continue
		}
		if best.saves == 0 {
			break
		}
		lesson := l.learn(&best.study)
		lesson.Saves = time.Duration(best.saves) * time.Millisecond / time.Duration(all.Known)
		all.Next = append(all.Next, lesson)
		heap.Pop(&queue)
	}
	return all, nil
}

// nothingKnown is the time where no way is known.
const nothingKnown = math.MaxInt32

// pairPlaces are the places of one pair, of both.
const pairPlaces = twoslots.PairPlaces

// lessons is what lessons are found with. A place of both pairs is that of the first slot's
// times pairPlaces and that of the second's.
type lessons struct {
	*Ranking
	// known has, by open slots, the quickest known way in each place, in milliseconds.
	known [twoslots.Opens][]int32
	// turned has the same as it is seen after each rotation: by the slots that are open
	// then, the place then, and the rotation.
	turned [twoslots.Opens][][4]int32
	// means has the mean of what follows, in milliseconds, by open slots, which of them is
	// filled, the hold in the end, and the other pair's place; negative where nothing is
	// offered.
	means [twoslots.Opens][2][4][pairPlaces]int32
	// slowest is the slowest known way, after any rotation, for each place of either pair
	// and of the other's corner, and least the least of the means for each of the latter:
	// most steps are too slow to save anything there, and are seen to be by these.
	slowest [twoslots.Opens][2][pairPlaces][cornerPlaces]int32
	least   [twoslots.Opens][2][4][cornerPlaces]int32
}

// cornerPlaces and edgePlaces are those of the pieces of a pair.
const (
	cornerPlaces = 3 * twoslots.Spots
	edgePlaces   = 2 * twoslots.Spots
)

// others are, for each place of one pair, those where the other can be.
var others = func() (all [pairPlaces][]uint8) {
	for place := range all {
		corner, edge := cornerOf(place)/3, edgeOf(place)/2
		for other := range pairPlaces {
			if cornerOf(other)/3 != corner && edgeOf(other)/2 != edge {
				all[place] = append(all[place], uint8(other))
			}
		}
	}
	return all
}()

// cornerOf and edgeOf are what a pair's place is made of: spot and twist, spot and flip.
func cornerOf(place int) int { return place / edgePlaces }
func edgeOf(place int) int   { return place % edgePlaces }

func both(which, place, other int) int {
	if which == 0 {
		return place*pairPlaces + other
	}
	return other*pairPlaces + place
}

// caseOf is a case in which the pairs stand so; the rest is turned in some way that turns
// can lead to.
func caseOf(open twoslots.Open, which, place, other int) twoslots.Case {
	c := twoslots.Case{Open: open}
	for i, at := range map[int]int{which: place, 1 - which: other} {
		corner, edge := cornerOf(at), edgeOf(at)
		c.Corners[i], c.Edges[i] = corner/3, edge/2
		c.Twists[corner/3], c.Flips[edge/2] = corner%3, edge%2
	}
	free := func(taken [2]int) (spot int) {
		for spot == taken[0] || spot == taken[1] {
			spot++
		}
		return spot
	}
	twists, flips := 0, 0
	for spot := range twoslots.Spots {
		twists, flips = twists+c.Twists[spot], flips+c.Flips[spot]
	}
	c.Twists[free(c.Corners)], c.Flips[free(c.Edges)] = (3-twists%3)%3, flips%2
	return c
}

// begin finds what is known.
func (l *lessons) begin(ctx context.Context) error {
	values := l.values(forecast.Known)
	means := meansOf(values)
	for open := range l.means {
		o := twoslots.Open(open)
		for which, slot := range o.Slots() {
			home := filledPlace(which)
			for turned := range l.least[open][which] {
				for corner := range l.least[open][which][turned] {
					l.least[open][which][turned][corner] = nothingKnown / 2
				}
			}
			for other := range pairPlaces {
				for turned := range 4 {
					mean := int32(-1)
					if slices.Contains(others[home], uint8(other)) {
						c := caseOf(o, which, home, other)
						left := c.TurnedRound(turned)
						last := left.Last(lastslot.Slot((int(slot) + turned) & 3))
						if total, _ := means.of(SeenPairs, &last); total >= 0 {
							mean = int32(total / time.Millisecond)
							least := &l.least[open][which][turned][cornerOf(other)]
							*least = min(*least, mean)
						}
					}
					l.means[open][which][turned][other] = mean
				}
			}
		}
	}
	group, ctx := errgroup.WithContext(ctx)
	for open := range twoslots.Open(twoslots.Opens) {
		group.Go(func() error { return l.knownWith(ctx, open) })
	}
	if err := group.Wait(); err != nil {
		return err
	}
	l.turnRound()
	return nil
}

// seenAfter are the places of the pairs of some open slots as they are seen after y by the
// quarters: which of the slots that are open then, and the pair's place.
func seenAfter(open twoslots.Open, quarters int) (now [2][pairPlaces]struct{ which, place int }) {
	for which, slot := range open.Slots() {
		for place := range pairPlaces {
			c := caseOf(open, which, place, int(others[place][0])).TurnedRound(quarters)
			seen := lastslot.Slot((int(slot) + quarters) & 3)
			at := &now[which][place]
			at.place = c.PairPlace(seen)
			if seen != c.Open.Slots()[0] {
				at.which = 1
			}
		}
	}
	return now
}

// turnRound tells of what is known as it is seen after each rotation.
func (l *lessons) turnRound() {
	for open := range twoslots.Open(twoslots.Opens) {
		if l.turned[open] == nil {
			l.turned[open] = make([][4]int32, pairPlaces*pairPlaces)
		}
		l.slowest[open] = [2][pairPlaces][cornerPlaces]int32{}
	}
	for open := range twoslots.Open(twoslots.Opens) {
		for quarters := range lastslot.Rotations {
			y := int32(l.rotations[quarters] / time.Millisecond)
			after, now := open.TurnedRound(quarters), seenAfter(open, quarters)
			for place := range pairPlaces {
				for _, other := range others[place] {
					ms := l.known[open][both(0, place, int(other))]
					if ms == nothingKnown {
						ms = 0 // nothing is saved there
					}
					a, b := now[0][place], now[1][other]
					l.turned[after][both(a.which, a.place, b.place)][quarters] = ms
					for _, one := range [2]*int32{&l.slowest[after][a.which][a.place][cornerOf(b.place)], &l.slowest[after][b.which][b.place][cornerOf(a.place)]} {
						*one = max(*one, ms-y)
					}
				}
			}
		}
	}
}

// filledPlace is the place of a pair that is in its slot.
func filledPlace(which int) int {
	return (twoslots.First+which)*3*2*twoslots.Spots + (twoslots.First+which)*2
}

// knownWith finds what is known with these slots open.
func (l *lessons) knownWith(ctx context.Context, open twoslots.Open) error {
	known := make([]int32, pairPlaces*pairPlaces)
	for i := range known {
		known[i] = nothingKnown
	}
	l.known[open] = known
	for which := range 2 {
		for place := range pairPlaces {
			if err := ctx.Err(); err != nil {
				return err
			}
			c := l.collector(Request{Case: caseOf(open, which, place, int(others[place][0])), View: forecast.Known, Seen: SeenPairs})
			c.each(which, func(one candidate, _ *twoslots.Case, turned int) {
				does := c.does(&one)
				way := wayOf(&does, open, which, turned)
				means := &l.means[open][which][turned]
				for _, other := range others[place] {
					if mean := means[way.after(int(other))]; mean >= 0 {
						at := &known[both(which, place, int(other))]
						*at = min(*at, int32(one.takes/time.Millisecond)+mean)
					}
				}
			})
		}
	}
	return nil
}

// does is what a candidate does, AUF included.
func (c *collector) does(one *candidate) twoslots.Map {
	if one.option >= 0 {
		effect, _ := lastslot.Effect(c.options[one.which][one.option].Turns)
		return twoslots.MapOf(effect, c.asked.Case.Open)
	}
	return twoslots.AUFMaps[one.quarters].Then(&c.row(one.row).does)
}

// way is what a map does to the other pair, and the place of the pair that it fills the
// slot from.
type way struct {
	from    int
	turned  uint8
	corners [cornerPlaces]uint8
	edges   [edgePlaces]uint8
}

func wayOf(does *twoslots.Map, open twoslots.Open, which, turned int) (w way) {
	w.from, w.turned = does.FilledFrom(open, open.Slots()[which]), uint8(turned)
	for spot := range uint8(twoslots.Spots) {
		corner, edge := does.Corners[spot], does.Edges[spot]
		for twist := range uint8(3) {
			w.corners[corner/3*3+twist] = spot*3 + (twist+corner)%3
		}
		for flip := range uint8(2) {
			w.edges[edge/2*2+flip] = spot*2 + flip ^ edge&1
		}
	}
	return w
}

// after is where the other pair is afterwards.
func (w *way) after(other int) int {
	return int(w.corners[cornerOf(other)])*edgePlaces + int(w.edges[edgeOf(other)])
}

// study is a step that can be learnt.
type study struct {
	open twoslots.Open
	row  *tableRow
}

// use is a step after a rotation and an AUF, as it fills a slot, and what it takes in a
// place of the other pair until the top is oriented.
type use struct {
	way
	which, rotation, quarters, other int
	takes                            int32
}

// saving is what a step saves over all places, in milliseconds.
func (l *lessons) saving(s *study) (sum int64) {
	// A place can be filled from in several ways: by either slot, and with opposite slots
	// after two rotations.
	type of struct {
		open twoslots.Open
		at   int
	}
	saved := map[of]int32{}
	before := s.beforeRotations()
	l.atMost(s, func(u use) {
		b := &before[u.rotation]
		at := b.place(u)
		saved[of{b.open, at}] = max(saved[of{b.open, at}], l.known[b.open][at]-u.takes)
	})
	for _, ms := range saved {
		sum += int64(ms)
	}
	return sum
}

// atMost is what a step saves over all places, in milliseconds, a place counted twice where
// the step fills either slot; hear hears of each.
func (l *lessons) atMost(s *study, hear func(use)) (sum int64) {
	var rotations [4]int32
	for quarters := range rotations {
		rotations[quarters] = int32(l.rotations[quarters] / time.Millisecond)
	}
	takes := int32(l.forecaster.Takes(time.Duration(s.row.ms)*time.Millisecond) / time.Millisecond)
	known := l.turned[s.open]
	for quarters := range twoslots.AUFMaps {
		step := takes + int32(l.aufs[quarters]/time.Millisecond)
		whole := twoslots.AUFMaps[quarters].Then(&s.row.does)
		for which := range 2 {
			w := wayOf(&whole, s.open, which, int(s.row.turned))
			means, least, slowest := &l.means[s.open][which][w.turned], &l.least[s.open][which][w.turned], &l.slowest[s.open][which][w.from]
			cornerSpot, edgeSpot := cornerOf(w.from)/3, edgeOf(w.from)/2
			for corner, cornerAfter := range w.corners {
				if corner/3 == cornerSpot || step+least[cornerAfter] >= slowest[corner] {
					continue
				}
				for edge, edgeAfter := range w.edges {
					mean := means[int(cornerAfter)*edgePlaces+int(edgeAfter)]
					if edge/2 == edgeSpot || mean < 0 {
						continue
					}
					other := corner*edgePlaces + edge
					for rotation, now := range &known[both(which, w.from, other)] {
						if saved := now - step - mean - rotations[rotation]; saved > 0 {
							sum += int64(saved)
							if hear != nil {
								hear(use{w, which, rotation, quarters, other, step + mean + rotations[rotation]})
							}
						}
					}
				}
			}
		}
	}
	return sum
}

// beforeRotation is how a step's slots and places are seen before the rotation.
type beforeRotation struct {
	open twoslots.Open
	now  [2][pairPlaces]struct{ which, place int }
}

func (s *study) beforeRotations() (before [4]beforeRotation) {
	for rotation := range before {
		before[rotation] = beforeRotation{s.open.TurnedRound(4 - rotation), seenAfter(s.open, 4-rotation)}
	}
	return before
}

// place is where both pairs stand before the rotation.
func (b *beforeRotation) place(u use) int {
	pair := b.now[u.which][u.from]
	return both(pair.which, pair.place, b.now[1-u.which][u.other].place)
}

// learn takes a step as known, and says where it saves the most.
func (l *lessons) learn(s *study) Lesson {
	lesson := Lesson{Step: twoslots.Step{Open: s.open, Turns: l.turnsOf(s)}}
	before := s.beforeRotations()
	most := int32(0)
	l.atMost(s, func(u use) {
		b := &before[u.rotation]
		at := &l.known[b.open][b.place(u)]
		if saved := *at - u.takes; saved > most {
			most = saved
			pair, other := b.now[u.which][u.from], b.now[1-u.which][u.other]
			lesson.Case, lesson.Fills = caseOf(b.open, pair.which, pair.place, other.place), b.open.Slots()[pair.which]
			lesson.Turns = cube.Join(lastslot.Rotations[u.rotation], lastslot.AUFs[u.quarters], lesson.Step.Turns)
		}
		*at = min(*at, u.takes)
	})
	l.turnRound()
	lesson.Most = time.Duration(most) * time.Millisecond
	return lesson
}

func (l *lessons) turnsOf(s *study) cube.Sequence {
	return tables[l.forecaster.Hands()][s.open]().rest(s.row)
}

// studied is a step in the queue, with what it saves at the most.
type studied struct {
	study
	saves int64
	turns cube.Sequence
}

// studyQueue has what saves the most first; of alike ones what has fewer turns.
type studyQueue []studied

func (q studyQueue) Len() int { return len(q) }
func (q studyQueue) Less(i, j int) bool {
	a, b := &q[i], &q[j]
	return cmp.Or(cmp.Compare(b.saves, a.saves), cmp.Compare(a.row.count, b.row.count), a.turns.Compare(b.turns)) < 0
}
func (q studyQueue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *studyQueue) Push(any)     { panic("routes: what is to be learnt is known from the start") }
func (q *studyQueue) Pop() any {
	last := len(*q) - 1
	*q = (*q)[:last]
	return nil
}

// candidates are the steps that save anything: those of the table without a rotation that
// use both slots, of which the person has not said anything and which are not usual.
func (l *lessons) candidates(ctx context.Context) (queue studyQueue, err error) {
	var found [twoslots.Opens]studyQueue
	group, ctx := errgroup.WithContext(ctx)
	for open := range twoslots.Open(twoslots.Opens) {
		group.Go(func() error {
			c := l.collector(Request{Case: caseOf(open, 0, filledPlace(0), filledPlace(1)), View: forecast.Known})
			usual := map[int32]bool{}
			if u := l.forecaster.Usual(); u != forecast.UsualNone {
				for _, places := range c.table.usual[u] {
					for _, step := range places {
						usual[step.row] = true
					}
				}
			}
			for n := range c.table.rows {
				if n%64 == 0 && ctx.Err() != nil {
					return ctx.Err()
				}
				row, number := &c.table.rows[n], int32(n)
				slots := open.Slots()
				if row.rotation != 0 || row.does.Keeps(open, slots[0]) || row.does.Keeps(open, slots[1]) || usual[number] || c.own.numbers[number] {
					continue
				}
				s := studied{study: study{open, row}, turns: c.table.rest(row)}
				if s.saves = l.atMost(&s.study, nil); s.saves > 0 {
					found[open] = append(found[open], s)
				}
			}
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		return nil, err
	}
	for _, some := range found {
		queue = append(queue, some...)
	}
	heap.Init(&queue)
	return queue, nil
}
