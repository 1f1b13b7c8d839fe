package search

import (
	"bytes"
	"slices"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
)

type view struct {
	slot  lastslot.Slot
	hands hands.Handed
}

// views are what insertions are spelt for. Two hands have the mirror images at the
// left slots, and the left hand has those of the right one.
var views = [...]view{
	{lastslot.FR, hands.TwoHands}, {lastslot.BR, hands.TwoHands},
	{lastslot.FR, hands.RightHand}, {lastslot.FL, hands.RightHand}, {lastslot.BL, hands.RightHand}, {lastslot.BR, hands.RightHand},
}

// holdAt is the hold in which the slot at front right is seen at another.
func holdAt(slot lastslot.Slot) cube.Hold { return cube.Hold(int(slot-lastslot.FR) & 3) }

// candidate is a motion that fills the slot, and the number of its map.
type candidate struct {
	number int32
	motion string // its blocks
}

// findings collects candidates.
type findings struct {
	numbers map[[10]byte]int32
	list    []candidate
	// first has a motion for each number.
	first []motion
}

// nothing is the key of doing nothing, or of turning only the top.
var nothing = mapKey(cube.Solved)

// add takes a motion that does something.
func (f *findings) add(m motion) {
	key := mapKey(m.cube())
	if key == nothing {
		return
	}
	number, known := f.numbers[key]
	if !known {
		number = int32(len(f.first))
		f.numbers[key] = number
		f.first = append(f.first, slices.Clone(m))
	}
	f.list = append(f.list, candidate{number, string(m.bytes())})
}

// mapKey tells motions apart that differ by more than a turn of U at the end:
// the pieces on top and in the slot, after that turn of U which gives the
// lowest.
func mapKey(c cube.Cube) [10]byte {
	var lowest [10]byte
	for quarters := range 4 {
		turned := c
		if quarters != 0 {
			turned = c.Turn(cube.TurnOf(cube.U, quarters))
		}
		var key [10]byte
		for i := range 4 {
			key[i], key[5+i] = byte(turned.Corners[i]), byte(turned.Edges[i])
		}
		key[4], key[9] = byte(turned.Corners[cube.DFR]), byte(turned.Edges[cube.FR])
		if quarters == 0 || bytes.Compare(key[:], lowest[:]) < 0 {
			lowest = key
		}
	}
	return lowest
}
