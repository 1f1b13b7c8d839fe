package solve

import (
	"math/bits"
	"sync"

	"slotcast/cube"
)

const (
	faceTurns = 18

	twists  = 2187
	flips   = 2048
	middles = 495
	orders  = 40320
	rings   = 24
)

// secondTurns are the turns of the second stage.
var secondTurns = []cube.Turn{
	cube.TurnOf(cube.U, 1), cube.TurnOf(cube.U, 2), cube.TurnOf(cube.U, 3),
	cube.TurnOf(cube.D, 1), cube.TurnOf(cube.D, 2), cube.TurnOf(cube.D, 3),
	cube.TurnOf(cube.L, 2), cube.TurnOf(cube.R, 2), cube.TurnOf(cube.F, 2), cube.TurnOf(cube.B, 2),
}

// allTables say where each turn leads, and how many turns are needed at least.
type allTables struct {
	twistsAfter [twists][faceTurns]uint16
	flipsAfter  [flips][faceTurns]uint16
	middleAfter [middles][faceTurns]uint16

	cornersAfter, edgesAfter [orders][10]uint16
	ringAfter                [rings][10]uint16

	twistsLeast, flipsLeast  []uint8 // by the number, then by middle
	cornersLeast, edgesLeast []uint8 // by the number, then by ring

	// middleNumber numbers the sets of four places of twelve, a bit each.
	middleNumber [1 << cube.EdgePlaces]uint16
	middleSets   [middles]uint16
}

// tables makes them at first need: about 6 MB.
var tables = sync.OnceValue(func() *allTables {
	t := &allTables{}
	n := 0
	for set := range 1 << cube.EdgePlaces {
		if bits.OnesCount(uint(set)) == 4 {
			t.middleNumber[set], t.middleSets[n] = uint16(n), uint16(set)
			n++
		}
	}
	for n := range t.twistsAfter {
		for turn := range cube.Turn(faceTurns) {
			t.twistsAfter[n][turn] = t.twistsOf(withTwists(n).Turn(turn))
		}
	}
	for n := range t.flipsAfter {
		for turn := range cube.Turn(faceTurns) {
			t.flipsAfter[n][turn] = t.flipsOf(withFlips(n).Turn(turn))
		}
	}
	for n := range t.middleAfter {
		for turn := range cube.Turn(faceTurns) {
			t.middleAfter[n][turn] = t.middleOf(t.withMiddle(n).Turn(turn))
		}
	}
	for n := range t.cornersAfter {
		for i, turn := range secondTurns {
			t.cornersAfter[n][i] = t.cornersOf(withCorners(n).Turn(turn))
			t.edgesAfter[n][i] = t.edgesOf(withEdges(n).Turn(turn))
		}
	}
	for n := range t.ringAfter {
		for i, turn := range secondTurns {
			t.ringAfter[n][i] = t.ringOf(withRing(n).Turn(turn))
		}
	}
	middle := t.middleOf(cube.Solved)
	t.twistsLeast = least(t.twistsAfter[:], t.middleAfter[:], 0, middle)
	t.flipsLeast = least(t.flipsAfter[:], t.middleAfter[:], 0, middle)
	t.cornersLeast = least(t.cornersAfter[:], t.ringAfter[:], t.cornersOf(cube.Solved), t.ringOf(cube.Solved))
	t.edgesLeast = least(t.edgesAfter[:], t.ringAfter[:], t.edgesOf(cube.Solved), t.ringOf(cube.Solved))
	return t
})

// least counts the turns from each pair of numbers to that of the solved puzzle,
// length by length.
func least[T [faceTurns]uint16 | [10]uint16](a, b []T, solvedA, solvedB uint16) []uint8 {
	const unknown = 255
	counts := make([]uint8, len(a)*len(b))
	for i := range counts {
		counts[i] = unknown
	}
	at := int(solvedA)*len(b) + int(solvedB)
	counts[at] = 0
	reached := []int{at}
	for length := uint8(1); len(reached) > 0; length++ {
		var next []int
		for _, at := range reached {
			rowA, rowB := a[at/len(b)], b[at%len(b)]
			for turn := range len(rowA) {
				to := int(rowA[turn])*len(b) + int(rowB[turn])
				if counts[to] == unknown {
					counts[to] = length
					next = append(next, to)
				}
			}
		}
		reached = next
	}
	return counts
}

func (*allTables) twistsOf(c cube.Cube) (n uint16) {
	for _, at := range c.Corners[:cube.CornerPlaces-1] {
		n = n*3 + uint16(at.Twist())
	}
	return n
}

