package practice

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Ten items of very different needs.
func tenCandidates() (all []Candidate) {
	for i := range 10 {
		c := Candidate{Item: Item(fmt.Sprint(i + 1)), Comes: float64(1+i%4) / 54, Takes: time.Duration(500+200*i) * ms}
		for tries := range i % 3 {
			c.Memory = c.Memory.After(Good, Day(tries*4))
		}
		all = append(all, c)
	}
	return all
}

// chiSquare is the sum of the squared deviations by what was to be expected.
func chiSquare(drawn map[Item]int, expected map[Item]float64) (sum float64) {
	for item, e := range expected {
		d := float64(drawn[item]) - e
		sum += d * d / e
	}
	return sum
}

// With nine degrees of freedom a sum of more than 27.88 comes once in a thousand times
// (tables of the chi-square distribution). The seeds are fixed, so that the test does not
// depend on chance.
func TestItemsAreDrawnByTheirNeeds(t *testing.T) {
	t.Parallel()
	const seeds, today, rare = 40_000, Day(8), 27.88
	candidates := tenCandidates()
	needs := map[Item]float64{}
	all := 0.0
	for i := range candidates {
		needs[candidates[i].Item] = candidates[i].Need(today)
		all += candidates[i].Need(today)
	}
	// The first is drawn by its need; the second by its need among the rest, whichever
	// the first was: summed up by the slow definition.
	first, second := map[Item]float64{}, map[Item]float64{}
	for a, x := range needs {
		first[a] = seeds * x / all
		for b, y := range needs {
			if a != b {
				second[b] += seeds * x / all * y / (all - x)
			}
		}
	}
	drawn := [2]map[Item]int{{}, {}}
	for seed := range uint64(seeds) {
		for n, item := range Draw(candidates, today, 2, seed) {
			drawn[n][item]++
		}
	}
	one, two := chiSquare(drawn[0], first), chiSquare(drawn[1], second)
	t.Logf("chi-square of the first draw %.1f, of the second %.1f, with nine degrees of freedom", one, two)
	assert.Less(t, one, rare)
	assert.Less(t, two, rare)
	// The test would notice: an even draw is far off.
	even := map[Item]int{}
	for item := range needs {
		even[item] = seeds / 10
	}
	assert.Greater(t, chiSquare(even, first), 100*rare)
}

func TestTheSameSeedDrawsTheSame(t *testing.T) {
	t.Parallel()
	candidates := tenCandidates()
	before := Draw(candidates, 8, 25, 7)
	assert.Equal(t, before, Draw(candidates, 8, 25, 7))
	assert.NotEqual(t, before, Draw(candidates, 8, 25, 8))
	// All come before one comes again.
	require.Len(t, before, 25)
	for round := range 2 {
		seen := map[Item]bool{}
		for _, item := range before[10*round : 10*round+10] {
			seen[item] = true
		}
		assert.Len(t, seen, 10)
	}
	// Drawn once by this program: a partner has the same in a later one.
	assert.Equal(t, []Item{"10", "8", "1", "4"}, before[:4])
	assert.Empty(t, Draw(nil, 8, 10, 1))
	assert.Empty(t, Draw([]Candidate{{Item: "1", Takes: time.Second}}, 8, 10, 1), "it never comes")
}

// Need by hand: today's is next to nothing, due today is one, and each factor counts in
// proportion.
func TestNeedIsAProduct(t *testing.T) {
	t.Parallel()
	c := Candidate{Comes: 0.25, Takes: 2 * time.Second}
	assert.Equal(t, 0.5, c.Need(10), "never practised")
	c.Memory = Memory{Stability: 7, Difficulty: 5, Last: 10, Interval: 7}
	assert.InDelta(t, 0.5, c.Need(17), 1e-6, "due")
	assert.InDelta(t, 0.01, c.Need(10), 1e-9)
	last := 0.0
	for d := Day(10); d < 2000; d++ {
		require.GreaterOrEqual(t, c.Need(d), last)
		last = c.Need(d)
	}
	assert.LessOrEqual(t, last, 2.5)
	long := c
	long.Takes *= 3
	assert.InDelta(t, 3*c.Need(30), long.Need(30), 1e-9)
	assert.False(t, math.IsNaN(long.Need(0)))
}
