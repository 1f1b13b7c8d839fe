package lastslot

import (
	"errors"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
)

// cubeOf is a puzzle with the case, the pieces that the case leaves free drawn at
// random; without random numbers they stand in order.
func cubeOf(c Case, random *rand.Rand) cube.Cube {
	order := func(pair int) (pieces [Spots]int) {
		rest := []int{0, 1, 2, 3}
		if random != nil {
			random.Shuffle(len(rest), func(i, j int) { rest[i], rest[j] = rest[j], rest[i] })
		}
		for spot := range pieces {
			if spot == pair {
				pieces[spot] = InSlot
				continue
			}
			pieces[spot], rest = rest[0], rest[1:]
		}
		return pieces
	}
	corners, edges := order(c.Corner), order(c.Edge)
	if odd(corners) != odd(edges) {
		// Two last-layer edges swapped: any two will do.
		var free []int
		for spot, piece := range edges {
			if piece != InSlot {
				free = append(free, spot)
			}
		}
		edges[free[0]], edges[free[1]] = edges[free[1]], edges[free[0]]
	}
	r := cube.Solved
	for spot := range Spots {
		r.Corners[c.Slot.CornerPlace(spot)] = cube.CornerAs(c.Slot.CornerPlace(corners[spot]), c.Twists[spot])
		r.Edges[c.Slot.EdgePlace(spot)] = cube.EdgeAs(c.Slot.EdgePlace(edges[spot]), c.Flips[spot])
	}
	return r
}

func odd(order [Spots]int) bool {
	swaps := 0
	for i := range order {
		for j := range i {
			if order[j] > order[i] {
				swaps++
			}
		}
	}
	return swaps%2 == 1
}

// 32,400 a slot and 8,112 up to AUF: GAP's orbits (testdata/published,
// pattern_counts.tsv).
func TestNumberOfCases(t *testing.T) {
	assert.Equal(t, 32400, CasesPerSlot)
	assert.Equal(t, 129600, Cases)

	seen := make([]bool, CasesPerSlot)
	orbits := 0
	places := map[int]bool{}
	for index := range CasesPerSlot {
		if seen[index] {
			continue
		}
		orbits++
		c := cubeOf(CaseAt(index), nil)
		first := 1 << 30
		for range 4 {
			turned := caseOf(c, FR)
			seen[turned.Index()] = true
			first = min(first, turned.PairPlace())
			c = c.Turn(cube.TurnOf(cube.U, 1))
		}
		places[first] = true
	}
	assert.Equal(t, 8112, orbits)
	// Places of the pair up to AUF, the solved one among them: 42.
	assert.Len(t, places, 42)
}

func TestEveryCaseHasItsIndexAndCode(t *testing.T) {
	t.Parallel()
	for index := range Cases {
		c := CaseAt(index)
		require.NoError(t, c.check())
		require.Equal(t, index, c.Index())
		code := c.Code()
		require.Len(t, code, codeLength)
		read, err := ParseCode(code)
		require.NoError(t, err)
		require.Equal(t, c, read)
	}
	lower, err := ParseCode(strings.ToLower(CaseAt(100000).Code()))
	require.NoError(t, err)
	assert.Equal(t, CaseAt(100000), lower)
}

// Every single wrong character and every swap of neighbours is noticed, in the
// codes of all cases.
func TestEveryMistypedCodeIsNoticed(t *testing.T) {
	cubetest.Each(t, Cases, 31, func(t *testing.T, index int) {
		code := []byte(CaseAt(index).Code())
		for i, right := range code {
			for _, wrong := range []byte(codeLetters) {
				if wrong == right {
					continue
				}
				code[i] = wrong
				if _, err := ParseCode(string(code)); err == nil {
					t.Fatalf("%s is read, one character off %s", code, CaseAt(index).Code())
				}
			}
			code[i] = right
			if i > 0 && code[i-1] != right {
				code[i-1], code[i] = code[i], code[i-1]
				if _, err := ParseCode(string(code)); err == nil {
					t.Fatalf("%s is read, two swapped in %s", code, CaseAt(index).Code())
				}
				code[i-1], code[i] = code[i], code[i-1]
			}
		}
	})
	// Any character outside the code's own is wrong wherever it stands, so one
	// code stands for all.
	code := []rune(CaseAt(777).Code())
	for i, right := range code {
		for r := range rune(0x250) {
			if strings.ContainsRune(codeLetters, r) || strings.ContainsRune(strings.ToLower(codeLetters), r) {
				continue
			}
			code[i] = r
			_, err := ParseCode(string(code))
			var wrong *CodeError
			require.True(t, errors.As(err, &wrong), "%q", string(code))
			require.Equal(t, i, wrong.Offset, "%q", string(code))
		}
		code[i] = right
	}
}

// Letters that are taken for a digit, seen or heard: common practice, no source.
func TestCodeLettersAreNotTakenForDigits(t *testing.T) {
	for _, letter := range "BDGILOQSZ" {
		assert.NotContains(t, codeLetters, string(letter))
	}
}

func TestCodeErrorsSayWhere(t *testing.T) {
	for _, test := range []struct {
		code   string
		offset int
		says   string
	}{
		{"", 0, "has 5 characters; this one has 0"},
		{"00", 2, "has 5 characters; this one has 2"},
		{"000000", 5, "has 5 characters; this one has 6"},
		{"0O000", 1, "“O” is in no code"},
		{"00001", 0, "a character is wrong, or two are swapped"},
		{"00é00", 2, "“é” is in no code"},
	} {
		_, err := ParseCode(test.code)
		var wrong *CodeError
		require.True(t, errors.As(err, &wrong), test.code)
		assert.Equal(t, test.offset, wrong.Offset, test.code)
		assert.Contains(t, wrong.Error(), test.says)
	}
}

func FuzzParseCode(f *testing.F) {
	for _, seed := range []string{"", "00000", "yy4t9", "0000\x00", "ÄÖÜß€", "0000000000"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, err := ParseCode(text)
		if err == nil {
			assert.Equal(t, strings.ToUpper(text), c.Code())
			return
		}
		var wrong *CodeError
		require.True(t, errors.As(err, &wrong))
		assert.GreaterOrEqual(t, wrong.Offset, 0)
	})
}

func TestAnImpossibleCaseIsToldInWords(t *testing.T) {
	c := CaseAt(4711)
	c.Twists[1] = (c.Twists[1] + 1) % 3
	_, err := NewCase(c)
	assert.ErrorIs(t, err, ErrTwist)
	c.Flips[0] ^= 1
	_, err = NewCase(c)
	assert.ErrorIs(t, err, ErrTwistAndFlip)
	c.Twists[1] = (c.Twists[1] + 2) % 3
	_, err = NewCase(c)
	assert.ErrorIs(t, err, ErrFlip)
	c.Twists[1] = 3
	_, err = NewCase(c)
	assert.Error(t, err)
}
