package page

import (
	"cmp"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/web/profile"
)

// Averaged over all cases with the pair in its place, the order is that of the
// seconds in all: 27 turnings of the other corners times 8 of the other edges.
func TestEasiestIsByTheAverage(t *testing.T) {
	book := forecasttest.Book()
	anyone := book.For(forecast.Anyone())
	places := []lastslot.Case{{Slot: lastslot.FR, Corner: 3, Edge: 0, Twists: [lastslot.Spots]int{3: 1, 4: 2}}, {Slot: lastslot.BL, Corner: lastslot.InSlot, Edge: 2, Flips: [lastslot.Spots]int{2: 1, 4: 1}}}
	for _, place := range places[:2/cubetest.Stride(t, 2)] {
		sum, cases := map[string]time.Duration{}, 0
		var options []forecast.Option
		for index := range lastslot.Cases {
			c := lastslot.CaseAt(index)
			if c.Slot != place.Slot || c.Corner != place.Corner || c.Edge != place.Edge || c.Twists[c.Corner] != place.Twists[c.Corner] || c.Flips[c.Edge] != place.Flips[c.Edge] {
				continue
			}
			cases++
			options = anyone.Forecast(forecast.Request{Case: c})
			for _, o := range options {
				sum[o.Turns.String()] += o.Seconds.Total()
			}
		}
		require.Equal(t, 27*8, cases)
		listed := easiest(options, place.Slot)
		require.Greater(t, len(listed), placeRows)
		assert.True(t, slices.IsSortedFunc(listed, func(a, b forecast.Option) int {
			return cmp.Compare(sum[a.Turns.String()], sum[b.Turns.String()])
		}))
		best := slices.MinFunc(options, func(a, b forecast.Option) int { return cmp.Compare(sum[a.Turns.String()], sum[b.Turns.String()]) })
		assert.Equal(t, sum[best.Turns.String()], sum[listed[0].Turns.String()])
		told := map[string]bool{}
		for _, o := range listed {
			at, turns := o.Insertion(place.Slot)
			id := profile.InsertionID(at, turns.String())
			assert.False(t, told[id], "listed twice: %s", id)
			told[id] = true
		}
	}
}
