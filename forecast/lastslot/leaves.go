package lastslot

import (
	"fmt"

	"slotcast/cube"
)

// Leaves is what turns (a rotation by y, AUF and insertion) leave of a case, in
// the hold they end in. An error says what they do not keep or fill.
func Leaves(c Case, turns cube.Sequence) (Outcome, error) {
	_, left, err := LeavesTurned(c, turns)
	return left, err
}

// LeavesTurned is Leaves with the map of the turns, and the outcome in the hold that they
// end in.
func LeavesTurned(c Case, turns cube.Sequence) (Map, Outcome, error) {
	motion, hold := Motion(turns)
	if broken := broken(motion, &c.Slot); broken != "" {
		return Map{}, 0, fmt.Errorf("%s does not keep %s", turns, broken)
	}
	m := MapOf(motion, c.Slot)
	if m.PairPlace() != c.PairPlace() || int(hold) >= len(Rotations) {
		what := turns.String()
		if what == "" {
			what = "doing nothing"
		}
		return Map{}, 0, fmt.Errorf("%s does not fill the slot of the case %s", what, c.Code())
	}
	var twists, flips [4]int
	for spot := range InSlot {
		corner, edge := int(m.Corners[spot]), int(m.Edges[spot])
		twists[spot] = (c.Twists[corner/3] + corner%3) % 3
		flips[spot] = c.Flips[edge/2] ^ edge%2
	}
	return m, TurnedOutcomes[hold][OutcomeAs(twists, flips)], nil
}
