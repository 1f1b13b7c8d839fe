package picture

import (
	"strings"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/words"
)

// Picture is a picture of the puzzle as it is held, and the same in words. It is a list
// of plain shapes, the first at the back, so that it can be written as SVG and painted
// as well.
type Picture struct {
	View   View
	Shapes []Shape
	Words  string
	// Behind says that the puzzle is seen from behind, as after y2.
	Behind bool
}

// Shape is a polygon, or a line where it has two points, in the picture's units.
type Shape struct {
	Class  Class
	Points []Point
	// Of is the side that a sticker's colour belongs to when all is solved.
	Of cube.Face
	// Spot is the class of the spot that is tapped in to say otherwise, "" for none.
	Spot string
}

// Point is one in the units of a [Picture].
type Point struct{ X, Y int }

// Class is what a shape stands for, and its class in the style sheet.
type Class string

// The classes. What they mean can be read without colour: a full tile is the top
// colour or the pair's, a tile with a diamond the pair's corner and with a dot its edge;
// small tiles are of cross and other slots, and hollow ones do not matter.
const (
	flapShape   Class = "seen-flap"
	bodyShape   Class = "seen-body"
	foldShape   Class = "seen-fold"
	movedShape  Class = "seen-moved"   // around what the last turn moved
	openShape   Class = "seen-open"    // around the places of an open slot
	fullTile    Class = "seen-tile"    // a sticker of the top colour or of the pair
	assumedTile Class = "seen-assumed" // the top colour where nobody said so
	quietTile   Class = "seen-quiet"   // one of the cross or of another slot
	plainTile   Class = "seen-plain"   // another of the last layer
	solidMark   Class = "seen-solid"   // a diamond or dot: the sticker that the pair's piece is told by
	hollowMark  Class = "seen-hollow"  // a diamond or dot on its other stickers
)

// Position is what a picture shows: a puzzle of which one slot was
// open.
type Position struct {
	Cube cube.Cube
	// Slot is where that slot was in the first hold, in which the cross is down, and
	// Now where it is.
	Slot, Now lastslot.Slot
	// Last is the turn that led here, nil for none.
	Last *cube.Turn
	// tilt is the hold that the rotations alone led to.
	tilt cube.Hold
}

// PositionOf shows a case before any turn.
func PositionOf(c lastslot.Case) Position {
	return Position{Cube: c.Cube(), Slot: c.Slot, Now: c.Slot}
}

