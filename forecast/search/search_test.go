package search

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/forecast"
)

// Every block does what its turns do, and its inverse undoes it.
func TestBlocks(t *testing.T) {
	for b := range block(blocks) {
		assert.Equal(t, cube.Solved, blockCubes[b].Then(blockCubes[b.inverse()]))
		assert.LessOrEqual(t, b.tokens(), 2)
	}
	for _, m := range []motion{{}, {1}, {5, 20, 40, 7}} {
		assert.Equal(t, m, unpack(m.pack(), motion{}))
	}
}

// Meeting in the middle finds what plain search finds: all rows of at most six
// face turns, tried one by one from the solved puzzle.
func TestMeetFindsWhatPlainSearchFinds(t *testing.T) {
	const limit = 6
	want := map[uint64]bool{}
	var walk func(m motion, c cube.Cube, left int)
	walk = func(m motion, c cube.Cube, left int) {
		if keeps(c, CrossAndThreeSlots) && (len(m) == 0 || !m[0].turnsTop() && !m[len(m)-1].turnsTop()) {
			want[m.pack()] = true
		}
		for b := range block(blocks) {
			turns := len(b.turns())
			if turns == 0 || turns > left || len(m) > 0 && m[len(m)-1].axis() == b.axis() || len(m) == 0 && b.turnsTop() {
				continue
			}
			walk(append(m[:len(m):len(m)], b), c.Then(blockCubes[b]), left-turns)
		}
	}
	walk(nil, cube.Solved, limit)

	found := map[uint64]bool{}
	require.NoError(t, meet(t.Context(), CrossAndThreeSlots, limit/2, false, func(m motion) { found[m.pack()] = true }))
	assert.Equal(t, want, found)
	assert.Greater(t, len(found), 20)
}

// With nothing to keep every motion is found, also where two faces of one axis
// turn in the very middle of it: all of at most four tokens, and of at most four
// face turns.
func TestMeetFindsEveryMotion(t *testing.T) {
	const limit = 4
	for _, slicesCountOne := range []bool{true, false} {
		want := map[uint64]bool{}
		var walk func(m motion, left int)
		walk = func(m motion, left int) {
			if len(m) == 0 || !m[0].turnsTop() && !m[len(m)-1].turnsTop() {
				want[m.pack()] = true
			}
			for b := range block(blocks) {
				cost := b.tokens()
				if !slicesCountOne {
					cost = len(b.turns())
				}
				if cost > 0 && cost <= left && (len(m) == 0 || m[len(m)-1].axis() != b.axis()) {
					walk(append(m[:len(m):len(m)], b), left-cost)
				}
			}
		}
		walk(nil, limit)
		found := map[uint64]bool{}
		require.NoError(t, meet(t.Context(), Kept{}, limit/2, slicesCountOne, func(m motion) { found[m.pack()] = true }))
		for m := range want {
			if !found[m] {
				t.Fatalf("%v is not found", unpack(m, nil).turns())
			}
		}
		require.Len(t, found, len(want))
	}
}

func keeps(c cube.Cube, kept Kept) bool {
	for _, p := range kept.Corners {
		if c.Corners[p] != cube.Solved.Corners[p] {
			return false
		}
	}
	for _, p := range kept.Edges {
		if c.Edges[p] != cube.Solved.Edges[p] {
			return false
		}
	}
	return true
}

