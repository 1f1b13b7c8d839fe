package solve

import (
	"math/rand/v2"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
)

// mixed is a position that many random turns lead to.
func mixed(random *rand.Rand) cube.Cube {
	c := cube.Solved
	for range 60 {
		c = c.Turn(cube.Turn(random.IntN(faceTurns)))
	}
	return c
}

// Random positions are solved, judged on plain stickers, in face turns only.
func TestTurnsSolve(t *testing.T) {
	var longest atomic.Int64
	cubetest.Each(t, 40, 7, func(t *testing.T, i int) {
		c := mixed(rand.New(rand.NewPCG(1, uint64(i))))
		s, err := Turns(c)
		require.NoError(t, err)
		require.Equal(t, cube.Solved, c.Do(s))
		// Undone, the turns lead there: the stickers judge that.
		require.Equal(t, cubetest.Of(c), cubetest.Solved.Do(s.Inverse()))
		for _, turn := range s {
			require.Equal(t, cube.FaceTurn, turn.Kind())
		}
		for was := longest.Load(); was < int64(len(s)) && !longest.CompareAndSwap(was, int64(len(s))); was = longest.Load() {
		}
	})
	t.Logf("at most %d turns", longest.Load())
	assert.LessOrEqual(t, longest.Load(), int64(Most))
}

// What two turns make is solved too, the solved puzzle by nothing.
func TestNearPositionsAreSolved(t *testing.T) {
	s, err := Turns(cube.Solved)
	require.NoError(t, err)
	assert.Empty(t, s)
	for a := range cube.Turn(faceTurns) {
		for b := range cube.Turn(faceTurns) {
			c := cube.Sequence{a, b}.Cube()
			s, err := Turns(c)
			require.NoError(t, err)
			require.Equal(t, cube.Solved, c.Do(s))
			require.LessOrEqual(t, len(s), Most, "%s %s", a, b)
		}
	}
}

// A position that turns cannot make is refused.
func TestWhatNoTurnsMake(t *testing.T) {
	twisted, flipped, swapped := cube.Solved, cube.Solved, cube.Solved
	twisted.Corners[0] = cube.CornerAs(0, 1)
	flipped.Edges[0] = cube.EdgeAs(0, 1)
	swapped.Edges[0], swapped.Edges[1] = swapped.Edges[1], swapped.Edges[0]
	cornerTwice, edgeTwice := cube.Solved, cube.Solved
	cornerTwice.Corners[0], edgeTwice.Edges[0] = cornerTwice.Corners[1], edgeTwice.Edges[1]
	// y swaps an odd number of edges in all, y2 an even one: only its centres tell.
	for _, c := range []cube.Cube{
		twisted, flipped, swapped, cornerTwice, edgeTwice, {},
		cube.Sequence{cube.TurnOf(cube.Y, 1)}.Cube(), cube.Sequence{cube.TurnOf(cube.Y, 2)}.Cube(),
	} {
		_, err := Turns(c)
		assert.ErrorIs(t, err, ErrNotReachable)
	}
}

// Every coordinate is the number of the position that is made from it.
func TestCoordinates(t *testing.T) {
	tables := tables()
	for n := range twists {
		require.EqualValues(t, n, tables.twistsOf(withTwists(n)))
	}
	for n := range flips {
		require.EqualValues(t, n, tables.flipsOf(withFlips(n)))
	}
	for n := range middles {
		require.EqualValues(t, n, tables.middleOf(tables.withMiddle(n)))
	}
	for n := range orders {
		if int(tables.cornersOf(withCorners(n))) != n || int(tables.edgesOf(withEdges(n))) != n {
			t.Fatalf("the order %d has another number", n)
		}
	}
	for n := range rings {
		require.EqualValues(t, n, tables.ringOf(withRing(n)))
	}
	// The tables are full, and the solved puzzle needs nothing.
	for _, counts := range [][]uint8{tables.twistsLeast, tables.flipsLeast, tables.cornersLeast, tables.edgesLeast} {
		zeros := 0
		for _, count := range counts {
			if count > 20 {
				t.Fatal("more turns than any position needs")
			}
			if count == 0 {
				zeros++
			}
		}
		assert.Equal(t, 1, zeros)
	}
}

func BenchmarkTurns(b *testing.B) {
	tables()
	random := rand.New(rand.NewPCG(3, 4))
	turns := 0
	for b.Loop() {
		s, err := Turns(mixed(random))
		if err != nil {
			b.Fatal(err)
		}
		turns += len(s)
	}
	b.ReportMetric(float64(turns)/float64(b.N), "turns/op")
}
