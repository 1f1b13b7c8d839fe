package web

import (
	"fmt"
	"html"
	"math"
	"strings"

	"slotcast/cube"
	"slotcast/forecast/facts"
	"slotcast/forecast/lastslot"
)

// The map's measures, in its own units: places lie on a grid of four by four, the
// slot's at the corner where the slot is.
const (
	mapStep   = 60
	mapTile   = 32
	mapMargin = 26
	mapSide   = 3*mapStep + 2*mapMargin
)

// mapPicture draws where an insertion takes the last-layer corners or edges and
// which of their stickers comes up: that of a filled tile is on top already, and a
// hollow one has a tab on the side where the sticker is. The pair's piece is marked
// as in the net. An arrow that only turns with U is thin.
func mapPicture(s facts.Facts, corners bool) string {
	facts, pair := mapFacts(s, corners)
	var b strings.Builder
	class := "edges"
	if corners {
		class = "corners"
	}
	fmt.Fprintf(&b, `<svg class="map %s" viewBox="0 0 %d %d" role="img" aria-label="%s">`, class, mapSide, mapSide, html.EscapeString(mapWords(s, corners)))
	grid := mapGrid{s.Slot}
	for spot := range lastslot.InSlot {
		x, y := grid.at(spot, !corners)
		fmt.Fprintf(&b, `<circle class="map-rest" cx="%d" cy="%d" r="4"/>`, x, y)
	}
	for _, f := range facts {
		from, to := grid.point(f.From, corners), grid.point(f.To, corners)
		if f.From != f.To {
			b.WriteString(arrow(from, to, f.withU))
		}
	}
	x, y := grid.at(pair, corners)
	if pair != lastslot.InSlot {
		slotX, slotY := grid.at(lastslot.InSlot, corners)
		b.WriteString(arrow(point{float64(x), float64(y)}, point{float64(slotX), float64(slotY)}, true))
	}
	if corners {
		fmt.Fprintf(&b, `<path class="map-pair" d="M%d %dl13 13l-13 13l-13-13z"/>`, x, y-13)
	} else {
		fmt.Fprintf(&b, `<circle class="map-pair" cx="%d" cy="%d" r="11"/>`, x, y)
	}
	for _, f := range facts {
		x, y := grid.at(f.From, corners)
		side := f.up(s.Slot, corners)
		if side == cube.FaceU {
			fmt.Fprintf(&b, `<rect class="tile" x="%d" y="%d" width="%d" height="%d" rx="8"/>`, x-mapTile/2, y-mapTile/2, mapTile, mapTile)
			continue
		}
		fmt.Fprintf(&b, `<rect class="hollow" x="%d" y="%d" width="%d" height="%d" rx="8"/>`, x-mapTile/2+1, y-mapTile/2+1, mapTile-2, mapTile-2)
		if side == cube.FaceD {
			// The bottom's sticker lies under the middle.
			fmt.Fprintf(&b, `<rect class="tab" x="%d" y="%d" width="12" height="12" rx="3"/>`, x-6, y-6)
			continue
		}
		step := netSteps[side]
		w, h := 22, 10
		if step.Column != 0 {
			w, h = 10, 22
		}
		const out = mapTile/2 + 2
		fmt.Fprintf(&b, `<rect class="tab" x="%d" y="%d" width="%d" height="%d" rx="4"/>`, x+out*step.Column-w/2, y+out*step.Row-h/2, w, h)
	}
	b.WriteString("</svg>")
	return b.String()
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
	name, at := "edge", edgeSpots
	if corners {
		name, at = "corner", cornerSpots
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

type point struct{ x, y float64 }

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
		row += reach * netSteps[f].Row
		column += reach * netSteps[f].Column
	}
	return mapMargin + column*mapStep, mapMargin + row*mapStep
}

func (g mapGrid) point(spot int, corner bool) point {
	x, y := g.at(spot, corner)
	return point{float64(x), float64(y)}
}

// arrow goes from one place to another, bent a little so that two that swap do not
// lie on each other.
func arrow(from, to point, thin bool) string {
	dx, dy := to.x-from.x, to.y-from.y
	length := math.Hypot(dx, dy)
	ux, uy := dx/length, dy/length
	const clear, bend = mapTile/2 + 8, 0.16
	start := point{from.x + ux*(clear-4), from.y + uy*(clear-4)}
	end := point{to.x - ux*clear, to.y - uy*clear}
	// Towards the left of the way.
	middle := point{(from.x+to.x)/2 + uy*length*bend, (from.y+to.y)/2 - ux*length*bend}
	start.x, start.y = start.x+uy*5, start.y-ux*5
	end.x, end.y = end.x+uy*5, end.y-ux*5
	class, size := "map-arrow", 9.0
	if thin {
		class, size = "map-arrow with-u", 7.0
	}
	hx, hy := end.x-middle.x, end.y-middle.y
	h := math.Hypot(hx, hy)
	hx, hy = hx/h, hy/h
	tip := point{end.x + hx*size/2, end.y + hy*size/2}
	left := point{tip.x - hx*size*1.3 + hy*size*0.7, tip.y - hy*size*1.3 - hx*size*0.7}
	right := point{tip.x - hx*size*1.3 - hy*size*0.7, tip.y - hy*size*1.3 + hx*size*0.7}
	back := point{tip.x - hx*size, tip.y - hy*size}
	return fmt.Sprintf(`<path class="%s" d="M%.0f %.0fQ%.0f %.0f %.0f %.0f"/><path class="map-head" d="M%.1f %.1fL%.1f %.1fL%.1f %.1fz"/>`,
		class, start.x, start.y, middle.x, middle.y, back.x, back.y, tip.x, tip.y, left.x, left.y, right.x, right.y)
}
