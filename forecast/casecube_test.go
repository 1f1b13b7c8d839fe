package forecast

import (
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/cube"
)

// Every case has a position that is found to be that case, and that turns can
// lead to: orders of corners and edges are both even or both odd.
func TestCubeOfEveryCase(t *testing.T) {
	for index := range Cases {
		c := CaseAt(index)
		position := c.Cube()
		found, err := Find(position, &c.Slot)
		require.NoError(t, err)
		require.Equal(t, c, found.Case)
		require.Equal(t, cube.Hold(0), found.Hold)
		corners, edges := make([]int, 0, cube.CornerPlaces), make([]int, 0, cube.EdgePlaces)
		for _, at := range position.Corners {
			corners = append(corners, int(at.Piece()))
		}
		for _, at := range position.Edges {
			edges = append(edges, int(at.Piece()))
		}
		require.Equal(t, oddOrder(corners), oddOrder(edges))
	}
}
