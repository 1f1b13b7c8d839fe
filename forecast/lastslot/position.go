package lastslot

import (
	"fmt"
	"strings"

	"slotcast/cube"
)

// Colours of the faces, with white on top and green in front: how scrambles are
// held (WCA Regulations, 2024, 4d1); which colour is where is common practice.
var colours = [cube.Faces]string{cube.FaceU: "white", cube.FaceD: "yellow", cube.FaceL: "orange", cube.FaceR: "red", cube.FaceF: "green", cube.FaceB: "blue"}

// crossHolds lists the rotations that bring each face down, in the order in
// which a cross is looked for: down, up, front, back, right, left.
var crossHolds = []struct {
	hold  cube.Hold
	where string
}{
	{holdOf(), "at the bottom"},
	{holdOf(cube.TurnOf(cube.X, 2)), "on top"},
	{holdOf(cube.TurnOf(cube.X, -1)), "in front"},
	{holdOf(cube.TurnOf(cube.X, 1)), "at the back"},
	{holdOf(cube.TurnOf(cube.Z, 1)), "on the right"},
	{holdOf(cube.TurnOf(cube.Z, -1)), "on the left"},
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

// UnsolvedError says why a position is none before the last slot.
type UnsolvedError struct{ Reason string }

func (e *UnsolvedError) Error() string { return e.Reason }

// Find looks for the cross on any face and for the open slot. Where all four
// slots are solved, slot names the one to take as open; nil takes the first. An
// error is an [*UnsolvedError].
func Find(c cube.Cube, slot *Slot) (Position, error) {
	var nearest string
	best := -1
	for _, h := range crossHolds {
		held := c.Then(h.hold.Cube())
		state := look(held)
		if len(state.cross) == 0 && len(state.open) <= 1 {
			if len(state.open) == 0 {
				state.open = []Slot{FR}
				if slot != nil {
					state.open[0] = *slot
				}
			}
			if slot != nil && *slot != state.open[0] {
				return Position{}, &UnsolvedError{fmt.Sprintf("the slot %s (%s) is solved; the open one is %s (%s)", *slot, slot.Words(), state.open[0], state.open[0].Words())}
			}
			return Position{Hold: h.hold, Case: caseOf(held, state.open[0]), Cube: held}, nil
		}
		if solved := 8 - len(state.cross) - len(state.open); solved > best {
			best, nearest = solved, state.words(h.where)
		}
	}
	return Position{}, &UnsolvedError{"not a position before the last slot: " + nearest}
}

// firstTwo is what of the cross and the four slots is not solved in a hold.
type firstTwo struct {
	bottom string // the colour at the bottom
	cross  []string
	open   []Slot
}

// look compares the bottom two layers with their centres.
func look(c cube.Cube) firstTwo {
	home := c.Hold().Cube()
	state := firstTwo{bottom: colours[c.Centres[cube.FaceD]]}
	for p := cube.DF; p <= cube.DR; p++ {
		if c.Edges[p] != home.Edges[p] {
			state.cross = append(state.cross, edgeColours(home.Edges[p]))
		}
	}
	for s := range Slot(Slots) {
		if c.Corners[s.Corner()] != home.Corners[s.Corner()] || c.Edges[s.Edge()] != home.Edges[s.Edge()] {
			state.open = append(state.open, s)
		}
	}
	return state
}

func edgeColours(e cube.Edge) string {
	f := e.Piece().Facelets()
	return colours[f[0]] + "-" + colours[f[1]]
}

// words says what is unsolved, for the cross that is where the words say.
func (s firstTwo) words(where string) string {
	var open []string
	for _, slot := range s.open {
		open = append(open, fmt.Sprintf("%s (%s)", slot, slot.Words()))
	}
	var parts []string
	switch len(s.cross) {
	case 0:
		parts = append(parts, fmt.Sprintf("the %s cross %s is solved", s.bottom, where))
	case 4:
		parts = append(parts, "no face has a cross edge in its place")
	default:
		parts = append(parts, fmt.Sprintf("of the %s cross %s, unsolved: %s", s.bottom, where, strings.Join(s.cross, ", ")))
	}
	switch {
	case len(s.cross) == 4:
	case len(open) == 0:
		parts = append(parts, "its four slots are solved")
	case len(open) == 1:
		parts = append(parts, "open slot with the cross down: "+open[0])
	default:
		parts = append(parts, fmt.Sprintf("but %d slots are open, seen with the cross down: %s", len(open), strings.Join(open, ", ")))
	}
	return strings.Join(parts, "; ")
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
