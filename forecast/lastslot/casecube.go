package lastslot

import (
	"math/rand/v2"

	"slotcast/cube"
	"slotcast/cube/solve"
)

// Cube is one of the positions that show the case, with the cross down and the
// other three slots solved: of the last layer it has each piece turned as the case
// says, in an order of its own that turns can lead to.
func (c Case) Cube() cube.Cube { return c.cubeAs([4]int{0, 1, 2, 3}, [4]int{0, 1, 2, 3}) }

// cubeAs is the case's position with the last layer's corners and edges in an
// order over the places that the pair leaves. Turns swap an even number of pieces
// in all: where the orders do not, two edges change places.
func (c Case) cubeAs(corners, edges [4]int) cube.Cube {
	position, even := c.put(corners, edges)
	if !even {
		edges[0], edges[1] = edges[1], edges[0]
		position, _ = c.put(corners, edges)
	}
	return position
}

// put puts the pieces, and says whether an even number of swaps does it.
func (c Case) put(corners, edges [4]int) (r cube.Cube, even bool) {
	r = cube.Solved
	var order, edgeOrder [Spots]int
	for spot := range Spots {
		piece, edgePiece := c.Slot.Corner(), c.Slot.Edge()
		if spot != c.Corner {
			piece, corners = cube.UBL+cube.CornerPlace(corners[0]), [4]int{corners[1], corners[2], corners[3]}
		}
		if spot != c.Edge {
			edgePiece, edges = cube.UB+cube.EdgePlace(edges[0]), [4]int{edges[1], edges[2], edges[3]}
		}
		r.Corners[c.Slot.CornerPlace(spot)] = cube.CornerAs(piece, c.Twists[spot])
		r.Edges[c.Slot.EdgePlace(spot)] = cube.EdgeAs(edgePiece, c.Flips[spot])
		order[spot], edgeOrder[spot] = int(piece), int(edgePiece)
	}
	return r, oddOrder(order) == oddOrder(edgeOrder)
}

// oddOrder says whether an odd number of swaps makes the order.
func oddOrder(order [Spots]int) bool {
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

// Scramble is a sequence of face turns, of at most [solve.Most], that brings the solved
// puzzle to the case, with the cross on the face: in the hold that [CrossHold] gives, the
// puzzle shows the case. The case leaves free in what order the last layer's pieces are:
// each of the 288 that turns can make is drawn as often as any other.
func (c Case) Scramble(cross cube.Face, random *rand.Rand) cube.Sequence {
	position := c.cubeAs([4]int(random.Perm(4)), [4]int(random.Perm(4)))
	// Who turns what solves the inverse turns the position.
	turns, err := solve.Turns(position.Inverse())
	if err != nil {
		panic("lastslot: a case whose position no turns make: " + c.Code())
	}
	return turns.In(CrossHold(cross).Inverse())
}

// DrawRest is the case with all that is not its pair turned at random: each way that turns
// can make is drawn as often as any other.
func (c Case) DrawRest(random *rand.Rand) Case {
	twists, flips := 0, 0
	lastCorner, lastEdge := 0, 0
	for spot := range Spots {
		if spot != c.Corner {
			c.Twists[spot], lastCorner = random.IntN(3), spot
		}
		if spot != c.Edge {
			c.Flips[spot], lastEdge = random.IntN(2), spot
		}
		twists += c.Twists[spot]
		flips += c.Flips[spot]
	}
	// The last of each follows from the others.
	c.Twists[lastCorner] = (c.Twists[lastCorner] + 2*twists) % 3
	c.Flips[lastEdge] = (c.Flips[lastEdge] + flips) % 2
	return c
}

// Draw is one of the place's cases, each drawn as often as any other.
func (p Place) Draw(random *rand.Rand) Case {
	c := p.Pair().DrawRest(random)
	aufs := p.AUFs()
	return c.Turned(aufs[random.IntN(len(aufs))])
}
