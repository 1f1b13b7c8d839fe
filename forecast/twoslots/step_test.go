package twoslots

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
)

// A step is told by its turns without AUF and rotation, and by the slots as they stand
// before those.
func TestSteps(t *testing.T) {
	t.Parallel()
	open := OpenOf(lastslot.FR, lastslot.FL)
	keyhole := cubetest.Sequence(t, "D R U R' D'") // common practice, no source
	s, err := CheckStep(open, keyhole)
	require.NoError(t, err)
	assert.Equal(t, Step{open, keyhole}, s)
	for _, turns := range []string{"U D R U R' D'", "D R U R' D' U2", "U' D R U R' D' U"} {
		same, err := CheckStep(open, cubetest.Sequence(t, turns))
		require.NoError(t, err)
		assert.Equal(t, s, same, turns)
	}
	turned, err := CheckStep(OpenOf(lastslot.FR, lastslot.BR), cubetest.Sequence(t, "U y D R U R' D'"))
	require.NoError(t, err)
	assert.Equal(t, s, turned, "after y the slots at the right are those at the front")
	assert.Equal(t, []int{1}, s.SeenAt(OpenOf(lastslot.FR, lastslot.BR)))
	opposite := Step{Open: OpenOf(lastslot.FR, lastslot.BL)}
	assert.Equal(t, []int{0, 2}, opposite.SeenAt(opposite.Open))

	for turns, says := range map[string]string{
		"R U R'":              "keep front left",
		"":                    "keep front right",
		"U2":                  "keep front right",
		"B U B'":              "do not keep what is solved",
		"D R U R'":            "do not keep what is solved",
		"x R U R'":            "the cross does not end at the bottom",
		"R U R' L' U' L U L'": "do not keep what is solved",
	} {
		_, err := CheckStep(open, cubetest.Sequence(t, turns))
		require.Error(t, err, turns)
		assert.Contains(t, err.Error(), says, turns)
	}
}
