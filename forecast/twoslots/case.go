package twoslots

import (
	"errors"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Spots is the number of spots of corners, and of edges; see the package comment. First
// and Second are those in the open slots.
const (
	Spots  = 6
	First  = 4
	Second = 5
)

// CornerPlace is the place of a corner spot.
func (o Open) CornerPlace(spot int) cube.CornerPlace {
	if spot >= First {
		return openSlots[o][spot-First].Corner()
	}
	return cube.CornerPlace(spot)
}

// EdgePlace is the place of an edge spot.
func (o Open) EdgePlace(spot int) cube.EdgePlace {
	if spot >= First {
		return openSlots[o][spot-First].Edge()
	}
	return cube.EdgePlace(spot)
}

// Case is what matters with two slots open: which they are, where the pieces of their
// pairs are, and how all pieces that are not yet solved are turned.
type Case struct {
	Open Open
	// Corners and Edges are the spots where the pieces of the first and of the second
	// slot are.
	Corners, Edges [2]int
	// Twists and Flips are those of the pieces in each spot, the pairs included.
	Twists, Flips [Spots]int
}

// Numbers of cases: how two pieces can stand in six spots, how the rest is turned, with
// the open slots given, and in all. GAP finds the same.
const (
	PiecePlaces  = Spots * (Spots - 1)
	CornerTwists = 243 // 3^5: the last follows from the others
	EdgeFlips    = 32  // 2^5
	CasesPerOpen = PiecePlaces * CornerTwists * PiecePlaces * EdgeFlips
	Cases        = Opens * CasesPerOpen
)

// NewCase checks a case that somebody made.
func NewCase(c Case) (Case, error) { return c, c.check() }

func (c *Case) check() error {
	twists, flips := 0, 0
	for spot := range Spots {
		if c.Twists[spot] < 0 || c.Twists[spot] > 2 || c.Flips[spot] < 0 || c.Flips[spot] > 1 {
			return errors.New("a twist is 0, 1 or 2 and a flip 0 or 1")
		}
		twists += c.Twists[spot]
		flips += c.Flips[spot]
	}
	for i := range c.Corners {
		if c.Open >= Opens || min(c.Corners[i], c.Edges[i]) < 0 || max(c.Corners[i], c.Edges[i]) >= Spots {
			return errors.New("no such slots or spot")
		}
	}
	switch {
	case c.Corners[0] == c.Corners[1]:
		return errors.New("the corners of both pairs are in one place")
	case c.Edges[0] == c.Edges[1]:
		return errors.New("the edges of both pairs are in one place")
	case twists%3 != 0 && flips%2 != 0:
		return lastslot.ErrTwistAndFlip
	case twists%3 != 0:
		return lastslot.ErrTwist
	case flips%2 != 0:
		return lastslot.ErrFlip
	}
	return nil
}

// Index numbers the cases from 0 to Cases-1: by open slots, the corners' spots, twists,
// the edges' spots and flips. [CaseAt] is its inverse.
func (c Case) Index() int {
	twists, flips := 0, 0
	for spot := range Second {
		twists = twists*3 + c.Twists[spot]
		flips = flips*2 + c.Flips[spot]
	}
	return ((int(c.Open)*PiecePlaces+piecePlace(c.Corners))*CornerTwists+twists)*PiecePlaces*EdgeFlips + piecePlace(c.Edges)*EdgeFlips + flips
}

// CaseAt is the case with the index, 0 to Cases-1.
func CaseAt(index int) (c Case) {
	flips := index % EdgeFlips
	index /= EdgeFlips
	c.Edges = piecesAt(index % PiecePlaces)
	index /= PiecePlaces
	twists := index % CornerTwists
	index /= CornerTwists
	c.Corners = piecesAt(index % PiecePlaces)
	c.Open = Open(index / PiecePlaces)
	sum := 0
	for spot := Second - 1; spot >= 0; spot-- {
		c.Twists[spot], c.Flips[spot] = twists%3, flips%2
		sum += c.Twists[spot]
		c.Flips[Second] ^= c.Flips[spot]
		twists /= 3
		flips /= 2
	}
	c.Twists[Second] = (3 - sum%3) % 3
	return c
}

// piecePlace numbers the spots of two pieces, 0 to PiecePlaces-1: the first one's, then
// the second one's of the five that are left.
func piecePlace(spots [2]int) int {
	second := spots[1]
	if second > spots[0] {
		second--
	}
	return spots[0]*(Spots-1) + second
}

func piecesAt(number int) [2]int {
	first, second := number/(Spots-1), number%(Spots-1)
	if second >= first {
		second++
	}
	return [2]int{first, second}
}

// which is 0 for the first of the open slots and 1 for the second.
func (c *Case) which(slot lastslot.Slot) int { return c.Open.spot(slot) - First }

// Filled says whether the pair of the open slot is in its slot already.
func (c *Case) Filled(slot lastslot.Slot) bool {
	i := c.which(slot)
	home := First + i
	return c.Corners[i] == home && c.Edges[i] == home && c.Twists[home] == 0 && c.Flips[home] == 0
}

// PairPlaces is the number of ways in which one of the pairs can stand: 18 of the
// corner, 12 of the edge.
const PairPlaces = Spots * 3 * Spots * 2

// PairPlace numbers where the pair of the open slot is and how it is turned, 0 to
// PairPlaces-1.
func (c *Case) PairPlace(slot lastslot.Slot) int {
	i := c.which(slot)
	corner, edge := c.Corners[i], c.Edges[i]
	return pairPlaceOf(corner, c.Twists[corner], edge, c.Flips[edge])
}

func pairPlaceOf(corner, twist, edge, flip int) int {
	return (corner*3+twist)*Spots*2 + edge*2 + flip
}

// Last is the last-slot case that is there when the pair of the slot is filled.
func (c *Case) Last(filled lastslot.Slot) lastslot.Case {
	i := 1 - c.which(filled)
	at := func(spot int) int { return min(spot, lastslot.InSlot) }
	r := lastslot.Case{Slot: c.Open.Other(filled), Corner: at(c.Corners[i]), Edge: at(c.Edges[i])}
	copy(r.Twists[:], c.Twists[:First])
	copy(r.Flips[:], c.Flips[:First])
	r.Twists[lastslot.InSlot], r.Flips[lastslot.InSlot] = c.Twists[First+i], c.Flips[First+i]
	return r
}

// Alone is a last-slot case in which the pair of the slot stands as in this case, as if
// the other slot were solved; false where a piece of it is in the other slot. What is not
// of the pair is turned in some way that turns can lead to.
func (c *Case) Alone(slot lastslot.Slot) (lastslot.Case, bool) {
	i := c.which(slot)
	other := Second - i
	if c.Corners[i] == other || c.Edges[i] == other {
		return lastslot.Case{}, false
	}
	at := func(spot int) int { return min(spot, lastslot.InSlot) }
	r := lastslot.Case{Slot: slot, Corner: at(c.Corners[i]), Edge: at(c.Edges[i])}
	twist, flip := c.Twists[c.Corners[i]], c.Flips[c.Edges[i]]
	r.Twists[r.Corner], r.Flips[r.Edge] = twist, flip
	// Another piece is turned against it.
	r.Twists[(r.Corner+1)%lastslot.Spots], r.Flips[(r.Edge+1)%lastslot.Spots] = (3-twist)%3, flip
	return r, true
}
