package twoslots

import (
	"errors"
	"fmt"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Step is a sequence that fills one of two open slots and uses the other freely, so that
// it keeps neither.
type Step struct {
	// Open are the open slots as they stand before the turns.
	Open  Open
	Turns cube.Sequence
}

// CheckStep verifies that turns are a step with these slots open. AUF at either end is
// taken off, and a rotation at the front: then the slots are those after it.
func CheckStep(open Open, turns cube.Sequence) (Step, error) {
	rotation, rest := lastslot.WithoutAUF(turns)
	s := Step{open.TurnedRound(rotation), rest}
	effect, hold := lastslot.Effect(rest)
	if int(hold) >= len(lastslot.Rotations) {
		return Step{}, errors.New("the cross does not end at the bottom")
	}
	if broken := Breaks(effect, s.Open); broken != "" {
		return Step{}, fmt.Errorf("with %s open these turns do not keep what is solved: %s", s.Open.Words(), broken)
	}
	does := MapOf(effect, s.Open)
	for _, slot := range s.Open.Slots() {
		if does.Keeps(s.Open, slot) {
			return Step{}, fmt.Errorf("these turns keep %s: then they are an insertion, or do nothing", slot.Words())
		}
	}
	return s, nil
}

// SeenAt are the rotations, in quarters of y, after which the step is one with those slots
// open.
func (s Step) SeenAt(open Open) (quarters []int) {
	for n := range lastslot.Rotations {
		if open.TurnedRound(n) == s.Open {
			quarters = append(quarters, n)
		}
	}
	return quarters
}
