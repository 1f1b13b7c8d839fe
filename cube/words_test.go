package cube_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
)

// order is how often a motion is done until nothing has changed.
func order(c cube.Cube) int {
	n := 1
	for d := c; d != cube.Solved; d = d.Then(c) {
		n++
	}
	return n
}

// Published words move the stickers as their sources say, as often as they say.
func TestPublishedWords(t *testing.T) {
	orders := map[int]bool{}
	for _, r := range published(t, "words.tsv") {
		t.Run(strings.ReplaceAll(r["id"], "/", " "), func(t *testing.T) {
			s := parsed(t, r["word"])
			moved := cycles(cubetest.Of(s.Cube()))
			assert.Equal(t, r["facelet_cycles_gap54"], moved)
			if regexp.MustCompile(`^\(\d`).MatchString(r["expected"]) {
				assert.Equal(t, r["expected"], moved, "as printed by the source")
			}
			assert.Equal(t, number(t, r["order"]), order(s.Cube()))
			orders[order(s.Cube())] = true
		})
	}
	assert.True(t, orders[1260], "a word of the highest order")
	assert.True(t, orders[105], "the word R U")
}

// Random positions have orders that the puzzle has, each as often as it should:
// this counts pieces and orientations in a way that no single turn shows.
func TestOrdersOfElements(t *testing.T) {
	all, total := new(big.Float), new(big.Int)
	share := map[int]float64{}
	rows := published(t, "element_orders.tsv")
	for _, r := range rows {
		n, ok := new(big.Int).SetString(r["elements_own_count"], 10)
		require.True(t, ok, r)
		total.Add(total, n)
	}
	require.Equal(t, wholePuzzle(t), total.String(), "every position has an order")
	all.SetInt(total)
	for _, r := range rows {
		n, _ := new(big.Float).SetString(r["elements_own_count"])
		share[number(t, r["order"])], _ = n.Quo(n, all).Float64()
	}

	// 60 random face turns are three times the longest distance, so the position
	// is as good as any.
	const samples, length = 40000, 60
	random, turns := rand.New(rand.NewPCG(2, 3)), faceTurns()
	counted := map[int]int{}
	for range samples {
		c := cube.Solved
		for range length {
			c = c.Turn(turns[random.IntN(len(turns))])
		}
		counted[order(c)]++
	}
	for o, n := range counted {
		require.Contains(t, share, o, "%d positions have this order", n)
	}
	for o, p := range share {
		expected := p * samples
		// Five standard deviations of a count; the one added keeps a rare order
		// that turns up once from failing.
		assert.InDelta(t, expected, counted[o], 5*math.Sqrt(expected*(1-p))+1, "positions of order %d", o)
	}
}
