package atlas

import (
	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// mapOf is [lastslot.MapOf] of a row, piece by piece: the search and the file have
// so many rows that the whole puzzle would take too long.
func mapOf(s cube.Sequence) (m lastslot.Map) {
	for spot := range lastslot.Spots {
		corner := uint8(cube.CornerAs(lastslot.FR.CornerPlace(spot), 0))
		edge := uint8(cube.EdgeAs(lastslot.FR.EdgePlace(spot), 0))
		for _, t := range s {
			corner, edge = carriedCorners[t][corner], carriedEdges[t][edge]
		}
		// Places on top have the spots' numbers, and the slot's are the next.
		m.Corners[corner/3] = uint8(spot*3) + corner%3
		m.Edges[edge/2] = uint8(spot*2) + edge%2
	}
	return m
}
