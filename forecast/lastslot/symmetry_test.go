package lastslot

import (
	"testing"

	"slotcast/cube/cubetest"

	"github.com/stretchr/testify/require"
)

// Every case turned by U, and by y, is the case that the turned puzzle shows.
func TestTurnedCases(t *testing.T) {
	cubetest.Each(t, Cases, 7, func(t *testing.T, index int) {
		c := CaseAt(index)
		puzzle := c.Cube()
		for quarters := range 4 {
			require.Equal(t, caseOf(puzzle.Do(AUFs[quarters]), c.Slot), c.Turned(quarters))
			around := Slot((int(c.Slot) + quarters) & 3)
			require.Equal(t, caseOf(puzzle.Do(Rotations[quarters]), around), c.TurnedRound(quarters))
		}
	})
}