// Turned is the position after one turn. The slot goes along with most of what
// surrounds it: it stays where it is when a layer turns, and moves when the layers
// below the top turn together.
func (p Position) Turned(t cube.Turn) Position {
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
func (p Position) inPlace(slot lastslot.Slot) (n int) {
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
func (p Position) tilted() bool { return p.tilt.Face(cube.FaceD) != cube.FaceD }

// Picture draws the position.
func (p Position) Picture() Picture {
	d := drawing{view: ViewOf(p.Now)}
	d.body()
	for f := range cube.Face(cube.Faces) {
		d.sticker(CentreSticker(f), lookOf(p.Cube.Centres[f], p.centreKind(p.Cube.Centres[f]), nil, false))
	}
	for place, corner := range p.Cube.Corners {
		for i, of := range corner.Piece().Facelets() {
			d.sticker(CornerSticker(cube.CornerPlace(place), (i+corner.Twist())%3), lookOf(of, p.cornerKind(corner), diamond, i == 0))
		}
	}
	for place, edge := range p.Cube.Edges {
		for i, of := range edge.Piece().Facelets() {
			d.sticker(EdgeSticker(cube.EdgePlace(place), i^edge.Flip()), lookOf(of, p.edgeKind(edge), dot, i == 0))
		}
	}
	if p.Last != nil && p.Last.Kind() != cube.Rotation {
		d.moved(*p.Last)
	}
	return Picture{View: d.view, Shapes: d.shapes, Words: p.Words()}
}

// centreKind is what a centre is: the top's is of the last layer.
func (p Position) centreKind(of cube.Face) pieceKind {
	if of == cube.FaceU {
		return lastLayer
	}
	return ofRest
}

// lookOf is how a piece's sticker is drawn. Told says that the pair's piece is told by it.
func lookOf(of cube.Face, kind pieceKind, mark func(Point) []Point, told bool) look {
	switch {
	case kind == ofPair && told:
		return look{class: fullTile, of: of, mark: solidMark, shape: mark}
	case kind == ofPair:
		return look{class: fullTile, of: of, mark: hollowMark, shape: mark}
	case kind == ofRest:
		return look{class: quietTile, of: of}
	case of == cube.FaceU:
		return look{class: fullTile, of: of}
	}
	return look{class: plainTile, of: of}
}

// pieceKind is what a piece is to somebody who fills the slot.
type pieceKind uint8

const (
	lastLayer pieceKind = iota
	ofPair
	ofRest // of the cross or of another slot
)

func (p Position) cornerKind(c cube.Corner) pieceKind {
	return p.kind(c.Piece().Facelets()[0], c.Piece() == p.Slot.Corner())
}

func (p Position) edgeKind(e cube.Edge) pieceKind {
	return p.kind(e.Piece().Facelets()[0], e.Piece() == p.Slot.Edge())
}

func (p Position) kind(reference cube.Face, pair bool) pieceKind {
	switch {
	case pair:
		return ofPair
	case reference == cube.FaceU:
		return lastLayer
	}
	return ofRest
}

// colourClasses has the class of each side's colour.
var colourClasses = [cube.Faces]string{cube.FaceU: "of-up", cube.FaceD: "of-down", cube.FaceL: "of-left", cube.FaceR: "of-right", cube.FaceF: "of-front", cube.FaceB: "of-back"}

// Classes are those of the style sheet: what the shape stands for, the side that a
// sticker's colour belongs to, and the spot.
func (s Shape) Classes() string {
	classes := string(s.Class)
	if s.Class == fullTile || s.Class == quietTile || s.Class == assumedTile {
		classes += " " + colourClasses[s.Of]
	}
	if s.Spot != "" {
		classes += " " + s.Spot
	}
	return classes
}

// SVG is the picture for a page, with its words, or without any for one that is
// described otherwise.
func (p Picture) SVG() string {
	b := p.svg()
	return b.end()
}

func (p Picture) svg() *svg {
	var b svg
	b.beginAbove("seen", p.View.Above(), Width, Height, p.Words)
	// Shapes of a class are written as one: a page has dozens of pictures. Tiles do not
	// overlap, so only the marks on them have to wait.
	var classes, marks []string
	outlines := map[string][][]Point{}
	for _, s := range p.Shapes {
		class := s.Classes()
		if outlines[class] == nil {
			if s.Class == solidMark || s.Class == hollowMark {
				marks = append(marks, class)
			} else {
				classes = append(classes, class)
			}
		}
		outlines[class] = append(outlines[class], s.Points)
	}
	for _, class := range append(classes, marks...) {
		b.outlines(class, outlines[class])
	}
	return &b
}

// Named is the picture with the names of the sides around it: for one that stands alone.
func (p Picture) Named() string {
	b := p.svg()
	for _, n := range p.View.names() {
		class, x := "seen-name", 2
		if n.right {
			class, x = "seen-name at-right", Width-2
		}
		side := n.side
		if p.Behind {
			side = side.Opposite()
		}
		b.text(class, Point{x, n.y}, side.Words())
	}
	return b.end()
}

// Words says where the pair is, where the top colour shows, and what else is on
// top or in the slot.
func (p Position) Words() string {
	pair := map[string]string{"corner": "out of sight", "edge": "out of sight"}
	var up, turned, rest []string
	say := func(kind pieceKind, spot int, name, place, facing, colour string) {
		in := "at " + place
		if spot == lastslot.InSlot && !p.tilted() {
			in, place = "in the slot", "slot’s "+name
		}
		switch {
		case kind == ofPair:
			pair[name] = in + ", " + colour + " colour facing " + facing
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
		say(p.edgeKind(e), spot, "edge", place.String(), place.Facelets()[e.Flip()].Words(), words.OwnColour(p.Slot))
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
