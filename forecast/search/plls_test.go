package search

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/pll"
)

// What few layers give is what a plain walk finds: every row of R and U of at most eleven turns
// that solves a PLL, and its mirror image, each spelt for the hands from every side.
func TestPLLSearchFindsWhatAWalkFinds(t *testing.T) {
	t.Parallel()
	both, _, err := FindPLLs(t.Context(), 1, 1, []Few{{[]cube.Layer{cube.R, cube.U}, 11}}, func(string) {})
	require.NoError(t, err)

	var least [pll.PLLs]price
	speller := NewSpeller(hands.TwoHands)
	var walk func(row cube.Sequence, c cube.Cube, last cube.Layer)
	walk = func(row cube.Sequence, c cube.Cube, last cube.Layer) {
		if p, ok := pll.Of(c.Inverse()); ok && p != 0 {
			for _, image := range []motion{motionOf(row), motionOf(row).across()} {
				solves, _ := pll.Of(image.inverse().cube())
				m := image.withoutAUF()
				speller.prepare(m)
				for start := range cube.Hold(uprightHolds) {
					if found, ok := speller.spell(m, start, never); ok && (least[solves] == 0 || found.price < least[solves]) {
						least[solves] = found.price
					}
				}
			}
		}
		if len(row) == 11 {
			return
		}
		for _, layer := range []cube.Layer{cube.R, cube.U} {
			for quarters := 1; quarters < 4 && layer != last; quarters++ {
				turn := cube.TurnOf(layer, quarters)
				walk(append(row[:len(row):len(row)], turn), c.Turn(turn), layer)
			}
		}
	}
	walk(nil, cube.Solved, cube.D)
	found := 0
	for p := range both {
		if least[p] == 0 {
			assert.Empty(t, both[p], pll.PLL(p))
			continue
		}
		found++
		require.NotEmpty(t, both[p], pll.PLL(p))
		assert.Equal(t, least[p].duration(), hands.Estimate(both[p][0], hands.TwoHands), pll.PLL(p))
		for _, turns := range both[p] {
			_, err := pll.CheckSequence(pll.PLL(p), turns)
			assert.NoError(t, err)
		}
	}
	assert.GreaterOrEqual(t, found, 2, "Ua and Ub at least")
}

// A search that is cancelled says so.
func TestACancelledPLLSearch(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, _, err := FindPLLs(ctx, 3, 3, PLLLayers, func(string) {})
	assert.ErrorIs(t, err, context.Canceled)
}
