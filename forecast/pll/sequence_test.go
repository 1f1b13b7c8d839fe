package pll

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
)

func parsed(t testing.TB, text string) cube.Sequence {
	t.Helper()
	turns, err := cube.Parse(text)
	require.NoError(t, err)
	return turns
}

// The letters are read back, and mirror images are those of the trade (common
// practice, no source): a and b change places, of G a and c, b and d, and the others stay.
func TestLetters(t *testing.T) {
	assert.Len(t, Letters(), 21)
	for p := PLL(1); p < PLLs; p++ {
		read, err := Parse(p.String())
		require.NoError(t, err)
		assert.Equal(t, p, read)
		mirror := p.String()
		if len(mirror) == 2 {
			mirror = mirror[:1] + map[string]string{"a": "b", "b": "a", "c": "d", "d": "c"}[mirror[1:]]
		}
		if mirror == "Ga" || mirror == "Gb" || mirror == "Gc" || mirror == "Gd" {
			mirror = map[string]string{"Ga": "Gc", "Gb": "Gd", "Gc": "Ga", "Gd": "Gb"}[p.String()]
		}
		assert.Equal(t, mirror, p.Mirror().String(), p)
	}
	for _, wrong := range []string{"", "A", "aa", "Gx", "solved"} {
		_, err := Parse(wrong)
		assert.ErrorContains(t, err, "they are Aa, Ab, E", wrong)
	}
}

// A sequence is accepted with what it solves however it begins and ends, and solves every stand
// of its PLL after some AUF, by stickers; an error says what other turns do.
func TestCheckSequence(t *testing.T) {
	tee := PLL(16)
	require.Equal(t, "T", tee.String())
	const turns = "R U R' U' R' F R2 U' R' U' R U R' F'"
	for _, text := range []string{turns, "U " + turns + " U2", "y2 U' " + turns, turns + " y", turns + " x", "x x' " + turns} {
		s, err := CheckSequence(tee, parsed(t, text))
		require.NoError(t, err, text)
		assert.Equal(t, tee, s.Solves())
		assert.Less(t, int(s.Turns.Cube().Hold()), 4, "%s: the top is on top", s.Turns)
		solved := 0
		for before := range 4 {
			for after := range 4 {
				puzzle := cube.Join(lastslot.AUFs[before], parsed(t, turns).Inverse(), lastslot.AUFs[after], lastslot.Rotations[1]).Cube()
				stand, ok := StandOf(puzzle)
				require.True(t, ok)
				assert.Equal(t, tee, stand.PLL())
				for quarters := range 4 {
					last, ok := stand.After(quarters, &s).Last()
					if !ok {
						continue
					}
					solved++
					rest := cube.Join(lastslot.AUFs[quarters], s.Turns, lastslot.AUFs[last])
					whole := cube.Join(lastslot.Rotations[1], rest).Cube().Hold()
					assert.Equal(t, cubetest.Of(whole.Cube()), cubetest.Of(puzzle).Do(rest), "%v", rest)
				}
			}
		}
		assert.Equal(t, 16, solved, "each of 16 stands after one AUF")
	}
	for text, says := range map[string]string{
		"R U R'":                       "it does not keep the slot FR",
		"R U R' U R U2 R'":             "it does not keep the top oriented: it leaves pattern",
		"U R U R' U' U R U' R'":        "it solves nothing: PLL T stays as it is",
		"M2 U M2 U2 M2 U M2":           "it solves PLL H, not T",
		"R2 U R U R' U' R' U' R' U R'": "it solves PLL Ub, not T",
	} {
		_, err := CheckSequence(tee, parsed(t, text))
		assert.ErrorContains(t, err, says, text)
	}
	_, err := CheckSequence(0, parsed(t, turns))
	assert.ErrorContains(t, err, "needs no algorithm")
}