// A spelling does what the motion does, but for a turn by y at the end, and is
// the cheapest: tried for motions of two blocks against every row of as many
// face turns, wide turns and slices.
func TestSpellingIsTheEasiest(t *testing.T) {
	var speller Speller
	// By number of turns, at most.
	var cheapest [4]map[cube.Cube]time.Duration
	for i := range cheapest {
		cheapest[i] = map[cube.Cube]time.Duration{}
	}
	var walk func(s cube.Sequence, left int)
	walk = func(s cube.Sequence, left int) {
		c := s.Cube()
		if h := c.Hold(); h < uprightHolds {
			c = c.Then(h.Inverse().Cube())
			for _, most := range cheapest[len(s):] {
				if cost, ok := most[c]; !ok || hands.Estimate(s, hands.TwoHands) < cost {
					most[c] = hands.Estimate(s, hands.TwoHands)
				}
			}
		}
		if left == 0 {
			return
		}
		for turn := range cube.Turn(cube.Turns) {
			if turn.Kind() != cube.Rotation {
				walk(append(s[:len(s):len(s)], turn), left-1)
			}
		}
	}
	walk(nil, 3)
	compared := 0
	for a := range block(blocks) {
		for b := range block(blocks) {
			if a.tokens() == 0 || b.tokens() == 0 || a.axis() == b.axis() {
				continue
			}
			m := motion{a, b}
			got := speller.spell(m, 0)
			c := got.turns.Cube()
			require.Less(t, int(c.Hold()), uprightHolds)
			require.Equal(t, m.cube(), c.Then(c.Hold().Inverse().Cube()), "%s", got.turns)
			require.Equal(t, forecast.Cost(got.turns), got.cost)
			if turns := max(len(got.turns), a.tokens()+b.tokens()); turns < len(cheapest) {
				require.Contains(t, cheapest[turns], m.cube())
				require.Equal(t, cheapest[turns][m.cube()], got.cost, "%s", got.turns)
				compared++
			}
		}
	}
	assert.Greater(t, compared, 500)
}

// Common practice, no source: an insertion of the placed corner with its edge on
// top takes seven face turns at least, and for either flip there are 18 maps at
// seven.
func TestPlacedCornerTakesSevenFaceTurns(t *testing.T) {
	shortest, atSeven := 99, [2]map[[10]byte]bool{{}, {}}
	require.NoError(t, meet(t.Context(), CrossAndThreeSlots, 4, false, func(m motion) {
		c := m.cube()
		if c.Corners[cube.DFR] != cube.Solved.Corners[cube.DFR] || c.Edges[cube.FR].Piece() == cube.FR {
			return
		}
		turns := len(m.turns())
		shortest = min(shortest, turns)
		if turns == 7 {
			atSeven[c.Edges[cube.FR].Flip()][mapKey(c)] = true
		}
	}))
	assert.Equal(t, 7, shortest)
	assert.Len(t, atSeven[0], 18)
	assert.Len(t, atSeven[1], 18)
}

// A part of the search again, half as far: the book has every map that is found,
// and spells none of them dearer.
func TestTheBookHasWhatIsFoundAgain(t *testing.T) {
	const halfTokens = 4
	book, err := forecast.Load()
	require.NoError(t, err)
	found, err := Insertions(t.Context(), halfTokens)
	require.NoError(t, err)
	assert.Greater(t, len(found), 1000)
	for _, f := range found {
		for slot, turns := range map[forecast.Slot]cube.Sequence{forecast.FR: f.FrontRight, forecast.BR: f.BackRight} {
			i, err := forecast.NewInsertion(slot, turns)
			require.NoError(t, err)
			known, ok := book.Insertion(i)
			require.True(t, ok, "%s is not in the book", turns)
			require.LessOrEqual(t, known.Cost, i.Cost, "%s is dearer than %s", known.Turns, turns)
		}
	}

	sequences, err := FollowUps(t.Context(), 5, halfTokens)
	require.NoError(t, err)
	for p := forecast.Pattern(1); p < forecast.Patterns; p++ {
		if sequences[p] != nil {
			assert.LessOrEqual(t, forecast.Cost(book.FollowUp(p)), forecast.Cost(sequences[p]), "pattern %d", p)
		}
	}
}

func TestACancelledSearchStops(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := Insertions(ctx, 5)
	assert.ErrorIs(t, err, context.Canceled)
	_, err = FollowUps(ctx, 6, 5)
	assert.ErrorIs(t, err, context.Canceled)
}
