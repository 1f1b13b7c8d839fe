package twoslots

import (
	"math/rand/v2"

	"slotcast/cube"
	"slotcast/cube/solve"
	"slotcast/forecast/lastslot"
)

// Cube is one of the positions that show the case, with the cross down and the other two
// slots solved: of the last layer it has each piece turned as the case says, in an order
// of its own that turns can lead to.
func (c *Case) Cube() cube.Cube { return c.cubeAs([4]int{0, 1, 2, 3}, [4]int{0, 1, 2, 3}) }

// cubeAs is the case's position with the last layer's corners and edges in an order over
// the places that the pairs leave. Turns swap an even number of pieces in all: where the
// orders do not, two edges change places.
func (c *Case) cubeAs(corners, edges [4]int) cube.Cube {
	position, even := c.put(corners, edges)
	if !even {
		edges[0], edges[1] = edges[1], edges[0]
		position, _ = c.put(corners, edges)
	}
	return position
}

// put puts the pieces, and says whether an even number of swaps does it.
func (c *Case) put(corners, edges [4]int) (r cube.Cube, even bool) {
	r = cube.Solved
	slots := c.Open.Slots()
	var order, edgeOrder [Spots]int
	restCorners, restEdges := corners[:], edges[:]
	for spot := range Spots {
		var corner cube.CornerPlace
		var edge cube.EdgePlace
		switch spot {
		case c.Corners[0]:
			corner = slots[0].Corner()
		case c.Corners[1]:
			corner = slots[1].Corner()
		default:
			corner, restCorners = cube.CornerPlace(restCorners[0]), restCorners[1:]
		}
		switch spot {
		case c.Edges[0]:
			edge = slots[0].Edge()
		case c.Edges[1]:
			edge = slots[1].Edge()
		default:
			edge, restEdges = cube.EdgePlace(restEdges[0]), restEdges[1:]
		}
		r.Corners[c.Open.CornerPlace(spot)] = cube.CornerAs(corner, c.Twists[spot])
		r.Edges[c.Open.EdgePlace(spot)] = cube.EdgeAs(edge, c.Flips[spot])
		order[spot], edgeOrder[spot] = int(corner), int(edge)
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

// Scramble is a sequence of face turns, of at most [solve.Most], that brings the solved puzzle
// to the case, with the cross on the face, as [lastslot.Case.Scramble] does for the last slot. The case
// leaves free in what order the last layer's pieces are: each that turns can make is drawn as
// often as any other.
func (c *Case) Scramble(cross cube.Face, random *rand.Rand) cube.Sequence {
	position := c.cubeAs([4]int(random.Perm(4)), [4]int(random.Perm(4)))
	// Who turns what solves the inverse turns the position.
	turns, err := solve.Turns(position.Inverse())
	if err != nil {
		panic("twoslots: a case whose position no turns make: " + c.Code())
	}
	return turns.In(lastslot.CrossHold(cross).Inverse())
}
