package lastslot

import (
	"fmt"
	"slices"
	"strings"

	"slotcast/cube"
)

// colours of the faces, with white on top and green in front: how scrambles are
// held (WCA Regulations, 2024, 4d1); which colour is where is common practice.
var colours = [cube.Faces]string{cube.FaceU: "white", cube.FaceD: "yellow", cube.FaceL: "orange", cube.FaceR: "red", cube.FaceF: "green", cube.FaceB: "blue"}

// Colour names the colour of a face of the puzzle as scrambles are held.
func Colour(f cube.Face) string { return colours[f] }

// UnsolvedError says why a position is none before the last slot, as it is seen in the
// hold in which most of a cross is down: of several the one with most slots solved, and
// of those the first in the order in which a cross is looked for.
type UnsolvedError struct {
	// Hold is the rotation that leads there, and Cube the puzzle after it.
	Hold cube.Hold
	Cube cube.Cube
	// Cross has the places at the bottom where the cross is not solved.
	Cross []cube.EdgePlace
	// Open has the slots that are not solved.
	Open []Slot
	// Filled is the slot that was taken for the open one and is solved; nil where that is
	// not what is wrong. Then the cross is solved and another slot is open.
	Filled *Slot
	// Two says that a position before the last two slots was looked for.
	Two bool
}

// Look says what of the bottom two layers is not as their centres are.
func Look(c cube.Cube) *UnsolvedError {
	home := c.Hold().Cube()
	state := &UnsolvedError{Cube: c}
	for p := cube.DF; p <= cube.DR; p++ {
		if c.Edges[p] != home.Edges[p] {
			state.Cross = append(state.Cross, p)
		}
	}
	for s := range Slot(Slots) {
		if c.Corners[s.Corner()] != home.Corners[s.Corner()] || c.Edges[s.Edge()] != home.Edges[s.Edge()] {
			state.Open = append(state.Open, s)
		}
	}
	return state
}

// Nearer says whether less is unsolved: of the cross first, then of the slots.
func (e *UnsolvedError) Nearer(than *UnsolvedError) bool {
	if len(e.Cross) != len(than.Cross) {
		return len(e.Cross) < len(than.Cross)
	}
	return len(e.Open) < len(than.Open)
}

// Bottom names the colour at the bottom, which is the cross's.
func (e *UnsolvedError) Bottom() string { return colours[e.Cube.Centres[cube.FaceD]] }

// CrossEdge is an edge of the cross and where it is.
type CrossEdge struct {
	// Piece is the edge, named by its place in a solved puzzle as scrambles are held.
	Piece cube.EdgePlace
	// At is where it is, and Facing the side to which it shows the cross's colour.
	At     cube.EdgePlace
	Facing cube.Face
}

// Edges are the cross edges that are not solved, in the order of [UnsolvedError.Cross].
func (e *UnsolvedError) Edges() []CrossEdge {
	home := e.Cube.Hold().Cube()
	edges := make([]CrossEdge, len(e.Cross))
	for i, p := range e.Cross {
		piece := home.Edges[p].Piece()
		at := slices.IndexFunc(e.Cube.Edges[:], func(other cube.Edge) bool { return other.Piece() == piece })
		edges[i] = CrossEdge{Piece: piece, At: cube.EdgePlace(at)}
		for sticker, face := range piece.Facelets() {
			if face == e.Cube.Centres[cube.FaceD] {
				edges[i].Facing = edges[i].At.Facelets()[sticker^e.Cube.Edges[at].Flip()]
			}
		}
	}
	return edges
}

// Colours names the edge's colours, the cross's first.
func (e CrossEdge) Colours(bottom string) string {
	f := e.Piece.Facelets()
	if colours[f[0]] == bottom {
		return bottom + "-" + colours[f[1]]
	}
	return bottom + "-" + colours[f[0]]
}

func (e *UnsolvedError) Error() string {
	if e.Filled != nil {
		return fmt.Sprintf("the slot %s is already filled; the open one is %s", named(*e.Filled), named(e.Open[0]))
	}
	if e.Two {
		return "not a position before the last two slots: " + e.unsolved()
	}
	return "not a position before the last slot: " + e.unsolved()
}

// unsolved says what is.
func (e *UnsolvedError) unsolved() string {
	down := e.Bottom() + " cross down"
	if turns := e.Hold.Turns().String(); turns != "" {
		down += " (" + turns + ")"
	}
	var slots []string
	for _, s := range e.Open {
		slots = append(slots, named(s))
	}
	open := fmt.Sprintf("%d slots are open: %s", len(slots), listed(slots))
	switch len(slots) {
	case 0:
		open = "all four slots are filled"
	case 1:
		open = "1 slot is open: " + slots[0]
	case Slots:
		open = "all four slots are open"
	}
	switch len(e.Cross) {
	case 0:
		return "with the " + down + ", " + open
	case 4:
		return "no face has a cross edge in its place"
	}
	var edges []string
	for _, edge := range e.Edges() {
		edges = append(edges, edge.Colours(e.Bottom()))
	}
	lacks := " edge is unsolved"
	if len(edges) > 1 {
		lacks = " edges are unsolved"
	}
	return "with the " + down + ", the " + listed(edges) + lacks + " and " + open
}

func named(s Slot) string { return s.String() + " (" + s.Words() + ")" }

// listed writes a list as a sentence has it.
func listed(items []string) string {
	if n := len(items); n > 1 {
		return strings.Join(items[:n-1], ", ") + " and " + items[n-1]
	}
	return strings.Join(items, "")
}
