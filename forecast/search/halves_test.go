package search

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
)

// keptKey is where a position has the pieces of the cross and of the slots that are not
// open, and how they are turned.
func keptKey(c cube.Cube, open twoslots.Open) (key uint64) {
	where := c.Inverse()
	for _, p := range []cube.EdgePlace{cube.DF, cube.DL, cube.DB, cube.DR} {
		key = key*24 + uint64(where.Edges[p].Piece())*2 + uint64(where.Edges[p].Flip())
	}
	slots := open.Slots()
	for slot := range lastslot.Slot(lastslot.Slots) {
		if slot == slots[0] || slot == slots[1] {
			continue
		}
		edge, corner := where.Edges[slot.Edge()], where.Corners[slot.Corner()]
		key = key*24 + uint64(edge.Piece())*2 + uint64(edge.Flip())
		key = key*24 + uint64(corner.Piece())*3 + uint64(corner.Twist())
	}
	return key
}

// eachHalf walks the sequences of so many face turns: turns of one face are one turn, and of
// opposite faces the first comes first.
func eachHalf(length int, visit func(cube.Cube)) {
	var walk func(c cube.Cube, last cube.Face, left int)
	walk = func(c cube.Cube, last cube.Face, left int) {
		if left == 0 {
			visit(c)
			return
		}
		for face := range cube.Face(cube.Faces) {
			if left < length && (face == last || face == last.Opposite() && face < last) {
				continue
			}
			for quarters := 1; quarters <= 3; quarters++ {
				walk(c.Turn(cube.TurnOf(cube.U+cube.Layer(face), quarters)), face, left-1)
			}
		}
	}
	walk(cube.Solved, 0, length)
}

// How many halves meet, by length, from plain turns: the ground of the search for steps.
func TestNumbersOfHalvesThatKeepTwoSlots(t *testing.T) {
	t.Parallel()
	file, err := os.ReadFile("testdata/two_slot_halves.tsv")
	require.NoError(t, err)
	opens := map[string]twoslots.Open{"adjacent": twoslots.OpenOf(lastslot.FR, lastslot.FL), "opposite": twoslots.OpenOf(lastslot.FR, lastslot.BL)}
	checked := 0
	for line := range strings.Lines(string(file)) {
		var kind string
		var length, want int
		if n, _ := fmt.Sscanf(line, "%s\t%d\t%d", &kind, &length, &want); n < 3 || testing.Short() && length > 8 {
			continue
		}
		ends := map[uint64]int{}
		eachHalf(length/2, func(c cube.Cube) { ends[keptKey(c, opens[kind])]++ })
		got := 0
		eachHalf(length-length/2, func(c cube.Cube) { got += ends[keptKey(c, opens[kind])] })
		assert.Equal(t, want, got, "%s, %d turns", kind, length)
		checked++
	}
	assert.GreaterOrEqual(t, checked, 12)
}
