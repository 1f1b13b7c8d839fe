package forecast

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/lastslot/lastslottest"
)

// An option asked for by its turns is the one of the forecast; its insertion begins in
// a case that it fits and of which it leaves the same.
func TestOptionToldByItsTurns(t *testing.T) {
	random := rand.New(rand.NewPCG(21, 34))
	f := book().For(Anyone())
	for range 100 {
		c := lastslot.CaseAt(random.IntN(lastslot.Cases))
		options := f.Forecast(Request{Case: c})
		for range 5 {
			want := options[random.IntN(len(options))]
			got, err := f.Option(c, want.Turns)
			require.NoError(t, err)
			require.Equal(t, want, got)

			begins := got.Begins(c)
			slot, turns := got.Insertion(c.Slot)
			require.Equal(t, slot, begins.Slot)
			left, err := lastslot.Leaves(begins, turns)
			require.NoError(t, err)
			require.Equal(t, got.Leaves, left)
			i, err := lastslot.NewInsertion(slot, turns)
			require.NoError(t, err)
			require.Equal(t, got.Leaves, i.Map().Leaves(&begins).Turned(i.Turned()))
		}
	}
}

// Turns that no forecast lists are worked out all the same; others are refused.
func TestOptionOfOtherTurns(t *testing.T) {
	f := book().For(Anyone())
	roundabout, err := cube.Parse("y U2 D D' L' U L")
	require.NoError(t, err)
	turned, err := cube.Parse("y U2 D D' L' U L y'")
	require.NoError(t, err)
	i, err := lastslot.NewInsertion(lastslot.FR, turned)
	require.NoError(t, err)
	c := i.Case()
	o, err := f.Option(c, roundabout)
	require.NoError(t, err)
	assert.Equal(t, 0, int(o.Leaves.Pattern()))
	assert.Equal(t, Anyone().Estimate(cube.Sequence{roundabout[0]})+Anyone().Estimate(cube.Sequence{roundabout[1]})+Anyone().Estimate(roundabout[2:]), o.Seconds.Insert())
	for _, turns := range []string{"R", "R U R'", "x", "y2", ""} {
		sequence, err := cube.Parse(turns)
		require.NoError(t, err)
		_, err = f.Option(c, sequence)
		assert.Error(t, err, turns)
	}
}

// For every insertion in the book, seen from each slot, the pieces to track are those
// that plain stickers show: the pieces on top that stand otherwise after the turns than
// after the turn of U that comes nearest, in the hold where the turns end.
func TestPiecesToTrackAreThoseOfTheStickers(t *testing.T) {
	t.Parallel()
	top := topPieces(t)
	counts := map[int]int{}
	for slot := range lastslot.Slot(lastslot.Slots) {
		spelled := book().spelled[slot]
		step := cubetest.Stride(t, 20)
		for number := int(slot) % step; number < len(spelled); number += step {
			i := spelled[number]
			after := cubetest.Solved.Do(i.Turns)
			fewest, fewestEdges := len(top), 4
			for _, u := range lastslot.AUFs {
				turned := cubetest.Solved.Do(lastslot.Rotations[i.Turned()]).Do(u)
				otherwise, edges := 0, 0
				for _, stickers := range top {
					if slices.ContainsFunc(stickers, func(s int) bool { return after[s] != turned[s] }) {
						otherwise++
						if len(stickers) == 2 {
							edges++
						}
					}
				}
				fewest, fewestEdges = min(fewest, otherwise), min(fewestEdges, edges)
			}
			require.Equal(t, fewestEdges, i.Map().TrackEdges(), "%s: %s", slot, i.Turns)
			require.Equal(t, fewest, int(book().tracks[number]), "%s: %s", slot, i.Turns)
			counts[fewest]++
		}
	}
	assert.NotContains(t, counts, 0, "an insertion moves something")
	t.Log("insertions by pieces to track: ", counts)
}

// topPieces has the stickers of each last-layer place.
func topPieces(t *testing.T) (pieces [][]int) {
	t.Helper()
	for _, place := range []string{"UFR", "UFL", "UBL", "UBR", "UF", "UL", "UB", "UR"} {
		var stickers []int
		for at := range len(place) {
			stickers = append(stickers, cubetest.Number(place[at:]+place[:at]))
		}
		pieces = append(pieces, stickers)
	}
	return pieces
}

// The numbers of the trade's page of this project: common practice predicts with two
// pieces where the corner is placed (`M U' R U M' U' R'`, E slices) or the edge, and
// hardly with the five of the usual insertions (common practice, no source).
func TestPiecesToTrack(t *testing.T) {
	for turns, want := range map[string]int{
		"R U R'": 5, "U R U' R'": 5, "M U' R U M' U' R'": 2, "L E' L' U L E L'": 2, "B' E B U B' E' B": 2, "L D' L' U L D L'": 2,
	} {
		i := lastslottest.Insertion(t, lastslot.FR, turns)
		assert.Equal(t, want, i.Map().Track(), turns)
		option, err := book().For(Anyone()).Option(i.Case(), i.Turns)
		require.NoError(t, err)
		assert.Equal(t, want, option.Track, turns)
	}
	nothing := book().For(Anyone()).Forecast(Request{Case: lastslot.Case{Corner: lastslot.InSlot, Edge: lastslot.InSlot}, Limit: 1})[0]
	assert.Empty(t, nothing.Turns)
	assert.Zero(t, nothing.Track)
}

// Who tracks so many pieces predicts just the insertions with no more, at least one; of
// these recognising takes the lesser of recognising and tracking, and nothing else
// changes. So to track more makes no option slower.
func TestTrackingPredicts(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(5, 8))
	for _, person := range []*Person{Anyone(), fullPerson(t)} {
		person.Scale.Track = 60 * ms
		none := book().For(person)
		for tracked := range 2*lastslot.InSlot + 1 {
			more := *person
			more.Track = tracked
			f := book().For(&more)
			for range 20 / cubetest.Stride(t, 7) {
				c := lastslot.CaseAt(random.IntN(lastslot.Cases))
				before := map[string]Option{}
				for _, o := range none.Forecast(Request{Case: c}) {
					before[o.Turns.String()] = o
				}
				options := f.Forecast(Request{Case: c})
				require.Len(t, options, len(before))
				for i, o := range options {
					want := before[o.Turns.String()]
					want.Predicted = o.Track >= 1 && o.Track <= tracked
					if want.Predicted && (want.Looks != nil || o.Looks != nil) {
						// What several looks then take has its own test.
						require.LessOrEqual(t, o.Seconds.Total(), want.Seconds.Total())
						continue
					}
					if want.Predicted {
						want.Seconds.Recognise = min(want.Seconds.Recognise, time.Duration(o.Track)*60*ms)
					}
					want.Gain = o.Gain
					require.Equal(t, want, o)
					require.True(t, i == 0 || options[i-1].Seconds.Total() <= o.Seconds.Total())
				}
				asked, err := f.Option(c, options[0].Turns)
				require.NoError(t, err)
				require.Equal(t, options[0].Seconds, asked.Seconds)
			}
		}
	}
}
