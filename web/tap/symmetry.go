package tap

import (
	"slices"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Mirrored is the figure for the other hand.
func (f Figure) Mirrored() Figure {
	return f.moved(cube.MirrorLR.Face, cube.MirrorLR.Face)
}

// TopTurned is the figure after a turn of U.
func (f Figure) TopTurned() Figure {
	return f.moved(turnedY.Face, func(face cube.Face) cube.Face { return face })
}

// TurnedRound is the figure after the whole puzzle was turned by y, so that the
// slot is at the next place.
func (f Figure) TurnedRound() Figure {
	r := f.moved(turnedY.Face, turnedY.Face)
	for i := range r.Pairs {
		if r.Pairs[i].Edge.Spot != Unset {
			// What was at the front or back is now at the sides: the pair's edge is told by
			// its other colour.
			r.Pairs[i].Edge.Turned ^= 1
		}
	}
	return r
}

var turnedY = cube.Sequence{cube.TurnOf(cube.Y, 1)}.Cube().Hold()

// moved carries the stickers on top by one map of the faces, those of the slots by
// another.
func (f Figure) moved(top, slot func(cube.Face) cube.Face) Figure {
	r := EmptyTwo(slotAt(f.Slot, slot), slotAt(f.Second, slot))
	carry := func(spot int) func(cube.Face) cube.Face {
		if spot >= inSlot {
			return slot
		}
		return top
	}
	corner := func(at Sticker) Sticker {
		from := f.CornerPlace(at.Spot).Facelets()
		for spot := range f.Spots() {
			to := r.CornerPlace(spot).Facelets()
			if turned, ok := carried(from[:], to[:], at.Turned, carry(at.Spot)); ok {
				return Sticker{spot, turned}
			}
		}
		panic("tap: a corner spot has no image")
	}
	edge := func(at Sticker) Sticker {
		from := f.EdgePlace(at.Spot).Facelets()
		for spot := range f.Spots() {
			to := r.EdgePlace(spot).Facelets()
			if turned, ok := carried(from[:], to[:], at.Turned, carry(at.Spot)); ok {
				return Sticker{spot, turned}
			}
		}
		panic("tap: an edge spot has no image")
	}
	for i, pair := range f.Pairs {
		if pair.Corner.Spot != Unset {
			r.Pairs[i].Corner = corner(pair.Corner)
		}
		if pair.Edge.Spot != Unset {
			r.Pairs[i].Edge = edge(pair.Edge)
		}
	}
	for spot := range f.Spots() {
		if f.Corners[spot] != Unset {
			at := corner(Sticker{spot, f.Corners[spot]})
			r.Corners[at.Spot] = at.Turned
		}
		if f.Edges[spot] != Unset {
			at := edge(Sticker{spot, f.Edges[spot]})
			r.Edges[at.Spot] = at.Turned
		}
	}
	return r
}

// carried is which sticker of a place with the faces "to" one of a place with the
// faces "from" is carried to, if it is that place.
func carried(from, to []cube.Face, turned int, carry func(cube.Face) cube.Face) (int, bool) {
	for _, face := range from {
		if !slices.Contains(to, carry(face)) {
			return 0, false
		}
	}
	return slices.Index(to, carry(from[turned])), true
}

// slotAt is where a map of the faces takes a slot.
func slotAt(slot lastslot.Slot, carry func(cube.Face) cube.Face) lastslot.Slot {
	from := slot.Edge().Facelets()
	for s := range lastslot.Slot(lastslot.Slots) {
		to := s.Edge().Facelets()
		if _, ok := carried(from[:], to[:], 0, carry); ok {
			return s
		}
	}
	panic("tap: a slot has no image")
}
