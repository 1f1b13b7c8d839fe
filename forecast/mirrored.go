package forecast

// Mirror is the same case for the other hand: left and right swapped.
func (c Case) Mirror() Case {
	corners, edges := [Spots]int{1, 0, 3, 2, InSlot}, [Spots]int{0, 2, 1, 3, InSlot}
	// FR and FL stand side by side in the order of the slots, and BL and BR.
	r := Case{Slot: c.Slot ^ 1, Corner: corners[c.Corner], Edge: edges[c.Edge]}
	for spot := range Spots {
		// Clockwise is anticlockwise in a mirror; an edge's reference sticker is on the
		// top or the bottom, the front or the back, which stay.
		r.Twists[corners[spot]] = (3 - c.Twists[spot]) % 3
		r.Flips[edges[spot]] = c.Flips[spot]
	}
	return r
}
