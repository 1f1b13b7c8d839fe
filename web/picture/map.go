package picture

import (
	"fmt"
	"math"
	"strings"

	"slotcast/cube"
	"slotcast/forecast/facts"
	"slotcast/forecast/lastslot"
	"slotcast/web/words"
)

// The map's measures, in its own units: places lie on a grid of four by four, the
// slot's at the corner where the slot is.
const (
	mapStep   = 60
	mapTile   = 32
	mapMargin = 26
	mapSide   = 3*mapStep + 2*mapMargin
)

// mapSteps are the ways from the top's middle towards each side, seen from above with
// the front below.
var mapSteps = [cube.Faces]Point{cube.FaceL: {-1, 0}, cube.FaceR: {1, 0}, cube.FaceF: {0, 1}, cube.FaceB: {0, -1}}

// Map draws where an insertion takes the last-layer corners or edges and
// which of their stickers comes up: that of a filled tile is on top already, and a
// hollow one has a tab on the side where the sticker is. The pair's piece is marked
// as in the puzzle’s picture. An arrow that only turns with U is thin.
func Map(s facts.Facts, corners bool) string {
	facts, pair := mapFacts(s, corners)
	var b svg
	class := "edges"
	if corners {
		class = "corners"
	}
	b.begin("map "+class, mapSide, mapSide, mapWords(s, corners))
	grid := mapGrid{s.Slot}
	for spot := range lastslot.InSlot {
		x, y := grid.at(spot, !corners)
		b.circle("map-rest", float64(x), float64(y), 4)
	}
	for _, f := range facts {
		from, to := grid.point(f.From, corners), grid.point(f.To, corners)
		if f.From != f.To {
			b.arrow(from, to, f.withU)
		}
	}
	x, y := grid.at(pair, corners)
	if pair != lastslot.InSlot {
		slotX, slotY := grid.at(lastslot.InSlot, corners)
		b.arrow(vertex{float64(x), float64(y)}, vertex{float64(slotX), float64(slotY)}, true)
	}
	if corners {
		b.path("map-pair", fmt.Sprintf("M%d %dl13 13l-13 13l-13-13z", x, y-13))
	} else {
		b.circle("map-pair", float64(x), float64(y), 11)
	}
	for _, f := range facts {
		column, row := grid.at(f.From, corners)
		x, y := float64(column), float64(row)
		side := f.up(s.Slot, corners)
		if side == cube.FaceU {
			b.rect("tile", x-mapTile/2, y-mapTile/2, mapTile, mapTile, 8)
			continue
		}
		b.rect("hollow", x-mapTile/2+1, y-mapTile/2+1, mapTile-2, mapTile-2, 8)
		if side == cube.FaceD {
			// The bottom's sticker lies under the middle.
			b.rect("tab", x-6, y-6, 12, 12, 3)
			continue
		}
		step := mapSteps[side]
		w, h := 22.0, 10.0
		if step.X != 0 {
			w, h = 10, 22
		}
		const out = mapTile/2 + 2
		b.rect("tab", x+float64(out*step.X)-w/2, y+float64(out*step.Y)-h/2, w, h, 4)
	}
	return b.end()
}

// mapFact is what happens to one piece, and whether it only turns with U.
type mapFact struct {
	facts.Fact
	withU bool
}

// mapFacts lists what happens to the last-layer corners or edges, and the spot of
// the pair's piece.
func mapFacts(s facts.Facts, corners bool) (facts []mapFact, pair int) {
	allCorners, allEdges := s.All()
	all, told := allEdges, s.Edges
	pair = s.Edge
	if corners {
		all, told, pair = allCorners, s.Corners, s.Corner
	}
	for _, f := range all {
		withU := true
		for _, fact := range told {
			withU = withU && fact != f
		}
		facts = append(facts, mapFact{f, withU})
	}
	return facts, pair
}

// up is the side on which the piece has the sticker that comes up.
func (f mapFact) up(slot lastslot.Slot, corners bool) cube.Face {
	if corners {
		return slot.CornerPlace(f.From).Facelets()[(3-f.Turned)%3]
	}
	return slot.EdgePlace(f.From).Facelets()[f.Turned]
}

