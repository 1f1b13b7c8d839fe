package lastslot

import (
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
)

// Scrambles are turned on plain stickers, and are the case that they were asked for, with
// the cross of any colour. None has more than 22 turns, on average they have at most 20,
// as people ask of a scramble; how they are drawn is looked at too.
func TestScramblesLeadToTheirCase(t *testing.T) {
	t.Parallel()
	var mu sync.Mutex
	turned, longest, count := 0, 0, 0
	cubetest.Each(t, 10_000, 97, func(t *testing.T, i int) {
		random := rand.New(rand.NewPCG(7, uint64(i)))
		c := CaseAt(random.IntN(Cases))
		cross := cube.Face(i % cube.Faces)
		turns := c.Scramble(cross, random)
		for _, turn := range turns {
			require.Equal(t, cube.FaceTurn, turn.Kind())
		}
		require.Equal(t, cubetest.Of(turns.Cube()), cubetest.Solved.Do(turns))
		// Where all four slots are solved, and more than one cross may be, the hold says which.
		held := turns.Cube().Then(CrossHold(cross).Cube())
		require.Equal(t, c, caseOf(held, c.Slot), "%s", turns)
		state := Look(held)
		require.Empty(t, state.Cross)
		require.Subset(t, []Slot{c.Slot}, state.Open)
		mu.Lock()
		defer mu.Unlock()
		turned, longest, count = turned+len(turns), max(longest, len(turns)), count+1
	})
	mean := float64(turned) / float64(count)
	t.Logf("%d scrambles: %.2f turns on average, at most %d", count, mean, longest)
	assert.LessOrEqual(t, longest, 22)
	assert.LessOrEqual(t, mean, 20.0)
}

// chiSquare is how far counts are from being alike.
func chiSquare(counts []int) (sum float64) {
	all := 0
	for _, n := range counts {
		all += n
	}
	expected := float64(all) / float64(len(counts))
	for _, n := range counts {
		sum += (float64(n) - expected) * (float64(n) - expected) / expected
	}
	return sum
}

// What the pair leaves free is drawn evenly: the four AUFs by the 216 ways in which the
// rest can be turned, 863 degrees of freedom. Chi-square is beyond 997 in one of a
// thousand draws (by the approximation of Wilson and Hilferty).
func TestCasesOfAPlaceAreDrawnEvenly(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(9, 10))
	for _, p := range []Place{Places(FR)[0], Places(BL)[30]} {
		drawn := map[Case]int{}
		for range 20 * p.Cases() {
			c := p.Draw(random)
			require.Equal(t, p, c.Place())
			_, err := NewCase(c)
			require.NoError(t, err)
			drawn[c]++
		}
		require.Len(t, drawn, p.Cases())
		var counts []int
		for _, n := range drawn {
			counts = append(counts, n)
		}
		assert.Less(t, chiSquare(counts), 997.0)
	}
}

// The orders of the pieces that a case leaves free are drawn evenly: 288 of them, 287
// degrees of freedom; chi-square is beyond 366.8 in one of a thousand draws (the same
// approximation).
func TestOrdersAreDrawnEvenly(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(5, 6))
	c := CaseAt(12_345)
	drawn := map[cube.Cube]int{}
	for range 20 * 288 {
		drawn[c.cubeAs([4]int(random.Perm(4)), [4]int(random.Perm(4)))]++
	}
	require.Len(t, drawn, 288)
	var counts []int
	for _, n := range drawn {
		counts = append(counts, n)
	}
	assert.Less(t, chiSquare(counts), 366.8)
}
