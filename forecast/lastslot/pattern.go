package lastslot

import (
	"slotcast/cube"
)

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

// outcomeFacing is the outcome with that facing.
func outcomeFacing(facing string) Outcome {
	for o := range Outcome(Outcomes) {
		if o.Facing() == facing {
			return o
		}
	}
	panic("forecast: no outcome faces " + facing)
}

// turned is the outcome after U by a number of quarters: what stood at the right
// then stands at the front.
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

// TurnedOutcomes has each outcome after U by none to three quarters.
var TurnedOutcomes = func() (table [4][Outcomes]Outcome) {
	for quarters := range table {
		for o := range table[quarters] {
			table[quarters][o] = Outcome(o).turned(quarters)
		}
	}
	return table
}()

// Pattern is an outcome up to AUF: 0 all oriented, 1 to 57 by the trade's OLL
// numbers.
type Pattern uint8

// Patterns is the number of patterns, the oriented one included.
const Patterns = 58

// patternFacings has, by the trade's number, one of the outcomes of each
// pattern, as [Outcome.Facing] writes it. The numbers are common practice, from
// memory; that the 57 and the oriented one are all there are is tested.
var patternFacings = [Patterns]string{
	0: "UUUUUUUU",
	1: "LBRLRLFR", 2: "LBBLRLFF", 3: "BBRLRLFU", 4: "LBULRFFR", 5: "BBRLULUU",
	6: "LUULUFFR", 7: "BURURUFF", 8: "LUBLUFFU", 9: "LUBURFFU", 10: "BBUURLUF",
	11: "BUUURLFF", 12: "UUBLUFFR", 13: "BBRUUUFF", 14: "LBBUUFFU", 15: "UBRUULFF",
	16: "LBUUUFFR", 17: "UBBLRLFU", 18: "UBULRFFF", 19: "UBULRLFR", 20: "UBULRUFU",
	21: "BUBUUFUF", 22: "LUBUULUF", 23: "BUBUUUUU", 24: "BUUUUFUU", 25: "LUUUUUUF",
	26: "LUUUUFUR", 27: "BURUUUUF", 28: "UUUURUFU", 29: "BUUURFFU", 30: "LURURUFU",
	31: "BUULUFFU", 32: "UUBURUFF", 33: "BBUUUFFU", 34: "LBRUUUFU", 35: "UBRLUFUU",
	36: "UUBLULFU", 37: "UURURFFU", 38: "BUUURUFR", 39: "BBUUUUFR", 40: "UBBUULFU",
	41: "BUBURUFU", 42: "UBUURFUF", 43: "LUULULFU", 44: "UURURUFR", 45: "LBUUULFU",
	46: "UURLRUUR", 47: "BURLUFFR", 48: "LUBURLFF", 49: "LUBLULFF", 50: "LBBLULUF",
	51: "BBRUUFFR", 52: "BURLRFUR", 53: "BUBLUFFF", 54: "BUBURFFF", 55: "BBBUUFFF",
	56: "LBRUULFR", 57: "UBUUUUFU",
}

// patternOutcomes and outcomePatterns carry patterns to outcomes and back.
var patternOutcomes, outcomePatterns = func() (outcomes [Patterns]Outcome, patterns [Outcomes]Pattern) {
	for p, facing := range patternFacings {
		outcomes[p] = outcomeFacing(facing)
		for quarters := range 4 {
			patterns[outcomes[p].turned(quarters)] = Pattern(p)
		}
	}
	return outcomes, patterns
}()

// Pattern is the outcome's pattern.
func (o Outcome) Pattern() Pattern { return outcomePatterns[o] }

// Outcome is the one that the trade's table shows the pattern by.
func (p Pattern) Outcome() Outcome { return patternOutcomes[p] }

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

// Mirror is the pattern as the mirror shows it that swaps left and right.
func (p Pattern) Mirror() Pattern {
	twists, flips := p.Outcome().Twists(), p.Outcome().Flips()
	for i := range twists {
		twists[i] = (3 - twists[i]) % 3
	}
	// UBL and UBR change places, UFL and UFR, and of the edges UL and UR.
	twists[0], twists[1], twists[2], twists[3] = twists[1], twists[0], twists[3], twists[2]
	flips[1], flips[2] = flips[2], flips[1]
	return OutcomeAs(twists, flips).Pattern()
}
