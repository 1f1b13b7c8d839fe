package search

import (
	"maps"
	"slices"
	"sync"
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
)

// price orders spellings: the time in milliseconds, then the count of turns, then
// how many of them are the left hand's, as most people are right-handed. Prices of
// parts add up.
type price uint32

const (
	leftBits  = 4
	countBits = 5
	msShift   = leftBits + countBits
	never     = ^price(0) / 2 // so that two of them can be added
)

func priceOf(ms int, turns cube.Sequence) price {
	return price(ms)<<msShift + price(turns.Count())<<leftBits + price(leftTurns(turns))
}

func (p price) duration() time.Duration { return time.Duration(p>>msShift) * time.Millisecond }

func leftTurns(s cube.Sequence) (n int) {
	for _, t := range s {
		if t.Layer() == cube.L || t.Layer() == cube.Lw {
			n++
		}
	}
	return n
}

// execution is how to do a block in a hold: the turns and the hold that they
// end in, where they take the hands from each grip, and the least price over all
// grips.
type execution struct {
	turns cube.Sequence
	hold  cube.Hold
	steps *[hands.Grips][]step
	least price
}

// step is where an execution takes the hands, and its price.
type step struct {
	to    hands.Grip
	price price
}

// spelt has the turns and the hold of each execution of a block in a hold. A
// face turn may be done as the wide turn of the face across, which leaves the
// puzzle held otherwise; of two faces that turn both may be done so, or one of
// them with the slice. None is written in more turns than there are faces on its
// axis, or one face turn in more than one.
var spelt = sync.OnceValue(func() (table [cube.Holds][blocks][]execution) {
	for h := range cube.Hold(cube.Holds) {
		for b := range block(blocks) {
			if b.tokens() > 0 {
				table[h][b] = executionsOf(h, b)
			}
		}
	}
	return table
})

func executionsOf(h cube.Hold, b block) (list []execution) {
	firstFace, secondFace := faces(b.axis())
	first, second := b.quarters()
	most := len(b.turns())
	for slice := range 4 {
		// The slice, turned like the first face, is the whole puzzle turned so and
		// the two faces turned back: -slice for the first, +slice for the second.
		w := execution{hold: h}
		if slice != 0 {
			w = w.and(cube.SliceTurn, firstFace, slice, true)
		}
		for _, withFirst := range wholeExecutions(w, firstFace, secondFace, first+slice) {
			for _, w := range wholeExecutions(withFirst, secondFace, firstFace, second-slice) {
				if len(w.turns) > most {
					continue
				}
				list = append(list, w)
				if len(w.turns) == 2 { // of one axis: either may be first
					w.turns = cube.Sequence{w.turns[1], w.turns[0]}
					list = append(list, w)
				}
			}
		}
	}
	return list
}

// wholeExecutions is w with the face turned: as a face turn, or as a wide turn from
// the face across, by which the whole puzzle turns with that face.
func wholeExecutions(w execution, face, across cube.Face, quarters int) []execution {
	if quarters&3 == 0 {
		return []execution{w}
	}
	return []execution{w.and(cube.FaceTurn, face, quarters, false), w.and(cube.WideTurn, across, quarters, true)}
}

// and is w with one more turn of the layer of that kind at the body's face;
// where it carries the centres the hold changes by as much.
func (w execution) and(kind cube.Kind, face cube.Face, quarters int, carriesCentres bool) execution {
	at := w.hold.Face(face)
	turns := cube.Join(w.turns, cube.Sequence{cube.TurnLike(kind, at, quarters)})
	hold := w.hold
	if carriesCentres {
		hold = hold.Then(cube.Sequence{cube.TurnLike(cube.Rotation, at, quarters)}.Cube().Hold())
	}
	return execution{turns: turns, hold: hold}
}

// states is the number of pairs of a hold and a grip: hold*Grips + grip.
const states = cube.Holds * hands.Grips

// maxBlocks is the most blocks that a motion has.
const maxBlocks = 20

