package lastslot

import (
	"testing"

	"slotcast/cube"
	"slotcast/cube/cubetest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAnInsertionIsCheckedAndItsCaseWorkedOut(t *testing.T) {
	for _, test := range []struct {
		turns, kept string
		slot        Slot
	}{
		{"R U R'", "R U R'", FR},
		{"U R U R' U2", "R U R'", FR},
		{"L' U' L", "L' U' L", FL},
		{"U y L' U L", "y L' U L", FR},
		{"d R' U' R", "d R' U' R", FR},
		{"y2 R U R' y U", "y2 R U R' y", BL},
		{"x R B R' x'", "x R B R' x'", FR},
		{"R U R' U' R U R' U' R U R'", "R U R' U' R U R' U' R U R'", FR},
	} {
		i, err := CheckInsertion(nil, cubetest.Sequence(t, test.turns))
		require.NoError(t, err, test.turns)
		assert.Equal(t, test.slot, i.Slot, test.turns)
		assert.Equal(t, test.kept, i.Turns.String())
		named, err := CheckInsertion(&test.slot, cubetest.Sequence(t, test.turns))
		require.NoError(t, err)
		assert.Equal(t, i, named)

		c := i.Case()
		require.NoError(t, c.check())
		after := cubetest.Of(cubeOf(c, nil)).Do(i.Turns)
		assert.True(t, after.FirstTwoLayersAndTop(i.Turns.Cube().Hold()), "%s solves %s", i.Turns, c.Code())

		mirrored := i.Mirror()
		assert.Equal(t, i.Slot^1, mirrored.Slot)
		after = cubetest.Of(cubeOf(mirrored.Case(), nil)).Do(mirrored.Turns)
		assert.True(t, after.FirstTwoLayersAndTop(mirrored.Turns.Cube().Hold()), "%s", mirrored.Turns)
		assert.Equal(t, i, mirrored.Mirror())
	}
	inserted, err := CheckInsertion(nil, cubetest.Sequence(t, "R U R'"))
	require.NoError(t, err)
	assert.Equal(t, "L' U' L", inserted.Mirror().Turns.String())
}

func TestAnInsertionIsToldWhatItDoesInstead(t *testing.T) {
	fr, bl := FR, BL
	for _, test := range []struct {
		slot        *Slot
		turns, says string
	}{
		{nil, "U y2", "it only turns the top or the whole puzzle and fills no slot"},
		{nil, "R U R' U R U2 R'", "it keeps all four slots: say which one it is for"},
		{&bl, "R U R'", "it does not keep the slot FR (front right)"},
		{nil, "R U R' L' U L", "it does not keep the slots FR (front right), FL (front left); an insertion may change one slot only"},
		{&fr, "R", "it does not keep the cross (DR) and the slot BR (back right)"},
		{&fr, "R U R' x", "it ends with another face at the bottom: end it with x'"},
	} {
		_, err := CheckInsertion(test.slot, cubetest.Sequence(t, test.turns))
		assert.EqualError(t, err, test.says, test.turns)
	}
}

func TestNoSequenceIsAnInsertionThatIsNone(t *testing.T) {
	for turns, says := range map[string]string{
		"R":             "does not keep the cross",
		"L' U L":        "does not keep the slot FL",
		"R U R' x":      "ends with another face at the bottom",
		"R U R' U' D D": "does not keep the cross",
	} {
		_, err := NewInsertion(FR, cubetest.Sequence(t, turns))
		assert.ErrorContains(t, err, says, turns)
	}
	turned, err := NewInsertion(FR, cubetest.Sequence(t, "d R' U' R"))
	require.NoError(t, err)
	assert.Equal(t, 3, turned.turned, "d is U and the puzzle turned by y'")
}

// Keyhole with front left open beside it needs no last slot; what the trade says
// of it is true of the puzzle all the same.
func TestKeyholeFillsTheSlotThroughItsNeighbour(t *testing.T) {
	for _, text := range []string{"D R U R' D'", "D F' U' F D'"} {
		c := cubetest.Sequence(t, text).Cube()
		assert.Equal(t, cube.Solved.Corners[cube.DFR], c.Corners[cube.DFR], text)
		assert.GreaterOrEqual(t, c.Edges[cube.FR].Piece(), cube.UB)
		assert.Less(t, c.Edges[cube.FR].Piece(), cube.FR, text)
	}
}
