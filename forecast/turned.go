package forecast

// Turned is the case after a turn of U by the quarters.
func (c Case) Turned(quarters int) Case {
	m, r := &aufMaps[quarters&3], c
	for spot := range Spots {
		corner, edge := int(m.corners[spot]/3), int(m.edges[spot]/2)
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
