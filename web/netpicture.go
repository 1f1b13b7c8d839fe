package web

import (
	"fmt"
	"html"
	"math"
	"strings"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// netPicture is a picture of a position in the net, and the same in words. It is
// a list of plain shapes, the first at the back, so that it can be written as SVG
// and painted as well.
type netPicture struct {
	Shapes []netShape
	Words  string
}

// netShape is a polygon, or where it has no points a rectangle with round corners
// of the radius R. Its measures are in the picture's units.
type netShape struct {
	Class      netClass
	Points     []netPoint
	X, Y, W, H int
	R          int
	// Of is the side that a sticker's colour belongs to when all is solved.
	Of cube.Face
}

type netPoint struct{ X, Y int }

// netClass is what a shape stands for, and its class in the style sheet.
type netClass string

// The classes. What they mean can be read without colour: a full tile is the top
// colour, a tile with a diamond the pair's corner and with a dot its edge.
const (
	netMoved  netClass = "net-moved"  // behind what the last turn moved
	netBody   netClass = "net-body"   // a piece, all its stickers in one
	netTile   netClass = "net-tile"   // a sticker of the top colour or of the pair
	netPlain  netClass = "net-plain"  // another of the last layer: hollow
	netBar    netClass = "net-bar"    // one of the cross or of another slot: a bar
	netSolid  netClass = "net-solid"  // a diamond or dot: the sticker that the pair's piece is told by
	netHollow netClass = "net-hollow" // a diamond or dot on its other stickers
)

// The picture's measures, in its own units.
const (
	netUnit   = 40 // a cell
	netMargin = 10
	// netSide is the picture's width and height.
	netSide = netSize*netUnit + 2*netMargin
)

// netPosition is what a picture of the net shows: a puzzle of which one slot was
// open.
type netPosition struct {
	Cube cube.Cube
	// Slot is where that slot was in the first hold, in which the cross is down, and
	// Now where it is.
	Slot, Now lastslot.Slot
	// Last is the turn that led here, nil for none.
	Last *cube.Turn
	// tilt is the hold that the rotations alone led to.
	tilt cube.Hold
}

// positionOf shows a case before any turn.
func positionOf(c lastslot.Case) netPosition {
	return netPosition{Cube: c.Cube(), Slot: c.Slot, Now: c.Slot}
}

// turned is the position after one turn. The slot goes along with most of what
// surrounds it: it stays where it is when a layer turns, and moves when the layers
// below the top turn together.
func (p netPosition) turned(t cube.Turn) netPosition {
	r := p
	r.Cube, r.Last = p.Cube.Turn(t), &t
	if t.Kind() == cube.Rotation {
		r.tilt = p.tilt.Then(t.Cube().Hold())
	}
	most := r.inPlace(r.Now)
	for now := range lastslot.Slot(lastslot.Slots) {
		if n := r.inPlace(now); n > most {
			most, r.Now = n, now
		}
	}
	return r
}

// inPlace counts the pieces and centres below the top that are in their place,
// seen with the slot at a place.
func (p netPosition) inPlace(slot lastslot.Slot) (n int) {
	home := cube.Hold((int(slot) - int(p.Slot)) & 3).Cube()
	for place, at := range p.Cube.Corners[cube.DFR:] {
		if home.Corners[int(cube.DFR)+place] == at {
			n++
		}
	}
	for place, at := range p.Cube.Edges[cube.FR:] {
		if home.Edges[int(cube.FR)+place] == at {
			n++
		}
	}
	for face, at := range p.Cube.Centres {
		if home.Centres[face] == at {
			n++
		}
	}
	return n
}

// tilted says that rotations have taken the cross from the bottom: then there is
// no slot in the picture, which keeps to where it was.
func (p netPosition) tilted() bool { return p.tilt.Face(cube.FaceD) != cube.FaceD }

// picture draws the position.
func (p netPosition) picture() netPicture {
	slot := p.Now
	d := netDrawing{slot: slot}
	if p.Last != nil && p.Last.Kind() != cube.Rotation {
		d.moved(*p.Last)
	}
	d.bodies()
	d.centre(p.Cube.Centres[cube.FaceU])
	for spot := range lastslot.Spots {
		corner := p.Cube.Corners[slot.CornerPlace(spot)]
		for i, of := range corner.Piece().Facelets() {
			sticker := (i + corner.Twist()) % 3
			d.sticker(netCorner(slot, spot, sticker), of, p.cornerKind(corner), diamond, i == 0)
		}
		edge := p.Cube.Edges[slot.EdgePlace(spot)]
		for i, of := range edge.Piece().Facelets() {
			d.sticker(netEdge(slot, spot, i^edge.Flip()), of, p.edgeKind(edge), dot, i == 0)
		}
	}
	return netPicture{Shapes: d.shapes, Words: p.words()}
}

// pieceKind is what a piece is to somebody who fills the slot.
type pieceKind uint8

const (
	lastLayer pieceKind = iota
	ofPair
	ofRest // of the cross or of another slot
)

func (p netPosition) cornerKind(c cube.Corner) pieceKind {
	return p.kind(c.Piece().Facelets()[0], c.Piece() == p.Slot.Corner())
}

func (p netPosition) edgeKind(e cube.Edge) pieceKind {
	return p.kind(e.Piece().Facelets()[0], e.Piece() == p.Slot.Edge())
}

func (p netPosition) kind(reference cube.Face, pair bool) pieceKind {
	switch {
	case pair:
		return ofPair
	case reference == cube.FaceU:
		return lastLayer
	}
	return ofRest
}

type netDrawing struct {
	slot   lastslot.Slot
	shapes []netShape
}

// corner is the upper left corner of a cell.
func (c cell) corner() netPoint {
	return netPoint{netMargin + (c.Column-1)*netUnit, netMargin + (c.Row-1)*netUnit}
}

// square adds a square around a cell's middle.
func (d *netDrawing) square(class netClass, c cell, side, r int, of cube.Face) {
	at := c.corner()
	inset := (netUnit - side) / 2
	d.shapes = append(d.shapes, netShape{Class: class, X: at.X + inset, Y: at.Y + inset, W: side, H: side, R: r, Of: of})
}

// moved marks what a turn moves.
func (d *netDrawing) moved(t cube.Turn) {
	motion := t.Cube()
	mark := func(c cell) { d.square(netMoved, c, netUnit+14, 13, 0) }
	for spot := range lastslot.Spots {
		if place := d.slot.CornerPlace(spot); motion.Corners[place] != cube.Solved.Corners[place] {
			for sticker := range 3 {
				mark(netCorner(d.slot, spot, sticker))
			}
		}
		if place := d.slot.EdgePlace(spot); motion.Edges[place] != cube.Solved.Edges[place] {
			for sticker := range 2 {
				mark(netEdge(d.slot, spot, sticker))
			}
		}
	}
	if l := t.Layer(); l == cube.U || l == cube.Uw || motion.Centres[cube.FaceU] != cube.FaceU {
		mark(netTop(d.slot))
	}
}

// bodies draws each place as one piece: on top its stickers lie side by side, in
// the slot two rings hold them together.
func (d *netDrawing) bodies() {
	for spot := range lastslot.InSlot {
		d.body(netCorner(d.slot, spot, 0), netCorner(d.slot, spot, 1), netCorner(d.slot, spot, 2))
		d.body(netEdge(d.slot, spot, 0), netEdge(d.slot, spot, 1))
	}
	top := netTop(d.slot)
	bottom := netCorner(d.slot, lastslot.InSlot, 0)
	out := cell{sign(bottom.Row - top.Row), sign(bottom.Column - top.Column)}
	d.ring(top, out, 2, 2)
	d.ring(top, out, 3, 2*math.Sqrt2)
	for sticker := range 3 {
		d.square(netBody, netCorner(d.slot, lastslot.InSlot, sticker), netUnit-2, 8, 0)
	}
	for sticker := range 2 {
		d.square(netBody, netEdge(d.slot, lastslot.InSlot, sticker), netUnit-2, 8, 0)
	}
}

func sign(n int) int {
	if n < 0 {
		return -1
	}
	return 1
}

// body is the outline around a cell and those beside it.
func (d *netDrawing) body(first cell, beside ...cell) {
	const inset = 3
	// The outline goes round the first cell clockwise; a cell beside it pushes its
	// side of the outline out.
	at := first.corner()
	low, high := inset, netUnit-inset
	left, top, right, bottom := at.X+low, at.Y+low, at.X+high, at.Y+high
	var points []netPoint
	has := func(row, column int) bool {
		for _, b := range beside {
			if b == (cell{first.Row + row, first.Column + column}) {
				return true
			}
		}
		return false
	}
	if has(-1, 0) {
		points = append(points, netPoint{left, top - netUnit}, netPoint{right, top - netUnit})
	}
	points = append(points, netPoint{right, top})
	if has(0, 1) {
		points = append(points, netPoint{right + netUnit, top}, netPoint{right + netUnit, bottom})
	}
	points = append(points, netPoint{right, bottom})
	if has(1, 0) {
		points = append(points, netPoint{right, bottom + netUnit}, netPoint{left, bottom + netUnit})
	}
	points = append(points, netPoint{left, bottom})
	if has(0, -1) {
		points = append(points, netPoint{left - netUnit, bottom}, netPoint{left - netUnit, top})
	}
	points = append(points, netPoint{left, top})
	d.shapes = append(d.shapes, netShape{Class: netBody, Points: points})
}

// ring draws a quarter of a ring around the top's cell above the slot: as many
// cells away as near says on either side and as far says on the diagonal.
func (d *netDrawing) ring(top, out cell, near, far float64) {
	const half, steps = 0.11, 8
	middle := cell{top.Row + out.Row, top.Column + out.Column}.corner()
	at := func(step int, off float64) netPoint {
		angle := float64(step) / steps * math.Pi / 2
		r := near + (far-near)*math.Sin(2*angle) + off
		x, y := r*math.Cos(angle)*float64(out.Column), r*math.Sin(angle)*float64(out.Row)
		return netPoint{
			middle.X + netUnit/2 + int(math.Round(x*netUnit)),
			middle.Y + netUnit/2 + int(math.Round(y*netUnit)),
		}
	}
	var points []netPoint
	for step := 0; step <= steps; step++ {
		points = append(points, at(step, half))
	}
	for step := steps; step >= 0; step-- {
		points = append(points, at(step, -half))
	}
	d.shapes = append(d.shapes, netShape{Class: netBody, Points: points})
}

// centre is round, as it is no piece that goes anywhere.
func (d *netDrawing) centre(of cube.Face) {
	if of == cube.FaceU {
		d.square(netTile, netTop(d.slot), 28, 14, of)
		return
	}
	d.square(netBody, netTop(d.slot), 34, 17, 0)
	d.bar(netTop(d.slot), of)
}

func (d *netDrawing) bar(c cell, of cube.Face) {
	at := c.corner()
	d.shapes = append(d.shapes, netShape{Class: netBar, X: at.X + 6, Y: at.Y + 13, W: 28, H: 14, R: 5, Of: of})
}

func (d *netDrawing) sticker(c cell, of cube.Face, kind pieceKind, mark func(netClass, netPoint) netShape, reference bool) {
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
		d.shapes = append(d.shapes, mark(class, netPoint{at.X + netUnit/2, at.Y + netUnit/2}))
	}
}

