package search

import (
	"cmp"
	"context"
	"slices"

	"slotcast/cube"
)

// Few names the layers of a search with few of them, and how many turns of them,
// a slice one, the search goes to.
type Few struct {
	Layers []cube.Layer
	Turns  int
}

// FewLayers are those that people like to turn many times on end: without a
// regrip, or without looking (common practice, no source).
var FewLayers = []Few{
	{[]cube.Layer{cube.R, cube.U}, 13},
	{[]cube.Layer{cube.R, cube.U, cube.F}, 11},
	{[]cube.Layer{cube.R, cube.U, cube.L}, 11},
	{[]cube.Layer{cube.Rw, cube.R, cube.U, cube.M}, 11},
	{[]cube.Layer{cube.R, cube.U, cube.D}, 11},
	{[]cube.Layer{cube.R, cube.U, cube.E}, 11},
}

// mirror is the same with the other hand.
func (f Few) mirror() Few {
	m := Few{Turns: f.Turns}
	for _, l := range f.Layers {
		m.Layers = append(m.Layers, mirroredTurn(cube.TurnOf(l, 1)).Layer())
	}
	return m
}

// facesOnly says whether all layers are faces.
func (f Few) facesOnly() bool {
	return !slices.ContainsFunc(f.Layers, func(l cube.Layer) bool { return l.Kind() != cube.FaceTurn })
}

func mirroredTurn(t cube.Turn) cube.Turn { return cube.Sequence{t}.Mirror(cube.MirrorLR)[0] }

// fewHalf is one half of a row: where it takes the kept pieces and in which hold
// it leaves the puzzle, and its blocks.
type fewHalf struct{ key, blocks uint64 }

// token is what a turn of a layer does in a hold: the block, and the hold after it.
type token struct {
	block block
	hold  cube.Hold
	axis  int // of space
	layer cube.Layer
}

// tokensOf lists, for each hold, the turns of the layers.
func tokensOf(layers []cube.Layer) (table [cube.Holds][]token) {
	for h := range cube.Hold(cube.Holds) {
		// The face of the body that stands at each side.
		var at [cube.Faces]cube.Face
		for f := range cube.Face(cube.Faces) {
			at[h.Face(f)] = f
		}
		of := func(side cube.Face, quarters int) block {
			face := at[side]
			if int(face)%2 == 0 {
				return blockOf(int(face)/2, quarters, 0)
			}
			return blockOf(int(face)/2, 0, quarters)
		}
		for _, l := range layers {
			for quarters := 1; quarters < 4; quarters++ {
				side := l.Reference()
				t := token{hold: h, axis: int(side) / 2, layer: l}
				turned := func() { t.hold = h.Then(cube.Sequence{cube.TurnLike(cube.Rotation, side, quarters)}.Cube().Hold()) }
				switch l.Kind() {
				case cube.FaceTurn:
					t.block = of(side, quarters)
				case cube.WideTurn:
					// The whole puzzle with the side, and the face across back.
					turned()
					t.block = of(side.Opposite(), quarters)
				case cube.SliceTurn:
					turned()
					t.block, _ = of(side, -quarters).beside(of(side.Opposite(), quarters))
				}
				table[h] = append(table[h], t)
			}
		}
	}
	return table
}

// meetFew calls found with the motion of every row of turns of the layers, held in
// the start hold, that keeps the pieces and ends with the bottom at the bottom. The motion is without turns of the top at its ends and
// only valid during the call; some are found more than once.
func meetFew(ctx context.Context, kept Kept, few Few, start cube.Hold, found func(motion)) error {
	tokens := tokensOf(few.Layers)
	first, err := fewHalves(ctx, kept, tokens, (few.Turns+1)/2, []cube.Hold{start})
	if err != nil {
		return err
	}
	ends := []cube.Hold{0, 1, 2, 3}
	if few.facesOnly() {
		ends = []cube.Hold{start} // turns of faces leave the puzzle held as it is
	}
	second, err := fewHalves(ctx, kept, tokens, few.Turns/2, ends)
	if err != nil {
		return err
	}
	whole, half := make(motion, 0, 2*few.Turns), make(motion, 0, few.Turns)
	for i, j := 0, 0; i < len(first) && j < len(second); {
		switch cmp.Compare(first[i].key, second[j].key) {
		case -1:
			i++
			continue
		case 1:
			j++
			continue
		}
		if ctx.Err() != nil {
			return ctx.Err()
		}
		key, group := first[i].key, j
		for ; i < len(first) && first[i].key == key; i++ {
			for j = group; j < len(second) && second[j].key == key; j++ {
				whole = unpack(first[i].blocks, whole)
				half = unpack(second[j].blocks, half)
				for k := range half {
					whole = whole.and(half[len(half)-1-k].inverse())
				}
				if m := whole.withoutAUF(); len(m) > 0 {
					found(m)
				}
				whole = whole[:0]
			}
		}
	}
	return nil
}

// fewHalves lists every row of at most limit turns from each of the holds, by
// where it takes the kept pieces and the hold it ends in.
func fewHalves(ctx context.Context, kept Kept, tokens [cube.Holds][]token, limit int, starts []cube.Hold) ([]fewHalf, error) {
	var list []fewHalf
	pieces := kept.start()
	corners := len(kept.Corners)
	levels := make([][]uint8, limit+1)
	for i := range levels {
		levels[i] = slices.Clone(pieces)
	}
	var walk func(depth int, hold cube.Hold, last *token, m motion) error
	walk = func(depth int, hold cube.Hold, last *token, m motion) error {
		at := levels[depth]
		key := uint64(hold)
		for _, x := range at {
			key = key<<5 | uint64(x)
		}
		list = append(list, fewHalf{key, m.pack()})
		if len(list)&0xffff == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		if depth == limit {
			return nil
		}
		for i := range tokens[hold] {
			t := &tokens[hold][i]
			// Layers of one axis may change places, so they come in one order.
			if last != nil && t.axis == last.axis && t.layer <= last.layer {
				continue
			}
			next := levels[depth+1]
			for i, x := range at[:corners] {
				next[i] = carriedCorners[t.block][x]
			}
			for i, x := range at[corners:] {
				next[corners+i] = carriedEdges[t.block][x]
			}
			if err := walk(depth+1, t.hold, t, slices.Clone(m).and(t.block)); err != nil {
				return err
			}
		}
		return nil
	}
	for _, start := range starts {
		if err := walk(0, start, nil, motion{}); err != nil {
			return nil, err
		}
	}
	slices.SortFunc(list, func(a, b fewHalf) int { return cmp.Or(cmp.Compare(a.key, b.key), cmp.Compare(a.blocks, b.blocks)) })
	return slices.Compact(list), nil
}
