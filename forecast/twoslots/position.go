package twoslots

import (
	"fmt"
	"slices"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Position is a position with two slots open as it was found in a puzzle.
type Position struct {
	// Hold is the rotation to do first, so that the cross is down.
	Hold cube.Hold
	Case Case
	// Cube is the puzzle in that hold.
	Cube cube.Cube
}

// Find looks for a cross with at most two open slots, of several holds the first of
// [lastslot.CrossHolds]. Where fewer than two are open, open names the two to take; nil
// takes the first solved ones of FR FL BL BR with them. An error is a
// [*lastslot.UnsolvedError] or a [*NotNamedError].
func Find(c cube.Cube, open *Open) (Position, error) {
	var nearest *lastslot.UnsolvedError
	for _, h := range lastslot.CrossHolds {
		held := c.Then(h.Cube())
		state := lastslot.Look(held)
		state.Hold = h
		if len(state.Cross) == 0 && len(state.Open) <= 2 {
			taken, err := taken(state.Open, open)
			if err != nil {
				return Position{}, err
			}
			return Position{Hold: h, Case: CaseOf(held, taken), Cube: held}, nil
		}
		if nearest == nil || state.Nearer(nearest) {
			nearest = state
		}
	}
	nearest.Two = true
	return Position{}, nearest
}

// NotNamedError says that a slot is open and not one of those that are to be.
type NotNamedError struct {
	Slot  lastslot.Slot
	Named Open
}

func (e *NotNamedError) Error() string {
	return fmt.Sprintf("the slot %s (%s) is open, and not one of %s", e.Slot, e.Slot.Words(), e.Named)
}

// taken are the slots that are taken as open where these are.
func taken(open []lastslot.Slot, named *Open) (Open, error) {
	if named != nil {
		for _, slot := range open {
			if slots := named.Slots(); !slices.Contains(slots[:], slot) {
				return 0, &NotNamedError{slot, *named}
			}
		}
		return *named, nil
	}
	for slot := range lastslot.Slot(lastslot.Slots) {
		if len(open) < 2 && !slices.Contains(open, slot) {
			open = append(open, slot)
		}
	}
	return OpenOf(open[0], open[1]), nil
}

// CaseOf reads the case from a puzzle that has the cross down and no slot open but the
// two.
func CaseOf(c cube.Cube, open Open) Case {
	// Each piece named by the place that it belongs in as the puzzle is held now.
	seen := c.Hold().Cube().Inverse().Then(c)
	r := Case{Open: open}
	for spot := range Spots {
		corner, edge := seen.Corners[open.CornerPlace(spot)], seen.Edges[open.EdgePlace(spot)]
		r.Twists[spot], r.Flips[spot] = corner.Twist(), edge.Flip()
		for i, slot := range open.Slots() {
			if corner.Piece() == slot.Corner() {
				r.Corners[i] = spot
			}
			if edge.Piece() == slot.Edge() {
				r.Edges[i] = spot
			}
		}
	}
	return r
}
