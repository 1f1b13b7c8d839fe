package lastslot

import (
	"errors"
	"fmt"

	"slotcast/cube"
)

// FollowUp is a sequence that orients one pattern and keeps the first two
// layers. It is only made by [CheckSequence], which verifies that.
type FollowUp struct {
	// Turns have no AUF at either end: it is worked out for each outcome.
	Turns cube.Sequence

	// orients is the one outcome that Turns orients without an AUF before it.
	orients Outcome
	does    Map
	// hold is the one in which the turns end.
	hold cube.Hold
}

// CheckSequence accepts turns that orient the pattern and keep the first two
// layers, whatever AUF or rotation they start or end with. An error says what
// they do instead.
func CheckSequence(pattern Pattern, turns cube.Sequence) (FollowUp, error) {
	if pattern >= Patterns {
		return FollowUp{}, fmt.Errorf("no pattern %d: they are numbered from 1 to %d", pattern, Patterns-1)
	}
	if pattern == 0 {
		return FollowUp{}, errors.New("pattern 0 is an OLL skip and needs no algorithm")
	}
	rotation, turns := WithoutAUF(turns)
	turns = cube.Join(Rotations[rotation], turns)
	effect, hold := Effect(turns)
	if broken := Breaks(effect); broken != "" {
		return FollowUp{}, errors.New("it does not keep " + broken)
	}
	orients := OutcomeOf(effect.Inverse())
	switch orients.Pattern() {
	case pattern:
		return FollowUp{Turns: turns, orients: orients, does: MapOf(effect, FR), hold: hold}, nil
	case 0:
		return FollowUp{}, fmt.Errorf("it keeps F2L but orients nothing: pattern %d stays as it is", pattern)
	}
	return FollowUp{}, fmt.Errorf("it orients pattern %d, not %d", orients.Pattern(), pattern)
}

// AUF is the AUF with which the sequence orients the outcome, which must be
// of its pattern: of a pattern that looks the same after U, the least.
func (s *FollowUp) AUF(o Outcome) int {
	for _, q := range [...]int{0, 1, 3} {
		if turnedOutcomes[q][o] == s.orients {
			return q
		}
	}
	return 2
}

// Upright is the turns, followed where they end with another face on top by the rotation
// that brings the top back up: then another AUF can follow.
func (s *FollowUp) Upright() cube.Sequence {
	if s.turned() == int(s.hold) {
		return s.Turns
	}
	return cube.Join(s.Turns, s.hold.Inverse().Turns())
}

// turned is by how many quarters of y the hold differs in which [FollowUp.Upright] ends.
func (s *FollowUp) turned() int {
	if int(s.hold) < len(Rotations) {
		return int(s.hold)
	}
	return 0
}

// Leaves is what [FollowUp.Upright] makes of any outcome, in the hold in which it ends:
// of the one of its pattern that it orients 0.
func (s *FollowUp) Leaves(o Outcome) Outcome {
	c := Case{Corner: InSlot, Edge: InSlot}
	twists, flips := o.Twists(), o.Flips()
	copy(c.Twists[:], twists[:])
	copy(c.Flips[:], flips[:])
	return s.does.Leaves(&c).Turned(s.turned())
}
