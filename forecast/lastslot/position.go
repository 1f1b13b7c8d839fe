package lastslot

import "slotcast/cube"

// CrossHolds lists the rotations that bring each face down, in the order in
// which a cross is looked for: down, up, front, back, right, left.
var CrossHolds = [cube.Faces]cube.Hold{
	holdOf(),
	holdOf(cube.TurnOf(cube.X, 2)),
	holdOf(cube.TurnOf(cube.X, -1)),
	holdOf(cube.TurnOf(cube.X, 1)),
	holdOf(cube.TurnOf(cube.Z, 1)),
	holdOf(cube.TurnOf(cube.Z, -1)),
}

// CrossHold is that of [CrossHolds] which brings the face down.
func CrossHold(f cube.Face) cube.Hold {
	for _, h := range CrossHolds {
		if h.Face(f) == cube.FaceD {
			return h
		}
	}
	panic("lastslot: no face " + f.String())
}

func holdOf(turns ...cube.Turn) cube.Hold { return cube.Sequence(turns).Cube().Hold() }

// Position is a last-slot position as it was found in a puzzle.
type Position struct {
	// Hold is the rotation to do first, so that the cross is down.
	Hold cube.Hold
	Case Case
	// Cube is the puzzle in that hold.
	Cube cube.Cube
}

// Find looks for the cross on any face and for the open slot. Where all four
// slots are solved, slot names the one to take as open; nil takes the first. An
// error is an [*UnsolvedError].
func Find(c cube.Cube, slot *Slot) (Position, error) {
	var nearest *UnsolvedError
	for _, h := range CrossHolds {
		held := c.Then(h.Cube())
		state := Look(held)
		state.Hold = h
		if len(state.Cross) == 0 && len(state.Open) <= 1 {
			open := FR
			switch {
			case len(state.Open) == 1:
				open = state.Open[0]
			case slot != nil:
				open = *slot
			}
			if slot != nil && *slot != open {
				state.Filled = slot
				return Position{}, state
			}
			return Position{Hold: h, Case: caseOf(held, open), Cube: held}, nil
		}
		if nearest == nil || state.Nearer(nearest) {
			nearest = state
		}
	}
	return Position{}, nearest
}

// caseOf reads the case from a puzzle that has the cross down and only the slot
// open.
func caseOf(c cube.Cube, slot Slot) Case {
	// Each piece named by the place that it belongs in as the puzzle is held now.
	seen := c.Hold().Cube().Inverse().Then(c)
	r := Case{Slot: slot}
	for spot := range Spots {
		corner, edge := seen.Corners[slot.CornerPlace(spot)], seen.Edges[slot.EdgePlace(spot)]
		r.Twists[spot], r.Flips[spot] = corner.Twist(), edge.Flip()
		if corner.Piece() == slot.Corner() {
			r.Corner = spot
		}
		if edge.Piece() == slot.Edge() {
			r.Edge = spot
		}
	}
	return r
}
