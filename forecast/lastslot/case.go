package lastslot

import (
	"errors"
	"fmt"
	"strings"

	"slotcast/cube"
)

// Slot is one of the four slots, seen with the cross down.
type Slot uint8

// The slots, in the order in which one is chosen where all are solved.
const (
	FR Slot = iota
	FL
	BL
	BR

	Slots = 4
)

var slotNames = [Slots]string{"FR", "FL", "BL", "BR"}

// String is the slot's short name: FR, FL, BL or BR.
func (s Slot) String() string { return slotNames[s] }

// Words is the slot's name in words, such as "front right".
func (s Slot) Words() string {
	return [Slots]string{"front right", "front left", "back left", "back right"}[s]
}

// ParseSlot reads a slot's short name, in either case.
func ParseSlot(name string) (Slot, error) {
	for s, n := range slotNames {
		if strings.EqualFold(n, name) {
			return Slot(s), nil
		}
	}
	return 0, fmt.Errorf("no slot “%s”: a slot is FR, FL, BL or BR", name)
}

// Corner is the corner place that belongs to the slot.
func (s Slot) Corner() cube.CornerPlace { return cube.DFR + cube.CornerPlace(s) }

// Edge is the edge place that belongs to the slot.
func (s Slot) Edge() cube.EdgePlace { return cube.FR + cube.EdgePlace(s) }

// Spots is the number of spots of corners, and of edges; see the package
// comment. InSlot is the last of them.
const (
	Spots  = 5
	InSlot = 4
)

// CornerPlace is the place of a corner spot.
func (s Slot) CornerPlace(spot int) cube.CornerPlace {
	if spot == InSlot {
		return s.Corner()
	}
	return cube.CornerPlace(spot)
}

// EdgePlace is the place of an edge spot.
func (s Slot) EdgePlace(spot int) cube.EdgePlace {
	if spot == InSlot {
		return s.Edge()
	}
	return cube.EdgePlace(spot)
}

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
	ErrTwist        = errors.New("one corner is twisted: no turns lead here. Look at the corners again, or the puzzle was put together wrongly")
	ErrFlip         = errors.New("one edge is flipped: no turns lead here. Look at the edges again, or the puzzle was put together wrongly")
	ErrTwistAndFlip = errors.New("one corner is twisted and one edge is flipped: no turns lead here. Look at both again, or the puzzle was put together wrongly")
)

// NewCase checks a case told by hand.
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

// TwistsAt undoes twistIndex; the twist in the slot follows from the others.
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

// FlipsAt undoes flipIndex.
func FlipsAt(index int) (flips [Spots]int) {
	for i := InSlot - 1; i >= 0; i-- {
		flips[i] = index & 1
		flips[InSlot] ^= flips[i]
		index >>= 1
	}
	return flips
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

// Solved says whether the pair is in its slot already.
func (c Case) Solved() bool {
	return c.Corner == InSlot && c.Edge == InSlot && c.Twists[InSlot] == 0 && c.Flips[InSlot] == 0
}

// The letters and digits of a code, in order. Their number, 23, is prime, which
// the check character needs. No letter is among them that is taken for a digit
// (B D G I L O Q S Z) or for another letter (N U), and no vowel, so no words.
const (
	codeLetters = "0123456789CFHJKMPRTVWXY"
	codeBase    = len(codeLetters)
	codeLength  = 5
)

// Code is the case as five letters and digits: four for the index, then one that
// makes the sum of each character's value times its place, counted from 1, a
// multiple of 23. Any one wrong character and any swap of neighbours breaks that
// sum, as 23 is prime and greater than the number of places.
func (c Case) Code() string {
	var code [codeLength]byte
	index, sum := c.Index(), 0
	for i := codeLength - 2; i >= 0; i-- {
		digit := index % codeBase
		code[i] = codeLetters[digit]
		sum += (i + 1) * digit
		index /= codeBase
	}
	// The last place counts 5, and 5 * 14 = 70 = 3*23 + 1.
	const inverseOfLength = 14
	code[codeLength-1] = codeLetters[(codeBase-sum%codeBase)*inverseOfLength%codeBase]
	return string(code[:])
}

// CodeError says what is wrong with a code, and where.
type CodeError struct {
	// Offset is where the trouble is, in characters from 0.
	Offset int
	Reason string
}

func (e *CodeError) Error() string { return e.Reason }

// ParseCode reads a code in upper or lower case. An error is a [*CodeError].
func ParseCode(code string) (Case, error) {
	letters := []rune(strings.ToUpper(code))
	index, sum := 0, 0
	for i, r := range letters {
		digit := strings.IndexRune(codeLetters, r)
		if i >= codeLength {
			return Case{}, &CodeError{codeLength, fmt.Sprintf("a code has %d characters; this one has %d", codeLength, len(letters))}
		}
		if digit < 0 {
			return Case{}, &CodeError{i, fmt.Sprintf("“%c” is in no code; codes are made of %s", []rune(code)[i], codeLetters)}
		}
		sum += (i + 1) * digit
		if i < codeLength-1 {
			index = index*codeBase + digit
		}
	}
	switch {
	case len(letters) < codeLength:
		return Case{}, &CodeError{len(letters), fmt.Sprintf("a code has %d characters; this one has %d", codeLength, len(letters))}
	case sum%codeBase != 0 || index >= Cases:
		return Case{}, &CodeError{0, fmt.Sprintf("“%s” is no code: a character is wrong, or two are swapped", code)}
	}
	return CaseAt(index), nil
}
