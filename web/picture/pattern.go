package picture

import (
	"sync"

	"slotcast/forecast/lastslot"
	"slotcast/web/words"
)

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
	for i, place := range words.TopPlaces {
		x, y := float64(tileStart+place.Column*(tileSide+tileGap)), float64(tileStart+place.Row*(tileSide+tileGap))
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
	var b svg
	said := words.Outcome(o)
	b.begin("pattern", patternSide, patternSide, said)
	b.write("<title>", said, "</title>")
	for _, s := range patternShapes(o) {
		b.rect(s.Class, s.X, s.Y, s.W, s.H, s.R)
	}
	return b.end()
}

// patterns has the picture of every outcome: a page shows dozens.
var patterns = sync.OnceValue(func() *[lastslot.Outcomes]string {
	pictures := new([lastslot.Outcomes]string)
	for o := range lastslot.Outcome(lastslot.Outcomes) {
		pictures[o] = patternPicture(o)
	}
	return pictures
})

// Pattern is the picture of an outcome as SVG, with its words.
func Pattern(o lastslot.Outcome) string { return patterns()[o] }
