package web

import (
	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// The net is the one layout in which top layer and open slot are shown: the
// sides of the layers folded down flat around the top, seen from above with the
// front below. It has seven rows and seven columns, from 1. Top and sides of the
// top layer take five by five of them; the two sides of the slot go on from
// there, outwards at the slot's own corner, first the edge and then the corner,
// and the corner's bottom sticker lies between them on the diagonal. With the
// slot at the front right:
//
//	  1 2 3 4 5 6 7
//	1   B B B
//	2 L U U U R
//	3 L U U U R
//	4 L U U U R R R     the row's last two: the slot's edge and corner
//	5   F F F
//	6       F   D       the column's last two: the same
//	7       F
type cell struct{ Row, Column int }

// netSize is the number of rows and of columns.
const netSize = 7

// netTop is where the top's middle is.
func netTop(slot lastslot.Slot) cell {
	c := cell{3, 3}
	if slot == lastslot.BR || slot == lastslot.BL {
		c.Row = 5
	}
	if slot == lastslot.FL || slot == lastslot.BL {
		c.Column = 5
	}
	return c
}

// netCorner is where the sticker of a corner spot is: as [cube.CornerPlace]
// numbers the place's stickers.
func netCorner(slot lastslot.Slot, spot, sticker int) cell {
	faces := slot.CornerPlace(spot).Facelets()
	return netCell(slot, faces[:], sticker, spot == lastslot.InSlot, 4)
}

// netEdge is where the sticker of an edge spot is.
func netEdge(slot lastslot.Slot, spot, sticker int) cell {
	faces := slot.EdgePlace(spot).Facelets()
	return netCell(slot, faces[:], sticker, spot == lastslot.InSlot, 3)
}

// netSteps are the ways from the top's middle towards each side.
var netSteps = [cube.Faces]cell{cube.FaceL: {0, -1}, cube.FaceR: {0, 1}, cube.FaceF: {1, 0}, cube.FaceB: {-1, 0}}

// netCell is where a piece's sticker is: out from the top's middle, towards each
// side that the piece is on by one, but towards the sticker's own side as far as
// its layer is folded down: 2 in the top layer, in the slot as is said.
func netCell(slot lastslot.Slot, faces []cube.Face, sticker int, inSlot bool, depth int) cell {
	at, own := netTop(slot), faces[sticker]
	for _, face := range faces {
		step := netSteps[face]
		far := 1
		switch {
		case inSlot && own == cube.FaceD:
			far = 3
		case inSlot && face == own:
			far = depth
		case face == own:
			far = 2
		}
		at.Row += far * step.Row
		at.Column += far * step.Column
	}
	return at
}
