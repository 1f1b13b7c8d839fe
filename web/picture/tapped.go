package picture

import (
	"slices"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
)

// Tapped is what somebody has said of a case so far, and what follows from it.
type Tapped struct {
	// Slot is open, and Second, which is the same where one slot is.
	Slot, Second lastslot.Slot
	// Corners and Edges are the spots of their pairs' pieces, -1 where nobody said so. The
	// spots are those of one slot, and after them the second's.
	Corners, Edges [2]int
	// Twists and Flips have which sticker of each spot shows the top colour or, of the
	// pairs', the colour that it is told by.
	Twists, Flips [twoslots.Spots]int
	// AssumedCorners and AssumedEdges are spots that nobody spoke of.
	AssumedCorners, AssumedEdges [twoslots.Spots]bool
}

// Picture draws it as a position is drawn, with the top colour small where it is assumed.
func (t Tapped) Picture() Picture {
	d := drawing{view: ViewOfTwo(t.Slot, t.Second)}
	d.body()
	for f := range cube.Face(cube.Faces) {
		class := quietTile
		if f == cube.FaceU {
			class = fullTile
		}
		d.sticker(CentreSticker(f), look{class: class, of: f})
	}
	slots := []lastslot.Slot{t.Slot, t.Second}
	if t.Second == t.Slot {
		slots = slots[:1]
	}
	inSpots := func(spot, turned int, assumed bool, pairs [2]int, own func(lastslot.Slot) []cube.Face, marks [2]func(Point) []Point, at func(sticker int) Sticker, name string) {
		pair := slices.Index(pairs[:], spot)
		pieces := own(slots[max(pair, 0)])
		for i := range pieces {
			l := look{class: plainTile, spot: name}
			switch {
			case pair >= 0:
				l = lookOf(pieces[i], ofPair, marks[pair], i == 0)
			case i == 0 && assumed:
				l.class, l.of = assumedTile, cube.FaceU
			case i == 0:
				l.class, l.of = fullTile, cube.FaceU
			}
			d.sticker(at((i+turned)%len(pieces)), l)
		}
	}
	ownCorner := func(s lastslot.Slot) []cube.Face { f := s.Corner().Facelets(); return f[:] }
	ownEdge := func(s lastslot.Slot) []cube.Face { f := s.Edge().Facelets(); return f[:] }
	for spot := range twoslots.First + len(slots) {
		slot := slots[max(spot-twoslots.First, 0)]
		corner, edge := slot.CornerPlace(min(spot, lastslot.InSlot)), slot.EdgePlace(min(spot, lastslot.InSlot))
		inSpots(spot, t.Twists[spot], t.AssumedCorners[spot], t.Corners, ownCorner, [2]func(Point) []Point{diamond, upward},
			func(sticker int) Sticker { return CornerSticker(corner, sticker) }, "in-"+corner.String())
		inSpots(spot, t.Flips[spot], t.AssumedEdges[spot], t.Edges, ownEdge, [2]func(Point) []Point{dot, downward},
			func(sticker int) Sticker { return EdgeSticker(edge, sticker) }, "in-"+edge.String())
	}
	for p := cube.DFR; p < cube.CornerPlaces; p++ {
		if p == t.Slot.Corner() || p == t.Second.Corner() {
			continue
		}
		for i, f := range p.Facelets() {
			d.sticker(CornerSticker(p, i), look{class: quietTile, of: f})
		}
	}
	for p := range cube.EdgePlace(cube.EdgePlaces) {
		if f := p.Facelets(); f[0] != cube.FaceU && p != t.Slot.Edge() && p != t.Second.Edge() {
			d.sticker(EdgeSticker(p, 0), look{class: quietTile, of: f[0]})
			d.sticker(EdgeSticker(p, 1), look{class: quietTile, of: f[1]})
		}
	}
	return Picture{View: d.view, Shapes: d.shapes}
}
