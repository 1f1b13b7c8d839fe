package lastslot

import (
	"testing"

	"slotcast/cube/cubetest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestASequenceIsAcceptedWithAnyAUFAndRotation(t *testing.T) {
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
		s, err := CheckSequence(27, cubetest.Sequence(t, written))
		if kept == "" {
			assert.Error(t, err, written)
			continue
		}
		require.NoError(t, err, written)
		assert.Equal(t, kept, s.Turns.String(), written)
	}
}

func TestASequenceIsToldWhatItDoesInstead(t *testing.T) {
	for _, test := range []struct {
		pattern     Pattern
		turns, says string
	}{
		{27, "R U2 R' U' R U' R'", "it orients pattern 26, not 27"},
		{26, "R U R' U R U2 R'", "it orients pattern 27, not 26"},
		{27, "R U R' U' R' F R2 U' R' U' R U R' F'", "it keeps F2L but orients nothing: pattern 27 stays as it is"},
		{27, "U2", "it keeps F2L but orients nothing: pattern 27 stays as it is"},
		{27, "R U R'", "it does not keep the slot FR (front right)"},
		{27, "R2", "it does not keep the cross (DR) and the slots FR (front right), BR (back right)"},
		{27, "M2 U M2", "it does not keep the cross (DF, DB)"},
		{0, "R U R' U R U2 R'", "pattern 0 is an OLL skip and needs no algorithm"},
		{58, "R", "no pattern 58: they are numbered from 1 to 57"},
	} {
		_, err := CheckSequence(test.pattern, cubetest.Sequence(t, test.turns))
		assert.EqualError(t, err, test.says, test.turns)
	}
}
