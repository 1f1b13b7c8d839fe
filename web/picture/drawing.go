package picture

import (
	"math"
	"sync"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// drawing is a picture that is being made.
type drawing struct {
	view   View
	shapes []Shape
	// tiles are the view's, looked up once.
	tiles map[Sticker]outlines
}

// tile is where a sticker is drawn, if it is seen.
func (d *drawing) tile(s Sticker) (outlines, bool) {
	if d.tiles == nil {
		d.tiles = outlinesIn()[d.view]
	}
	tile, seen := d.tiles[s]
	return tile, seen
}

func (d *drawing) polygon(class Class, of cube.Face, points ...Point) {
	d.shapes = append(d.shapes, Shape{Class: class, Points: points, Of: of})
}

// body draws the three sides that are seen and the flaps, each with the line that it is
// folded at.
func (d *drawing) body() { d.bodyWith(d.view.flaps()) }

// bodyWith is body with other flaps.
func (d *drawing) bodyWith(flaps []flapAt) {
	side := axes[d.view.seenSide()]
	at := func(p space) Point { return d.view.point(p).rounded() }
	for _, f := range flaps {
		out, length := axes[f.out], f.stickers*flapLength(f.out)
		d.polygon(flapShape, 0, at(f.from), at(f.to), at(f.to.plus(out, length)), at(f.from.plus(out, length)))
	}
	corner := func(x, y, z float64) Point { return at(space{0, 1.5 * y, 1.5 * z}.plus(side, 1.5*x)) }
	d.polygon(bodyShape, 0, corner(-1, 1, -1), corner(1, 1, -1), corner(1, -1, -1), corner(1, -1, 1), corner(-1, -1, 1), corner(-1, 1, 1))
	for _, f := range flaps {
		d.polygon(foldShape, 0, at(f.from), at(f.to))
	}
}

// The sizes at which tiles are drawn, of the sticker's square.
const (
	fullSize  = 0.86
	quietSize = 0.6
	movedSize = 0.96
)

// look is how a sticker is drawn: its class, the side that its colour belongs to, and
// for one of the pair's the mark.
type look struct {
	class Class
	of    cube.Face
	mark  Class
	shape func(middle Point) []Point
	// spot is the class of the spot that is tapped in to say otherwise.
	spot string
}

// outlines are a sticker's in the sizes that it is drawn in.
type outlines struct {
	full, quiet, moved []Point
	middle             Point
}

// outlinesIn has those of each view's stickers that are seen: a page has dozens of
// pictures, and all are made of the same.
var outlinesIn = sync.OnceValue(func() map[View]map[Sticker]outlines {
	all := map[View]map[Sticker]outlines{}
	for slot := range lastslot.Slot(lastslot.Slots) {
		for second := range lastslot.Slot(lastslot.Slots) {
			v := ViewOfTwo(slot, second)
			all[v] = map[Sticker]outlines{}
			for _, s := range stickers() {
				if tile, seen := v.Tile(s); seen {
					all[v][s] = outlines{tile.scaled(fullSize), tile.scaled(quietSize), tile.scaled(movedSize), tile.middle()}
				}
			}
		}
	}
	return all
})

// stickers are all of the puzzle.
func stickers() (all []Sticker) {
	for f := range cube.Face(cube.Faces) {
		all = append(all, CentreSticker(f))
	}
	for p := range cube.CornerPlace(cube.CornerPlaces) {
		for i := range 3 {
			all = append(all, CornerSticker(p, i))
		}
	}
	for p := range cube.EdgePlace(cube.EdgePlaces) {
		for i := range 2 {
			all = append(all, EdgeSticker(p, i))
		}
	}
	return all
}

// sticker draws a sticker, if it is seen.
func (d *drawing) sticker(s Sticker, l look) {
	tile, seen := d.tile(s)
	if !seen {
		return
	}
	points := tile.full
	if l.class == quietTile || l.class == plainTile || l.class == assumedTile {
		points = tile.quiet
	}
	d.shapes = append(d.shapes, Shape{Class: l.class, Points: points, Of: l.of, Spot: l.spot})
	if l.mark != "" {
		d.polygon(l.mark, 0, l.shape(tile.middle)...)
	}
}

// moved marks what a turn moves of what is seen.
func (d *drawing) moved(t cube.Turn) {
	motion := t.Cube()
	mark := func(s Sticker) {
		if tile, seen := d.tile(s); seen {
			d.polygon(movedShape, 0, tile.moved...)
		}
	}
	for p := range cube.CornerPlace(cube.CornerPlaces) {
		for sticker := range 3 {
			if motion.Corners[p] != cube.Solved.Corners[p] {
				mark(CornerSticker(p, sticker))
			}
		}
	}
	for p := range cube.EdgePlace(cube.EdgePlaces) {
		for sticker := range 2 {
			if motion.Edges[p] != cube.Solved.Edges[p] {
				mark(EdgeSticker(p, sticker))
			}
		}
	}
	outer := t.Kind() == cube.FaceTurn || t.Kind() == cube.WideTurn
	for f := range cube.Face(cube.Faces) {
		if motion.Centres[f] != cube.Solved.Centres[f] || outer && t.Layer().Reference() == f {
			mark(CentreSticker(f))
		}
	}
}

// diamond marks the pair's corner.
func diamond(at Point) []Point {
	const r = 23
	return []Point{{at.X, at.Y - r}, {at.X + r, at.Y}, {at.X, at.Y + r}, {at.X - r, at.Y}}
}

// upward marks the second pair's corner.
func upward(at Point) []Point {
	const r = 26
	return []Point{{at.X, at.Y - r}, {at.X + r, at.Y + r/2}, {at.X - r, at.Y + r/2}}
}

// downward marks the second pair's edge.
func downward(at Point) []Point {
	const r = 26
	return []Point{{at.X, at.Y + r}, {at.X - r, at.Y - r/2}, {at.X + r, at.Y - r/2}}
}

// dot marks the pair's edge.
func dot(at Point) []Point {
	const r, points = 18, 16
	outline := make([]Point, points)
	for i := range outline {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / points)
		outline[i] = vertex{float64(at.X) + r*cos, float64(at.Y) + r*sin}.rounded()
	}
	return outline
}