// diamond marks the pair's corner.
func diamond(class netClass, at netPoint) netShape {
	const r = 11
	return netShape{Class: class, Points: []netPoint{{at.X, at.Y - r}, {at.X + r, at.Y}, {at.X, at.Y + r}, {at.X - r, at.Y}}}
}

// dot marks the pair's edge.
func dot(class netClass, at netPoint) netShape {
	const r = 9
	return netShape{Class: class, X: at.X - r, Y: at.Y - r, W: 2 * r, H: 2 * r, R: r}
}

// netColours has the class of each side's colour.
var netColours = [cube.Faces]string{cube.FaceU: "of-up", cube.FaceD: "of-down", cube.FaceL: "of-left", cube.FaceR: "of-right", cube.FaceF: "of-front", cube.FaceB: "of-back"}

// Classes are those of the style sheet: what the shape stands for and, of a
// sticker, the side that its colour belongs to.
func (s netShape) Classes() string {
	if s.Class == netTile || s.Class == netBar {
		return string(s.Class) + " " + netColours[s.Of]
	}
	return string(s.Class)
}

// SVG is the picture for a page, with its words.
func (p netPicture) SVG() string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="net" viewBox="0 0 %d %d" role="img" aria-label="%s">`, netSide, netSide, html.EscapeString(p.Words))
	for _, s := range p.Shapes {
		if len(s.Points) == 0 {
			fmt.Fprintf(&b, `<rect class="%s" x="%d" y="%d" width="%d" height="%d" rx="%d"/>`, s.Classes(), s.X, s.Y, s.W, s.H, s.R)
			continue
		}
		fmt.Fprintf(&b, `<polygon class="%s" points="`, s.Classes())
		for i, point := range s.Points {
			if i > 0 {
				b.WriteByte(' ')
			}
			fmt.Fprintf(&b, "%d,%d", point.X, point.Y)
		}
		b.WriteString(`"/>`)
	}
	b.WriteString("</svg>")
	return b.String()
}

