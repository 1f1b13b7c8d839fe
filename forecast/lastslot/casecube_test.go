package lastslot

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
)

// Every case has a position that is found to be that case, and that turns can
// lead to: orders of corners and edges are both even or both odd.
func TestCubeOfEveryCase(t *testing.T) {
	t.Parallel()
	for index := range Cases {
		c := CaseAt(index)
		position := c.Cube()
		found, err := Find(position, &c.Slot)
		require.NoError(t, err)
		require.Equal(t, c, found.Case)
		require.Equal(t, cube.Hold(0), found.Hold)
		corners, edges := 0, 0
		for place, at := range position.Corners {
			for _, other := range position.Corners[:place] {
				if other.Piece() > at.Piece() {
					corners++
				}
			}
		}
		for place, at := range position.Edges {
			for _, other := range position.Edges[:place] {
				if other.Piece() > at.Piece() {
					edges++
				}
			}
		}
		require.Equal(t, corners%2, edges%2)
	}
}

// Each order of the last layer's pieces is drawn about as often: 288 of them, ten
// times each on average. Where all are equally likely one is missed with a
// probability of 0.005 % (Poisson, mean 10), and over 30 times with far less.
func TestOrdersAreDrawnEvenly(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	c := CaseAt(12_345)
	drawn := map[cube.Cube]int{}
	for range 2880 {
		position := c.cubeAs([4]int(random.Perm(4)), [4]int(random.Perm(4)))
		drawn[position]++
	}
	assert.Len(t, drawn, 288)
	for _, times := range drawn {
		assert.Greater(t, times, 0)
		assert.Less(t, times, 31)
	}
}

func TestScramblesLeadToTheirCase(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(7, 8))
	for range 60 {
		c := CaseAt(random.IntN(Cases))
		turns := c.Scramble(random)
		for _, turn := range turns {
			require.Equal(t, cube.FaceTurn, turn.Kind())
		}
		found, err := Find(turns.Cube(), &c.Slot)
		require.NoError(t, err, "%s", turns)
		require.Equal(t, c, found.Case)
		require.Equal(t, cube.Hold(0), found.Hold)
	}
}
