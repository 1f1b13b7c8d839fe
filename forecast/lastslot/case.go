package lastslot

import (
	"errors"
)

// Case is what matters before the last slot: where the open slot is, where the
// pieces of its pair are, and how all pieces that are not yet solved are turned.
type Case struct {
	Slot Slot
	// Corner and Edge are the spots where the pair's pieces are.
	Corner, Edge int
	// Twists and Flips are those of the pieces in each spot, the pair included.
	Twists [Spots]int
	Flips  [Spots]int
}

// Numbers of cases: with the slot given, and in all.
const (
	CornerTwists = 81 // 3^4: the last follows from the others
	EdgeFlips    = 16 // 2^4
	CasesPerSlot = Spots * CornerTwists * Spots * EdgeFlips
	Cases        = Slots * CasesPerSlot
)

// check says what no real puzzle can show.
func (c Case) check() error {
	twists, flips := 0, 0
	for i := range Spots {
		if c.Twists[i] < 0 || c.Twists[i] > 2 || c.Flips[i] < 0 || c.Flips[i] > 1 {
			return errors.New("a twist is 0, 1 or 2 and a flip 0 or 1")
		}
		twists += c.Twists[i]
		flips += c.Flips[i]
	}
	switch {
	case c.Slot >= Slots || c.Corner < 0 || c.Corner > InSlot || c.Edge < 0 || c.Edge > InSlot:
		return errors.New("no such slot or spot")
	case twists%3 != 0 && flips%2 != 0:
		return ErrTwistAndFlip
	case twists%3 != 0:
		return ErrTwist
	case flips%2 != 0:
		return ErrFlip
	}
	return nil
}

// What cannot be on a puzzle that was only turned, in words for the person who
// looks at it.
var (
	ErrTwist        = errors.New("one corner is twisted: no turns lead here. Check the corners, or the puzzle was assembled wrongly")
	ErrFlip         = errors.New("one edge is flipped: no turns lead here. Check the edges, or the puzzle was assembled wrongly")
	ErrTwistAndFlip = errors.New("one corner is twisted and one edge is flipped: no turns lead here. Check both, or the puzzle was assembled wrongly")
)

// NewCase checks a case that somebody made.
func NewCase(c Case) (Case, error) { return c, c.check() }

// Index numbers the cases from 0 to Cases-1: by slot, corner's spot, twists,
// edge's spot and flips. [CaseAt] is its inverse.
func (c Case) Index() int {
	return ((int(c.Slot)*Spots+c.Corner)*CornerTwists+c.TwistIndex())*Spots*EdgeFlips + c.Edge*EdgeFlips + c.FlipIndex()
}

// CaseAt is the case with the index, 0 to Cases-1.
func CaseAt(index int) Case {
	var c Case
	flips := index % EdgeFlips
	index /= EdgeFlips
	c.Edge = index % Spots
	index /= Spots
	twists := index % CornerTwists
	index /= CornerTwists
	c.Corner = index % Spots
	c.Slot = Slot(index / Spots)
	c.Twists, c.Flips = TwistsAt(twists), FlipsAt(flips)
	return c
}

// TwistIndex is the twists of the spots on top as a number to base 3.
func (c Case) TwistIndex() int {
	n := 0
	for _, t := range c.Twists[:InSlot] {
		n = n*3 + t
	}
	return n
}

// FlipIndex is the flips of the spots on top as a number to base 2.
func (c Case) FlipIndex() int {
	n := 0
	for _, f := range c.Flips[:InSlot] {
		n = n*2 + f
	}
	return n
}

// TwistsAt undoes [Case.TwistIndex]; the twist in the slot follows from the others.
func TwistsAt(index int) (twists [Spots]int) {
	sum := 0
	for i := InSlot - 1; i >= 0; i-- {
		twists[i] = index % 3
		sum += twists[i]
		index /= 3
	}
	twists[InSlot] = (3 - sum%3) % 3
	return twists
}

// FlipsAt undoes [Case.FlipIndex].
func FlipsAt(index int) (flips [Spots]int) {
	for i := InSlot - 1; i >= 0; i-- {
		flips[i] = index & 1
		flips[InSlot] ^= flips[i]
		index >>= 1
	}
	return flips
}

// Solved says whether the pair is in its slot already.
func (c Case) Solved() bool {
	return c.Corner == InSlot && c.Edge == InSlot && c.Twists[InSlot] == 0 && c.Flips[InSlot] == 0
}

// PairPlaces is the number of ways in which the pair can stand: fifteen of the
// corner, ten of the edge.
const PairPlaces = Spots * 3 * Spots * 2

// PairPlace numbers where the pair's pieces are and how they are turned.
func (c Case) PairPlace() int {
	return pairPlaceOf(c.Corner, c.Twists[c.Corner], c.Edge, c.Flips[c.Edge])
}

func pairPlaceOf(corner, twist, edge, flip int) int {
	return (corner*3+twist)*Spots*2 + edge*2 + flip
}