// Speller finds the easiest spelling of motions for the hands: which face turn,
// wide turn, slice or rotation by y to do for each block, from which grip. It is
// a dynamic program over the 24 holds and the grips. It is not for use by several
// goroutines at once.
type Speller struct {
	handed     hands.Handed
	executions *[cube.Holds][blocks][]execution
	// rotated has, for each upright hold, the rotations by y.
	rotated *[cube.Holds][]execution

	// toGo has, for each number of blocks done and each hold, no more than what the
	// rest costs, whatever the grip.
	toGo [maxBlocks + 1][cube.Holds]price
	// After each number of blocks, for each state: the least cost of being there,
	// the execution that led there last, and the state before it.
	cost  [maxBlocks + 1][states]price
	taken [maxBlocks + 1][states]*execution
	from  [maxBlocks + 1][states]uint16
	// reached lists the states with a cost.
	reached [maxBlocks + 1][]uint16
}

// NewSpeller makes a speller for the hands.
func NewSpeller(handed hands.Handed) *Speller {
	tables := spellings[handed]()
	s := &Speller{handed: handed, executions: &tables.executions, rotated: &tables.rotated}
	for i := range s.cost {
		for state := range s.cost[i] {
			s.cost[i][state] = never
		}
	}
	return s
}

type spellingTables struct {
	executions [cube.Holds][blocks][]execution
	rotated    [cube.Holds][]execution
}

// spellings has the executions priced for each handed.
var spellings = func() (tables [3]func() *spellingTables) {
	for h := range tables {
		tables[h] = sync.OnceValue(func() *spellingTables { return pricedFor(hands.Handed(h)) })
	}
	return tables
}()

func pricedFor(handed hands.Handed) *spellingTables {
	t := &spellingTables{executions: spelt()}
	known := map[string]*[hands.Grips][]step{}
	priced := func(w execution) execution {
		text := w.turns.String()
		if known[text] == nil {
			known[text] = stepsOf(handed, w.turns)
		}
		w.steps, w.least = known[text], never
		for _, list := range w.steps {
			for _, s := range list {
				w.least = min(w.least, s.price)
			}
		}
		return w
	}
	for h := range t.executions {
		for b := range t.executions[h] {
			list := make([]execution, len(t.executions[h][b]))
			for i, w := range t.executions[h][b] {
				list[i] = priced(w)
			}
			t.executions[h][b] = list
		}
		// Only with the bottom at the bottom is it known what comes to the front.
		for quarters := 1; h < uprightHolds && quarters < 4; quarters++ {
			y := cube.Sequence{cube.TurnOf(cube.Y, quarters)}
			t.rotated[h] = append(t.rotated[h], priced(execution{turns: y, hold: cube.Hold(h).Then(y.Cube().Hold())}))
		}
	}
	return t
}

// stepsOf has, from each grip, the least price to each grip that the turns can end
// in.
func stepsOf(handed hands.Handed, turns cube.Sequence) *[hands.Grips][]step {
	var table [hands.Grips][]step
	second := priceOf(0, turns)
	for from := range table {
		if len(handed.Steps(hands.Grip(from), turns[0])) == 0 {
			continue // no grip of these hands
		}
		ms := map[hands.Grip]int{hands.Grip(from): 0}
		for _, t := range turns {
			next := map[hands.Grip]int{}
			for grip, cost := range ms {
				for _, s := range handed.Steps(grip, t) {
					if old, ok := next[s.To]; !ok || cost+int(s.Ms) < old {
						next[s.To] = cost + int(s.Ms)
					}
				}
			}
			ms = next
		}
		for _, to := range slices.Sorted(maps.Keys(ms)) {
			table[from] = append(table[from], step{to, price(ms[to])<<msShift + second})
		}
	}
	return &table
}

// uprightHolds is the number of holds with the first bottom at the bottom; they
// come first: held as at the start, and turned by y, y2 and y'.
const uprightHolds = 4

