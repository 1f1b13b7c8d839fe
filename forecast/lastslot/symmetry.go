package lastslot

// Turned is the case after a turn of U by the quarters.
func (c Case) Turned(quarters int) Case {
	m, r := &AUFMaps[quarters&3], c
	for spot := range Spots {
		corner, edge := int(m.Corners[spot]/3), int(m.Edges[spot]/2)
		r.Twists[spot], r.Flips[spot] = c.Twists[corner], c.Flips[edge]
		if corner == c.Corner {
			r.Corner = spot
		}
		if edge == c.Edge {
			r.Edge = spot
		}
	}
	return r
}

// TurnedRound is the same case seen after the whole puzzle is turned by y.
func (c Case) TurnedRound(quarters int) Case {
	// On top y moves spots as U does. A quarter turn swaps front and sides, by
	// which the slot's own edge is judged, and whatever edge stands in the slot.
	r := c.Turned(quarters)
	r.Slot = Slot((int(c.Slot) + quarters) & 3)
	if quarters&1 == 1 {
		r.Flips[r.Edge] ^= 1
		r.Flips[InSlot] ^= 1
	}
	return r
}

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

// Mirror is the pattern as the mirror shows it that swaps left and right.
func (p Pattern) Mirror() Pattern {
	twists, flips := p.Outcome().Twists(), p.Outcome().Flips()
	for i := range twists {
		twists[i] = (3 - twists[i]) % 3
	}
	// UBL and UBR change places, UFL and UFR, and of the edges UL and UR.
	twists[0], twists[1], twists[2], twists[3] = twists[1], twists[0], twists[3], twists[2]
	flips[1], flips[2] = flips[2], flips[1]
	return OutcomeAs(twists, flips).Pattern()
}

// TurnedRound is the same map seen after the whole puzzle is turned by y.
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

// Quarters is how many quarters of y bring a slot to another: y brings FR to FL.
func Quarters(from, to Slot) int { return (int(to) - int(from)) & 3 }
