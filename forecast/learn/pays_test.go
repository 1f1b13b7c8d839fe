package learn

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
)

// fromScratch is the average of the best known options over all cases of front right, by the
// forecast of each case.
func fromScratch(t *testing.T, p *forecast.Person) time.Duration {
	t.Helper()
	f := forecasttest.Book().For(p)
	sum := time.Duration(0)
	for i := range lastslot.CasesPerSlot {
		if options := f.Forecast(forecast.Request{Case: lastslot.CaseAt(i), View: forecast.Known, Limit: 1}); len(options) > 0 {
			sum += options[0].Seconds.Total()
		}
	}
	return sum / lastslot.CasesPerSlot
}

// Each advice, taken, changes the average by what it said, to the millisecond: worked out
// anew by the forecast over all cases. None saves less than a hundredth, and each is worth its
// effort no more than the one before it.
func TestEachAdviceTakenSavesWhatItSaid(t *testing.T) {
	t.Parallel()
	kinds := map[string]int{}
	everybody := planners(t)
	everybody["fresh visitor"] = forecast.Anyone()
	everybody["tracks four"] = tracking(forecast.Anyone(), 4)
	if testing.Short() {
		delete(everybody, "own book")
		delete(everybody, "fresh visitor")
	}
	for name, person := range everybody {
		f := forecasttest.Book().For(person)
		var lists []List
		for _, p := range lastslot.Places(lastslot.FR) {
			lists = append(lists, listOf(t, f, p))
		}
		advice, err := Pays(t.Context(), forecasttest.Book(), person, lists)
		require.NoError(t, err)
		require.NotEmpty(t, advice, name)
		known, err := KnownOf(t.Context(), f, lastslot.FR)
		require.NoError(t, err)
		before := known.Total / time.Duration(known.Cases)
		// In a short run the first advice for one person is taken.
		anew := !testing.Short() || name == "ten"
		if anew {
			assert.Equal(t, fromScratch(t, person), before, name)
		}
		for i, a := range advice {
			assert.GreaterOrEqual(t, a.Saves, LeastAdvised)
			if i > 0 {
				assert.LessOrEqual(t, float64(a.Saves)/a.Effort, float64(advice[i-1].Saves)/advice[i-1].Effort)
			}
			if a.Plan != nil {
				kinds["plan"]++
				again := planOf(t, f, a.Place)
				assert.GreaterOrEqual(t, a.Plan.Takes, again.Takes)
				assert.InDelta(t, float64(a.Plan.Alone-a.Plan.Takes)*float64(a.Place.Cases())/lastslot.CasesPerSlot, float64(a.Saves), 1e6)
				continue
			}
			switch {
			case a.Track > 0:
				kinds["track"]++
			case a.Lesson != nil:
				kinds["lesson"]++
			case a.Level > 0:
				kinds["better"]++
			default:
				kinds["learn"]++
			}
			if !anew || testing.Short() && i != 0 {
				continue
			}
			assert.InDelta(t, float64(before-fromScratch(t, a.Taken(person))), float64(a.Saves), 1e6, "%s: %+v", name, a)
		}
	}
	t.Log(kinds)
	assert.Len(t, kinds, 5)
}

func BenchmarkPays(b *testing.B) {
	for name, person := range planners(b) {
		f := forecasttest.Book().For(person)
		var lists []List
		for _, p := range lastslot.Places(lastslot.FR) {
			lists = append(lists, listOf(b, f, p))
		}
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				_, err := Pays(b.Context(), forecasttest.Book(), person, lists)
				require.NoError(b, err)
			}
		})
	}
}
