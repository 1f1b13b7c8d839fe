package tap

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// Turning the top, turning the hold and mirroring a figure tell the case that
// turning and mirroring the puzzle lead to.
func TestFigureMovesAsThePuzzleDoes(t *testing.T) {
	set := func(f Figure) lastslot.Case {
		c, err := f.Case()
		require.NoError(t, err)
		return c
	}
	const step = 7
	for index := 0; index < lastslot.Cases; index += step {
		c := lastslot.CaseAt(index)
		f := Of(c)
		// Which place takes the rest depends on where it is, so all is told.
		f.Corners, f.Edges = c.Twists, c.Flips
		f = f.tidy()
		require.Equal(t, c.Turned(1), set(f.TopTurned()), c.Code())
		require.Equal(t, c.TurnedRound(1), set(f.TurnedRound()), c.Code())
		require.Equal(t, f, f.Mirrored().Mirrored())
		four := f
		for range 4 {
			four = four.TurnedRound()
		}
		require.Equal(t, f, four)
	}
	book, err := forecast.Load()
	require.NoError(t, err)
	random := rand.New(rand.NewPCG(6, 6))
	for range 200 {
		// Any way's turns, undone, lead to its case.
		c := lastslot.CaseAt(random.IntN(lastslot.Cases))
		options := book.For(forecast.Anyone()).Forecast(forecast.Request{Case: c})
		turns := options[random.IntN(len(options))].Turns.Inverse()
		var found [2]lastslot.Position
		for i, turns := range []cube.Sequence{turns, turns.Mirror(cube.MirrorLR)} {
			if found[i], err = lastslot.Find(turns.Cube(), nil); err != nil {
				break
			}
		}
		if err != nil || found[0].Case.Solved() || found[0].Hold != 0 || found[1].Hold != 0 {
			continue
		}
		f := Of(found[0].Case)
		f.Corners, f.Edges = found[0].Case.Twists, found[0].Case.Flips
		require.Equal(t, found[1].Case, set(f.tidy().Mirrored()), "%s", turns)
	}
}
