package lastslot

import (
	"errors"
	"fmt"
	"strings"

	"slotcast/cube"
)

// FollowUp is a sequence that orients one pattern and keeps the first two
// layers. It is only made by [CheckSequence], which verifies that.
type FollowUp struct {
	// Turns have no AUF at either end: it is worked out for each outcome.
	Turns cube.Sequence

	// orients is the one outcome that Turns orients without an AUF before it.
	Orients Outcome
}

// CheckSequence accepts turns that orient the pattern and keep the first two
// layers, whatever AUF or rotation they start or end with. An error says what
// they do instead.
func CheckSequence(pattern Pattern, turns cube.Sequence) (FollowUp, error) {
	if pattern >= Patterns {
		return FollowUp{}, fmt.Errorf("no pattern %d: they are numbered from 1 to %d", pattern, Patterns-1)
	}
	if pattern == 0 {
		return FollowUp{}, errors.New("pattern 0 is oriented already and needs no sequence")
	}
	rotation, turns := WithoutAUF(turns)
	turns = cube.Join(Rotations[rotation], turns)
	motion, _ := Motion(turns)
	if broken := broken(motion, nil); broken != "" {
		return FollowUp{}, errors.New("it does not keep " + broken)
	}
	orients := OutcomeOf(motion.Inverse())
	switch orients.Pattern() {
	case pattern:
		return FollowUp{Turns: turns, Orients: orients}, nil
	case 0:
		return FollowUp{}, fmt.Errorf("it keeps the first two layers, but orients nothing: pattern %d stays as it is", pattern)
	}
	return FollowUp{}, fmt.Errorf("it orients pattern %d, not %d", orients.Pattern(), pattern)
}

// Quarters is the AUF with which the sequence orients the outcome, which must be
// of its pattern: of a pattern that looks the same after U, the least.
func (s *FollowUp) Quarters(o Outcome) int {
	for _, q := range [...]int{0, 1, 3} {
		if TurnedOutcomes[q][o] == s.Orients {
			return q
		}
	}
	return 2
}

// Motion is what the turns do, seen in the hold in which they begin, and the
// hold in which they end.
func Motion(turns cube.Sequence) (cube.Cube, cube.Hold) {
	c := turns.Cube()
	hold := c.Hold()
	return c.Then(hold.Inverse().Cube()), hold
}

// broken says which of the cross and the slots, but for the one that may be
// open, a motion does not keep; "" where it keeps them all.
func broken(motion cube.Cube, open *Slot) string {
	var cross, slots, parts []string
	for p := cube.DF; p <= cube.DR; p++ {
		if motion.Edges[p] != cube.Solved.Edges[p] {
			cross = append(cross, p.String())
		}
	}
	for _, s := range openedBy(motion) {
		if open == nil || s != *open {
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

// openedBy lists the slots that a motion does not keep.
func openedBy(motion cube.Cube) (slots []Slot) {
	for s := range Slot(Slots) {
		if motion.Corners[s.Corner()] != cube.Solved.Corners[s.Corner()] || motion.Edges[s.Edge()] != cube.Solved.Edges[s.Edge()] {
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
	if _, hold := Motion(rest); int(hold) >= len(Rotations) {
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

// CheckInsertion accepts turns that fill a slot and keep the cross and the other
// slots, whatever AUF they start or end with: the insertion has none. The slot is
// where it stands before the turns, with the cross down; nil finds it. An error
// says what the turns do instead.
func CheckInsertion(slot *Slot, turns cube.Sequence) (Insertion, error) {
	rotation, turns := WithoutAUF(turns)
	if len(turns) == 0 {
		return Insertion{}, errors.New("it only turns the top or the whole puzzle: that fills no slot")
	}
	turns = cube.Join(Rotations[rotation], turns)
	if slot == nil {
		motion, _ := Motion(turns)
		opened := openedBy(motion)
		switch len(opened) {
		case 0:
			return Insertion{}, errors.New("it keeps all four slots: say which one it is for")
		case 1:
			slot = &opened[0]
		default:
			return Insertion{}, fmt.Errorf("it does not keep %s; an insertion may change one slot only", broken(motion, nil))
		}
	}
	return Verified(*slot, turns)
}

// Case is a case for the insertion, the one after which the whole top is
// oriented: the pair stands where the insertion takes it from.
func (i Insertion) Case() Case {
	c := Case{Slot: i.Slot, Corner: int(i.Map.Corners[InSlot] / 3), Edge: int(i.Map.Edges[InSlot] / 2)}
	for spot := range Spots {
		corner, edge := i.Map.Corners[spot], i.Map.Edges[spot]
		c.Twists[corner/3] = (3 - int(corner%3)) % 3
		c.Flips[edge/2] = int(edge % 2)
	}
	return c
}

// Mirror is the insertion for the other hand: left and right swapped.
func (i Insertion) Mirror() Insertion {
	// FR and FL stand side by side in the order of the slots, and BL and BR.
	mirrored, err := Verified(i.Slot^1, i.Turns.Mirror(cube.MirrorLR))
	if err != nil {
		panic("forecast: a mirrored insertion is none: " + err.Error())
	}
	return mirrored
}
