package hands

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"slotcast/cube/cubetest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
)

// byTrying is the slow definition: every way to do each turn, from every grip
// that the ways before it can end in, is tried.
func byTrying(s cube.Sequence, h Handed) time.Duration {
	var from func(g Grip, s cube.Sequence) int
	from = func(g Grip, s cube.Sequence) int {
		if len(s) == 0 {
			return int(h.End(g))
		}
		var all []Step
		switch h {
		case TwoHands:
			all = twoHands(g, s[0])
		case RightHand:
			all = rightHand(g, s[0])
		case LeftHand:
			all = rightHand(g, mirrored(s[0]))
		}
		least := math.MaxInt
		for _, step := range all {
			least = min(least, int(step.Ms)+from(step.To, s[1:]))
		}
		return least
	}
	return time.Duration(from(h.Home(), s)) * time.Millisecond
}

// Turns after which the hands are where they were take as long as one by one, for
// as many of them as a text can have.
func TestLongSequences(t *testing.T) {
	for _, tt := range []struct {
		turn  string
		hands Handed
	}{{"x2", TwoHands}, {"b2", RightHand}, {"f2", LeftHand}} {
		one := cubetest.Sequence(t, tt.turn)
		long := slices.Repeat(one, cube.MaxLength)
		assert.Equal(t, cube.MaxLength*Estimate(one, tt.hands), Estimate(long, tt.hands), tt.turn)
	}
}

// drawn is a random sequence.
func drawn(random *rand.Rand, length int) cube.Sequence {
	s := make(cube.Sequence, length)
	for i := range s {
		s[i] = cube.Turn(random.IntN(cube.Turns))
	}
	return s
}

// The estimate is what trying every row of grips gives: for all sequences of at
// most three turns, and for random longer ones.
func TestEstimateIsTheLeastOverAllGrips(t *testing.T) {
	for h := range Handed(3) {
		compare := func(t *testing.T, s cube.Sequence) {
			if want, got := byTrying(s, h), Estimate(s, h); want != got {
				t.Fatalf("%s, %s: %v, by trying %v", s, h, got, want)
			}
		}
		cubetest.Each(t, cube.Turns*cube.Turns, 7, func(t *testing.T, i int) {
			a, b := cube.Turn(i/cube.Turns), cube.Turn(i%cube.Turns)
			compare(t, cube.Sequence{a})
			compare(t, cube.Sequence{a, b})
			for c := range cube.Turn(cube.Turns) {
				compare(t, cube.Sequence{a, b, c})
			}
		})
		cubetest.Each(t, 2000, 7, func(t *testing.T, i int) {
			random := rand.New(rand.NewPCG(1, uint64(i)))
			compare(t, drawn(random, 4+random.IntN(3)))
		})
	}
}

// From every grip every turn can be done, in no negative time, and the table has
// each end once.
func TestEveryTurnCanBeDone(t *testing.T) {
	for h := range Handed(3) {
		reached := []Grip{h.Home()}
		for i := 0; i < len(reached); i++ {
			for turn := range cube.Turn(cube.Turns) {
				list := h.Steps(reached[i], turn)
				require.NotEmpty(t, list)
				for j, step := range list {
					require.Positive(t, step.Ms)
					require.Less(t, step.Ms, uint16(1000))
					require.True(t, j == 0 || list[j-1].To < step.To)
					if !slices.Contains(reached, step.To) {
						reached = append(reached, step.To)
					}
				}
			}
		}
		t.Logf("%s: %d grips are reached", h, len(reached))
	}
}

// A sequence takes as long as its mirror image in the mirrored hands.
func TestMirrorImagesTakeAsLong(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(3, 4))
	for range 100_000 {
		s := drawn(random, random.IntN(14))
		for h := range Handed(3) {
			require.Equal(t, Estimate(s, h), Estimate(s.Mirror(cube.MirrorLR), h.Mirror()), "%s, %s", s, h)
		}
	}
}

