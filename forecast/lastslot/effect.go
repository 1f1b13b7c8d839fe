package lastslot

import (
	"fmt"
	"slices"
	"strings"

	"slotcast/cube"
)

// Effect is what the turns do, seen in the hold in which they begin, and the hold
// in which they end.
func Effect(turns cube.Sequence) (cube.Cube, cube.Hold) {
	c := turns.Cube()
	hold := c.Hold()
	return c.Then(hold.Inverse().Cube()), hold
}

// Breaks says which of the cross and the slots, but for those that may be open, an
// effect does not keep; "" where it keeps them all.
func Breaks(effect cube.Cube, open ...Slot) string {
	var cross, slots, parts []string
	for p := cube.DF; p <= cube.DR; p++ {
		if effect.Edges[p] != cube.Solved.Edges[p] {
			cross = append(cross, p.String())
		}
	}
	for _, s := range openedBy(effect) {
		if !slices.Contains(open, s) {
			slots = append(slots, fmt.Sprintf("%s (%s)", s, s.Words()))
		}
	}
	if len(cross) > 0 {
		parts = append(parts, "the cross ("+strings.Join(cross, ", ")+")")
	}
	switch len(slots) {
	case 0:
	case 1:
		parts = append(parts, "the slot "+slots[0])
	default:
		parts = append(parts, "the slots "+strings.Join(slots, ", "))
	}
	return strings.Join(parts, " and ")
}

// openedBy lists the slots that a effect does not keep.
func openedBy(effect cube.Cube) (slots []Slot) {
	for s := range Slot(Slots) {
		if effect.Corners[s.Corner()] != cube.Solved.Corners[s.Corner()] || effect.Edges[s.Edge()] != cube.Solved.Edges[s.Edge()] {
			slots = append(slots, s)
		}
	}
	return slots
}

// WithoutAUF takes the turns of U off both ends of a row, and off the front the
// quarters of y among them: U and y may change places.
func WithoutAUF(turns cube.Sequence) (rotation int, rest cube.Sequence) {
	start := 0
	for ; start < len(turns) && turnsTop(turns[start]); start++ {
		if turns[start].Layer() == cube.Y {
			rotation += turns[start].Quarters()
		}
	}
	rest = turns[start:]
	if _, hold := Effect(rest); int(hold) >= len(Rotations) {
		// Another face is on top in the end, so its turns are no AUF.
		return rotation & 3, rest
	}
	end := len(rest)
	for end > 0 && turnsTop(rest[end-1]) {
		end--
	}
	var rotations cube.Sequence
	for _, t := range rest[end:] {
		if t.Layer() == cube.Y {
			rotations = append(rotations, t)
		}
	}
	return rotation & 3, cube.Join(rest[:end], rotations)
}

func turnsTop(t cube.Turn) bool { return t.Layer() == cube.U || t.Layer() == cube.Y }

// Rotations are those by y that keep the bottom at the bottom: by none, one, two and three quarters. They are the first of package cube.
var Rotations = func() (turns [4]cube.Sequence) {
	for i := range turns {
		turns[i] = cube.Hold(i).Turns()
		if i > 0 && !(len(turns[i]) == 1 && turns[i][0] == cube.TurnOf(cube.Y, i)) {
			panic("lastslot: package cube does not begin its holds with those turned by y")
		}
	}
	return turns
}()

// AUFs has the turns of U by none, one, two and three quarters.
var AUFs = [4]cube.Sequence{{}, {cube.TurnOf(cube.U, 1)}, {cube.TurnOf(cube.U, 2)}, {cube.TurnOf(cube.U, 3)}}
