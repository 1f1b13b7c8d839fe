package page

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/atlas"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/routes"
	"slotcast/forecast/twoslots"
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

// The set-up of a case with two slots open, by whichever route, brings the solved puzzle to it
// as it is held.
func TestSetUpsOfTwoSlots(t *testing.T) {
	shortest, err := atlas.Load()
	require.NoError(t, err)
	s := &Server{atlas: shortest}
	anyone := forecasttest.Book().For(forecast.Anyone())
	values := anyone.Values(forecast.All)
	ranking := routes.For(anyone, func(forecast.View) *forecast.Values { return values })
	random := rand.New(rand.NewPCG(81, 82))
	for range 60 / cubetest.Stride(t, 20) {
		c := twoslots.CaseAt(random.IntN(twoslots.Cases))
		list, _ := ranking.Routes(routes.Request{Case: c, Limit: 30})
		for i := range list {
			turns := s.setUpByRoute(&list[i])
			found, err := twoslots.Find(turns.Cube(), &c.Open)
			require.NoError(t, err, turns)
			require.Equal(t, c, found.Case, "%s: %s", list[i].Step.Turns, turns)
			require.Equal(t, cube.Hold(0), found.Hold)
		}
	}
}
