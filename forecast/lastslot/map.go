package lastslot

import "slotcast/cube"

// Map says, for each spot, which spot's piece comes there and the twist or
// flip that is added on the way: spot*3 + twist, spot*2 + flip.
type Map struct{ Corners, Edges [Spots]uint8 }

// MapOf reads the map of an effect that moves nothing but the spots.
func MapOf(c cube.Cube, slot Slot) Map {
	var m Map
	for spot := range Spots {
		corner, edge := c.Corners[slot.CornerPlace(spot)], c.Edges[slot.EdgePlace(spot)]
		from := min(int(corner.Piece()), InSlot)
		m.Corners[spot] = uint8(from*3 + corner.Twist())
		from = min(int(edge.Piece()), InSlot)
		m.Edges[spot] = uint8(from*2 + edge.Flip())
	}
	return m
}

// Then is m followed by n.
func (m Map) Then(n Map) Map {
	var r Map
	for spot := range Spots {
		c, e := n.Corners[spot], n.Edges[spot]
		from := m.Corners[c/3]
		r.Corners[spot] = from/3*3 + (from%3+c%3)%3
		r.Edges[spot] = m.Edges[e/2] ^ e&1
	}
	return r
}

// Inverse undoes m.
func (m Map) Inverse() Map {
	var r Map
	for spot := range Spots {
		c, e := m.Corners[spot], m.Edges[spot]
		r.Corners[c/3] = uint8(spot*3) + (3-c%3)%3
		r.Edges[e/2] = uint8(spot*2) + e%2
	}
	return r
}

// Leaves is what the map makes of a case whose pair stands where it takes it from.
func (m Map) Leaves(c *Case) Outcome {
	var twists, flips [4]int
	for spot := range InSlot {
		corner, edge := int(m.Corners[spot]), int(m.Edges[spot])
		twists[spot] = (c.Twists[corner/3] + corner%3) % 3
		flips[spot] = c.Flips[edge/2] ^ edge%2
	}
	return OutcomeAs(twists, flips)
}

// TurnsTopOnly says whether the map does nothing but what a turn of U does.
func (m Map) TurnsTopOnly() bool { return m.Key() == AUFMaps[0].Key() }

// Track is how many last-layer pieces somebody follows who wants to see coming what the
// map leaves: those that it moves otherwise than one turn of U would, or turns, for the
// turn of U that leaves fewest; the one that comes out of the slot is among them. A turn
// of U before or after, and the hold that the turns end in, make no difference.
func (m Map) Track() int {
	fewest := 2 * InSlot
	for _, u := range AUFMaps {
		fewest = min(fewest, differ(m.Corners, u.Corners)+differ(m.Edges, u.Edges))
	}
	return fewest
}

// TrackEdges is the same for the edges alone.
func (m Map) TrackEdges() int {
	fewest := InSlot
	for _, u := range AUFMaps {
		fewest = min(fewest, differ(m.Edges, u.Edges))
	}
	return fewest
}

// differ is at how many spots of the top two parts of maps differ.
func differ(a, b [Spots]uint8) (spots int) {
	for spot := range InSlot {
		if a[spot] != b[spot] {
			spots++
		}
	}
	return spots
}

// AUFMaps has the maps of the turns of U.
var AUFMaps = func() (maps [4]Map) {
	for i, turns := range AUFs {
		maps[i] = MapOf(turns.Cube(), FR)
	}
	return maps
}()

// PairPlace is where the pair must stand for the map to fill the slot.
func (m Map) PairPlace() int {
	corner, edge := m.Corners[InSlot], m.Edges[InSlot]
	// The pair's corner arrives untwisted, so it starts with what undoes the twist.
	return pairPlaceOf(int(corner/3), (3-int(corner%3))%3, int(edge/2), int(edge%2))
}

// Numbers of the maps of corners and of edges alone: 5! * 3^4 and 5! * 2^4.
const (
	CornerMaps = 120 * CornerTwists
	EdgeMaps   = 120 * EdgeFlips
)

// Numbers numbers the corners' part, 0 to CornerMaps-1, and the edges' part, 0
// to EdgeMaps-1. [cornersAt] and [edgesAt] are its inverses.
func (m Map) Numbers() (corners, edges int) {
	var cornerFrom, edgeFrom [Spots]uint8
	twists, flips := 0, 0
	for spot := range Spots {
		cornerFrom[spot], edgeFrom[spot] = m.Corners[spot]/3, m.Edges[spot]/2
		if spot < InSlot {
			twists = twists*3 + int(m.Corners[spot]%3)
			flips = flips*2 + int(m.Edges[spot]%2)
		}
	}
	return orderNumber(cornerFrom)*CornerTwists + twists, orderNumber(edgeFrom)*EdgeFlips + flips
}

func cornersAt(number int) (corners [Spots]uint8) {
	order, twists := orderAt(number/CornerTwists), TwistsAt(number%CornerTwists)
	for spot := range Spots {
		corners[spot] = order[spot]*3 + uint8(twists[spot])
	}
	return corners
}

func edgesAt(number int) (edges [Spots]uint8) {
	order, flips := orderAt(number/EdgeFlips), FlipsAt(number%EdgeFlips)
	for spot := range Spots {
		edges[spot] = order[spot]*2 + uint8(flips[spot])
	}
	return edges
}

// orderNumber numbers an order of the five spots, 0 to 119, in the order of the
// dictionary: each spot counts those after it that are lower.
func orderNumber(order [Spots]uint8) int {
	n := 0
	for i := range Spots {
		lower := 0
		for j := i + 1; j < Spots; j++ {
			if order[j] < order[i] {
				lower++
			}
		}
		n = n*(Spots-i) + lower
	}
	return n
}

func orderAt(number int) (order [Spots]uint8) {
	var lower [Spots]int
	for i := Spots - 1; i >= 0; i-- {
		lower[i] = number % (Spots - i)
		number /= Spots - i
	}
	left := []uint8{0, 1, 2, 3, 4}
	for i, n := range lower {
		order[i] = left[n]
		left = append(left[:n:n], left[n+1:]...)
	}
	return order
}

// MapKey tells apart maps that differ by more than a turn of U at the end.
type MapKey uint32

// Key turns the map at the end by U until the edge from the lowest spot among
// those that end on top stands at UB: only one turn does that.
func (m Map) Key() MapKey {
	lowest := 0
	for spot := 1; spot < InSlot; spot++ {
		if m.Edges[spot]/2 < m.Edges[lowest]/2 {
			lowest = spot
		}
	}
	for _, turn := range AUFMaps {
		if int(turn.Edges[0]/2) == lowest {
			corners, edges := m.Then(turn).Numbers()
			return MapKey(corners*EdgeMaps + edges)
		}
	}
	panic("lastslot: a spot that no turn of U brings to UB")
}
