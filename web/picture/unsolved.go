package picture

import (
	"slices"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Unsolved is a puzzle that is not before the last slot, held with most of a cross down.
type Unsolved struct {
	Cube cube.Cube
	// Cross has the places at the bottom where the cross is not solved, and Open the open
	// slots.
	Cross []cube.EdgePlace
	Open  []lastslot.Slot
	// Colours has, for each face of the puzzle as scrambles are held, the side to which
	// its colour belongs as the reader has them.
	Colours [cube.Faces]cube.Face
}

// Pictures are one from the front, or one more from behind where otherwise an open slot or
// a missing edge of the cross would be out of sight. All stickers have their colours, large
// where a piece below the top is not solved, and on top the top's; the edges that the cross
// misses have dots, and open slots dashes around their places. The pictures have no words.
func (u Unsolved) Pictures() []Picture {
	best, most := ViewOf(lastslot.FR), -1
	for slot := range lastslot.Slot(lastslot.Slots) {
		if n := u.inSight(ViewOf(slot)); n > most {
			best, most = ViewOf(slot), n
		}
	}
	front := u.picture(best)
	if most == len(u.Open)+len(u.Cross) {
		return []Picture{front}
	}
	// From behind and over the same side one sees the other two sides.
	view := ViewOf(lastslot.FR)
	if best.left() {
		view = ViewOf(lastslot.FL)
	}
	behind := u.turnedRound().picture(view)
	behind.Behind = true
	return []Picture{front, behind}
}

// inSight counts the open slots and missing edges of which a sticker is seen.
func (u Unsolved) inSight(v View) (n int) {
	sees := func(stickers ...Sticker) bool {
		return slices.ContainsFunc(stickers, func(s Sticker) bool { _, seen := v.Tile(s); return seen })
	}
	for _, s := range u.Open {
		if sees(EdgeSticker(s.Edge(), 0), EdgeSticker(s.Edge(), 1)) {
			n++
		}
	}
	for place, edge := range u.Cube.Edges {
		if u.missing(edge) && sees(EdgeSticker(cube.EdgePlace(place), 0), EdgeSticker(cube.EdgePlace(place), 1)) {
			n++
		}
	}
	return n
}

// missing says whether the edge is one of the cross that is not solved.
func (u Unsolved) missing(edge cube.Edge) bool {
	home := u.Cube.Hold().Cube()
	return slices.ContainsFunc(u.Cross, func(p cube.EdgePlace) bool { return home.Edges[p].Piece() == edge.Piece() })
}

// turnedRound is the same after y2.
func (u Unsolved) turnedRound() Unsolved {
	r := u
	r.Cube = u.Cube.Turn(cube.TurnOf(cube.Y, 2))
	r.Cross, r.Open = nil, nil
	for _, p := range u.Cross {
		r.Cross = append(r.Cross, cube.DF+(p-cube.DF+2)%4)
	}
	for _, s := range u.Open {
		r.Open = append(r.Open, (s+2)%lastslot.Slots)
	}
	return r
}

func (u Unsolved) picture(v View) Picture {
	d := drawing{view: v}
	d.body()
	c := u.Cube
	home := c.Hold().Cube()
	top := c.Centres[cube.FaceU]
	look := func(of cube.Face, piece []cube.Face, solved, missing, told bool) look {
		l := look{class: quietTile, of: u.Colours[of]}
		last := slices.Contains(piece, top)
		if last && of == top || !last && !solved {
			l.class = fullTile
		}
		if missing {
			l.mark, l.shape = hollowMark, dot
			if told {
				l.mark = solidMark
			}
		}
		return l
	}
	for f := range cube.Face(cube.Faces) {
		of := c.Centres[f]
		d.sticker(CentreSticker(f), look(of, []cube.Face{of}, true, false, false))
	}
	for place, corner := range c.Corners {
		piece := corner.Piece().Facelets()
		for i, of := range piece {
			d.sticker(CornerSticker(cube.CornerPlace(place), (i+corner.Twist())%3), look(of, piece[:], corner == home.Corners[place], false, false))
		}
	}
	for place, edge := range c.Edges {
		piece := edge.Piece().Facelets()
		for i, of := range piece {
			d.sticker(EdgeSticker(cube.EdgePlace(place), i^edge.Flip()), look(of, piece[:], edge == home.Edges[place], u.missing(edge), of == c.Centres[cube.FaceD]))
		}
	}
	for _, s := range u.Open {
		for i := range 3 {
			d.around(CornerSticker(s.Corner(), i))
		}
		for i := range 2 {
			d.around(EdgeSticker(s.Edge(), i))
		}
	}
	return Picture{View: v, Shapes: d.shapes}
}

// around marks a place of an open slot, if it is seen.
func (d *drawing) around(s Sticker) {
	if tile, seen := d.view.Tile(s); seen {
		d.polygon(openShape, 0, tile.scaled(movedSize)...)
	}
}
