package lastslot

import (
	"errors"
	"math/rand/v2"
	"sync/atomic"
	"testing"

	"slotcast/cube/cubetest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
)

// Every case is found again in a puzzle that has it, whatever face the cross is
// on and however the puzzle is held.
func TestEveryCaseIsFoundInAPuzzle(t *testing.T) {
	var earlier atomic.Int64
	cubetest.Each(t, Cases, 7, func(t *testing.T, index int) {
		random := rand.New(rand.NewPCG(1, uint64(index)))
		want := CaseAt(index)
		// Held so that another face is the bottom, with colours where they then
		// belong: the puzzle with white on top, rotated.
		hold := cube.Hold(index % cube.Holds)
		c := hold.Cube().Then(cubeOf(want, random))
		slot := &want.Slot
		if !want.Solved() {
			slot = nil
		}
		found, err := Find(c, slot)
		require.NoError(t, err)
		require.Equal(t, cube.Hold(0), found.Hold)
		require.Equal(t, want, found.Case)

		// The same, laid on another side: the hold that is found brings it back, but
		// for a turn by y and for a cross that comes earlier in the order.
		down := CrossHolds[index%len(CrossHolds)]
		found, err = Find(c.Then(down.Inverse().Cube()), nil)
		require.NoError(t, err)
		if found.Hold != down {
			// So nearly solved that a face earlier in the order has a cross too.
			earlier.Add(1)
			state := Look(found.Cube)
			require.Empty(t, state.Cross)
			require.LessOrEqual(t, len(state.Open), 1)
			return
		}
		if !want.Solved() {
			require.Equal(t, want, found.Case)
		}
	})
	assert.Less(t, earlier.Load(), int64(Cases/500))
}

// The rotations that bring each face down are those of the interface: where the
// cross is now, and what to do first.
func TestHoldForEachCrossFace(t *testing.T) {
	for _, test := range []struct {
		at   cube.Face
		hold string
	}{
		{cube.FaceD, ""}, {cube.FaceU, "x2"}, {cube.FaceF, "x'"},
		{cube.FaceB, "x"}, {cube.FaceR, "z"}, {cube.FaceL, "z'"},
	} {
		turns, err := cube.Parse(test.hold)
		require.NoError(t, err)
		assert.Equal(t, cube.FaceD, turns.Cube().Hold().Face(test.at), test.hold)

		// Done backwards from a last-slot position with the cross down, the rotation
		// puts the cross on that face.
		c := cubetest.Sequence(t, "R U R'").Cube().Then(turns.Cube().Inverse())
		found, err := Find(c, nil)
		require.NoError(t, err)
		assert.Equal(t, test.hold, found.Hold.Turns().String())
	}
}

func TestSolvedTakesTheFirstSlotOrTheOneNamed(t *testing.T) {
	for _, slot := range []Slot{FR, FL, BL, BR} {
		found, err := Find(cube.Solved, &slot)
		require.NoError(t, err)
		assert.Equal(t, slot, found.Case.Slot)
		assert.True(t, found.Case.Solved())
	}
	found, err := Find(cube.Solved, nil)
	require.NoError(t, err)
	assert.Equal(t, FR, found.Case.Slot)
	assert.Equal(t, cube.Hold(0), found.Hold)
}

func TestWhatIsUnsolvedIsSaidInWords(t *testing.T) {
	br := BR
	for _, test := range []struct {
		turns string
		slot  *Slot
		says  string
	}{
		{"R U R' L' U' L", nil, "not a position before the last slot: with the yellow cross down, 2 slots are open: FR (front right) and FL (front left)"},
		{"R U R' L' U' L z y", nil, "with the yellow cross down (x), 2 slots are open: FL (front left) and BL (back left)"},
		{"R U R' L' U' L B U B'", nil, "with the yellow cross down, 3 slots are open: FR (front right), FL (front left) and BR (back right)"},
		{"R U R' L' U' L L U L' R' U R", nil, "with the yellow cross down, all four slots are open"},
		{"F R", nil, "with the blue cross down (x), the blue-red edge is unsolved and 2 slots are open: FR (front right) and BR (back right)"},
		{"R U R'", &br, "the slot BR (back right) is already filled; the open one is FR (front right)"},
		{"R U2 F' L D B2 U R' F D2 L2 U' B R2 F' D L' B", nil, "not a position before the last slot"},
	} {
		_, err := Find(cubetest.Sequence(t, test.turns).Cube(), test.slot)
		var unsolved *UnsolvedError
		require.True(t, errors.As(err, &unsolved), test.turns)
		assert.Contains(t, unsolved.Error(), test.says)
	}
}
