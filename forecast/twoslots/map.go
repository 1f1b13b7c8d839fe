package twoslots

import (
	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Map says, for each spot, which spot's piece comes there and the twist or flip that is
// added on the way: spot*3 + twist, spot*2 + flip.
type Map struct{ Corners, Edges [Spots]uint8 }

// MapOf reads the map of an effect that moves nothing but the spots; see
// [lastslot.Effect].
func MapOf(effect cube.Cube, o Open) (m Map) {
	var corners [cube.CornerPlaces]uint8
	var edges [cube.EdgePlaces]uint8
	for spot := range Spots {
		corners[o.CornerPlace(spot)], edges[o.EdgePlace(spot)] = uint8(spot), uint8(spot)
	}
	for spot := range Spots {
		corner, edge := effect.Corners[o.CornerPlace(spot)], effect.Edges[o.EdgePlace(spot)]
		m.Corners[spot] = corners[corner.Piece()]*3 + uint8(corner.Twist())
		m.Edges[spot] = edges[edge.Piece()]*2 + uint8(edge.Flip())
	}
	return m
}

// Breaks says what of the cross and of the two other slots an effect does not keep; ""
// where it keeps them.
func Breaks(effect cube.Cube, o Open) string {
	slots := o.Slots()
	return lastslot.Breaks(effect, slots[:]...)
}

// Then is m followed by n.
func (m *Map) Then(n *Map) (r Map) {
	for spot := range Spots {
		c, e := n.Corners[spot], n.Edges[spot]
		from := m.Corners[c/3]
		r.Corners[spot] = from/3*3 + (from%3+c%3)%3
		r.Edges[spot] = m.Edges[e/2] ^ e&1
	}
	return r
}

// AUFMaps has the maps of the turns of U, for any open slots.
var AUFMaps = func() (maps [4]Map) {
	for i, turns := range lastslot.AUFs {
		maps[i] = MapOf(turns.Cube(), 0)
	}
	return maps
}()

// FilledFrom is where the pair of the open slot must stand for the map to fill it, as
// [Case.PairPlace] numbers it.
func (m *Map) FilledFrom(o Open, slot lastslot.Slot) int {
	spot := o.spot(slot)
	corner, edge := m.Corners[spot], m.Edges[spot]
	return pairPlaceOf(int(corner/3), (3-int(corner%3))%3, int(edge/2), int(edge%2))
}

// Keeps says whether the map leaves what is in the open slot as it is.
func (m *Map) Keeps(o Open, slot lastslot.Slot) bool {
	spot := o.spot(slot)
	return int(m.Corners[spot]) == spot*3 && int(m.Edges[spot]) == spot*2
}

// After is what the map makes of the case.
func (c *Case) After(m *Map) Case {
	r := Case{Open: c.Open}
	var corners, edges [Spots]int // where each spot's piece comes
	for spot := range Spots {
		corner, edge := int(m.Corners[spot]), int(m.Edges[spot])
		corners[corner/3], edges[edge/2] = spot, spot
		r.Twists[spot] = (c.Twists[corner/3] + corner%3) % 3
		r.Flips[spot] = c.Flips[edge/2] ^ edge%2
	}
	for i := range 2 {
		r.Corners[i], r.Edges[i] = corners[c.Corners[i]], edges[c.Edges[i]]
	}
	return r
}

// Turned is the case after a turn of U by the quarters.
func (c Case) Turned(quarters int) Case { return c.After(&AUFMaps[quarters&3]) }

// TurnedRound is the map as it is seen after the whole puzzle is turned by y; its open
// slots are o before.
func (m *Map) TurnedRound(o Open, quarters int) Map {
	around := roundOf(o, quarters)
	undone := around.Inverse()
	seen := undone.Then(m)
	return seen.Then(&around)
}

// TurnedRound is the same case seen after the whole puzzle is turned by y.
func (c Case) TurnedRound(quarters int) Case {
	around := roundOf(c.Open, quarters)
	r := c.After(&around)
	after, swapped := c.Open.turned(quarters)
	r.Open = after
	if swapped {
		r.Corners[0], r.Corners[1] = r.Corners[1], r.Corners[0]
		r.Edges[0], r.Edges[1] = r.Edges[1], r.Edges[0]
	}
	if quarters&1 == 1 {
		// Front and sides change places, by which the slots' own edges are judged.
		r.Flips[r.Edges[0]] ^= 1
		r.Flips[r.Edges[1]] ^= 1
	}
	return r
}

// roundOf is what y does to the spots. On top it moves them as U does; what is in the
// slots goes along, and is judged by other faces after a quarter turn.
func roundOf(o Open, quarters int) Map {
	m := AUFMaps[quarters&3]
	if _, swapped := o.turned(quarters); swapped {
		m.Corners[First], m.Corners[Second] = m.Corners[Second], m.Corners[First]
		m.Edges[First], m.Edges[Second] = m.Edges[Second], m.Edges[First]
	}
	if quarters&1 == 1 {
		m.Edges[First] ^= 1
		m.Edges[Second] ^= 1
	}
	return m
}

// Inverse undoes m.
func (m *Map) Inverse() (r Map) {
	for spot := range Spots {
		c, e := m.Corners[spot], m.Edges[spot]
		r.Corners[c/3] = uint8(spot*3) + (3-c%3)%3
		r.Edges[e/2] = uint8(spot*2) + e%2
	}
	return r
}

// Mirror is the same case for the other hand: left and right swapped.
func (c Case) Mirror() Case {
	slots := c.Open.Slots()
	// FR and FL stand side by side in the order of the slots, and BL and BR.
	a, b := slots[0]^1, slots[1]^1
	r := Case{Open: OpenOf(a, b)}
	corners, edges := [Spots]int{1, 0, 3, 2, First, Second}, [Spots]int{0, 2, 1, 3, First, Second}
	first := 0
	if a > b {
		corners[First], corners[Second] = Second, First
		edges[First], edges[Second] = Second, First
		first = 1
	}
	for i := range 2 {
		r.Corners[i^first], r.Edges[i^first] = corners[c.Corners[i]], edges[c.Edges[i]]
	}
	for spot := range Spots {
		r.Twists[corners[spot]] = (3 - c.Twists[spot]) % 3
		r.Flips[edges[spot]] = c.Flips[spot]
	}
	return r
}

// Number tells maps apart.
func (m *Map) Number() (n uint64) {
	for spot := range Spots {
		n = (n<<5|uint64(m.Corners[spot]))<<4 | uint64(m.Edges[spot])
	}
	return n
}
