package tap

import (
	"math/rand/v2"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
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
		copy(f.Corners[:], c.Twists[:])
		copy(f.Edges[:], c.Flips[:])
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
	book := forecasttest.Book()
	random := rand.New(rand.NewPCG(6, 6))
	for range 200 {
		// Any way's turns, undone, lead to its case.
		c := lastslot.CaseAt(random.IntN(lastslot.Cases))
		options := book.For(forecast.Anyone()).Forecast(forecast.Request{Case: c})
		turns := options[random.IntN(len(options))].Turns.Inverse()
		var found [2]lastslot.Position
		var err error
		for i, turns := range []cube.Sequence{turns, turns.Mirror(cube.MirrorLR)} {
			if found[i], err = lastslot.Find(turns.Cube(), nil); err != nil {
				break
			}
		}
		if err != nil || found[0].Case.Solved() || found[0].Hold != 0 || found[1].Hold != 0 {
			continue
		}
		f := Of(found[0].Case)
		copy(f.Corners[:], found[0].Case.Twists[:])
		copy(f.Edges[:], found[0].Case.Flips[:])
		require.Equal(t, found[1].Case, set(f.tidy().Mirrored()), "%s", turns)
	}
}

// So do figures with two slots open, whichever of the two one looks at; and what they
// send, and what is remembered of them, is the same figure again.
func TestFiguresOfTwoMoveAsThePuzzleDoes(t *testing.T) {
	set := func(f Figure) twoslots.Case {
		c, err := f.TwoCase()
		require.NoError(t, err)
		return c
	}
	const spread = 8071 // shares no factor with any number of places, twists or flips
	for index := 0; index < twoslots.Cases; index += spread {
		c := twoslots.CaseAt(index)
		least := OfTwo(c)
		require.Equal(t, c, set(least))
		// Which place takes the rest depends on where it is, so all is told.
		f := least
		f.Corners, f.Edges = c.Twists, c.Flips
		f = f.tidy()
		require.Equal(t, c, set(f))
		require.Equal(t, c.Turned(1), set(f.TopTurned()), c.Code())
		require.Equal(t, c.TurnedRound(1), set(f.TurnedRound()), c.Code())
		require.Equal(t, f, f.Mirrored().Mirrored())
		four := f
		for range 4 {
			four = four.TurnedRound()
		}
		require.Equal(t, f, four)
		// Turned halfway round, an opposite pair has its slots in the other order.
		for _, other := range []Figure{least, f, f.TurnedRound().TurnedRound(), f.Mirrored()} {
			sent, err := Read(other.Values())
			require.NoError(t, err)
			require.Equal(t, other, sent)
			kept, ok := Parse(other.String())
			require.True(t, ok)
			require.Equal(t, other, kept)
		}
	}
	random := rand.New(rand.NewPCG(7, 7))
	for range 200 {
		// Slots that are emptied at random, and the same mirrored.
		var turns cube.Sequence
		for range 6 {
			slot := lastslot.Slot(random.IntN(2)) // FR or FL
			out := [...]string{"R U R'", "L' U' L"}[slot]
			turns = cube.Join(turns, cubetest.Sequence(t, out), cube.Sequence{cube.TurnOf(cube.U, 1+random.IntN(3))})
		}
		c := twoslots.CaseOf(turns.Cube(), twoslots.OpenOf(lastslot.FR, lastslot.FL))
		f := OfTwo(c)
		f.Corners, f.Edges = c.Twists, c.Flips
		require.Equal(t, twoslots.CaseOf(turns.Mirror(cube.MirrorLR).Cube(), c.Open), set(f.tidy().Mirrored()), "%s", turns)
	}
}

func TestImpossibleFiguresOfTwo(t *testing.T) {
	read := func(text string) error {
		values, err := url.ParseQuery(text)
		require.NoError(t, err)
		f, err := Read(values)
		if err == nil {
			_, err = f.TwoCase()
		}
		return err
	}
	for text, says := range map[string]string{
		"second=FL&corner=UFR.U&edge=UF.U&corner2=UFR.F&edge2=UB.U":                                                   "corners of both pairs are in one place",
		"second=FL&corner=UFR.U&edge=UF.U&corner2=UFL.F&edge2=UF.F":                                                   "edges of both pairs are in one place",
		"second=FL&corner=UFR.U&edge=UF.U&corner2=UFL.F":                                                              "tap where the edge of the front left pair is",
		"second=FL&corner2=UFR.U&edge2=UF.U":                                                                          "tap where the corner of the front right pair is",
		"second=XY&corner=UFR.U&edge=UF.U":                                                                            "XY",
		"corner=second.left&edge=UF.U":                                                                                "second.left",
		"second=FL&corner=UFR.U&edge=UF.U&corner2=UFL.F&edge2=UFL.F":                                                  "UFL.F",
		"second=FL&corner=UFR.U&edge=UF.U&corner2=UFL.U&edge2=UB.U&UBL=L&UBR=U&slotcorner=bottom&secondcorner=bottom": "one corner is twisted",
	} {
		require.ErrorContains(t, read(text), says, text)
	}
}
