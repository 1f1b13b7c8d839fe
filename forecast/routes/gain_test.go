package routes

import (
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/forecast"
)

// What the best route gains against doing the easiest pair first, in the way that takes it
// least, and then the best for the last slot: for two persons, by what they know and by
// everything. SLOTCAST_GAIN says for how many random cases, for DEVELOPERS.md 20,000.
func TestGainOfTheBestRoute(t *testing.T) {
	cases := 60 / cubetest.Stride(t, 10)
	if asked := os.Getenv("SLOTCAST_GAIN"); asked != "" {
		var err error
		cases, err = strconv.Atoi(asked)
		require.NoError(t, err)
	}
	for _, one := range []struct {
		name string
		*Ranking
	}{{"default", anyone()}, {"uneven ratings", uneven()}} {
		for view, name := range map[forecast.View]string{forecast.Known: "known", forecast.All: "everything"} {
			t.Run(one.name+", "+name, func(t *testing.T) {
				random := rand.New(rand.NewPCG(11, 12))
				var best, easiest time.Duration
				other, none := 0, 0
				for range cases {
					// What somebody has hidden may leave nothing that they know.
					list := one.collect(Request{Case: drawn(random), View: view}).first(0)
					if len(list) == 0 {
						none++
						continue
					}
					first := list[0]
					quick := first
					for _, c := range list {
						if c.takes < quick.takes || c.takes == quick.takes && c.total < quick.total {
							quick = c
						}
					}
					require.LessOrEqual(t, first.total, quick.total)
					best += first.total
					easiest += quick.total
					if first.which != quick.which {
						other++
					}
				}
				mean := func(sum time.Duration) float64 { return (sum / time.Duration(cases-none)).Seconds() }
				t.Logf("| %s, %s | %.3f | %.3f | %.3f | %.0f %% |", one.name, name, mean(easiest), mean(best), mean(easiest-best), 100*float64(other)/float64(cases-none))
				require.Less(t, best, easiest)
			})
		}
	}
}
