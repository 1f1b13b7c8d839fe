package forecast

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Every case turned by U, and by y, is the case that the turned puzzle shows.
func TestTurnedCases(t *testing.T) {
	b := book()
	seen := 0
	for slot := range Slot(Slots) {
		for i := range b.spelled[slot] {
			if i%7 != 0 {
				continue
			}
			puzzle, _ := motionOf(b.spelled[slot][i].Turns)
			c := caseOf(puzzle, slot)
			for quarters := range 4 {
				require.Equal(t, caseOf(puzzle.Do(auf[quarters]), slot), c.Turned(quarters))
				around := Slot((int(slot) + quarters) & 3)
				require.Equal(t, caseOf(puzzle.Do(roundHolds[quarters]), around), c.TurnedRound(quarters))
			}
			seen++
		}
	}
	require.Greater(t, seen, 10_000)
}
