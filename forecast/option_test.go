package forecast

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
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
