package forecast

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
)

// What is offered under a bound is what all of it has within the bound, judged by
// the turns as they are written, in the same order.
func TestFilter(t *testing.T) {
	t.Parallel()
	f := book().For(Anyone())
	bounds := []struct {
		name   string
		filter Filter
		lets   func(turns string, count int) bool
	}{
		{"no rotation", Filter{NoRotation: true}, func(turns string, _ int) bool { return !strings.Contains(turns, "y") }},
		{"right", Filter{Side: RightSide}, func(turns string, _ int) bool { return !strings.ContainsAny(turns, "Ll") }},
		{"left", Filter{Side: LeftSide}, func(turns string, _ int) bool { return !strings.ContainsAny(turns, "Rr") }},
		{"seven", Filter{MaxCount: 7}, func(_ string, count int) bool { return count <= 7 }},
		{"all of it", Filter{NoRotation: true, Side: RightSide, MaxCount: 8}, func(turns string, count int) bool {
			return !strings.ContainsAny(turns, "yLl") && count <= 8
		}},
	}
	const step = 2111 // prime: meets every slot and place of the pair
	for index := 0; index < lastslot.Cases; index += step {
		c := lastslot.CaseAt(index)
		all := f.Forecast(Request{Case: c})
		for _, b := range bounds {
			var want, got []string
			first := map[lastslot.Pattern]bool{}
			var best []string
			for _, o := range all {
				if !b.lets(o.Turns.String(), o.Count) {
					continue
				}
				want = append(want, o.Turns.String())
				if p := o.Leaves.Pattern(); !first[p] {
					first[p] = true
					best = append(best, o.Turns.String())
				}
			}
			for _, o := range f.Forecast(Request{Case: c, Filter: b.filter}) {
				got = append(got, o.Turns.String())
			}
			require.True(t, slices.Equal(want, got), "%s: %s", b.name, c.Code())
			got = nil
			for _, o := range f.Forecast(Request{Case: c, Filter: b.filter, PerPattern: true}) {
				got = append(got, o.Turns.String())
			}
			require.True(t, slices.Equal(best, got), "%s, for each pattern: %s", b.name, c.Code())
		}
	}
	// A slice belongs to neither side.
	assert.True(t, Filter{Side: RightSide}.Offers(cubetest.Sequence(t, "y U M' r"), 3))
	assert.False(t, Filter{Side: RightSide}.Offers(cubetest.Sequence(t, "R l"), 2))
}
