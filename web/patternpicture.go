package web

import (
	"fmt"
	"strings"

	"slotcast/forecast/lastslot"
)

// topPlaces are the places of the top layer in the order in which
// [lastslot.Outcome.Facing] writes them, each with its column and row in the
// picture and its name in words.
var topPlaces = [8]struct {
	column, row int
	corner      bool
	words       string
}{
	{0, 0, true, "back left"}, {1, 0, false, "back"}, {2, 0, true, "back right"},
	{0, 1, false, "left"}, {2, 1, false, "right"},
	{0, 2, true, "front left"}, {1, 2, false, "front"}, {2, 2, true, "front right"},
}

var sideWords = map[byte]string{'L': "left", 'R': "right", 'F': "front", 'B': "back"}

// outcomeWords says in words what the picture shows, such as "L; edges at the
// back and left face outwards; corner at the front left faces left".
func outcomeWords(o lastslot.Outcome) string {
	facing := o.Facing()
	if o.Pattern() == 0 {
		return "all oriented"
	}
	parts := []string{string(o.Edges())}
	var edges []string
	for i, place := range topPlaces {
		if !place.corner && facing[i] != 'U' {
			edges = append(edges, place.words)
		}
	}
	switch len(edges) {
	case 2:
		parts = append(parts, "edges at the "+edges[0]+" and "+edges[1]+" face outwards")
	case 4:
		parts = append(parts, "all four edges face outwards")
	}
	for i, place := range topPlaces {
		if place.corner && facing[i] != 'U' {
			side := sideWords[facing[i]]
			if side == "front" || side == "back" {
				side = "to the " + side
			}
			parts = append(parts, "corner at the "+place.words+" faces "+side)
		}
	}
	return strings.Join(parts, "; ")
}

// The picture's measures, in its own units.
const (
	tileSide  = 26
	tileGap   = 4
	tileStart = 9 // the first tile's distance from the picture's edge: room for a tab
	tabLong   = 18
	tabWide   = 9
)

// patternSide is the picture's width and height.
const patternSide = 3*tileSide + 2*tileGap + 2*tileStart

// patternShape is a rectangle with round corners: a tile, a hollow one or a tab.
type patternShape struct {
	Class         string
	X, Y, W, H, R float64
}

// patternShapes draws the top layer seen from above, the front side below: an
// oriented place is a filled tile; another is hollow, and its tab sticks out of
// the side that its top colour faces. It is read by shape alone.
func patternShapes(o lastslot.Outcome) []patternShape {
	const centre = tileStart + tileSide + tileGap
	shapes := []patternShape{{"tile", centre, centre, tileSide, tileSide, 13}}
	facing := o.Facing()
	for i, place := range topPlaces {
		x, y := float64(tileStart+place.column*(tileSide+tileGap)), float64(tileStart+place.row*(tileSide+tileGap))
		if facing[i] == 'U' {
			shapes = append(shapes, patternShape{"tile", x, y, tileSide, tileSide, 7})
			continue
		}
		// The outline is drawn inside the tile's bounds, so that both kinds of tile
		// are equally large.
		shapes = append(shapes, patternShape{"hollow", x + 1.5, y + 1.5, tileSide - 3, tileSide - 3, 6})
		tab := patternShape{"tab", x, y, tabWide, tabWide, 4}
		switch facing[i] {
		case 'L', 'R':
			tab.Y, tab.H = y+(tileSide-tabLong)/2, tabLong
			tab.X = x - tabWide + 3
			if facing[i] == 'R' {
				tab.X = x + tileSide - 3
			}
		default:
			tab.X, tab.W = x+(tileSide-tabLong)/2, tabLong
			tab.Y = y - tabWide + 3
			if facing[i] == 'F' {
				tab.Y = y + tileSide - 3
			}
		}
		shapes = append(shapes, tab)
	}
	return shapes
}

// patternPicture is the picture of [patternShapes] for a page, with its words.
func patternPicture(o lastslot.Outcome) string {
	var b strings.Builder
	words := outcomeWords(o)
	fmt.Fprintf(&b, `<svg class="pattern" viewBox="0 0 %d %d" role="img" aria-label="%s"><title>%s</title>`, patternSide, patternSide, words, words)
	for _, s := range patternShapes(o) {
		fmt.Fprintf(&b, `<rect class="%s" x="%g" y="%g" width="%g" height="%g" rx="%g"/>`, s.Class, s.X, s.Y, s.W, s.H, s.R)
	}
	b.WriteString("</svg>")
	return b.String()
}

// patternPictures has the picture of every outcome: a page shows dozens.
var patternPictures = func() (pictures [lastslot.Outcomes]string) {
	for o := range lastslot.Outcome(lastslot.Outcomes) {
		pictures[o] = patternPicture(o)
	}
	return pictures
}()
