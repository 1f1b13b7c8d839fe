package forecast

import (
	"fmt"

	"slotcast/cube"
)

// Insertion is a sequence that fills an open slot and keeps the cross and the
// other slots. It is only made by [NewInsertion], which verifies that.
type Insertion struct {
	Slot  Slot
	Turns cube.Sequence

	motion motionMap
	// turned is the hold that the turns end in: turned by y by so many quarters.
	turned int
}

// NewInsertion verifies the turns, done with the cross down and the slot where
// it says, and works out their map. They may end in the hold in which they began
// or in one turned by y.
func NewInsertion(slot Slot, turns cube.Sequence) (Insertion, error) {
	i, err := verified(slot, turns)
	if err != nil {
		return Insertion{}, fmt.Errorf("%s: %w", turns, err)
	}
	return i, nil
}

// verified is [NewInsertion] whose errors do not repeat the turns.
func verified(slot Slot, turns cube.Sequence) (Insertion, error) {
	motion, hold := motionOf(turns)
	if broken := breaks(motion, &slot); broken != "" {
		return Insertion{}, fmt.Errorf("it does not keep %s", broken)
	}
	if int(hold) >= len(roundHolds) {
		return Insertion{}, fmt.Errorf("it ends with another face at the bottom: end it with %s", hold.Inverse().Turns())
	}
	return Insertion{
		Slot: slot, Turns: turns,
		motion: mapOf(motion, slot), turned: int(hold),
	}, nil
}

// roundHolds are the holds that the first is brought to by y: the rotations by
// none, one, two and three quarters. They are the first of package cube.
var roundHolds = func() (turns [4]cube.Sequence) {
	for i := range turns {
		turns[i] = cube.Hold(i).Turns()
		if i > 0 && !(len(turns[i]) == 1 && turns[i][0] == cube.TurnOf(cube.Y, i)) {
			panic("forecast: package cube does not begin its holds with those turned by y")
		}
	}
	return turns
}()

// auf has the turns of U by none, one, two and three quarters.
var auf = [4]cube.Sequence{{}, {cube.TurnOf(cube.U, 1)}, {cube.TurnOf(cube.U, 2)}, {cube.TurnOf(cube.U, 3)}}

// motionMap says, for each spot, which spot's piece comes there and the twist or
// flip that is added on the way: spot*3 + twist, spot*2 + flip.
type motionMap struct{ corners, edges [Spots]uint8 }

// mapOf reads the map of a motion that moves nothing but the spots.
func mapOf(c cube.Cube, slot Slot) motionMap {
	var m motionMap
	for spot := range Spots {
		corner, edge := c.Corners[slot.CornerPlace(spot)], c.Edges[slot.EdgePlace(spot)]
		from := min(int(corner.Piece()), InSlot)
		m.corners[spot] = uint8(from*3 + corner.Twist())
		from = min(int(edge.Piece()), InSlot)
		m.edges[spot] = uint8(from*2 + edge.Flip())
	}
	return m
}

// then is m followed by n.
func (m motionMap) then(n motionMap) motionMap {
	var r motionMap
	for spot := range Spots {
		c, e := n.corners[spot], n.edges[spot]
		from := m.corners[c/3]
		r.corners[spot] = from/3*3 + (from%3+c%3)%3
		r.edges[spot] = m.edges[e/2] ^ e&1
	}
	return r
}

// aufMaps has the maps of the turns of U.
var aufMaps = func() (maps [4]motionMap) {
	for i, turns := range auf {
		maps[i] = mapOf(turns.Cube(), FR)
	}
	return maps
}()

// pairPlace is where the pair must stand for the motion to fill the slot.
func (m motionMap) pairPlace() int {
	corner, edge := m.corners[InSlot], m.edges[InSlot]
	// The pair's corner arrives untwisted, so it starts with what undoes the twist.
	return pairPlaceOf(int(corner/3), (3-int(corner%3))%3, int(edge/2), int(edge%2))
}

// Numbers of the maps of corners and of edges alone: 5! * 3^4 and 5! * 2^4.
const (
	cornerMaps = 120 * cornerTwists
	edgeMaps   = 120 * edgeFlips
)

// numbers numbers the corners' part, 0 to cornerMaps-1, and the edges' part, 0
// to edgeMaps-1. [cornersAt] and [edgesAt] are its inverses.
func (m motionMap) numbers() (corners, edges int) {
	var cornerFrom, edgeFrom [Spots]uint8
	twists, flips := 0, 0
	for spot := range Spots {
		cornerFrom[spot], edgeFrom[spot] = m.corners[spot]/3, m.edges[spot]/2
		if spot < InSlot {
			twists = twists*3 + int(m.corners[spot]%3)
			flips = flips*2 + int(m.edges[spot]%2)
		}
	}
	return orderNumber(cornerFrom)*cornerTwists + twists, orderNumber(edgeFrom)*edgeFlips + flips
}

func cornersAt(number int) (corners [Spots]uint8) {
	order, twists := orderAt(number/cornerTwists), twistsAt(number%cornerTwists)
	for spot := range Spots {
		corners[spot] = order[spot]*3 + uint8(twists[spot])
	}
	return corners
}

func edgesAt(number int) (edges [Spots]uint8) {
	order, flips := orderAt(number/edgeFlips), flipsAt(number%edgeFlips)
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

// mapKey tells apart maps that differ by more than a turn of U at the end.
type mapKey uint32

// key turns the map at the end by U until the edge from the lowest spot among
// those that end on top stands at UB: only one turn does that.
func (m motionMap) key() mapKey {
	for quarters := range 4 {
		turned := m.then(aufMaps[quarters])
		lowest := true
		for _, e := range turned.edges[1:InSlot] {
			lowest = lowest && e/2 > turned.edges[0]/2
		}
		if lowest {
			corners, edges := turned.numbers()
			return mapKey(corners*edgeMaps + edges)
		}
	}
	panic("forecast: a map with two edges from one spot")
}

// turnedRound is the same motion seen after the whole puzzle is turned by y.
func (m motionMap) turnedRound(quarters int) motionMap {
	// On top y moves spots as U does, and what is in the slot stays in the slot,
	// which stands elsewhere. Twists do not change; nor do an edge's flips on
	// top, but a quarter turn swaps front and sides in the slot.
	around := aufMaps[quarters&3]
	if quarters&1 == 1 {
		around.edges[InSlot] ^= 1
	}
	return around.inverse().then(m).then(around)
}

func (m motionMap) inverse() motionMap {
	var r motionMap
	for spot := range Spots {
		c, e := m.corners[spot], m.edges[spot]
		r.corners[c/3] = uint8(spot*3) + (3-c%3)%3
		r.edges[e/2] = uint8(spot*2) + e%2
	}
	return r
}
