package search

import (
	"time"

	"slotcast/cube"
	"slotcast/forecast"
)

// way is one way to execute a block in a hold: the turns, the hold that they
// end in, and what they cost.
type way struct {
	turns cube.Sequence
	hold  cube.Hold
	cost  time.Duration
}

// ways has, for each hold and block, the easiest way to each hold that it can
// end in. A face turn may be done as the wide turn of the face across, which
// leaves the puzzle held otherwise; two faces may be done in part as a slice.
var ways = func() (table [cube.Holds][blocks][]way) {
	for h := range cube.Hold(cube.Holds) {
		for b := range block(blocks) {
			if b.tokens() > 0 {
				table[h][b] = waysOf(h, b)
			}
		}
	}
	return table
}()

func waysOf(h cube.Hold, b block) []way {
	firstFace, secondFace := faces(b.axis())
	first, second := b.quarters()
	best := map[cube.Hold]way{}
	for slice := range 4 {
		// The slice, turned like the first face, is the whole puzzle turned so and
		// the two faces turned back: -slice for the first, +slice for the second.
		w := way{hold: h}
		if slice != 0 {
			w = w.and(cube.SliceTurn, firstFace, slice, true)
		}
		for _, withFirst := range wholeWays(w, firstFace, secondFace, first+slice) {
			for _, w := range wholeWays(withFirst, secondFace, firstFace, second-slice) {
				w.cost = forecast.Cost(w.turns)
				if old, ok := best[w.hold]; !ok || w.cost < old.cost {
					best[w.hold] = w
				}
			}
		}
	}
	var list []way
	for hold := range cube.Hold(cube.Holds) {
		if w, ok := best[hold]; ok {
			list = append(list, w)
		}
	}
	return list
}

// wholeWays is w with the face turned: as a face turn, or as a wide turn from
// the face across, by which the whole puzzle turns with that face.
func wholeWays(w way, face, across cube.Face, quarters int) []way {
	if quarters&3 == 0 {
		return []way{w}
	}
	return []way{w.and(cube.FaceTurn, face, quarters, false), w.and(cube.WideTurn, across, quarters, true)}
}

// and is w with one more turn of the layer of that kind at the body's face;
// where it carries the centres the hold changes by as much.
func (w way) and(kind cube.Kind, face cube.Face, quarters int, carriesCentres bool) way {
	at := w.hold.Face(face)
	turns := cube.Join(w.turns, cube.Sequence{cube.TurnLike(kind, at, quarters)})
	hold := w.hold
	if carriesCentres {
		hold = hold.Then(cube.Sequence{cube.TurnLike(cube.Rotation, at, quarters)}.Cube().Hold())
	}
	return way{turns: turns, hold: hold}
}

// Speller finds the easiest spelling of motions. Its zero value is ready; it is
// not for use by several goroutines at once.
type Speller struct {
	// After each number of blocks, for each hold: the lowest cost of being there,
	// the way that led there last, and the hold before it.
	cost  [maxBlocks + 1][cube.Holds]time.Duration
	taken [maxBlocks + 1][cube.Holds]*way
	from  [maxBlocks + 1][cube.Holds]cube.Hold
}

// maxBlocks is the most blocks that a motion has.
const maxBlocks = 12

// uprightHolds is the number of holds with the first bottom at the bottom; they
// come first: held as at the start, and turned by y, y2 and y'.
const uprightHolds = 4

// spell is the easiest row of turns for the motion, started in the hold and
// ended in any with the same bottom, and its cost.
func (s *Speller) spell(m motion, start cube.Hold) spelling {
	const never = time.Duration(1<<62 - 1)
	for h := range s.cost[0] {
		s.cost[0][h] = never
	}
	s.cost[0][start] = 0
	for i, b := range m {
		next := &s.cost[i+1]
		for h := range next {
			next[h] = never
		}
		for h, cost := range s.cost[i] {
			if cost == never {
				continue
			}
			list := ways[h][b]
			for j := range list {
				w := &list[j]
				if total := cost + w.cost; total < next[w.hold] {
					next[w.hold], s.taken[i+1][w.hold], s.from[i+1][w.hold] = total, w, cube.Hold(h)
				}
			}
		}
	}
	end := cube.Hold(0)
	last := &s.cost[len(m)]
	for h := range cube.Hold(uprightHolds) {
		if last[h] < last[end] {
			end = h
		}
	}
	total := last[end]
	parts := make([]cube.Sequence, len(m))
	for i := len(m); i > 0; i-- {
		parts[i-1] = s.taken[i][end].turns
		end = s.from[i][end]
	}
	return spelling{cube.Join(parts...), total}
}
