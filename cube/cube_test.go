package cube_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"slotcast/cube"
	"slotcast/cube/cubetest"
)

// Every turn of the fast model does what turning the stickers does.
func TestTurnsAgreeWithTheStickers(t *testing.T) {
	for turn := range cube.Turn(cube.Turns) {
		assert.Equal(t, cubetest.Solved.Do(cube.Sequence{turn}), cubetest.Of(turn.Cube()), turn.String())
	}
}
