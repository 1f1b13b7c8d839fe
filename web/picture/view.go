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
// There are no more: the rest of the hidden stickers belong to cross and other slots.

// View is from where a puzzle is seen whose open slot is at a place.
type View struct{ slot lastslot.Slot }

// ViewOf is the view for a slot.
func ViewOf(slot lastslot.Slot) View { return View{slot} }

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
)

// left says that one looks over the front left edge.
func (v View) left() bool { return v.slot == lastslot.FL || v.slot == lastslot.BL }

// Class is the view's class in the style sheet.
func (v View) Class() string {
	if v.left() {
		return "over-left"
	}
	return "over-right"
}

// TileClass is the class of a place's sticker there.
func TileClass(place string, side cube.Face) string { return "tile-" + place + "-" + side.String() }

// atBack says that the slot is at the back.
func (v View) atBack() bool { return v.slot == lastslot.BR || v.slot == lastslot.BL }

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

// hinge is the side on whose edge a hidden sticker is folded out, if it is.
func (v View) hinge(s Sticker) (cube.Face, bool) {
	ofSlot := s.at.along(axes[v.seenSide()]) == 1 && s.at[1] <= 0
	if v.atBack() {
		ofSlot = ofSlot && s.at[2] == -1
	} else {
		ofSlot = ofSlot && s.at[2] == 1
	}
	switch {
	case (s.Face == cube.FaceB || s.Face == v.hiddenSide()) && s.at[1] == 1:
		return cube.FaceU, true
	case s.Face == cube.FaceD && ofSlot && v.atBack():
		return v.seenSide(), true
	case s.Face == cube.FaceD && ofSlot:
		return cube.FaceF, true
	case s.Face == cube.FaceB && ofSlot:
		return v.seenSide(), true
	}
	return 0, false
}

// flapAt is a flap: the edge that it is folded at, from one end to the other, and the
// hidden side whose stickers are on it.
type flapAt struct {
	from, to space
	out      cube.Face
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
	flaps, edge := v.topFlaps(), v.edge
	if v.atBack() {
		return append(flaps, flapAt{edge(1.5, -1.5, -1.5), edge(1.5, 0.5, -1.5), cube.FaceB}, flapAt{edge(1.5, -1.5, -1.5), edge(1.5, -1.5, -0.5), cube.FaceD})
	}
	return append(flaps, flapAt{edge(0.5, -1.5, 1.5), edge(1.5, -1.5, 1.5), cube.FaceD})
}

// topFlaps are those of the top layer.
func (v View) topFlaps() []flapAt {
	return []flapAt{
		{v.edge(-1.5, 1.5, -1.5), v.edge(1.5, 1.5, -1.5), cube.FaceB},
		{v.edge(-1.5, 1.5, -1.5), v.edge(-1.5, 1.5, 1.5), v.hiddenSide()},
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
	folded := false
	var hinge cube.Face
	if s.Face != cube.FaceU && s.Face != cube.FaceF && s.Face != v.seenSide() {
		if hinge, folded = v.hinge(s); !folded {
			return Tile{}, false
		}
	}
	normal := axes[s.Face]
	a := axes[(s.Face+2)%cube.Faces]
	b := axes[(s.Face+4)%cube.Faces]
	middle := s.at.plus(normal, 0.5)
	t := Tile{Folded: folded}
	for i, sign := range [4][2]float64{{-0.5, -0.5}, {0.5, -0.5}, {0.5, 0.5}, {-0.5, 0.5}} {
		p := middle.plus(a, sign[0]).plus(b, sign[1])
		if folded {
			from := 1.5 - p.along(axes[hinge])
			p = p.plus(axes[hinge], from).plus(normal, flapLength(s.Face)*from)
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