// prepare works out toGo for a motion; then it can be spelt from several holds.
func (s *Speller) prepare(m motion) {
	last := &s.toGo[len(m)]
	for h := range last {
		last[h] = never
	}
	for h := range uprightHolds {
		last[h] = 0
	}
	for i := len(m) - 1; i >= 0; i-- {
		next, here, b := &s.toGo[i+1], &s.toGo[i], m[i]
		for h := range here {
			least := never
			list := s.executions[h][b]
			for j := range list {
				least = min(least, list[j].least+next[list[j].hold])
			}
			here[h] = least
		}
		if i == 0 {
			continue // a rotation before the first turn is no part of the motion
		}
		var turned [cube.Holds]price
		for h := range here {
			turned[h] = here[h]
			for j := range s.rotated[h] {
				turned[h] = min(turned[h], s.rotated[h][j].least+here[s.rotated[h][j].hold])
			}
		}
		*here = turned
	}
}

// spell is the easiest row of turns for the motion that was prepared, started in
// the hold and ended in any with the same bottom; none where it costs more than
// the bound.
func (s *Speller) spell(m motion, start cube.Hold, bound price) (spelling, bool) {
	if s.toGo[0][start] > bound {
		return spelling{}, false
	}
	home := int(start)*hands.Grips + int(s.handed.Home())
	s.cost[0][home] = 0
	s.reached[0] = append(s.reached[0], uint16(home))
	for i, b := range m {
		for _, state := range s.reached[i] {
			cost := s.cost[i][state]
			list := s.executions[state/hands.Grips][b]
			for j := range list {
				s.take(&list[j], i+1, int(state), cost, bound)
			}
		}
		if i+1 < len(m) {
			for _, state := range s.reached[i+1] {
				list := s.rotated[state/hands.Grips]
				for j := range list {
					s.take(&list[j], i+1, int(state), s.cost[i+1][state], bound)
				}
			}
		}
	}
	best, end := never, 0
	for _, state := range s.reached[len(m)] {
		cost := s.cost[len(m)][state] + price(s.handed.End(hands.Grip(state%hands.Grips)))<<msShift
		if cost < best && cost <= bound {
			best, end = cost, int(state)
		}
	}
	var found spelling
	if best < never {
		var backwards []cube.Sequence
		for i := len(m); i > 0; {
			w := s.taken[i][end]
			backwards = append(backwards, w.turns)
			end = int(s.from[i][end])
			if w.turns[0].Kind() != cube.Rotation {
				i--
			}
		}
		for i := len(backwards) - 1; i >= 0; i-- {
			found.turns = append(found.turns, backwards[i]...)
		}
		found.price = best
	}
	for i := range len(m) + 1 {
		for _, state := range s.reached[i] {
			s.cost[i][state] = never
		}
		s.reached[i] = s.reached[i][:0]
	}
	return found, best < never
}

// take goes from a state by an execution, after which so many blocks are done, unless
// that cannot end within the bound.
func (s *Speller) take(w *execution, done, state int, cost, bound price) {
	rest := s.toGo[done][w.hold]
	if cost+w.least+rest > bound {
		return
	}
	for _, step := range w.steps[state%hands.Grips] {
		total := cost + step.price
		if total+rest > bound {
			continue
		}
		to := int(w.hold)*hands.Grips + int(step.to)
		old := s.cost[done][to]
		if total >= old {
			continue
		}
		if old == never {
			s.reached[done] = append(s.reached[done], uint16(to))
		}
		s.cost[done][to], s.taken[done][to], s.from[done][to] = total, w, uint16(state)
	}
}

// spelling is how a motion is written down, and its price.
type spelling struct {
	turns cube.Sequence
	price price
}

// before orders spellings by price and then by letters, so that a search always
// finds the same.
func (s spelling) before(o spelling) bool {
	if s.price != o.price {
		return s.price < o.price
	}
	return s.turns.String() < o.turns.String()
}
