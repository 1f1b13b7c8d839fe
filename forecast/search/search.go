package search

import (
	"cmp"
	"context"
	"slices"

	"slotcast/cube"
)

// Kept names the pieces that must be in their places before and after.
type Kept struct {
	Corners []cube.CornerPlace
	Edges   []cube.EdgePlace
}

// CrossAndThreeSlots is kept by every insertion into the slot at front right.
var CrossAndThreeSlots = Kept{
	Corners: []cube.CornerPlace{cube.DFL, cube.DBL, cube.DBR},
	Edges:   []cube.EdgePlace{cube.FL, cube.BL, cube.BR, cube.DF, cube.DL, cube.DB, cube.DR},
}

// FirstTwoLayers is kept by every follow-up sequence.
var FirstTwoLayers = Kept{
	Corners: []cube.CornerPlace{cube.DFR, cube.DFL, cube.DBL, cube.DBR},
	Edges:   []cube.EdgePlace{cube.FR, cube.FL, cube.BL, cube.BR, cube.DF, cube.DL, cube.DB, cube.DR},
}

// keptBy says whether the motion keeps the pieces.
func (k Kept) keptBy(c cube.Cube) bool {
	for _, p := range k.Corners {
		if c.Corners[p] != cube.Solved.Corners[p] {
			return false
		}
	}
	for _, p := range k.Edges {
		if c.Edges[p] != cube.Solved.Edges[p] {
			return false
		}
	}
	return true
}

// start is how the pieces stand at the start, as carriedCorners and carriedEdges
// have them.
func (k Kept) start() (at []uint8) {
	for _, p := range k.Corners {
		at = append(at, uint8(cube.CornerAs(p, 0)))
	}
	for _, p := range k.Edges {
		at = append(at, uint8(cube.EdgeAs(p, 0)))
	}
	return at
}

// carried[b][x] is where the block b takes a piece that stands as x says: a
// cube.Corner or cube.Edge, but with the place it is in instead of its own.
var carriedCorners, carriedEdges = func() (corners, edges [blocks][24]uint8) {
	for b, c := range blockCubes {
		for place, from := range c.Corners {
			for twist := range 3 {
				corners[b][cube.CornerAs(from.Piece(), twist)] = uint8(cube.CornerAs(cube.CornerPlace(place), (twist+from.Twist())%3))
			}
		}
		for place, from := range c.Edges {
			for flip := range 2 {
				edges[b][cube.EdgeAs(from.Piece(), flip)] = uint8(cube.EdgeAs(cube.EdgePlace(place), flip^from.Flip()))
			}
		}
	}
	return corners, edges
}()

// half is one half of a motion: where it takes the kept pieces, five bits a
// piece, and its blocks.
type half struct{ key, blocks uint64 }

// halves lists every motion of at most limit tokens that does not begin with a
// turn of the top face, with where it takes the kept pieces. Where slices is
// false the blocks are counted in face turns, otherwise a slice is one token.
func halves(ctx context.Context, kept Kept, limit int, slicesCountOne bool) ([]half, error) {
	var list []half
	levels := make([][]uint8, limit+1)
	for i := range levels {
		levels[i] = kept.start()
	}
	corners := len(kept.Corners)

	var walk func(depth, left, lastAxis int, packed uint64) error
	walk = func(depth, left, lastAxis int, packed uint64) error {
		at := levels[depth]
		var key uint64
		for i, x := range at {
			key |= uint64(x) << (5 * i)
		}
		list = append(list, half{key, packed})
		if len(list)&0xfffff == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		if left == 0 {
			return nil
		}
		for b := range block(blocks) {
			cost := b.tokens()
			if !slicesCountOne {
				cost = len(b.turns())
			}
			if cost == 0 || cost > left || b.axis() == lastAxis || depth == 0 && b.turnsTop() {
				continue
			}
			next := levels[depth+1]
			for i, x := range at[:corners] {
				next[i] = carriedCorners[b][x]
			}
			for i, x := range at[corners:] {
				next[corners+i] = carriedEdges[b][x]
			}
			if err := walk(depth+1, left-cost, b.axis(), packed|uint64(b)<<(6*depth)); err != nil {
				return err
			}
		}
		return nil
	}
	if err := walk(0, limit, -1, 0); err != nil {
		return nil, err
	}
	slices.SortFunc(list, func(a, b half) int { return cmp.Or(cmp.Compare(a.key, b.key), cmp.Compare(a.blocks, b.blocks)) })
	return list, nil
}

// meet calls found with every motion that keeps the pieces, is made of two
// halves of at most limit tokens each, and neither begins nor ends with a turn
// of the top face. The motion is only valid during the call; some are found
// more than once. Two halves that take the kept pieces to the same places make
// one motion: the first, then the second undone.
func meet(ctx context.Context, kept Kept, limit int, slicesCountOne bool, found func(motion)) error {
	list, err := halves(ctx, kept, limit, slicesCountOne)
	if err != nil {
		return err
	}
	whole := make(motion, 0, 2*limit)
	first, second := make(motion, 0, limit), make(motion, 0, limit)
	for start := 0; start < len(list); {
		end := start + 1
		for end < len(list) && list[end].key == list[start].key {
			end++
		}
		if ctx.Err() != nil {
			return ctx.Err()
		}
		group := list[start:end]
		start = end
		for _, a := range group {
			first = unpack(a.blocks, first)
			for _, b := range group {
				second = unpack(b.blocks, second)
				whole = append(whole[:0], first...)
				rest := second
				if len(first) > 0 && len(second) > 0 && first[len(first)-1].axis() == second[len(second)-1].axis() {
					// One block, its two faces in different halves. Where the halves turn
					// the same face it is a shorter motion, found elsewhere.
					block, ok := first[len(first)-1].beside(second[len(second)-1].inverse())
					if !ok {
						continue
					}
					whole[len(whole)-1] = block
					rest = second[:len(second)-1]
				}
				for i := range rest {
					whole = append(whole, rest[len(rest)-1-i].inverse())
				}
				if len(whole) > 0 && (whole[0].turnsTop() || whole[len(whole)-1].turnsTop()) {
					continue // one half is empty, and the other's end is the whole's
				}
				found(whole)
			}
		}
	}
	return nil
}
