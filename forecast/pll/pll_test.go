package pll

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// The orders that turns can lead to are 4! times 4! by two, each of one PLL. How
// many of them each has is common practice, no source: of 72 solves one in which
// H, Na, Nb or nothing is left, two of E and of Z, four of each other.
func TestPLLsCoverAllOrders(t *testing.T) {
	sizes := map[string]int{}
	for _, p := range plls() {
		sizes[p.String()]++
	}
	assert.Len(t, plls(), 288)
	assert.Len(t, sizes, PLLs)
	for letters, size := range sizes {
		want := 16
		switch letters {
		case "", "H", "Na", "Nb":
			want = 4
		case "E", "Z":
			want = 8
		}
		assert.Equal(t, want, size, letters)
	}
}

// Sequences that the trade knows for each, from memory: each does one PLL, so from
// the solved puzzle its inverse leads to that one.
func TestPLLsBySequence(t *testing.T) {
	for _, known := range [][2]string{
		{"Aa", "x R' U R' D2 R U' R' D2 R2 x'"},
		{"Ab", "x R2 D2 R U R' D2 R U' R x'"},
		{"E", "x' R U' R' D R U R' D' R U R' D R U' R' D' x"},
		{"F", "R' U' F' R U R' U' R' F R2 U' R' U' R U R' U R"},
		{"Ga", "R2 U R' U R' U' R U' R2 U' D R' U R D'"},
		{"Gb", "R' U' R U D' R2 U R' U R U' R U' R2 D"},
		{"Gc", "R2 U' R U' R U R' U R2 U D' R U' R' D"},
		{"Gd", "R U R' U' D R2 U' R U' R' U R' U R2 D'"},
		{"H", "M2 U M2 U2 M2 U M2"},
		{"Ja", "L' U' L F L' U' L U L F' L2 U L"},
		{"Jb", "R U R' F' R U R' U' R' F R2 U' R'"},
		{"Na", "R U R' U R U R' F' R U R' U' R' F R2 U' R' U2 R U' R'"},
		{"Nb", "R' U R U' R' F' U' F R U R' F R' F' R U' R"},
		{"Ra", "R U' R' U' R U R D R' U' R D' R' U2 R'"},
		{"Rb", "R' U2 R U2 R' F R U R' U' R' F' R2"},
		{"T", "R U R' U' R' F R2 U' R' U' R U R' F'"},
		{"Ua", "R U' R U R U R U' R' U' R2"},
		{"Ua", "M2 U M U2 M' U M2"},
		{"Ub", "R2 U R U R' U' R' U' R' U R'"},
		{"Ub", "M2 U' M U2 M' U' M2"},
		{"V", "R' U R' U' y R' F' R2 U' R' U R' F R F"},
		{"Y", "F R U' R' U' R U R' F' R U R' U' R' F R F'"},
		{"Z", "M' U' M2 U' M2 U' M' U2 M2"},
	} {
		turns, err := cube.Parse(known[1])
		require.NoError(t, err)
		p, ok := Of(turns.Inverse().Cube())
		require.True(t, ok, known[0])
		assert.Equal(t, known[0], p.String())
		// However the puzzle is held and the top turned, it stays the same.
		for _, quarters := range lastslot.AUFs {
			p, ok := Of(cube.Join(quarters, turns.Inverse(), quarters, lastslot.Rotations[1]).Cube())
			require.True(t, ok)
			assert.Equal(t, known[0], p.String())
		}
	}
	for _, turns := range []string{"R", "R U R' U R U2 R'", "U x", "F R U R' U' F'"} {
		sequence, err := cube.Parse(turns)
		require.NoError(t, err)
		_, ok := Of(sequence.Cube())
		assert.False(t, ok, turns)
	}
}
