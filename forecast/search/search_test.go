package search

import (
	"bytes"
	"context"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
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
// face turns, in a short run four, tried one by one from the solved puzzle.
func TestMeetFindsWhatPlainSearchFinds(t *testing.T) {
	limit, few := 6, 20
	if testing.Short() {
		limit, few = 4, 5
	}
	var mu sync.Mutex
	want := map[uint64]bool{0: true} // no turns at all
	var walk func(m motion, c cube.Cube, left int)
	walk = func(m motion, c cube.Cube, left int) {
		if CrossAndThreeSlots.keptBy(c) && !m[0].turnsTop() && !m[len(m)-1].turnsTop() {
			mu.Lock()
			want[m.pack()] = true
			mu.Unlock()
		}
		for b := range block(blocks) {
			turns := len(b.turns())
			if turns == 0 || turns > left || m[len(m)-1].axis() == b.axis() {
				continue
			}
			walk(append(m[:len(m):len(m)], b), c.Then(blockCubes[b]), left-turns)
		}
	}
	cubetest.Each(t, blocks, 1, func(t *testing.T, first int) {
		if b := block(first); b.tokens() > 0 && !b.turnsTop() {
			walk(motion{b}, blockCubes[b], limit-len(b.turns()))
		}
	})

	found := map[uint64]bool{}
	require.NoError(t, meet(t.Context(), CrossAndThreeSlots, limit/2, false, func(m motion) { found[m.pack()] = true }))
	assert.Equal(t, want, found)
	assert.Greater(t, len(found), few)
}

// With nothing to keep every motion is found, also where two faces of one axis
// turn in the very middle of it: all of at most four tokens, and of at most four
// face turns.
func TestMeetFindsEveryMotion(t *testing.T) {
	t.Parallel()
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

// A spelling does what the motion does, but for a turn by y at the end, and is
// the easiest: tried for motions of two blocks against every row of at most three
// face turns, wide turns and slices that is the same motion, for all hands; but
// for those that write one face turn as two turns to change the hold, which nobody
// does.
func TestSpellingIsTheEasiest(t *testing.T) {
	t.Parallel()
	var layers []cube.Layer
	for l := range cube.X {
		layers = append(layers, l)
	}
	tokens := tokensOf(layers)
	for handed := range hands.Handed(3) {
		speller := NewSpeller(handed)
		least := map[string]time.Duration{}
		var walk func(m motion, s cube.Sequence, hold cube.Hold)
		walk = func(m motion, s cube.Sequence, hold cube.Hold) {
			if hold < uprightHolds {
				takes, key := hands.Estimate(s, handed), string(m.bytes())
				if known, ok := least[key]; !ok || takes < known {
					least[key] = takes
				}
			}
			if len(s) == 3 {
				return
			}
			for i, token := range tokens[hold] {
				next := slices.Clone(m).and(token.block)
				if len(next) == len(m) && next[len(next)-1].tokens() == 1 || len(next) < len(m) {
					continue
				}
				turn := cube.TurnOf(token.layer, i%3+1)
				walk(next, append(s[:len(s):len(s)], turn), token.hold)
			}
		}
		walk(nil, nil, 0)
		compared := 0
		for a := range block(blocks) {
			for b := range block(blocks) {
				if a.tokens() == 0 || b.tokens() == 0 || a.axis() == b.axis() {
					continue
				}
				m := motion{a, b}
				speller.prepare(m)
				got, ok := speller.spell(m, 0, never)
				require.True(t, ok)
				checkSpelling(t, m, got, 0, handed)
				if known, ok := least[string(m.bytes())]; ok {
					require.LessOrEqual(t, got.price.duration(), known, "%s, %s", handed, got.turns)
					compared++
				}
			}
		}
		assert.Greater(t, compared, 500)
	}
}

func checkSpelling(t *testing.T, m motion, s spelling, start cube.Hold, handed hands.Handed) {
	t.Helper()
	// Held in the start hold, and taken back to the first.
	c := cube.Join(start.Turns(), s.turns).Cube()
	require.Less(t, int(c.Hold()), uprightHolds)
	require.Equal(t, m.cube(), c.Then(c.Hold().Inverse().Cube()), "%s", s.turns)
	require.Equal(t, hands.Estimate(s.turns, handed), s.price.duration(), "%s", s.turns)
	require.Equal(t, priceOf(int(s.price.duration()/time.Millisecond), s.turns), s.price)
}

// Random long motions, from every upright hold: a spelling does what the motion
// does and costs what its turns cost; with its price as the bound it is found
// again, with one less it is not; and no row that takes for each block the options
// and rotations by chance is easier.
func TestLongSpellings(t *testing.T) {
	// A speller is for one goroutine.
	spellers := sync.Pool{New: func() any { return &[3]*Speller{NewSpeller(0), NewSpeller(1), NewSpeller(2)} }}
	for handed := range hands.Handed(3) {
		cubetest.Each(t, 300, 7, func(t *testing.T, i int) {
			random := rand.New(rand.NewPCG(5, uint64(i)))
			all := spellers.Get().(*[3]*Speller)
			defer spellers.Put(all)
			speller := all[handed]
			var m motion
			for len(m) < 9 {
				if b := block(random.IntN(blocks)); b.tokens() > 0 && (len(m) == 0 || m[len(m)-1].axis() != b.axis()) {
					m = append(m, b)
				}
			}
			speller.prepare(m)
			for start := range cube.Hold(uprightHolds) {
				got, ok := speller.spell(m, start, never)
				require.True(t, ok)
				checkSpelling(t, m, got, start, handed)
				again, ok := speller.spell(m, start, got.price)
				require.True(t, ok)
				require.Equal(t, got.price, again.price)
				_, ok = speller.spell(m, start, got.price-1)
				require.False(t, ok)
				for range 200 {
					hold, turns := start, cube.Sequence{}
					for i, b := range m {
						if list := speller.rotated[hold]; i > 0 && len(list) > 0 && random.IntN(4) == 0 {
							w := list[random.IntN(len(list))]
							hold, turns = w.hold, cube.Join(turns, w.turns)
						}
						list := speller.executions[hold][b]
						w := list[random.IntN(len(list))]
						hold, turns = w.hold, cube.Join(turns, w.turns)
					}
					if hold < uprightHolds {
						require.LessOrEqual(t, got.price.duration(), hands.Estimate(turns, handed), "%s, but %s", got.turns, turns)
					}
				}
			}
		})
	}
}

// Meeting in the middle finds every row of few layers that plain turning finds,
// as far as that is feasible.
func TestMeetFewFindsWhatPlainTurningFinds(t *testing.T) {
	t.Parallel()
	for _, few := range []Few{
		{[]cube.Layer{cube.R, cube.U}, 7}, {[]cube.Layer{cube.Rw, cube.R, cube.U, cube.M}, 5}, {[]cube.Layer{cube.L, cube.U, cube.E}, 7},
	} {
		if testing.Short() {
			few.Turns--
		}
		for start := range cube.Hold(uprightHolds) {
			want := map[[10]byte]string{}
			var walk func(c cube.Cube, s cube.Sequence)
			walk = func(c cube.Cube, s cube.Sequence) {
				if h := c.Hold(); h < uprightHolds {
					does := c.Then(h.Inverse().Cube())
					if key := withAnyAUF(does); CrossAndThreeSlots.keptBy(does) && key != withAnyAUF(cube.Solved) {
						want[key] = s.String()
					}
				}
				if len(s) == few.Turns {
					return
				}
				for _, l := range few.Layers {
					for quarters := 1; quarters < 4; quarters++ {
						if len(s) == 0 || s[len(s)-1].Layer() != l {
							turn := cube.TurnOf(l, quarters)
							walk(c.Turn(turn), append(s[:len(s):len(s)], turn))
						}
					}
				}
			}
			walk(start.Cube(), nil)
			found := map[[10]byte]bool{}
			require.NoError(t, meetFew(t.Context(), CrossAndThreeSlots, few, start, func(m motion) {
				c := m.cube()
				require.True(t, CrossAndThreeSlots.keptBy(c), "%s", m.turns())
				if key := withAnyAUF(c); key != withAnyAUF(cube.Solved) {
					found[key] = true
				}
			}))
			for key, turns := range want {
				if !found[key] {
					t.Fatalf("%s from hold %d is not found", turns, start)
				}
			}
			assert.Len(t, found, len(want))
		}
	}
}

// Common practice, no source: an insertion of the placed corner with its edge on
// top takes seven face turns at least, and for either flip there are 18 maps at
// seven.
func TestPlacedCornerTakesSevenFaceTurns(t *testing.T) {
	t.Parallel()
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

// withAnyAUF is the lowest mapKey after any AUF.
func withAnyAUF(c cube.Cube) [10]byte {
	lowest := mapKey(c)
	for quarters := 1; quarters < 4; quarters++ {
		key := mapKey(cube.TurnOf(cube.U, quarters).Cube().Then(c))
		if bytes.Compare(key[:], lowest[:]) < 0 {
			lowest = key
		}
	}
	return lowest
}

// A part of the search again, half as far: the book has every map that is found,
// and spells none of them dearer.
func TestTheBookHasWhatIsFoundAgain(t *testing.T) {
	t.Parallel()
	halfTokens := 4
	if testing.Short() {
		halfTokens = 3
	}
	few := []Few{{[]cube.Layer{cube.R, cube.U}, 9}, {[]cube.Layer{cube.Rw, cube.R, cube.U, cube.M}, 7}}
	book := forecasttest.Book()
	var lines []string
	found, err := FindInsertions(t.Context(), halfTokens, few, nil, func(line string) { lines = append(lines, line) })
	require.NoError(t, err)
	assert.Greater(t, len(found.TwoHands()), 400)
	assert.GreaterOrEqual(t, len(lines), 4, "what was searched is reported")
	for _, row := range found.TwoHands() {
		for i, slot := range []lastslot.Slot{lastslot.FR, lastslot.BR} {
			insertion, err := lastslot.NewInsertion(slot, row[i])
			require.NoError(t, err)
			known, ok := book.Insertion(insertion)
			if !ok && insertion.Turns.Count() > 2*halfTokens {
				continue // not the easiest any more, as the whole search found others
			}
			require.True(t, ok, "%s is not in the book", row[i])
			require.LessOrEqual(t, hands.Estimate(known.Turns, hands.TwoHands), hands.Estimate(row[i], hands.TwoHands), "%s is dearer than %s", known.Turns, row[i])
		}
	}
	for _, row := range found.RightHand() {
		for i, slot := range []lastslot.Slot{lastslot.FR, lastslot.FL, lastslot.BL, lastslot.BR} {
			_, err := lastslot.NewInsertion(slot, row[i])
			require.NoError(t, err)
		}
	}

	both, one, err := FindFollowUps(t.Context(), 5, halfTokens, few)
	require.NoError(t, err)
	for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
		if both[p] != nil {
			assert.LessOrEqual(t, hands.Estimate(book.FollowUp(p), hands.TwoHands), hands.Estimate(both[p][0], hands.TwoHands), "pattern %d", p)
			for _, turns := range slices.Concat(both[p], one[p]) {
				_, err := lastslot.CheckSequence(p, turns)
				assert.NoError(t, err)
			}
		}
	}
}

func TestACancelledSearchStops(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	_, err := FindInsertions(ctx, 4, nil, nil, func(string) { cancel() })
	require.ErrorIs(t, err, context.Canceled)
	_, err = FindInsertions(ctx, 5, FewLayers, nil, func(string) {})
	require.ErrorIs(t, err, context.Canceled)
	_, _, err = FindFollowUps(ctx, 6, 5, FewLayers)
	require.ErrorIs(t, err, context.Canceled)
}

// How many motions a second are spelt.
func BenchmarkSpell(b *testing.B) {
	random := rand.New(rand.NewPCG(7, 8))
	var motions []motion
	for len(motions) < 100 {
		var m motion
		for len(m) < 9 {
			if b := block(random.IntN(blocks)); b.tokens() > 0 && (len(m) == 0 || m[len(m)-1].axis() != b.axis()) {
				m = append(m, b)
			}
		}
		motions = append(motions, m)
	}
	speller, i := NewSpeller(hands.TwoHands), 0
	for b.Loop() {
		m := motions[i%len(motions)]
		speller.prepare(m)
		speller.spell(m, 0, never)
		i++
	}
}

// turns is the motion in face turns only.
func (m motion) turns() cube.Sequence {
	var s cube.Sequence
	for _, b := range m {
		s = append(s, b.turns()...)
	}
	return s
}

// A part of what "go generate ./forecast" searches is made again and is the same, to
// the byte, as when it was committed: all insertions of at most six turns. What stands
// in the whole book in their place is no dearer.
func TestAPartOfTheInsertionsIsMadeAgain(t *testing.T) {
	t.Parallel()
	found, err := FindInsertions(t.Context(), 3, nil, nil, func(string) {})
	require.NoError(t, err)
	again := Lines(found.TwoHands())
	const file = "testdata/insertions_of_six.txt"
	committed, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, strings.Split(string(committed), "\n"), strings.Split(string(again), "\n"), "where that is meant, generate the atlas and the book again, and write this into %s", file)
	book := forecasttest.Book()
	for _, row := range found.TwoHands() {
		for i, slot := range []lastslot.Slot{lastslot.FR, lastslot.BR} {
			insertion, err := lastslot.NewInsertion(slot, row[i])
			require.NoError(t, err)
			known, ok := book.Insertion(insertion)
			require.True(t, ok, "%s is not in the book", row[i])
			require.LessOrEqual(t, hands.Estimate(known.Turns, hands.TwoHands), hands.Estimate(row[i], hands.TwoHands))
		}
	}
}
