package picture

import (
	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Tapped is what somebody has said of a case so far, and what follows from it.
type Tapped struct {
	Slot lastslot.Slot
	// Corner and Edge are the spots of the pair's pieces, -1 where nobody said so.
	Corner, Edge int
	// Twists and Flips have which sticker of each spot shows the top colour or, of the
	// pair's, the colour that it is told by.
	Twists, Flips [lastslot.Spots]int
	// AssumedCorners and AssumedEdges are spots that nobody spoke of.
	AssumedCorners, AssumedEdges [lastslot.Spots]bool
}

// Picture draws it as a position is drawn, with the top colour small where it is assumed.
func (t Tapped) Picture() Picture {
	d := drawing{view: ViewOf(t.Slot)}
	d.body()
	for f := range cube.Face(cube.Faces) {
		class := quietTile
		if f == cube.FaceU {
			class = fullTile
		}
		d.sticker(CentreSticker(f), look{class: class, of: f})
	}
	inSpots := func(spot, pair, turned int, assumed bool, pieces []cube.Face, mark func(Point) []Point, at func(sticker int) Sticker, name string) {
		for i := range pieces {
			l := look{class: plainTile, spot: name}
			switch {
			case spot == pair:
				l = lookOf(pieces[i], ofPair, mark, i == 0)
			case i == 0 && assumed:
				l.class, l.of = assumedTile, cube.FaceU
			case i == 0:
				l.class, l.of = fullTile, cube.FaceU
			}
			d.sticker(at((i+turned)%len(pieces)), l)
		}
	}
	ownCorner, ownEdge := t.Slot.Corner().Facelets(), t.Slot.Edge().Facelets()
	for spot := range lastslot.Spots {
		corner, edge := t.Slot.CornerPlace(spot), t.Slot.EdgePlace(spot)
		inSpots(spot, t.Corner, t.Twists[spot], t.AssumedCorners[spot], ownCorner[:], diamond,
			func(sticker int) Sticker { return CornerSticker(corner, sticker) }, "in-"+corner.String())
		inSpots(spot, t.Edge, t.Flips[spot], t.AssumedEdges[spot], ownEdge[:], dot,
			func(sticker int) Sticker { return EdgeSticker(edge, sticker) }, "in-"+edge.String())
	}
	for p := cube.DFR; p < cube.CornerPlaces; p++ {
		if p == t.Slot.Corner() {
			continue
		}
		for i, f := range p.Facelets() {
			d.sticker(CornerSticker(p, i), look{class: quietTile, of: f})
		}
	}
	for p := range cube.EdgePlace(cube.EdgePlaces) {
		if f := p.Facelets(); f[0] != cube.FaceU && p != t.Slot.Edge() {
			d.sticker(EdgeSticker(p, 0), look{class: quietTile, of: f[0]})
			d.sticker(EdgeSticker(p, 1), look{class: quietTile, of: f[1]})
		}
	}
	return Picture{View: d.view, Shapes: d.shapes}
}
