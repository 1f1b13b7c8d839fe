package routes

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
)

// What is not seen counts by the mean over all cases that look the same: they are listed
// plainly, the first steps are done on the puzzle of each, and what is left has the values
// of the forecast.
func TestMeansAreOverAllThatIsNotSeen(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(61, 62))
	r := uneven()
	values := r.values(forecast.All)
	for _, seen := range []Seen{SeenPairs, SeenPair} {
		c := drawn(random)
		for seen == SeenPair && c.Filled(c.Open.Slots()[0]) {
			c = drawn(random)
		}
		slot := c.Open.Slots()[random.IntN(2)]
		var alike []twoslots.Case
		for i := range twoslots.CasesPerOpen {
			other := twoslots.CaseAt(int(c.Open)*twoslots.CasesPerOpen + i)
			if other.PairPlace(slot) == c.PairPlace(slot) && (seen == SeenPair || other.PairPlace(c.Open.Other(slot)) == c.PairPlace(c.Open.Other(slot))) {
				alike = append(alike, other)
			}
		}
		require.Len(t, alike, seen.Unseen())

		asked := Request{Case: c, Seen: seen, Pair: slot, Limit: 30}
		list, all := r.Routes(asked)
		require.Len(t, list, 30)
		require.Greater(t, all, 30)
		for n, route := range list {
			require.Equal(t, route.Total, route.Step.Takes()+route.Mean)
			require.True(t, n == 0 || list[n-1].Total <= route.Total)
			if seen == SeenPair {
				require.Equal(t, slot, route.Fills)
			}
			if n%15 != 0 {
				continue
			}
			other := c.Open.Other(route.Fills)
			sum := time.Duration(0)
			for i := range alike {
				after := alike[i].Cube()
				after = after.Do(route.Step.Turns)
				at := lastslot.Slot((int(other) + int(after.Hold())) & 3)
				left, err := lastslot.Find(after, &at)
				require.NoError(t, err)
				total, ok := values.Total(left.Case.Index())
				require.True(t, ok)
				sum += total
			}
			assert.Equal(t, (sum / time.Duration(len(alike))).Round(time.Millisecond), route.Mean, "%v %s %s", seen, c.Code(), route.Step.Turns)
		}
		// The order of the cases that look the same is the same.
		asked.Case = alike[random.IntN(len(alike))]
		same, _ := r.Routes(asked)
		for i := range list {
			require.Equal(t, list[i].Step, same[i].Step)
			require.Equal(t, list[i].Total, same[i].Total)
		}
	}
}

// Who knows nothing of some places has no mean there.
func TestNoMeanWhereNothingIsKnown(t *testing.T) {
	t.Parallel()
	p := forecast.Anyone()
	p.Usual = forecast.UsualNone
	list, _ := rankingFor(p).Routes(Request{Case: drawn(rand.New(rand.NewPCG(1, 2))), View: forecast.Known, Seen: SeenPairs})
	assert.Empty(t, list)
}

// Routes of random cases of which both pairs are seen, the means being worked out each time.
func BenchmarkRoutesOfPairs(b *testing.B) {
	r := anyone()
	r.values(forecast.All)
	random := rand.New(rand.NewPCG(9, 10))
	for b.Loop() {
		r.Routes(Request{Case: drawn(random), Seen: SeenPairs, Limit: 20})
	}
}
