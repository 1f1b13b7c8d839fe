package lastslot

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMapNumbersAndTheirInverses(t *testing.T) {
	seen := map[[Spots]uint8]bool{}
	for number := range CornerMaps {
		m := Map{Corners: cornersAt(number), Edges: edgesAt(0)}
		corners, _ := m.Numbers()
		require.Equal(t, number, corners)
		seen[m.Corners] = true
	}
	assert.Len(t, seen, CornerMaps)
	clear(seen)
	for number := range EdgeMaps {
		m := Map{Corners: cornersAt(0), Edges: edgesAt(number)}
		_, edges := m.Numbers()
		require.Equal(t, number, edges)
		seen[m.Edges] = true
	}
	assert.Len(t, seen, EdgeMaps)
}
