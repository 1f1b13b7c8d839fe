package lastslot

import (
	"fmt"

	"slotcast/cube"
)

// SeenAt is the insertion's map after the puzzle is turned by y until its slot
// stands where the other is.
func (i Insertion) SeenAt(slot Slot) Map { return i.Map.TurnedRound(QuartersBetween(i.Slot, slot)) }

// Insertion is a sequence that fills an open slot and keeps the cross and the
// other slots. It is only made by [NewInsertion], which verifies that.
type Insertion struct {
	Slot  Slot
	Turns cube.Sequence

	Map Map
	// turned is the hold that the turns end in: turned by y by so many quarters.
	Turned int
}

// NewInsertion verifies the turns, done with the cross down and the slot where
// it says, and works out their map. They may end in the hold in which they began
// or in one turned by y.
func NewInsertion(slot Slot, turns cube.Sequence) (Insertion, error) {
	i, err := Verified(slot, turns)
	if err != nil {
		return Insertion{}, fmt.Errorf("%s: %w", turns, err)
	}
	return i, nil
}

// Verified is [NewInsertion] whose errors do not repeat the turns.
func Verified(slot Slot, turns cube.Sequence) (Insertion, error) {
	motion, hold := Motion(turns)
	if broken := broken(motion, &slot); broken != "" {
		return Insertion{}, fmt.Errorf("it does not keep %s", broken)
	}
	if int(hold) >= len(Rotations) {
		return Insertion{}, fmt.Errorf("it ends with another face at the bottom: end it with %s", hold.Inverse().Turns())
	}
	return Insertion{
		Slot: slot, Turns: turns,
		Map: MapOf(motion, slot), Turned: int(hold),
	}, nil
}

// Rotations are the holds that the first is brought to by y: the rotations by
// none, one, two and three quarters. They are the first of package cube.
var Rotations = func() (turns [4]cube.Sequence) {
	for i := range turns {
		turns[i] = cube.Hold(i).Turns()
		if i > 0 && !(len(turns[i]) == 1 && turns[i][0] == cube.TurnOf(cube.Y, i)) {
			panic("forecast: package cube does not begin its holds with those turned by y")
		}
	}
	return turns
}()

// AUFs has the turns of U by none, one, two and three quarters.
var AUFs = [4]cube.Sequence{{}, {cube.TurnOf(cube.U, 1)}, {cube.TurnOf(cube.U, 2)}, {cube.TurnOf(cube.U, 3)}}

// Map says, for each spot, which spot's piece comes there and the twist or
// flip that is added on the way: spot*3 + twist, spot*2 + flip.
type Map struct{ Corners, Edges [Spots]uint8 }

// MapOf reads the map of a motion that moves nothing but the spots.
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

// AUFMaps has the maps of the turns of U.
var AUFMaps = func() (maps [4]Map) {
	for i, turns := range AUFs {
		maps[i] = MapOf(turns.Cube(), FR)
	}
	return maps
}()

// PairPlace is where the pair must stand for the motion to fill the slot.
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

// Numbers numbers the corners' part, 0 to cornerMaps-1, and the edges' part, 0
// to edgeMaps-1. [CornersAt] and [EdgesAt] are its inverses.
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

// CornersAt and EdgesAt are the parts of a map by the numbers that [Map.Numbers] gives.
func CornersAt(number int) (corners [Spots]uint8) {
	order, twists := orderAt(number/CornerTwists), TwistsAt(number%CornerTwists)
	for spot := range Spots {
		corners[spot] = order[spot]*3 + uint8(twists[spot])
	}
	return corners
}

// EdgesAt is explained at CornersAt.
func EdgesAt(number int) (edges [Spots]uint8) {
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
	for quarters := range 4 {
		turned := m.Then(AUFMaps[quarters])
		lowest := true
		for _, e := range turned.Edges[1:InSlot] {
			lowest = lowest && e/2 > turned.Edges[0]/2
		}
		if lowest {
			corners, edges := turned.Numbers()
			return MapKey(corners*EdgeMaps + edges)
		}
	}
	panic("forecast: a map with two edges from one spot")
}

// TurnedRound is the same motion seen after the whole puzzle is turned by y.
func (m Map) TurnedRound(quarters int) Map {
	// On top y moves spots as U does, and what is in the slot stays in the slot,
	// which stands elsewhere. Twists do not change; nor do an edge's flips on
	// top, but a quarter turn swaps front and sides in the slot.
	around := AUFMaps[quarters&3]
	if quarters&1 == 1 {
		around.Edges[InSlot] ^= 1
	}
	return around.Inverse().Then(m).Then(around)
}

// Inverse undoes the map.
func (m Map) Inverse() Map {
	var r Map
	for spot := range Spots {
		c, e := m.Corners[spot], m.Edges[spot]
		r.Corners[c/3] = uint8(spot*3) + (3-c%3)%3
		r.Edges[e/2] = uint8(spot*2) + e%2
	}
	return r
}
