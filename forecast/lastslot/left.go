package lastslot

import "sync"

// Left has what maps make of twists and flips on top: an outcome's twists and
// flips, as [Outcome] numbers them.
type Left struct {
	// Corners has the twists, by the number of a map's corners and the case's twists;
	// Edges has the flips, by the number of its edges and the case's flips.
	Corners [CornerMaps][CornerTwists]uint8
	Edges   [EdgeMaps][EdgeFlips]uint8
}

// LeftTables are made when they are first needed.
var LeftTables = sync.OnceValue(func() *Left {
	t := new(Left)
	for number := range t.Corners {
		corners := cornersAt(number)
		for twists := range CornerTwists {
			before := TwistsAt(twists)
			var after [4]int
			for spot := range after {
				after[spot] = (before[corners[spot]/3] + int(corners[spot]%3)) % 3
			}
			t.Corners[number][twists] = uint8(OutcomeAs(after, [4]int{}) / 8)
		}
	}
	for number := range t.Edges {
		edges := edgesAt(number)
		for flips := range EdgeFlips {
			before := FlipsAt(flips)
			var after [4]int
			for spot := range after {
				after[spot] = before[edges[spot]/2] ^ int(edges[spot]%2)
			}
			t.Edges[number][flips] = uint8(OutcomeAs([4]int{}, after))
		}
	}
	return t
})
