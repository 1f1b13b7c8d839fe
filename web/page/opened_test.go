package page

import (
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/forecast/atlas"
	"slotcast/forecast/lastslot"
)

// The set-up of every case brings the solved puzzle to it, in face turns.
func TestSetUps(t *testing.T) {
	shortest, err := atlas.Load()
	require.NoError(t, err)
	s := &Server{atlas: shortest}
	longest := 0
	for index := range lastslot.Cases {
		c := lastslot.CaseAt(index)
		turns := s.setUp(c)
		for _, turn := range turns {
			if turn.Kind() != cube.FaceTurn {
				require.Fail(t, "no face turn", "%s in %s", turn, turns)
			}
		}
		found, err := lastslot.Find(turns.Cube(), &c.Slot)
		if err != nil || found.Case != c || found.Hold != 0 {
			require.Fail(t, "not the case", "%s: %s", c.Code(), turns)
		}
		longest = max(longest, len(turns))
	}
	t.Logf("the longest set-up has %d turns", longest)
}
