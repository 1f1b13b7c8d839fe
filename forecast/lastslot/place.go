package lastslot

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Place is where the pair of an open slot stands and how it is turned, up to
// AUF: of the places that a turn of U makes of each other it is the one with the
// corner above the slot; where the corner is in the slot, the one with the edge
// at the front, for a slot at the back at the back.
type Place struct {
	Slot Slot
	// Corner and Edge are the spots of the pair's pieces; see the package comment.
	Corner, Edge int
	Twist, Flip  int
}

// PlacesPerSlot is the number of places of a slot's pair: 24 with both pieces on
// top, 6 with the corner alone there, 6 with the edge alone, 6 with none.
const PlacesPerSlot = 42

// above has the corner spot above each slot, and beside it the edge spot at the
// front or back.
var above = [Slots]struct{ corner, edge int }{FR: {3, 3}, FL: {2, 3}, BL: {0, 0}, BR: {1, 0}}

// Place is where the case's pair stands.
func (c Case) Place() Place {
	for quarters := range 4 {
		p := placeOf(c.Turned(quarters))
		switch {
		case p.Corner != InSlot && p.Corner != above[p.Slot].corner:
		case p.Corner == InSlot && p.Edge != InSlot && p.Edge != above[p.Slot].edge:
		default:
			return p
		}
	}
	panic("lastslot: a place that no turn of U brings above its slot")
}

// placeOf is the place as it is, with no AUF.
func placeOf(c Case) Place {
	return Place{Slot: c.Slot, Corner: c.Corner, Edge: c.Edge, Twist: c.Twists[c.Corner], Flip: c.Flips[c.Edge]}
}

// Pair is a case in which nothing but the pair is set.
func (p Place) Pair() Case {
	c := Case{Slot: p.Slot, Corner: p.Corner, Edge: p.Edge}
	c.Twists[p.Corner], c.Flips[p.Edge] = p.Twist, p.Flip
	return c
}

// String names the place by the slot, by the sticker that shows the bottom colour
// of the pair's corner and by the one that shows the front colour of its edge, for
// a slot at the back its back colour: "FR-UFR.R-UB.U". A sticker is named by its
// place and by the face that it is on.
func (p Place) String() string {
	corner, edge := p.Slot.CornerPlace(p.Corner), p.Slot.EdgePlace(p.Edge)
	return fmt.Sprintf("%s-%s.%s-%s.%s", p.Slot, corner, corner.Facelets()[p.Twist], edge, edge.Facelets()[p.Flip])
}

// ParsePlace reads what [Place.String] writes, whatever AUF it is after.
func ParsePlace(name string) (Place, error) {
	for slot := range Slot(Slots) {
		if !strings.HasPrefix(name, slot.String()+"-") {
			continue
		}
		for _, p := range Places(slot) {
			for quarters := range 4 {
				if placeOf(p.Pair().Turned(quarters)).String() == name {
					return p, nil
				}
			}
		}
	}
	return Place{}, fmt.Errorf("no place “%s”: a place is written as %s, the slot, the sticker with the bottom colour of the pair’s corner and the one with the front or back colour of its edge", name, Place{FR, 3, 0, 1, 0})
}

// Solved says whether the pair is in its slot already.
func (p Place) Solved() bool { return p.Pair().Solved() }

// Cases is the number of the place's cases, all AUFs counted: 864 or, with both
// pieces in the slot, 216.
func (p Place) Cases() int { return len(p.AUFs()) * Outcomes }

// Case is one of the place's cases: the one in which nothing on top need be
// turned but what must be for a puzzle that was only turned.
func (p Place) Case() Case {
	c := p.Pair()
	twists, flips := 0, 0
	for spot := range Spots {
		twists += c.Twists[spot]
		flips += c.Flips[spot]
	}
	// Farthest from the slot, so that the pair is seen beside what is oriented.
	for _, spot := range [...]int{InSlot, 0, 1, 2} {
		if spot != p.Corner && twists%3 != 0 {
			c.Twists[spot] = 3 - twists%3
			twists = 0
		}
		if spot != p.Edge && flips%2 != 0 {
			c.Flips[spot] = 1
			flips = 0
		}
	}
	return c
}

// Places lists those of the slot: both pieces on top first, then those with more
// and more of the pair in the slot.
func Places(slot Slot) []Place {
	var places []Place
	for corner := range Spots {
		for edge := range Spots {
			for twist := range 3 {
				for flip := range 2 {
					p := Place{Slot: slot, Corner: corner, Edge: edge, Twist: twist, Flip: flip}
					if p.Pair().Place() == p {
						places = append(places, p)
					}
				}
			}
		}
	}
	slices.SortStableFunc(places, func(a, b Place) int { return cmp.Compare(a.inSlot(), b.inSlot()) })
	return places
}

// inSlot is how much of the pair is in the slot, the edge counted before the
// corner.
func (p Place) inSlot() (n int) {
	if p.Edge == InSlot {
		n++
	}
	if p.Corner == InSlot {
		n += 2
	}
	return n
}

// AUFs lists the AUFs, in quarters of U, after which the pair stands elsewhere:
// none, or all four where a piece of it is on top.
func (p Place) AUFs() []int {
	if p.Corner == InSlot && p.Edge == InSlot {
		return []int{0}
	}
	return []int{0, 1, 2, 3}
}
