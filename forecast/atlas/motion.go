package atlas

import (
	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// spots is the number of spots of corners, and of edges; see package forecast.
const spots = lastslot.Spots

// motion says where a row takes the piece of each spot: spot*3 + the twist that
// it adds, spot*2 + the flip.
type motion struct{ corners, edges [spots]uint8 }

func motionOf(s cube.Sequence) (m motion) {
	for spot := range spots {
		corner := uint8(cube.CornerAs(lastslot.FR.CornerPlace(spot), 0))
		edge := uint8(cube.EdgeAs(lastslot.FR.EdgePlace(spot), 0))
		for _, t := range s {
			corner, edge = carriedCorners[t][corner], carriedEdges[t][edge]
		}
		// Places on top have the spots' numbers, and the slot's are the next.
		m.corners[spot] = corner
		m.edges[spot] = edge
	}
	return m
}

// number tells motions apart; see motions.
func (m *motion) number() int {
	corners, edges := 0, 0
	for spot := range spots - 1 {
		corners = corners*(spots*3) + int(m.corners[spot])
		edges = edges*(spots*2) + int(m.edges[spot])
	}
	return corners*10_000 + edges
}

// turnedBefore and turnedAfter are a quarter turn of U, then the motion, and the
// other way round.
func (m *motion) turnedBefore() (r motion) {
	for spot := range spots {
		c, e := quarter.corners[spot], quarter.edges[spot]
		r.corners[spot], r.edges[spot] = m.corners[c/3], m.edges[e/2]
	}
	return r
}

func (m *motion) turnedAfter() (r motion) {
	for spot := range spots {
		c, e := m.corners[spot], m.edges[spot]
		r.corners[spot] = quarter.corners[c/3]/3*3 + c%3
		r.edges[spot] = quarter.edges[e/2]/2*2 + e%2
	}
	return r
}

// quarter is a turn of U, which twists and flips nothing.
var quarter = motionOf(cube.Sequence{cube.TurnOf(cube.U, 1)})

// fits says whether the motion takes the pair of a case at front right into its
// slot, and what it leaves then.
func (m *motion) fits(c *lastslot.Case) (lastslot.Outcome, bool) {
	const slot = lastslot.InSlot
	if int(m.corners[c.Corner]) != slot*3+(3-c.Twists[c.Corner])%3 || int(m.edges[c.Edge]) != slot*2+c.Flips[c.Edge] {
		return 0, false
	}
	var twists, flips [spots]int
	for spot := range spots {
		corner, edge := int(m.corners[spot]), int(m.edges[spot])
		twists[corner/3] = (c.Twists[spot] + corner%3) % 3
		flips[edge/2] = c.Flips[spot] ^ edge%2
	}
	return lastslot.OutcomeAs([4]int(twists[:4]), [4]int(flips[:4])), true
}
