package twoslots

import (
	"errors"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
)

// 30 places of two corners, 3^5 twists, 30 places of two edges, 2^5 flips, for each of
// six pairs of slots; GAP counts the same in package cube's tests.
func TestNumberOfCases(t *testing.T) {
	assert.Equal(t, 6_998_400, CasesPerOpen)
	assert.Equal(t, 41_990_400, Cases)
	seen, adjacent := map[Open]bool{}, 0
	for a := range lastslot.Slot(lastslot.Slots) {
		for b := range a {
			o := OpenOf(a, b)
			seen[o] = true
			assert.Equal(t, o, OpenOf(b, a))
			if o.Adjacent() {
				adjacent++
			}
			for _, text := range []string{o.String(), strings.ToLower(o.String()), a.String() + ", " + b.String()} {
				read, err := ParseOpen(text)
				require.NoError(t, err)
				assert.Equal(t, o, read)
			}
		}
	}
	assert.Len(t, seen, Opens)
	assert.Equal(t, 4, adjacent)
	for _, text := range []string{"", "FR", "FR,FR", "FR,BX", "FR,FL,BL", "FR FL"} {
		_, err := ParseOpen(text)
		assert.Error(t, err, text)
	}
}

// Every case has its index; codes are read again.
func TestEveryCaseHasItsIndex(t *testing.T) {
	const block = 1 << 12
	cubetest.Each(t, Cases/block+1, 31, func(t *testing.T, i int) {
		for index := i * block; index < min((i+1)*block, Cases); index++ {
			c := CaseAt(index)
			if c.Index() != index {
				t.Fatalf("the case %d has the index %d", index, c.Index())
			}
			if index%13 != 0 {
				continue
			}
			code := c.Code()
			read, err := ParseCode(strings.ToLower(code))
			if err != nil || len(code) != CodeLength || read != c {
				t.Fatalf("%s is read as %v, %v", code, read, err)
			}
		}
	})
}

// Every single wrong character and every swap of neighbours is noticed.
func TestEveryMistypedCodeIsNoticed(t *testing.T) {
	const letters = "0123456789CFHJKMPRTVWXY"
	cubetest.Each(t, Cases/10_007, 31, func(t *testing.T, i int) {
		whole := CaseAt(i * 10_007).Code()
		code := []byte(whole)
		for i, right := range code {
			for _, wrong := range []byte(letters) {
				if wrong == right {
					continue
				}
				code[i] = wrong
				if _, err := ParseCode(string(code)); err == nil {
					t.Fatalf("%s is read, one character off %s", code, whole)
				}
			}
			code[i] = right
			if i > 0 && code[i-1] != right {
				code[i-1], code[i] = code[i], code[i-1]
				if _, err := ParseCode(string(code)); err == nil {
					t.Fatalf("%s is read, two swapped in %s", code, whole)
				}
				code[i-1], code[i] = code[i], code[i-1]
			}
		}
	})
	for _, text := range []string{"", "00000", "00000000", "0O00000", "0000001"} {
		_, err := ParseCode(text)
		var wrong *lastslot.CodeError
		assert.True(t, errors.As(err, &wrong), text)
	}
}

// drawn is a random case, and a position that has it.
func drawn(random *rand.Rand) (Case, cube.Cube) {
	c := CaseAt(random.IntN(Cases))
	return c, c.cubeAs([4]int(random.Perm(4)), [4]int(random.Perm(4)))
}

// A case turned is what the puzzle shows that is turned: by U, by y, and found again
// whatever face the cross is on.
func TestCasesTurnAsThePuzzleDoes(t *testing.T) {
	cubetest.Each(t, 40_000, 7, func(t *testing.T, i int) {
		random := rand.New(rand.NewPCG(2, uint64(i)))
		c, position := drawn(random)
		require.Equal(t, c, CaseOf(position, c.Open))
		quarters := 1 + i%3
		require.Equal(t, CaseOf(position.Turn(cube.TurnOf(cube.U, quarters)), c.Open), c.Turned(quarters))
		open := c.Open.TurnedRound(quarters)
		require.Equal(t, CaseOf(position.Turn(cube.TurnOf(cube.Y, quarters)), open), c.TurnedRound(quarters), "%s", c.Code())

		// Held so that another face is the bottom, then laid on another side.
		held := cube.Hold(random.IntN(cube.Holds)).Cube().Then(position)
		down := lastslot.CrossHolds[random.IntN(len(lastslot.CrossHolds))]
		laid := held.Then(down.Inverse().Cube())
		found, err := Find(laid, nil)
		require.NoError(t, err)
		if found.Hold != down {
			// A face earlier in the order has a cross and no more than two open slots too.
			state := lastslot.Look(found.Cube)
			require.True(t, len(state.Cross) == 0 && len(state.Open) <= 2)
			return
		}
		found, err = Find(laid, &c.Open)
		require.NoError(t, err)
		require.Equal(t, c, found.Case)
	})
}