func withTwists(n int) cube.Cube {
	c, sum := cube.Solved, 0
	for p := cube.CornerPlaces - 2; p >= 0; p-- {
		c.Corners[p] = cube.CornerAs(cube.CornerPlace(p), n%3)
		sum += n % 3
		n /= 3
	}
	last := cube.CornerPlaces - 1
	c.Corners[last] = cube.CornerAs(cube.CornerPlace(last), (3-sum%3)%3)
	return c
}

func (*allTables) flipsOf(c cube.Cube) (n uint16) {
	for _, at := range c.Edges[:cube.EdgePlaces-1] {
		n = n<<1 | uint16(at.Flip())
	}
	return n
}

func withFlips(n int) cube.Cube {
	c, sum := cube.Solved, 0
	for p := cube.EdgePlaces - 2; p >= 0; p-- {
		c.Edges[p] = cube.EdgeAs(cube.EdgePlace(p), n&1)
		sum += n & 1
		n >>= 1
	}
	last := cube.EdgePlaces - 1
	c.Edges[last] = cube.EdgeAs(cube.EdgePlace(last), sum&1)
	return c
}

// inMiddle says whether a place or an edge is of the middle layer.
func inMiddle(p cube.EdgePlace) bool { return p >= cube.FR && p <= cube.BR }

func (t *allTables) middleOf(c cube.Cube) uint16 {
	set := 0
	for p, at := range c.Edges {
		if inMiddle(at.Piece()) {
			set |= 1 << p
		}
	}
	return t.middleNumber[set]
}

func (t *allTables) withMiddle(n int) cube.Cube {
	c, middle, other := cube.Solved, cube.FR, cube.UB
	for p := range c.Edges {
		if t.middleSets[n]>>p&1 == 1 {
			c.Edges[p] = cube.EdgeAs(middle, 0)
			middle++
			continue
		}
		if other == cube.FR {
			other = cube.BR + 1
		}
		c.Edges[p] = cube.EdgeAs(other, 0)
		other++
	}
	return c
}

func (*allTables) cornersOf(c cube.Cube) uint16 {
	var order [8]uint8
	for p, at := range c.Corners {
		order[p] = uint8(at.Piece())
	}
	return numberOf(order[:])
}

func withCorners(n int) cube.Cube {
	c := cube.Solved
	for p, piece := range orderOf(n, 8) {
		c.Corners[p] = cube.CornerAs(cube.CornerPlace(piece), 0)
	}
	return c
}

// outerEdges are the edges of top and bottom.
var outerEdges = [8]cube.EdgePlace{cube.UB, cube.UL, cube.UR, cube.UF, cube.DF, cube.DL, cube.DB, cube.DR}

func (*allTables) edgesOf(c cube.Cube) uint16 {
	var order [8]uint8
	for i, p := range outerEdges {
		piece := c.Edges[p].Piece()
		if piece > cube.BR {
			piece -= 4
		}
		order[i] = uint8(piece)
	}
	return numberOf(order[:])
}

func withEdges(n int) cube.Cube {
	c := cube.Solved
	for i, piece := range orderOf(n, 8) {
		c.Edges[outerEdges[i]] = cube.EdgeAs(outerEdges[piece], 0)
	}
	return c
}

func (*allTables) ringOf(c cube.Cube) uint16 {
	var order [4]uint8
	for i := range order {
		order[i] = uint8(c.Edges[int(cube.FR)+i].Piece() - cube.FR)
	}
	return numberOf(order[:])
}

func withRing(n int) cube.Cube {
	c := cube.Solved
	for i, piece := range orderOf(n, 4) {
		c.Edges[int(cube.FR)+i] = cube.EdgeAs(cube.FR+cube.EdgePlace(piece), 0)
	}
	return c
}

// numberOf numbers the orders of a row's numbers in the order of the dictionary.
func numberOf(order []uint8) (n uint16) {
	for i := range order {
		lower := 0
		for _, o := range order[i+1:] {
			if o < order[i] {
				lower++
			}
		}
		n = n*uint16(len(order)-i) + uint16(lower)
	}
	return n
}

// orderOf is the inverse of [numberOf].
func orderOf(n, length int) []uint8 {
	lower := make([]int, length)
	for i := length - 1; i >= 0; i-- {
		lower[i] = n % (length - i)
		n /= length - i
	}
	left := make([]uint8, length)
	for i := range left {
		left[i] = uint8(i)
	}
	order := make([]uint8, length)
	for i, at := range lower {
		order[i] = left[at]
		left = append(left[:at:at], left[at+1:]...)
	}
	return order
}
