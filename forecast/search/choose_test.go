package search

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
)

// Of a small search, those chosen leave nothing to gain: for random cases the
// easiest for each pattern, found by trying every motion of all after every
// rotation and AUF, takes as long as the easiest of those chosen.
func TestThoseChosenHaveTheEasiestForEveryPair(t *testing.T) {
	t.Parallel()
	const halfTokens = 2
	f := &findings{numbers: map[[10]byte]int32{}}
	require.NoError(t, meet(t.Context(), CrossAndThreeSlots, halfTokens, true, f.add))
	complete := len(f.first)
	for _, few := range []Few{{[]cube.Layer{cube.R, cube.U}, 9}, {[]cube.Layer{cube.Rw, cube.R, cube.U, cube.M}, 7}} {
		require.NoError(t, meetImages(t.Context(), CrossAndThreeSlots, few, f.add))
	}
	spelled, err := f.spell(t.Context(), func(string, ...any) {})
	require.NoError(t, err)
	random := rand.New(rand.NewPCG(1, 3))
	for _, handed := range []hands.Handed{hands.TwoHands, hands.RightHand} {
		chosen := f.choose(spelled, complete, handed)
		require.Greater(t, len(chosen), complete)
		require.Less(t, len(chosen), len(f.first))
		isChosen := make([]bool, len(f.first))
		for _, number := range chosen {
			isChosen[number] = true
		}
		// By slot: the spellings, and whether they are of one chosen.
		type option struct {
			turns  cube.Sequence
			takes  time.Duration
			chosen bool
		}
		var options [lastslot.Slots][]option
		for number := range spelled {
			for i, view := range views {
				if view.hands != handed {
					continue
				}
				turns := spelled[number][i].turns
				takes := hands.Estimate(turns, handed)
				options[view.slot] = append(options[view.slot], option{turns, takes, isChosen[number]})
				if handed == hands.TwoHands {
					options[view.slot^1] = append(options[view.slot^1], option{turns.Mirror(cube.MirrorLR), takes, isChosen[number]})
				}
			}
		}
		compared := 0
		for range 25 {
			c := lastslot.CaseAt(random.IntN(lastslot.Cases))
			var least, leastChosen [lastslot.Patterns]time.Duration
			for rotation := range 4 {
				for quarters := range 4 {
					before := cube.Sequence{}
					takes := time.Duration(0)
					if rotation > 0 {
						before = cube.Sequence{cube.TurnOf(cube.Y, rotation)}
						takes += hands.Estimate(before, handed)
					}
					if quarters > 0 {
						u := cube.Sequence{cube.TurnOf(cube.U, quarters)}
						before = cube.Join(before, u)
						takes += hands.Estimate(u, handed)
					}
					for _, w := range options[(int(c.Slot)+rotation)&3] {
						left, err := lastslot.Leaves(c, cube.Join(before, w.turns))
						if err != nil {
							continue // it is for another place of the pair
						}
						pattern, whole := left.Pattern(), takes+w.takes
						if least[pattern] == 0 || whole < least[pattern] {
							least[pattern] = whole
						}
						if w.chosen && (leastChosen[pattern] == 0 || whole < leastChosen[pattern]) {
							leastChosen[pattern] = whole
						}
						compared++
					}
				}
			}
			if c.Solved() {
				// Doing nothing is easier than any.
				there, err := lastslot.Leaves(c, cube.Sequence{})
				require.NoError(t, err)
				least[there.Pattern()], leastChosen[there.Pattern()] = 0, 0
			}
			require.Equal(t, least, leastChosen, "%s, %s", handed, c.Code())
		}
		assert.Greater(t, compared, 100)
		t.Logf("%s: %d of %d are chosen, %d options compared", handed, len(chosen), len(f.first), compared)
	}
}
