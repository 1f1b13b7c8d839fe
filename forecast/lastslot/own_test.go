package lastslot

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
)

func insertion(t testing.TB, slot Slot, text string) Insertion {
	i, err := CheckInsertion(&slot, sequence(t, text))
	require.NoError(t, err, text)
	return i
}

func TestASequenceIsAcceptedWithAnyAUFAndRotation(t *testing.T) {
	t.Parallel()
	for written, kept := range map[string]string{
		"R U R' U R U2 R'":          "R U R' U R U2 R'",
		"U2 R U R' U R U2 R' U'":    "R U R' U R U2 R'",
		"U y U R U R' U R U2 R' U":  "y R U R' U R U2 R'",
		"y U y' R U R' U R U2 R' y": "R U R' U R U2 R' y",
		"R U R' U R U2 R' U y' U2":  "R U R' U R U2 R' y'",
		"x R B R' B R B2 R' x'":     "x R B R' B R B2 R' x'",
		"x R B R' B R B2 R'":        "x R B R' B R B2 R'",
		"z' R F R' F R F2 R' x2 y":  "",
		"L' d' r' U' R U M'":        "",
		"R U R' U R U2 L'":          "",
	} {
		s, err := CheckSequence(27, sequence(t, written))
		if kept == "" {
			assert.Error(t, err, written)
			continue
		}
		require.NoError(t, err, written)
		assert.Equal(t, kept, s.Turns.String(), written)
	}
}

func TestASequenceIsToldWhatItDoesInstead(t *testing.T) {
	t.Parallel()
	for _, test := range []struct {
		pattern     Pattern
		turns, says string
	}{
		{27, "R U2 R' U' R U' R'", "it orients pattern 26, not 27"},
		{26, "R U R' U R U2 R'", "it orients pattern 27, not 26"},
		{27, "R U R' U' R' F R2 U' R' U' R U R' F'", "it keeps the first two layers, but orients nothing: pattern 27 stays as it is"},
		{27, "U2", "it keeps the first two layers, but orients nothing: pattern 27 stays as it is"},
		{27, "R U R'", "it does not keep the slot FR (front right)"},
		{27, "R2", "it does not keep the cross (DR) and the slots FR (front right), BR (back right)"},
		{27, "M2 U M2", "it does not keep the cross (DF, DB)"},
		{0, "R U R' U R U2 R'", "pattern 0 is oriented already and needs no sequence"},
		{58, "R", "no pattern 58: they are numbered from 1 to 57"},
	} {
		_, err := CheckSequence(test.pattern, sequence(t, test.turns))
		assert.EqualError(t, err, test.says, test.turns)
	}
}

// Whatever hold a sequence ends in: does it leave the first two layers solved and
// the top of one colour, sticker by sticker?
func orientedByStickers(s cubetest.Stickers, end cube.Hold) bool {
	s = s.Do(end.Inverse().Turns())
	for i, from := range s {
		if at, colour := cubetest.Cell(i), cubetest.Cell(int(from)); len(at) == 1 && at != colour {
			return false
		} else if !onTop(i) && at[0] != colour[0] || at[0] == 'U' && colour[0] != 'U' {
			return false
		}
	}
	return true
}

// onTop is whether the sticker place is on a piece of the top layer.
func onTop(i int) bool {
	for _, face := range cubetest.Cell(i) {
		if face == 'U' {
			return true
		}
	}
	return false
}

func TestAnInsertionIsCheckedAndItsCaseWorkedOut(t *testing.T) {
	t.Parallel()
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
		i, err := CheckInsertion(nil, sequence(t, test.turns))
		require.NoError(t, err, test.turns)
		assert.Equal(t, test.slot, i.Slot, test.turns)
		assert.Equal(t, test.kept, i.Turns.String())
		named, err := CheckInsertion(&test.slot, sequence(t, test.turns))
		require.NoError(t, err)
		assert.Equal(t, i, named)

		c := i.Case()
		require.NoError(t, c.check())
		after := cubetest.Of(cubeOf(c, nil)).Do(i.Turns)
		assert.True(t, orientedByStickers(after, i.Turns.Cube().Hold()), "%s solves %s", i.Turns, c.Code())

		mirrored := i.Mirror()
		assert.Equal(t, i.Slot^1, mirrored.Slot)
		after = cubetest.Of(cubeOf(mirrored.Case(), nil)).Do(mirrored.Turns)
		assert.True(t, orientedByStickers(after, mirrored.Turns.Cube().Hold()), "%s", mirrored.Turns)
		assert.Equal(t, i, mirrored.Mirror())
	}
	assert.Equal(t, "L' U' L", insertion(t, FR, "R U R'").Mirror().Turns.String())
}

func TestAnInsertionIsToldWhatItDoesInstead(t *testing.T) {
	t.Parallel()
	fr, bl := FR, BL
	for _, test := range []struct {
		slot        *Slot
		turns, says string
	}{
		{nil, "U y2", "it only turns the top or the whole puzzle: that fills no slot"},
		{nil, "R U R' U R U2 R'", "it keeps all four slots: say which one it is for"},
		{&bl, "R U R'", "it does not keep the slot FR (front right)"},
		{nil, "R U R' L' U L", "it does not keep the slots FR (front right), FL (front left); an insertion may change one slot only"},
		{&fr, "R", "it does not keep the cross (DR) and the slot BR (back right)"},
		{&fr, "R U R' x", "it ends with another face at the bottom: end it with x'"},
	} {
		_, err := CheckInsertion(test.slot, sequence(t, test.turns))
		assert.EqualError(t, err, test.says, test.turns)
	}
}
