package twoslots

// The numbers of ways in which both pairs can stand, and of how the rest can be turned then.
const (
	JointPlaces = PiecePlaces * 9 * PiecePlaces * 4
	Rests       = CornerTwists / 9 * EdgeFlips / 4
)

// AtPlaces is the case in which the pairs of the first and of the second slot stand in these
// places, as [Case.PairPlace] numbers them; rest, 0 to Rests-1, is how all other pieces are
// turned. It is false where two pieces would be in one spot.
func AtPlaces(o Open, places [2]int, rest int) (c Case, ok bool) {
	c.Open = o
	for i, place := range places {
		corner, edge := place/(Spots*2), place%(Spots*2)
		c.Corners[i], c.Edges[i] = corner/3, edge/2
		c.Twists[corner/3], c.Flips[edge/2] = corner%3, edge%2
	}
	if c.Corners[0] == c.Corners[1] || c.Edges[0] == c.Edges[1] {
		return Case{}, false
	}
	rest = turnRest(&c.Twists, c.Corners, 3, rest)
	turnRest(&c.Flips, c.Edges, 2, rest)
	return c, true
}

// turnRest turns the pieces of all spots but these by the digits of a number, the last so
// that all add up, and gives what is left of the number.
func turnRest(turned *[Spots]int, but [2]int, by, rest int) int {
	sum, last := turned[but[0]]+turned[but[1]], -1
	for spot := range Spots {
		if spot == but[0] || spot == but[1] {
			continue
		}
		if last >= 0 {
			turned[last] = rest % by
			sum += rest % by
			rest /= by
		}
		last = spot
	}
	turned[last] = (by - sum%by) % by
	return rest
}
