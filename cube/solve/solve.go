// Package solve finds short sequences of face turns that solve the puzzle.
//
// # Two stages
//
// The first stage brings the puzzle into the subgroup made by U, D and half turns
// of the other faces: no corner is twisted, no edge is flipped, and the edges of
// the middle layer are in the middle layer. The second stage solves it with these
// turns only. Each is a search deeper and deeper, cut where a table says that more
// turns are needed than are left. A short first stage may need a long second one,
// so longer ones are tried too, as long as the whole gets shorter.
//
// Solving any position is what belongs here; it imports package cube alone.
//
// # Coordinates
//
// What a stage looks at of a position is told by numbers:
//
//	twists   0 to 2,186    the twists of all corners but the last, base 3
//	flips    0 to 2,047    the flips of all edges but the last, base 2
//	middle   0 to 494      which four places the middle layer's edges are in
//	corners  0 to 40,319   the order of the corners
//	edges    0 to 40,319   the order of the edges of top and bottom, in the second stage
//	ring     0 to 23       the order of the middle layer's edges, in the second stage
package solve

import (
	"errors"
	"slices"

	"slotcast/cube"
)

// Every position has a solution of 20 turns (testdata/published/distances.tsv), but
// finding it can take long.
const (
	// wanted is a length with which a search is content at once.
	wanted = 20
	// Most is the most turns of a solution: a search goes on until it has one.
	Most = 22
	// patience is how many positions are looked at, in all, before a solution that is
	// longer than wanted is taken.
	patience = 100_000
)

// ErrNotReachable says that no turns lead from the solved puzzle to a position, or
// that it is not held as the solved one is.
var ErrNotReachable = errors.New("no face turns lead to this position")

// Turns is a sequence of face turns that solves the position, of at most 22. The same
// position has always the same.
func Turns(c cube.Cube) (cube.Sequence, error) {
	if !reachable(c) {
		return nil, ErrNotReachable
	}
	s := search{allTables: tables(), limit: Most}
	views := viewsOf(c)
	for depth := 0; depth <= s.limit && !s.content(); depth++ {
		for _, v := range views {
			s.view = v
			s.first(position{s.twistsOf(v.start), s.flipsOf(v.start), s.middleOf(v.start)}, depth)
		}
	}
	return s.best, nil
}

// view is a way to look at a position. Its solution is that of the position, written for
// whoever holds it so, and back to front where it is the inverse that is solved.
type view struct {
	start   cube.Cube
	hold    cube.Hold
	inverse bool
}

// viewsOf are the six views of a position, along each axis and from either end: what is
// long in one stage in one of them is short in another.
func viewsOf(c cube.Cube) (views []view) {
	for _, turns := range []cube.Sequence{{}, {cube.TurnOf(cube.X, 1)}, {cube.TurnOf(cube.Z, 1)}} {
		h := turns.Cube().Hold()
		held := h.Inverse().Cube().Then(c).Then(h.Cube())
		views = append(views, view{held, h, false}, view{held.Inverse(), h, true})
	}
	return views
}

// solution is the position's, from what solves it as it is looked at.
func (v view) solution(turns cube.Sequence) cube.Sequence {
	if v.inverse {
		turns = turns.Inverse()
	}
	return turns.In(v.hold.Inverse())
}

// reachable says whether face turns lead to the position.
func reachable(c cube.Cube) bool {
	var corners, edges []int
	twists, flips := 0, 0
	for _, at := range c.Corners {
		corners = append(corners, int(at.Piece()))
		twists += at.Twist()
	}
	for _, at := range c.Edges {
		edges = append(edges, int(at.Piece()))
		flips += at.Flip()
	}
	return c.Centres == cube.Solved.Centres && isOrder(corners) && isOrder(edges) &&
		twists%3 == 0 && flips%2 == 0 && odd(corners) == odd(edges)
}

// isOrder says whether each number from 0 on is there once.
func isOrder(numbers []int) bool {
	sorted := slices.Sorted(slices.Values(numbers))
	for i, n := range sorted {
		if i != n {
			return false
		}
	}
	return true
}

func odd(order []int) bool {
	swaps := 0
	for i := range order {
		for j := range i {
			if order[j] > order[i] {
				swaps++
			}
		}
	}
	return swaps%2 == 1
}

// search is one search for a solution.
type search struct {
	*allTables
	view  view
	turns cube.Sequence
	best  cube.Sequence
	// limit is the most turns that are still worth finding.
	limit  int
	looked int
}

// content says whether what was found is short enough, or was looked for long
// enough.
func (s *search) content() bool {
	return s.best != nil && (len(s.best) <= wanted || s.looked > patience)
}

// position is where the first stage is.
type position struct{ twists, flips, middle uint16 }

// first goes on with the first stage for just so many turns.
func (s *search) first(at position, left int) {
	s.looked++
	if least := s.firstLeast(at); int(least) > left || s.content() {
		return
	}
	if left == 0 {
		s.second()
		return
	}
	for t := range cube.Turn(faceTurns) {
		if !s.mayTurn(t) {
			continue
		}
		s.turns = append(s.turns, t)
		s.first(position{s.twistsAfter[at.twists][t], s.flipsAfter[at.flips][t], s.middleAfter[at.middle][t]}, left-1)
		s.turns = s.turns[:len(s.turns)-1]
	}
}

// firstLeast is a number of turns that the first stage needs at least.
func (s *search) firstLeast(at position) uint8 {
	return max(s.twistsLeast[int(at.twists)*middles+int(at.middle)], s.flipsLeast[int(at.flips)*middles+int(at.middle)])
}

// mayTurn keeps to one way to write what does the same: no face twice running,
// and of two faces of one axis the first one first.
func (s *search) mayTurn(t cube.Turn) bool {
	if len(s.turns) == 0 {
		return true
	}
	last, next := s.turns[len(s.turns)-1].Layer().Reference(), t.Layer().Reference()
	return last != next && !(last == next.Opposite() && last > next)
}

// second ends what the first stage began, in the fewest turns that make the
// whole shorter than before.
func (s *search) second() {
	c := s.view.start.Do(s.turns)
	corners, edges, ring := s.cornersOf(c), s.edgesOf(c), s.ringOf(c)
	for depth := 0; depth <= s.limit-len(s.turns); depth++ {
		if s.secondOf(corners, edges, ring, depth) {
			s.best = s.view.solution(s.turns)
			s.turns = s.turns[:len(s.turns)-depth]
			s.limit = len(s.best) - 1
			return
		}
		// Past this the second stage is dearer than another first one, as long as there is
		// hope to find one. Few positions have none: those that look the same from all sides.
		if depth == 11 && (s.best != nil || s.looked < patience) {
			return
		}
	}
}

// secondOf leaves the turns that it found at the end of s.turns.
func (s *search) secondOf(corners, edges, ring uint16, left int) bool {
	s.looked++
	least := max(s.cornersLeast[int(corners)*rings+int(ring)], s.edgesLeast[int(edges)*rings+int(ring)])
	if int(least) > left {
		return false
	}
	if left == 0 {
		return true
	}
	for i, t := range secondTurns {
		if !s.mayTurn(t) {
			continue
		}
		s.turns = append(s.turns, t)
		if s.secondOf(s.cornersAfter[corners][i], s.edgesAfter[edges][i], s.ringAfter[ring][i], left-1) {
			return true
		}
		s.turns = s.turns[:len(s.turns)-1]
	}
	return false
}
