package picture

import (
	"math"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// The puzzle is drawn as one holds it: from above, over its front right edge where the
// slot is at the right and over its front left edge where it is at the left. So three
// sides are seen. Of what is hidden, the stickers that one needs lie on flaps, folded
// out over the edge of the side that they hang on:
//
//   - the top layer's rows at the back and at the hidden side, over the top's edges;
//   - the bottom sticker of the slot's corner, over the lower edge of the side above it;
//   - of a slot at the back its two stickers at the back, over the upright edge.
//
// Where a second slot is open its hidden stickers lie on flaps too: those of a slot at the
// front and the hidden side over the upright edge at the front; of one at the back and the
// hidden side, which one does not see at all, both sides beyond the top layer's rows.
//
// There are no more: the rest of the hidden stickers belong to cross and other slots.

// View is from where a puzzle is seen whose open slot is at a place, and a second one,
// which is the same where one is open.
type View struct{ slot, second lastslot.Slot }

// ViewOf is the view for a slot.
func ViewOf(slot lastslot.Slot) View { return View{slot, slot} }

// ViewOfTwo is the view for two slots; over the edge at the first, or the same where one
// is open.
func ViewOfTwo(slot, second lastslot.Slot) View { return View{slot, second} }

// The picture's measures, in its own units.
const (
	unit = 100 // the edge of a sticker's square
	// Width and Height are the picture's.
	Width  = 528
	Height = 620
	// middleX and middleY are where the middle of the puzzle is.
	middleX = Width / 2
	middleY = 299
	// elevation is from how far above one looks, in degrees.
	elevation = 50
	// flap is how long a sticker on a flap is drawn, of its edge. One on the bottom is seen
	// more from the side, and so longer.
	flap       = 0.62
	bottomFlap = 0.86
	// above is how much higher the picture is where the second slot is out of sight.
	above = 102
)

// left says that one looks over the front left edge.
func (v View) left() bool { return atLeft(v.slot) }

func atLeft(slot lastslot.Slot) bool { return slot == lastslot.FL || slot == lastslot.BL }

func atBack(slot lastslot.Slot) bool { return slot == lastslot.BL || slot == lastslot.BR }

// Above is how far the picture reaches beyond [Height], at its top.
func (v View) Above() int {
	if atLeft(v.second) != v.left() && atBack(v.second) {
		return above
	}
	return 0
}

// Class is the view's class in the style sheet.
func (v View) Class() string {
	if v.left() {
		return "over-left"
	}
	return "over-right"
}

// TileClass is the class of a place's sticker there.
func TileClass(place string, side cube.Face) string { return "tile-" + place + "-" + side.String() }

// seenSide and hiddenSide are which of left and right is seen, and which is not.
func (v View) seenSide() cube.Face {
	if v.left() {
		return cube.FaceL
	}
	return cube.FaceR
}

func (v View) hiddenSide() cube.Face { return v.seenSide().Opposite() }

// space is a point or a direction: to the right, up, and to the front.
type space [3]float64

// axes has the direction in which each side lies.
var axes = [cube.Faces]space{cube.FaceU: {0, 1, 0}, cube.FaceD: {0, -1, 0}, cube.FaceL: {-1, 0, 0}, cube.FaceR: {1, 0, 0}, cube.FaceF: {0, 0, 1}, cube.FaceB: {0, 0, -1}}

func (p space) plus(q space, times float64) space {
	for i := range p {
		p[i] += times * q[i]
	}
	return p
}

func (p space) along(q space) float64 { return p[0]*q[0] + p[1]*q[1] + p[2]*q[2] }

// point is where one sees a point of the puzzle, whose middle is 0 and whose stickers'
// edges are 1.
func (v View) point(p space) vertex {
	x := p[0]
	if v.left() {
		x = -x
	}
	across, near := (x-p[2])/math.Sqrt2, (x+p[2])/math.Sqrt2
	if v.left() {
		across = -across
	}
	sin, cos := math.Sincos(elevation * math.Pi / 180)
	return vertex{middleX + unit*across, middleY + unit*(near*sin-p[1]*cos)}
}

// Sticker is a place for a sticker: the side that it is on, and the piece's place.
type Sticker struct {
	Face cube.Face
	// at is the middle of the piece.
	at space
}

func stickerOn(faces []cube.Face, sticker int) Sticker {
	s := Sticker{Face: faces[sticker]}
	for _, f := range faces {
		s.at = s.at.plus(axes[f], 1)
	}
	return s
}

// CornerSticker is a corner place's sticker, numbered as its facelets are.
func CornerSticker(p cube.CornerPlace, sticker int) Sticker {
	faces := p.Facelets()
	return stickerOn(faces[:], sticker)
}

// EdgeSticker is an edge place's sticker, numbered as its facelets are.
func EdgeSticker(p cube.EdgePlace, sticker int) Sticker {
	faces := p.Facelets()
	return stickerOn(faces[:], sticker)
}

// CentreSticker is the sticker in the middle of a side.
func CentreSticker(f cube.Face) Sticker { return stickerOn([]cube.Face{f}, 0) }

// ofSlot says that a sticker is of a slot's place of corner or edge.
func (s Sticker) ofSlot(slot lastslot.Slot) bool {
	sides := slot.Edge().Facelets()
	return s.at[1] <= 0 && s.at.along(axes[sides[0]]) == 1 && s.at.along(axes[sides[1]]) == 1
}

// hinges are the sides over whose edges a hidden sticker is folded out, one after the
// other; none where it is not.
func (v View) hinges(s Sticker) []cube.Face {
	if (s.Face == cube.FaceB || s.Face == v.hiddenSide()) && s.at[1] == 1 {
		return []cube.Face{cube.FaceU}
	}
	for _, slot := range []lastslot.Slot{v.slot, v.second} {
		if !s.ofSlot(slot) {
			continue
		}
		hidden := atLeft(slot) != v.left()
		switch {
		case hidden && atBack(slot) && s.Face == cube.FaceD:
			return []cube.Face{cube.FaceB, cube.FaceU}
		case hidden && atBack(slot):
			return []cube.Face{cube.FaceU}
		case atBack(slot):
			return []cube.Face{v.seenSide()}
		}
		return []cube.Face{cube.FaceF}
	}
	return nil
}

// flapAt is a flap: the edge that it is folded at, from one end to the other, the hidden
// side whose stickers are on it, and how many of them lie one beyond the other.
type flapAt struct {
	from, to space
	out      cube.Face
	stickers float64
}

// flapLength is how long a sticker of a side is drawn on its flap.
func flapLength(f cube.Face) float64 {
	if f == cube.FaceD {
		return bottomFlap
	}
	return flap
}

// flaps are the view's.
func (v View) flaps() []flapAt {
	flaps := append(v.topFlaps(), v.slotFlaps(v.slot)...)
	if v.second != v.slot {
		flaps = append(flaps, v.slotFlaps(v.second)...)
	}
	return flaps
}

// slotFlaps are those of an open slot.
func (v View) slotFlaps(slot lastslot.Slot) []flapAt {
	switch hidden := atLeft(slot) != v.left(); {
	case hidden && atBack(slot):
		return []flapAt{
			{v.edge(-1.5, 1.5, -1.5), v.edge(-0.5, 1.5, -1.5), cube.FaceB, 3},
			// The bottom's sticker lies where the side at the back ends.
			{v.edge(-1.5, 1.5, -1.5-3*flap), v.edge(-0.5, 1.5, -1.5-3*flap), cube.FaceB, 1},
			{v.edge(-1.5, 1.5, -1.5), v.edge(-1.5, 1.5, -0.5), v.hiddenSide(), 3},
		}
	case hidden:
		return []flapAt{
			{v.edge(-1.5, -1.5, 1.5), v.edge(-1.5, 0.5, 1.5), v.hiddenSide(), 1},
			{v.edge(-1.5, -1.5, 1.5), v.edge(-0.5, -1.5, 1.5), cube.FaceD, 1},
		}
	case atBack(slot):
		return []flapAt{{v.edge(1.5, -1.5, -1.5), v.edge(1.5, 0.5, -1.5), cube.FaceB, 1}, {v.edge(1.5, -1.5, -1.5), v.edge(1.5, -1.5, -0.5), cube.FaceD, 1}}
	}
	return []flapAt{{v.edge(0.5, -1.5, 1.5), v.edge(1.5, -1.5, 1.5), cube.FaceD, 1}}
}

// topFlaps are those of the top layer.
func (v View) topFlaps() []flapAt {
	return []flapAt{
		{v.edge(-1.5, 1.5, -1.5), v.edge(1.5, 1.5, -1.5), cube.FaceB, 1},
		{v.edge(-1.5, 1.5, -1.5), v.edge(-1.5, 1.5, 1.5), v.hiddenSide(), 1},
	}
}

// edge is a point so far towards the side that is seen, up, and to the front.
func (v View) edge(x, y, z float64) space { return space{0, y, z}.plus(axes[v.seenSide()], x) }

// Tile is where a sticker is in the picture: the corners of its square, one after the
// other. Folded says that it is on a flap.
type Tile struct {
	Outline [4]Point
	Folded  bool
}

// Tile is where a sticker is seen, and whether it is.
func (v View) Tile(s Sticker) (Tile, bool) {
	var hinges []cube.Face
	if s.Face != cube.FaceU && s.Face != cube.FaceF && s.Face != v.seenSide() {
		if hinges = v.hinges(s); hinges == nil {
			return Tile{}, false
		}
	}
	a := axes[(s.Face+2)%cube.Faces]
	b := axes[(s.Face+4)%cube.Faces]
	middle := s.at.plus(axes[s.Face], 0.5)
	t := Tile{Folded: hinges != nil}
	for i, sign := range [4][2]float64{{-0.5, -0.5}, {0.5, -0.5}, {0.5, 0.5}, {-0.5, 0.5}} {
		p := middle.plus(a, sign[0]).plus(b, sign[1])
		side := s.Face
		for n, hinge := range hinges {
			length := 1.0
			if n == len(hinges)-1 {
				length = flapLength(side)
			}
			from := 1.5 - p.along(axes[hinge])
			p = p.plus(axes[hinge], from).plus(axes[side], length*from)
			side = hinge
		}
		t.Outline[i] = v.point(p).rounded()
	}
	return t, true
}

func (p vertex) rounded() Point { return Point{int(math.Round(p.X)), int(math.Round(p.Y))} }

// middle is where a tile's middle is.
func (t Tile) middle() Point {
	var sum Point
	for _, p := range t.Outline {
		sum.X += p.X
		sum.Y += p.Y
	}
	return Point{int(math.Round(float64(sum.X) / 4)), int(math.Round(float64(sum.Y) / 4))}
}

// scaled is a tile's outline, so many times as large around its middle.
func (t Tile) scaled(by float64) []Point {
	m := t.middle()
	points := make([]Point, len(t.Outline))
	for i, p := range t.Outline {
		points[i] = vertex{float64(m.X) + by*float64(p.X-m.X), float64(m.Y) + by*float64(p.Y-m.Y)}.rounded()
	}
	return points
}

// nameAt is the name of a side, and where it stands outside the picture: it begins at the
// picture's left edge, or ends at its right one.
type nameAt struct {
	side  cube.Face
	y     int
	right bool
}

// names are those of the four sides around.
func (v View) names() []nameAt {
	const high, low = middleY - 176, middleY - 82
	return []nameAt{
		{cube.FaceB, high, !v.left()},
		{v.hiddenSide(), high, v.left()},
		{cube.FaceF, low, v.left()},
		{v.seenSide(), low, !v.left()},
	}
}
