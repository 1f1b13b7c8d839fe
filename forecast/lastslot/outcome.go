package lastslot

import "slotcast/cube"

// Outcome is how the eight pieces of the top layer are turned: 0 to 215. It is
// 8 times the twists of UBL, UBR and UFL as a number to base 3, plus the flips
// of UB, UL and UR as a number to base 2; UFR and UF follow from the others.
type Outcome uint8

// Outcomes is the number of outcomes: 3^3 * 2^3.
const Outcomes = 216

// OutcomeAs is the outcome with the twists of UBL, UBR, UFL and UFR and the flips
// of UB, UL, UR and UF.
func OutcomeAs(twists, flips [4]int) Outcome {
	return Outcome((twists[0]*9+twists[1]*3+twists[2])*8 + flips[0]*4 + flips[1]*2 + flips[2])
}

// Twists are those of UBL, UBR, UFL and UFR.
func (o Outcome) Twists() (twists [4]int) {
	n := int(o) / 8
	twists[0], twists[1], twists[2] = n/9, n/3%3, n%3
	twists[3] = (6 - twists[0] - twists[1] - twists[2]) % 3
	return twists
}

// Flips are those of UB, UL, UR and UF.
func (o Outcome) Flips() (flips [4]int) {
	flips[0], flips[1], flips[2] = int(o)>>2&1, int(o)>>1&1, int(o)&1
	flips[3] = flips[0] ^ flips[1] ^ flips[2]
	return flips
}

// OutcomeOf reads how the top layer of a puzzle is turned; nothing else of it
// matters.
func OutcomeOf(c cube.Cube) Outcome {
	var twists, flips [4]int
	for i := range 4 {
		twists[i], flips[i] = c.Corners[i].Twist(), c.Edges[i].Flip()
	}
	return OutcomeAs(twists, flips)
}

// topPlace is a place of the top layer: the corner or edge spot there.
type topPlace struct {
	corner bool
	spot   int
}

// topPlaces lists the top layer in reading order: UBL UB UBR UL UR UFL UF UFR.
var topPlaces = [8]topPlace{{true, 0}, {false, 0}, {true, 1}, {false, 1}, {false, 2}, {true, 2}, {false, 3}, {true, 3}}

// Facing is where the top colour of each place faces, one letter a place, in the
// order UBL UB UBR UL UR UFL UF UFR; U is oriented.
func (o Outcome) Facing() string {
	twists, flips := o.Twists(), o.Flips()
	var b [8]byte
	for i, p := range topPlaces {
		if p.corner {
			b[i] = cube.CornerPlace(p.spot).Facelets()[twists[p.spot]].String()[0]
		} else {
			b[i] = cube.EdgePlace(p.spot).Facelets()[flips[p.spot]].String()[0]
		}
	}
	return string(b[:])
}

// Turned is the outcome after U by a number of quarters: what stood at the right
// then stands at the front.
func (o Outcome) Turned(quarters int) Outcome { return turnedOutcomes[quarters&3][o] }

// turned is [Outcome.Turned] worked out.
func (o Outcome) turned(quarters int) Outcome {
	// Where U brings the piece of each spot from; it twists and flips nothing.
	fromCorner, fromEdge := [4]int{2, 0, 3, 1}, [4]int{1, 3, 0, 2}
	for range quarters & 3 {
		t, f := o.Twists(), o.Flips()
		var twists, flips [4]int
		for i := range 4 {
			twists[i], flips[i] = t[fromCorner[i]], f[fromEdge[i]]
		}
		o = OutcomeAs(twists, flips)
	}
	return o
}

// turnedOutcomes has each outcome after U by none to three quarters.
var turnedOutcomes = func() (table [4][Outcomes]Outcome) {
	for quarters := range table {
		for o := range table[quarters] {
			table[quarters][o] = Outcome(o).turned(quarters)
		}
	}
	return table
}()

// Edges says which edges are oriented.
type Edges string

// The edge types: none oriented, two opposite, two adjacent, all.
const (
	Dot   Edges = "dot"
	Line  Edges = "line"
	L     Edges = "L"
	Cross Edges = "cross"
)

// Edges is the outcome's edge type.
func (o Outcome) Edges() Edges {
	f := o.Flips()
	switch f[0] + f[1] + f[2] + f[3] {
	case 0:
		return Cross
	case 4:
		return Dot
	}
	if f[0] == f[3] {
		return Line
	}
	return L
}

// CornersOriented is the number of corners that are oriented: 0, 1, 2 or 4.
func (o Outcome) CornersOriented() int {
	n := 0
	for _, t := range o.Twists() {
		if t == 0 {
			n++
		}
	}
	return n
}
