package lastslot

import (
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/cube"
)

// Every case has a position that is found to be that case, and that turns can
// lead to: orders of corners and edges are both even or both odd.
func TestCubeOfEveryCase(t *testing.T) {
	t.Parallel()
	for index := range Cases {
		c := CaseAt(index)
		position := c.Cube()
		found, err := Find(position, &c.Slot)
		require.NoError(t, err)
		require.Equal(t, c, found.Case)
		require.Equal(t, cube.Hold(0), found.Hold)
		corners, edges := 0, 0
		for place, at := range position.Corners {
			for _, other := range position.Corners[:place] {
				if other.Piece() > at.Piece() {
					corners++
				}
			}
		}
		for place, at := range position.Edges {
			for _, other := range position.Edges[:place] {
				if other.Piece() > at.Piece() {
					edges++
				}
			}
		}
		require.Equal(t, corners%2, edges%2)
	}
}
