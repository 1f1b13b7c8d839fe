package atlas

import (
	"slotcast/cube"
)

// faceTurns is the number of face turns; they are the first of cube's turns.
const faceTurns = 18

// longestRow is the most turns that fit into a packed row: 18^14 < 2^63.
const longestRow = 14

// packedRow is a row as a number to base 18, the first turn highest. Rows of one
// length have different numbers.
type packedRow uint64

func (p packedRow) turns(length int) cube.Sequence {
	s := make(cube.Sequence, length)
	for i := length - 1; i >= 0; i-- {
		s[i] = cube.Turn(p % faceTurns)
		p /= faceTurns
	}
	return s
}

func pack(s cube.Sequence) (p packedRow) {
	for _, t := range s {
		p = p*faceTurns + packedRow(t)
	}
	return p
}

func faceOf(t cube.Turn) int { return int(t) / 3 }

// mayFollow says whether a row may go on with the turn: faces of one axis have
// numbers that differ in the lowest bit, the first of them an even one.
func mayFollow(last, next cube.Turn) bool {
	a, b := faceOf(last), faceOf(next)
	return a/2 != b/2 || a < b
}

// carriedCorners and carriedEdges say where a turn takes a piece that stands as
// a cube.Corner or cube.Edge says, with the place it is in instead of its own.
var carriedCorners, carriedEdges = func() (corners, edges [faceTurns][24]uint8) {
	for t := range cube.Turn(faceTurns) {
		c := t.Cube()
		for place, from := range c.Corners {
			for twist := range 3 {
				corners[t][cube.CornerAs(from.Piece(), twist)] = uint8(cube.CornerAs(cube.CornerPlace(place), (twist+from.Twist())%3))
			}
		}
		for place, from := range c.Edges {
			for flip := range 2 {
				edges[t][cube.EdgeAs(from.Piece(), flip)] = uint8(cube.EdgeAs(cube.EdgePlace(place), flip^from.Flip()))
			}
		}
	}
	return corners, edges
}()

// The pieces of the cross and of the three other slots.
var (
	keptCorners = [...]cube.CornerPlace{cube.DFL, cube.DBL, cube.DBR}
	keptEdges   = [...]cube.EdgePlace{cube.FL, cube.BL, cube.BR, cube.DF, cube.DL, cube.DB, cube.DR}
)

// places says where the kept pieces are, corners first.
type places [len(keptCorners) + len(keptEdges)]uint8

// home is where they belong.
var home = func() (p places) {
	for i, c := range keptCorners {
		p[i] = uint8(cube.CornerAs(c, 0))
	}
	for i, e := range keptEdges {
		p[len(keptCorners)+i] = uint8(cube.EdgeAs(e, 0))
	}
	return p
}()

func (p *places) turn(t cube.Turn) (r places) {
	corners, edges := &carriedCorners[t], &carriedEdges[t]
	for i := range keptCorners {
		r[i] = corners[p[i]]
	}
	for i := len(keptCorners); i < len(p); i++ {
		r[i] = edges[p[i]]
	}
	return r
}

// key tells places apart, five bits a piece.
func (p *places) key() (k uint64) {
	for _, x := range p {
		k = k<<5 | uint64(x)
	}
	return k
}

// across is the turn seen in the mirror that the slot's diagonal stands in: it
// swaps front with right and back with left.
var across = func() (table [faceTurns]cube.Turn) {
	to := [cube.Faces]cube.Face{
		cube.FaceU: cube.FaceU, cube.FaceD: cube.FaceD,
		cube.FaceL: cube.FaceB, cube.FaceB: cube.FaceL,
		cube.FaceR: cube.FaceF, cube.FaceF: cube.FaceR,
	}
	for t := range cube.Turn(faceTurns) {
		table[t] = cube.TurnOf(cube.Layer(to[t.Layer().Reference()]), -t.Quarters())
	}
	return table
}()

// mirrored is the row across the slot's diagonal, again as a row.
func mirrored(s cube.Sequence) cube.Sequence {
	r := make(cube.Sequence, len(s))
	for i, t := range s {
		r[i] = across[t]
	}
	return inOrder(r)
}

// inOrder puts neighbours on one axis into a row's order.
func inOrder(s cube.Sequence) cube.Sequence {
	for i := 1; i < len(s); i++ {
		if !mayFollow(s[i-1], s[i]) {
			s[i-1], s[i] = s[i], s[i-1]
		}
	}
	return s
}
