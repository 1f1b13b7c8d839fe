package web

import (
	"fmt"
	"strings"

	"slotcast/forecast"
)

// topPlaces are the places of the top layer in the order in which
// [forecast.Outcome.Facing] writes them, each with its column and row in the
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
func outcomeWords(o forecast.Outcome) string {
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

// patternPicture draws the top layer seen from above, the front side below: an
// oriented place is a filled tile; another is hollow, and its tab sticks out of
// the side that its top colour faces. It is read by shape alone.
func patternPicture(o forecast.Outcome) string {
	const side = 3*tileSide + 2*tileGap + 2*tileStart
	var b strings.Builder
	words := outcomeWords(o)
	fmt.Fprintf(&b, `<svg class="pattern" viewBox="0 0 %d %d" role="img" aria-label="%s"><title>%s</title>`, side, side, words, words)
	const centre = tileStart + tileSide + tileGap
	fmt.Fprintf(&b, `<rect class="tile" x="%d" y="%d" width="%d" height="%d" rx="13"/>`, centre, centre, tileSide, tileSide)
	facing := o.Facing()
	for i, place := range topPlaces {
		x, y := tileStart+place.column*(tileSide+tileGap), tileStart+place.row*(tileSide+tileGap)
		if facing[i] == 'U' {
			fmt.Fprintf(&b, `<rect class="tile" x="%d" y="%d" width="%d" height="%d" rx="7"/>`, x, y, tileSide, tileSide)
			continue
		}
		// The outline is drawn inside the tile's bounds, so that both kinds of tile
		// are equally large.
		fmt.Fprintf(&b, `<rect class="hollow" x="%d.5" y="%d.5" width="%d" height="%d" rx="6"/>`, x+1, y+1, tileSide-3, tileSide-3)
		tabX, tabY, w, h := x, y, tabWide, tabWide
		switch facing[i] {
		case 'L', 'R':
			tabY, h = y+(tileSide-tabLong)/2, tabLong
			tabX = x - tabWide + 3
			if facing[i] == 'R' {
				tabX = x + tileSide - 3
			}
		default:
			tabX, w = x+(tileSide-tabLong)/2, tabLong
			tabY = y - tabWide + 3
			if facing[i] == 'F' {
				tabY = y + tileSide - 3
			}
		}
		fmt.Fprintf(&b, `<rect class="tab" x="%d" y="%d" width="%d" height="%d" rx="4"/>`, tabX, tabY, w, h)
	}
	b.WriteString("</svg>")
	return b.String()
}

// patternPictures has the picture of every outcome: a page shows dozens.
var patternPictures = func() (pictures [forecast.Outcomes]string) {
	for o := range forecast.Outcome(forecast.Outcomes) {
		pictures[o] = patternPicture(o)
	}
	return pictures
}()
