package picture

import (
	"strings"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/words"
)

// Picture is a picture of a position in the net, and the same in words. It is
// a list of plain shapes, the first at the back, so that it can be written as SVG
// and painted as well.
type Picture struct {
	Shapes []Shape
	Words  string
}

// Shape is a polygon, or where it has no points a rectangle with round corners
// of the radius R. Its measures are in the picture's units.
type Shape struct {
	Class      Class
	Points     []Point
	X, Y, W, H int
	R          int
	// Of is the side that a sticker's colour belongs to when all is solved.
	Of cube.Face
}

// Point is one in the units of a [Picture].
type Point struct{ X, Y int }

// Class is what a shape stands for, and its class in the style sheet.
type Class string

// The classes. What they mean can be read without colour: a full tile is the top
// colour, a tile with a diamond the pair's corner and with a dot its edge.
const (
	netMoved  Class = "net-moved"  // behind what the last turn moved
	netBody   Class = "net-body"   // a piece, all its stickers in one
	netTile   Class = "net-tile"   // a sticker of the top colour or of the pair
	netPlain  Class = "net-plain"  // another of the last layer: hollow
	netBar    Class = "net-bar"    // one of the cross or of another slot: a bar
	netSolid  Class = "net-solid"  // a diamond or dot: the sticker that the pair's piece is told by
	netHollow Class = "net-hollow" // a diamond or dot on its other stickers
)

// The picture's measures, in its own units.
const (
	netUnit   = 40 // a cell
	netMargin = 10
	// netSide is the picture's width and height.
	netSide = netSize*netUnit + 2*netMargin
)

// Position is what a picture of the net shows: a puzzle of which one slot was
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
	slot := p.Now
	d := drawing{slot: slot}
	if p.Last != nil && p.Last.Kind() != cube.Rotation {
		d.moved(*p.Last)
	}
	d.bodies()
	d.centre(p.Cube.Centres[cube.FaceU])
	for spot := range lastslot.Spots {
		corner := p.Cube.Corners[slot.CornerPlace(spot)]
		for i, of := range corner.Piece().Facelets() {
			sticker := (i + corner.Twist()) % 3
			d.sticker(NetCorner(slot, spot, sticker), of, p.cornerKind(corner), diamond, i == 0)
		}
		edge := p.Cube.Edges[slot.EdgePlace(spot)]
		for i, of := range edge.Piece().Facelets() {
			d.sticker(NetEdge(slot, spot, i^edge.Flip()), of, p.edgeKind(edge), dot, i == 0)
		}
	}
	return Picture{Shapes: d.shapes, Words: p.Words()}
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

// netColours has the class of each side's colour.
var netColours = [cube.Faces]string{cube.FaceU: "of-up", cube.FaceD: "of-down", cube.FaceL: "of-left", cube.FaceR: "of-right", cube.FaceF: "of-front", cube.FaceB: "of-back"}

// Classes are those of the style sheet: what the shape stands for and, of a
// sticker, the side that its colour belongs to.
func (s Shape) Classes() string {
	if s.Class == netTile || s.Class == netBar {
		return string(s.Class) + " " + netColours[s.Of]
	}
	return string(s.Class)
}

// SVG is the picture for a page, with its words.
func (p Picture) SVG() string {
	var b svg
	b.begin("net", netSide, p.Words)
	for _, s := range p.Shapes {
		if len(s.Points) == 0 {
			b.rect(s.Classes(), float64(s.X), float64(s.Y), float64(s.W), float64(s.H), float64(s.R))
			continue
		}
		b.polygon(s.Classes(), s.Points)
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