// mapWords says what the picture shows.
func mapWords(s facts.Facts, corners bool) string {
	facts, pair := mapFacts(s, corners)
	name, at := "edge", words.EdgeSpots
	if corners {
		name, at = "corner", words.CornerSpots
	}
	spot := func(n int) string {
		if n == lastslot.InSlot {
			return "the slot"
		}
		return at[n]
	}
	parts := []string{"the pair’s " + name + " is in " + spot(pair)}
	if pair != lastslot.InSlot {
		parts[0] = "the pair’s " + name + " goes from " + spot(pair) + " to the slot"
	}
	for _, f := range facts {
		goes := spot(f.From) + " to " + spot(f.To)
		if f.From == f.To {
			goes = spot(f.From) + " stays"
		}
		parts = append(parts, fmt.Sprintf("%s, up comes what faces %s", goes, f.up(s.Slot, corners).Words()))
	}
	return strings.ToUpper(name[:1]) + name[1:] + "s: " + strings.Join(parts, "; ")
}

// mapGrid lays places out, seen from above: the slot at the corner where it is.
type mapGrid struct{ slot lastslot.Slot }

func (g mapGrid) at(spot int, corner bool) (x, y int) {
	corners, edges := g.slot.CornerPlace(spot).Facelets(), g.slot.EdgePlace(spot).Facelets()
	faces := edges[:]
	if corner {
		faces = corners[:]
	}
	// The top's middle is one step in from the side where the slot is not.
	row, column := 1, 1
	switch g.slot {
	case lastslot.BL, lastslot.BR:
		row = 2
	}
	switch g.slot {
	case lastslot.FL, lastslot.BL:
		column = 2
	}
	reach := 1
	if spot == lastslot.InSlot {
		reach = 2
	}
	for _, f := range faces {
		row += reach * mapSteps[f].Y
		column += reach * mapSteps[f].X
	}
	return mapMargin + column*mapStep, mapMargin + row*mapStep
}

func (g mapGrid) point(spot int, corner bool) vertex {
	x, y := g.at(spot, corner)
	return vertex{float64(x), float64(y)}
}

// arrow goes from one place to another, bent a little so that two that swap do not
// lie on each other.
func (s *svg) arrow(from, to vertex, thin bool) {
	dx, dy := to.X-from.X, to.Y-from.Y
	length := math.Hypot(dx, dy)
	ux, uy := dx/length, dy/length
	const clear, bend = mapTile/2 + 8, 0.16
	start := vertex{from.X + ux*(clear-4), from.Y + uy*(clear-4)}
	end := vertex{to.X - ux*clear, to.Y - uy*clear}
	// Towards the left of the way.
	middle := vertex{(from.X+to.X)/2 + uy*length*bend, (from.Y+to.Y)/2 - ux*length*bend}
	start.X, start.Y = start.X+uy*5, start.Y-ux*5
	end.X, end.Y = end.X+uy*5, end.Y-ux*5
	class, size := "map-arrow", 9.0
	if thin {
		class, size = "map-arrow with-u", 7.0
	}
	hx, hy := end.X-middle.X, end.Y-middle.Y
	h := math.Hypot(hx, hy)
	hx, hy = hx/h, hy/h
	tip := vertex{end.X + hx*size/2, end.Y + hy*size/2}
	left := vertex{tip.X - hx*size*1.3 + hy*size*0.7, tip.Y - hy*size*1.3 - hx*size*0.7}
	right := vertex{tip.X - hx*size*1.3 - hy*size*0.7, tip.Y - hy*size*1.3 + hx*size*0.7}
	back := vertex{tip.X - hx*size, tip.Y - hy*size}
	s.path(class, fmt.Sprintf("M%.0f %.0fQ%.0f %.0f %.0f %.0f", start.X, start.Y, middle.X, middle.Y, back.X, back.Y))
	s.path("map-head", fmt.Sprintf("M%.1f %.1fL%.1f %.1fL%.1f %.1fz", tip.X, tip.Y, left.X, left.Y, right.X, right.Y))
}