// words says where the pair is, where the top colour shows, and what else is on
// top or in the slot.
func (p netPosition) words() string {
	pair := map[string]string{"corner": "out of sight", "edge": "out of sight"}
	var up, turned, rest []string
	say := func(kind pieceKind, spot int, name, place, facing, colour string) {
		in := "at " + place
		if spot == lastslot.InSlot && !p.tilted() {
			in, place = "in the slot", "slot’s "+name
		}
		switch {
		case kind == ofPair:
			pair[name] = in + ", its " + colour + " colour facing " + facing
		case kind == ofRest:
			rest = append(rest, place)
		case facing == cube.FaceU.Words():
			up = append(up, place)
		default:
			turned = append(turned, place+" "+facing)
		}
	}
	for spot := range lastslot.Spots {
		place := p.Now.CornerPlace(spot)
		c := p.Cube.Corners[place]
		say(p.cornerKind(c), spot, "corner", place.String(), place.Facelets()[c.Twist()].Words(), "bottom")
	}
	for spot := range lastslot.Spots {
		place := p.Now.EdgePlace(spot)
		e := p.Cube.Edges[place]
		say(p.edgeKind(e), spot, "edge", place.String(), place.Facelets()[e.Flip()].Words(), ownColour(p.Slot))
	}
	parts := []string{"pair’s corner " + pair["corner"], "pair’s edge " + pair["edge"]}
	for _, list := range []struct {
		words  string
		places []string
	}{{"top colour up at ", up}, {"top colour turned at ", turned}, {"pieces of the cross or of other slots at ", rest}} {
		if len(list.places) > 0 {
			parts = append(parts, list.words+strings.Join(list.places, ", "))
		}
	}
	return strings.Join(parts, "; ")
}
