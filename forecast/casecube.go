package forecast

import "slotcast/cube"

// Cube is one of the positions that show the case, with the cross down and the
// other three slots solved: of the last layer it has each piece turned as the case
// says, in an order of its own that turns can lead to.
func (c Case) Cube() cube.Cube {
	r := cube.Solved
	corner, edge := cube.UBL, cube.UB
	var order, edgeOrder []int
	for spot := range Spots {
		piece, edgePiece := c.Slot.Corner(), c.Slot.Edge()
		if spot != c.Corner {
			piece = corner
			corner++
		}
		if spot != c.Edge {
			edgePiece = edge
			edge++
		}
		r.Corners[c.Slot.CornerPlace(spot)] = cube.CornerAs(piece, c.Twists[spot])
		r.Edges[c.Slot.EdgePlace(spot)] = cube.EdgeAs(edgePiece, c.Flips[spot])
		order, edgeOrder = append(order, int(piece)), append(edgeOrder, int(edgePiece))
	}
	if oddOrder(order) != oddOrder(edgeOrder) {
		// Turns swap an even number of pieces in all, so two of the last layer change
		// places; twists belong to spots.
		var swapped []cube.CornerPlace
		for spot := range Spots {
			if spot != c.Corner && len(swapped) < 2 {
				swapped = append(swapped, c.Slot.CornerPlace(spot))
			}
		}
		a, b := r.Corners[swapped[0]], r.Corners[swapped[1]]
		r.Corners[swapped[0]] = cube.CornerAs(b.Piece(), a.Twist())
		r.Corners[swapped[1]] = cube.CornerAs(a.Piece(), b.Twist())
	}
	return r
}

// oddOrder says whether an odd number of swaps makes the order.
func oddOrder(order []int) bool {
	swaps := 0
	for i := range order {
		for j := range i {
			if order[j] > order[i] {
				swaps++
			}
		}
	}
	return swaps&1 == 1
}
