package cube

import "strings"

// Cube is a position: which piece stands in each place, and how it is turned.
// It is also a motion, the one that brings the solved puzzle there.
type Cube struct {
	Corners [CornerPlaces]Corner
	Edges   [EdgePlaces]Edge
	// Centres says which face's centre stands at each face.
	Centres [Faces]Face
}

// Solved is the puzzle with every piece in its place.
var Solved = func() (c Cube) {
	for p := range c.Corners {
		c.Corners[p] = CornerAs(CornerPlace(p), 0)
	}
	for p := range c.Edges {
		c.Edges[p] = EdgeAs(EdgePlace(p), 0)
	}
	for f := range c.Centres {
		c.Centres[f] = Face(f)
	}
	return c
}()

// twisted[c][t] is the corner c turned on by the twist t.
var twisted = func() (t [CornerPlaces * 3][3]Corner) {
	for c := range t {
		for by := range 3 {
			t[c][by] = CornerAs(Corner(c).Piece(), (Corner(c).Twist()+by)%3)
		}
	}
	return t
}()

// Then is c followed by d.
func (c Cube) Then(d Cube) Cube {
	var r Cube
	for p, from := range d.Corners {
		r.Corners[p] = twisted[c.Corners[from/3]][from%3]
	}
	for p, from := range d.Edges {
		r.Edges[p] = c.Edges[from>>1] ^ Edge(from&1)
	}
	for f, from := range d.Centres {
		r.Centres[f] = c.Centres[from]
	}
	return r
}

// Inverse undoes c: c.Then(c.Inverse()) is Solved.
func (c Cube) Inverse() Cube {
	var r Cube
	for p, at := range c.Corners {
		r.Corners[at.Piece()] = CornerAs(CornerPlace(p), (3-at.Twist())%3)
	}
	for p, at := range c.Edges {
		r.Edges[at.Piece()] = EdgeAs(EdgePlace(p), at.Flip())
	}
	for f, at := range c.Centres {
		r.Centres[at] = Face(f)
	}
	return r
}

// Turn is c followed by one turn.
func (c Cube) Turn(t Turn) Cube { return c.Then(turnCubes[t]) }

// Do is c followed by a sequence.
func (c Cube) Do(s Sequence) Cube {
	for _, t := range s {
		c = c.Turn(t)
	}
	return c
}

// Cube is the position that the turn makes of the solved puzzle.
func (t Turn) Cube() Cube { return turnCubes[t] }

// Cube is the position that the sequence makes of the solved puzzle.
func (s Sequence) Cube() Cube { return Solved.Do(s) }

// cycles says what a quarter turn of a face or slice does: each place's
// facelets go, letter by letter, to those of the next place in the row, and
// those of the last to the first. A letter alone is a centre.
var cycles = map[Layer][]string{
	U: {"ULB UBR URF UFL", "UB UR UF UL"},
	D: {"DFL DRF DBR DLB", "DF DR DB DL"},
	L: {"LUB LFU LDF LBD", "LU LF LD LB"},
	R: {"RUF RBU RDB RFD", "RU RB RD RF"},
	F: {"FUL FRU FDR FLD", "FU FR FD FL"},
	B: {"BUR BLU BDL BRD", "BU BL BD BR"},
	M: {"UB FU DF BD", "U F D B"},
	E: {"FL RF BR LB", "F R B L"},
	S: {"UL RU DR LD", "U R D L"},
}

// parts says what the other layers are made of: layer and quarters.
var parts = map[Layer][]Turn{
	Uw: {TurnOf(U, 1), TurnOf(E, -1)},
	Dw: {TurnOf(D, 1), TurnOf(E, 1)},
	Lw: {TurnOf(L, 1), TurnOf(M, 1)},
	Rw: {TurnOf(R, 1), TurnOf(M, -1)},
	Fw: {TurnOf(F, 1), TurnOf(S, 1)},
	Bw: {TurnOf(B, 1), TurnOf(S, -1)},
	X:  {TurnOf(R, 1), TurnOf(M, -1), TurnOf(L, -1)},
	Y:  {TurnOf(U, 1), TurnOf(E, -1), TurnOf(D, -1)},
	Z:  {TurnOf(F, 1), TurnOf(S, 1), TurnOf(B, -1)},
}

// turnCubes has what each turn does, made from cycles and parts.
var turnCubes = func() (table [Turns]Cube) {
	set := func(l Layer, quarter Cube) {
		c := Solved
		for q := 1; q <= 3; q++ {
			c = c.Then(quarter)
			table[TurnOf(l, q)] = c
		}
	}
	for l, rows := range cycles {
		quarter := Solved
		for _, row := range rows {
			names := strings.Fields(row)
			for i, from := range names {
				quarter.carry(from, names[(i+1)%len(names)])
			}
		}
		set(l, quarter)
	}
	for l, turns := range parts {
		quarter := Solved
		for _, t := range turns {
			quarter = quarter.Then(table[t])
		}
		set(l, quarter)
	}
	return table
}()

// carry records that the piece solved in the place from stands in the place to,
// its facelets in the order in which both are written.
func (c *Cube) carry(from, to string) {
	switch len(from) {
	case 1:
		c.Centres[faceOf(to[0])] = faceOf(from[0])
	case 2:
		piece, shows := edgeAt(from)
		place, at := edgeAt(to)
		c.Edges[place] = EdgeAs(piece, shows^at)
	case 3:
		piece, shows := cornerAt(from)
		place, at := cornerAt(to)
		c.Corners[place] = CornerAs(piece, (at-shows+3)%3)
	}
}

// cornerAt finds the corner place with the faces written, and the number of its
// facelet that is written first.
func cornerAt(name string) (CornerPlace, int) {
	for p, facelets := range cornerFacelets {
		for i, f := range facelets {
			if f != faceOf(name[0]) {
				continue
			}
			if facelets[(i+1)%3] == faceOf(name[1]) && facelets[(i+2)%3] == faceOf(name[2]) ||
				facelets[(i+2)%3] == faceOf(name[1]) && facelets[(i+1)%3] == faceOf(name[2]) {
				return CornerPlace(p), i
			}
		}
	}
	panic("cube: no corner place " + name)
}

// edgeAt finds the edge place with the faces written, and the number of its
// facelet that is written first.
func edgeAt(name string) (EdgePlace, int) {
	for p, facelets := range edgeFacelets {
		for i, f := range facelets {
			if f == faceOf(name[0]) && facelets[1-i] == faceOf(name[1]) {
				return EdgePlace(p), i
			}
		}
	}
	panic("cube: no edge place " + name)
}
