package lastslot

import (
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