// What turns make of a case is what their map does, seen from anywhere.
func TestMapsDoWhatTurnsDo(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for _, text := range []string{
		"R U R'", "R U2 R' U R U' R'", "D R U R' D'", "L' U L", "L' R U R' L", "B U B'", "R U' R' D R' U2 R D'", "F' U' F",
		"L E' L' U L E L'", "R2 U2 R2 U2 R2", "d R' U R d'", "U", "R U R' y' R' U R",
	} {
		turns := cubetest.Sequence(t, text)
		effect, hold := lastslot.Effect(turns)
		fitting := 0
		for o := range Open(Opens) {
			if Breaks(effect, o) != "" {
				continue
			}
			fitting++
			m := MapOf(effect, o)
			inverse := m.Inverse()
			require.Equal(t, MapOf(cube.Solved, o), m.Then(&inverse))
			for range 200 {
				c, _ := drawn(random)
				c.Open = o
				position := c.Cube().Do(turns)
				after := c.After(&m)
				require.Equal(t, CaseOf(position, o.TurnedRound(int(hold))), after.TurnedRound(int(hold)), text)
				for _, slot := range o.Slots() {
					require.Equal(t, m.FilledFrom(o, slot) == c.PairPlace(slot), after.Filled(slot))
				}
				for quarters := range 4 {
					seen := m.TurnedRound(o, quarters)
					round := c.TurnedRound(quarters)
					require.Equal(t, after.TurnedRound(quarters), round.After(&seen))
				}
			}
		}
		require.Positive(t, fitting, text)
	}
}

// With one of the two filled there is a last-slot case: the one that is found in the
// puzzle.
func TestWhatIsLeftIsALastSlotCase(t *testing.T) {
	cubetest.Each(t, lastslot.Cases, 31, func(t *testing.T, index int) {
		last := lastslot.CaseAt(index)
		position := last.Cube()
		for slot := range lastslot.Slot(lastslot.Slots) {
			if slot != last.Slot {
				c := CaseOf(position, OpenOf(slot, last.Slot))
				require.True(t, c.Filled(slot))
				require.Equal(t, last, c.Last(slot))
			}
		}
	})
}

// Scrambles lead to their case, and those seen in the mirror to its mirror image.
func TestScramblesAndMirrorImages(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(5, 6))
	for range 120 {
		c, _ := drawn(random)
		turns := c.Scramble(cube.FaceD, random)
		require.Equal(t, c, CaseOf(turns.Cube(), c.Open))
		mirrored := c.Mirror()
		require.Equal(t, CaseOf(turns.Mirror(cube.MirrorLR).Cube(), mirrored.Open), mirrored)
		require.Equal(t, c, mirrored.Mirror())
	}
}

// What is not before the last two slots is told; slots that are named must be those that
// are open.
func TestFindSaysWhatIsUnsolved(t *testing.T) {
	position := cubetest.Sequence(t, "R U R' U2 L' U' L").Cube()
	found, err := Find(position, nil)
	require.NoError(t, err)
	assert.Equal(t, OpenOf(lastslot.FR, lastslot.FL), found.Case.Open)
	named := OpenOf(lastslot.FR, lastslot.BL)
	_, err = Find(position, &named)
	var other *NotNamedError
	require.ErrorAs(t, err, &other)
	assert.Contains(t, other.Error(), "FL (front left) is open")

	// Where fewer are open, the first solved ones are taken with them.
	for text, want := range map[string]string{"U": "FR,FL", "R U R'": "FR,FL", "R' U R": "FR,BR", "L U L'": "FR,BL"} {
		found, err := Find(cubetest.Sequence(t, text).Cube(), nil)
		require.NoError(t, err, text)
		assert.Equal(t, want, found.Case.Open.String(), text)
	}

	_, err = Find(cubetest.Sequence(t, "R U R' U2 L' U' L U B U B'").Cube(), nil)
	var unsolved *lastslot.UnsolvedError
	require.ErrorAs(t, err, &unsolved)
	assert.Equal(t, "not a position before the last two slots: with the yellow cross down, 3 slots are open: FR (front right), FL (front left) and BR (back right)", unsolved.Error())
	_, err = Find(cubetest.Sequence(t, "R U R' F B2 D L").Cube(), nil)
	require.ErrorAs(t, err, &unsolved)
}

func FuzzParseCode(f *testing.F) {
	for _, seed := range []string{"", "0000000", "yy4t9", "000000\x00", "ÄÖÜß€", "0000000000"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, err := ParseCode(text)
		if err == nil {
			assert.Equal(t, strings.ToUpper(text), c.Code())
			return
		}
		var wrong *lastslot.CodeError
		require.True(t, errors.As(err, &wrong))
	})
}
