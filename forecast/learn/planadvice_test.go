package learn

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/lastslot/lastslottest"
)

// The plans that pay, done as they say in every case of their place by plain stickers, change the
// average over all cases by what the advice said, to the millisecond, against always doing the one
// insertion that is the best alone.
func TestPlanAdviceIsWorthWhatItSaysByStickers(t *testing.T) {
	t.Parallel()
	tops, done := lastslottest.NewTops(), 0
	step, plans := cubetest.Stride(t, 5), 0
	everybody := planners(t)
	everybody["tracks five"] = learner(t, tracking(rated(t), 5), 2)
	for name, person := range everybody {
		f := forecasttest.Book().For(person)
		var lists []List
		for _, p := range lastslot.Places(lastslot.FR) {
			lists = append(lists, listOf(t, f, p))
		}
		advice, err := Pays(t.Context(), forecasttest.Book(), person, lists)
		require.NoError(t, err)
		for _, a := range advice {
			if a.Plan == nil {
				continue
			}
			plans++
			if plans%step != 0 {
				continue
			}
			done++
			cases := casesOf(a.Place)
			all := simulate(t, tops, f, a.Place, cases)
			of := func(part PlanPart) *simulated {
				at := slices.IndexFunc(all, func(s simulated) bool {
					for _, auf := range lastslot.AUFs {
						fits := len(a.Place.AUFs()) == 1 || slices.Equal(auf, part.AUF)
						if fits && s.turns == cube.Join(part.Rotation, auf, part.Insertion).String() {
							return true
						}
					}
					return len(part.Insertion) == 0 && s.turns == ""
				})
				require.GreaterOrEqual(t, at, 0, "%s: %v is known", name, part.Turns())
				return &all[at]
			}
			predict, otherwise := of(a.Plan.Predict), of(a.Plan.Otherwise)
			with, alone := time.Duration(0), time.Duration(1<<62)
			for i := range all {
				sum := time.Duration(0)
				for _, takes := range all[i].unseen {
					sum += takes
				}
				alone = min(alone, sum)
			}
			for c := range cases {
				with += predict.watch[c]
				if slices.Contains(a.Plan.Accept, predict.leaves[c]) {
					with += predict.done[c]
				} else {
					with += otherwise.unseen[c]
				}
			}
			assert.InDelta(t, float64(alone-with)/lastslot.CasesPerSlot, float64(a.Saves), 1e6, "%s: %s", name, a.Place)
			assert.LessOrEqual(t, predict.track, person.Track, "the person tracks it")
		}
	}
	assert.Greater(t, plans, 3)
	assert.Positive(t, done)
}
