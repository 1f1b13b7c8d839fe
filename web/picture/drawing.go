package picture

import (
	"math"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

type drawing struct {
	slot   lastslot.Slot
	shapes []Shape
}

// corner is the upper left corner of a cell.
func (c Cell) corner() Point {
	return Point{netMargin + (c.Column-1)*netUnit, netMargin + (c.Row-1)*netUnit}
}

// square adds a square around a cell's middle.
func (d *drawing) square(class Class, c Cell, side, r int, of cube.Face) {
	at := c.corner()
	inset := (netUnit - side) / 2
	d.shapes = append(d.shapes, Shape{Class: class, X: at.X + inset, Y: at.Y + inset, W: side, H: side, R: r, Of: of})
}

// moved marks what a turn moves.
func (d *drawing) moved(t cube.Turn) {
	motion := t.Cube()
	mark := func(c Cell) { d.square(netMoved, c, netUnit+14, 13, 0) }
	for spot := range lastslot.Spots {
		if place := d.slot.CornerPlace(spot); motion.Corners[place] != cube.Solved.Corners[place] {
			for sticker := range 3 {
				mark(NetCorner(d.slot, spot, sticker))
			}
		}
		if place := d.slot.EdgePlace(spot); motion.Edges[place] != cube.Solved.Edges[place] {
			for sticker := range 2 {
				mark(NetEdge(d.slot, spot, sticker))
			}
		}
	}
	if l := t.Layer(); l == cube.U || l == cube.Uw || motion.Centres[cube.FaceU] != cube.FaceU {
		mark(NetTop(d.slot))
	}
}

// bodies draws each place as one piece: on top its stickers lie side by side, in
// the slot two rings hold them together.
func (d *drawing) bodies() {
	for spot := range lastslot.InSlot {
		d.body(NetCorner(d.slot, spot, 0), NetCorner(d.slot, spot, 1), NetCorner(d.slot, spot, 2))
		d.body(NetEdge(d.slot, spot, 0), NetEdge(d.slot, spot, 1))
	}
	top := NetTop(d.slot)
	bottom := NetCorner(d.slot, lastslot.InSlot, 0)
	out := Cell{sign(bottom.Row - top.Row), sign(bottom.Column - top.Column)}
	d.ring(top, out, 2, 2)
	d.ring(top, out, 3, 2*math.Sqrt2)
	for sticker := range 3 {
		d.square(netBody, NetCorner(d.slot, lastslot.InSlot, sticker), netUnit-2, 8, 0)
	}
	for sticker := range 2 {
		d.square(netBody, NetEdge(d.slot, lastslot.InSlot, sticker), netUnit-2, 8, 0)
	}
}

func sign(n int) int {
	if n < 0 {
		return -1
	}
	return 1
}

// body is the outline around a cell and those beside it.
func (d *drawing) body(first Cell, beside ...Cell) {
	const inset = 3
	// The outline goes round the first cell clockwise; a cell beside it pushes its
	// side of the outline out.
	at := first.corner()
	low, high := inset, netUnit-inset
	left, top, right, bottom := at.X+low, at.Y+low, at.X+high, at.Y+high
	var points []Point
	has := func(row, column int) bool {
		for _, b := range beside {
			if b == (Cell{first.Row + row, first.Column + column}) {
				return true
			}
		}
		return false
	}
	if has(-1, 0) {
		points = append(points, Point{left, top - netUnit}, Point{right, top - netUnit})
	}
	points = append(points, Point{right, top})
	if has(0, 1) {
		points = append(points, Point{right + netUnit, top}, Point{right + netUnit, bottom})
	}
	points = append(points, Point{right, bottom})
	if has(1, 0) {
		points = append(points, Point{right, bottom + netUnit}, Point{left, bottom + netUnit})
	}
	points = append(points, Point{left, bottom})
	if has(0, -1) {
		points = append(points, Point{left - netUnit, bottom}, Point{left - netUnit, top})
	}
	points = append(points, Point{left, top})
	d.shapes = append(d.shapes, Shape{Class: netBody, Points: points})
}

// ring draws a quarter of a ring around the top's cell above the slot: as many
// cells away as near says on either side and as far says on the diagonal.
func (d *drawing) ring(top, out Cell, near, far float64) {
	const half, steps = 0.11, 8
	middle := Cell{top.Row + out.Row, top.Column + out.Column}.corner()
	at := func(step int, off float64) Point {
		angle := float64(step) / steps * math.Pi / 2
		r := near + (far-near)*math.Sin(2*angle) + off
		x, y := r*math.Cos(angle)*float64(out.Column), r*math.Sin(angle)*float64(out.Row)
		return Point{
			middle.X + netUnit/2 + int(math.Round(x*netUnit)),
			middle.Y + netUnit/2 + int(math.Round(y*netUnit)),
		}
	}
	var points []Point
	for step := 0; step <= steps; step++ {
		points = append(points, at(step, half))
	}
	for step := steps; step >= 0; step-- {
		points = append(points, at(step, -half))
	}
	d.shapes = append(d.shapes, Shape{Class: netBody, Points: points})
}

// centre is round, as it is no piece that goes anywhere.
func (d *drawing) centre(of cube.Face) {
	if of == cube.FaceU {
		d.square(netTile, NetTop(d.slot), 28, 14, of)
		return
	}
	d.square(netBody, NetTop(d.slot), 34, 17, 0)
	d.bar(NetTop(d.slot), of)
}

func (d *drawing) bar(c Cell, of cube.Face) {
	at := c.corner()
	d.shapes = append(d.shapes, Shape{Class: netBar, X: at.X + 6, Y: at.Y + 13, W: 28, H: 14, R: 5, Of: of})
}

func (d *drawing) sticker(c Cell, of cube.Face, kind pieceKind, mark func(Class, Point) Shape, reference bool) {
	switch {
	case kind == ofRest:
		d.bar(c, of)
	case kind == lastLayer && of != cube.FaceU:
		d.square(netPlain, c, 20, 5, 0)
	default:
		d.square(netTile, c, 32, 7, of)
	}
	if kind == ofPair {
		class := netHollow
		if reference {
			class = netSolid
		}
		at := c.corner()
		d.shapes = append(d.shapes, mark(class, Point{at.X + netUnit/2, at.Y + netUnit/2}))
	}
}

// diamond marks the pair's corner.
func diamond(class Class, at Point) Shape {
	const r = 11
	return Shape{Class: class, Points: []Point{{at.X, at.Y - r}, {at.X + r, at.Y}, {at.X, at.Y + r}, {at.X - r, at.Y}}}
}

// dot marks the pair's edge.
func dot(class Class, at Point) Shape {
	const r = 9
	return Shape{Class: class, X: at.X - r, Y: at.Y - r, W: 2 * r, H: 2 * r, R: r}
}