// Sums by hand.
func TestSumsOfTurns(t *testing.T) {
	for text, want := range map[string]int{
		"":        0,
		"U":       pull,
		"U'":      pull,
		"U2":      pullHalf,
		"R U R'":  wrist + pull - overlap + wrist,
		"R U' R'": wrist + pull - overlap + wrist,
		"L R'":    wrist + wrist - overlap,
		// The wrist is at its end: it goes back before F, as F is not reached either.
		"R F R":     wrist + regrip + front - overlap + wrist,
		"R2":        regrip + wristHalf,
		"R U2 R2 F": wrist + pullHalf - overlap + wristHalf + front - overlap,
		// The left hand reaches around and comes back before R, which it holds against.
		"B R":    reach + back + regrip + wrist,
		"B":      reach + back + regrip,
		"B U B'": reach + back + pull + back + regrip,
		"y R":    rotation + look + wrist,
		"y2":     rotation + rotationHalf + look,
		// A wrist that is turned goes home first; one that came home by itself need not.
		"R y":    wrist + regrip + rotation + look,
		"R y L":  wrist + regrip + rotation + look + wrist,
		"R R' y": wrist + wrist + rotation + look,
		"R L' y": wrist + wrist - overlap + 2*regrip + rotation + look,
		"B y":    reach + back + regrip + rotation + look,
		// An E that is not undone leaves a new front, unless the eyes looked since.
		"E":       belt + look,
		"E2":      beltHalf + look,
		"E U E'":  belt + pull + belt,
		"E E":     belt + belt + look,
		"E E2 E":  belt + beltHalf + belt,
		"E U E y": belt + pull + belt + rotation + look,
		"E d":     belt + below + twoLayers + look,
		"r'":      wrist + wristWide,
		"d":       below + twoLayers + look,
		"M' M":    middle + middle + middleAgainst,
	} {
		assert.Equal(t, time.Duration(want)*time.Millisecond, Estimate(cubetest.Sequence(t, text), TwoHands), text)
	}
	for text, want := range map[string]int{
		"U L U' L'": 2*oneIndex + 2*oneAcross,
		"U U":       2*oneIndex + oneReset,
		"U2":        oneReset + oneIndexHalf,
		"R":         onePalm,
		"l u":       oneAcross + oneIndex + 2*oneWide + look,
	} {
		assert.Equal(t, time.Duration(want)*time.Millisecond, Estimate(cubetest.Sequence(t, text), RightHand), text)
		assert.Equal(t, time.Duration(want)*time.Millisecond, Estimate(cubetest.Sequence(t, text).Mirror(cube.MirrorLR), LeftHand), text)
	}
}

// Common practice, no source: R U R' U' is among the easiest sequences of four
// face turns. Of 18*15*15*15 (no face twice running) it is in the first half
// percent.
func TestRURUIsAmongTheEasiest(t *testing.T) {
	own, easier, all := Estimate(cubetest.Sequence(t, "R U R' U'"), TwoHands), 0, 0
	var walk func(s cube.Sequence)
	walk = func(s cube.Sequence) {
		if len(s) == 4 {
			all++
			if Estimate(s, TwoHands) < own {
				easier++
			}
			return
		}
		for turn := range cube.TurnOf(cube.Uw, 1) {
			if len(s) == 0 || s[len(s)-1].Layer() != turn.Layer() {
				walk(append(s[:len(s):len(s)], turn))
			}
		}
	}
	walk(nil)
	require.Equal(t, 18*15*15*15, all)
	t.Logf("%d of %d are easier", easier, all)
	assert.Less(t, easier, all/200)
}

// Common practice, no source.
func TestWhatIsEasierThanWhat(t *testing.T) {
	for _, test := range []struct{ easier, harder, why string }{
		{"R' F R F'", "R B' R' B", "the same at the back"},
		{"L E' L' U L E L'", "B' E B U B' E' B", "an edge that matches front, and one that matches the side"},
		{"L E' L' U2 L E L'", "B' E B U2 B' E' B", "an edge that matches front, and one that matches the side"},
		{"F D' R U R' D U' F'", "F D' R U R' E' L'", "the same, and one that ends with another side in front"},
		{"R U R' U'", "F U F' U'", "a wrist has the fingers where they are"},
	} {
		assert.Less(t, Estimate(cubetest.Sequence(t, test.easier), TwoHands), Estimate(cubetest.Sequence(t, test.harder), TwoHands), test.why)
	}
}

func TestWordsForHands(t *testing.T) {
	for h := range Handed(3) {
		again, err := Parse(h.String())
		require.NoError(t, err)
		assert.Equal(t, h, again)
		assert.Equal(t, h, h.Mirror().Mirror())
	}
	_, err := Parse("foot")
	assert.EqualError(t, err, "no hands “foot”: say both, right or left")
}

func BenchmarkEstimate(b *testing.B) {
	s := cubetest.Sequence(b, "R U2 R2 F R F' R U2 R'")
	for b.Loop() {
		Estimate(s, TwoHands)
	}
}
