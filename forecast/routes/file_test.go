package routes

import (
	"bytes"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/hands"
	"slotcast/forecast/twoslots"
)

// What is written is read again, and writing what was read gives the same file. It adds
// no more than 8 MiB to the program.
func TestTheFileIsReadAsItWasWritten(t *testing.T) {
	t.Parallel()
	var rows Rows
	for _, p := range parts {
		list, err := decode(stepsFile, p)
		require.NoError(t, err)
		rows[p.handed][p.open] = list
		sorted := slices.IsSortedFunc(list, func(a, b Row) int {
			if a.Rotation != b.Rotation {
				return int(a.Rotation) - int(b.Rotation)
			}
			return a.Turns.Compare(b.Turns)
		})
		assert.True(t, sorted)
	}
	assert.Len(t, parts, 4+twoslots.Opens)
	assert.Less(t, len(stepsFile), 8<<20)
	if !testing.Short() { // it takes a second
		again, err := Encode(&rows)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(stepsFile, again))
	}

	rows[0][0] = []Row{{Turns: make(cube.Sequence, 32)}}
	_, err := Encode(&rows)
	assert.Error(t, err)
}

// A file that is none, of another version, cut or changed is refused.
func TestADamagedFileIsRefused(t *testing.T) {
	t.Parallel()
	first := parts[0]
	changed := func(at int) []byte {
		file := bytes.Clone(stepsFile)
		file[at] ^= 1
		return file
	}
	start := len(fileWords)
	for _, tt := range []struct {
		file []byte
		want error
	}{
		{nil, ErrNoSteps}, {[]byte(fileWords), ErrDamaged}, {changed(0), ErrNoSteps}, {changed(start), ErrVersion},
		{changed(start + 1 + 4), ErrDamaged}, {changed(start + 1 + 4 + 32 + 100), ErrDamaged},
		{stepsFile[:start+20], ErrDamaged}, {stepsFile[:1000], ErrDamaged},
	} {
		_, err := decode(tt.file, first)
		assert.ErrorIs(t, err, tt.want)
	}
	_, err := newTable(stepsFile[:1000], hands.TwoHands, 0)
	assert.ErrorIs(t, err, ErrDamaged)
}

// A table is refused that has what breaks the cross or a slot.
func TestATableThatBreaksASlotIsRefused(t *testing.T) {
	t.Parallel()
	var rows Rows
	rows[0][0] = []Row{{Turns: cubetest.Sequence(t, "R U R'")}, {Turns: cubetest.Sequence(t, "B U B'")}}
	file, err := Encode(&rows)
	require.NoError(t, err)
	_, err = newTable(file, hands.TwoHands, 0)
	assert.ErrorContains(t, err, "B U B' does not keep what it should with FR,FL open")
}
