// Tiles writes the style sheet that lays what is tapped over the picture of the puzzle:
// for each sticker the box around its tile, and the tile within it, in shares of the
// picture. Run by "go generate ./web/static".
package main

import (
	"bytes"
	"flag"
	"fmt"
	"log"
	"os"
	"strconv"

	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
)

func main() {
	out := flag.String("o", "", "the style sheet’s path")
	flag.Parse()
	if *out == "" {
		log.Fatal("tiles: say with -o where the style sheet goes")
	}
	if err := os.WriteFile(*out, sheet(), 0o600); err != nil {
		log.Fatal(err)
	}
}

// sheet is the style sheet, in the form that the others are kept in.
func sheet() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "/* Where each sticker is tapped. Written by web/picture/tiles: do not change it here. */\n.figure {\n  aspect-ratio: %d / %d;\n}\n", picture.Width, picture.Height)
	written := map[string]bool{}
	fmt.Fprintf(&b, ".figure.above {\n  margin-top: %s;\n}\n", share(picture.ViewOfTwo(lastslot.FR, lastslot.BL).Above(), picture.Width))
	for slots := range lastslot.Slots * lastslot.Slots {
		// The last is the one that is looked at, so that what it shows comes first.
		slot, from := lastslot.Slot(slots/lastslot.Slots), lastslot.Slot(slots%lastslot.Slots)
		view := picture.ViewOfTwo(from, slot)
		write := func(s picture.Sticker, name string) {
			selector := "." + view.Class() + " ." + name
			if written[selector] {
				return
			}
			written[selector] = true
			tile, seen := view.Tile(s)
			if !seen {
				log.Fatalf("tiles: %s is not seen", selector)
			}
			rule(&b, selector, tile.Outline)
		}
		for spot := range lastslot.Spots {
			corner, edge := slot.CornerPlace(spot), slot.EdgePlace(spot)
			for i, face := range corner.Facelets() {
				write(picture.CornerSticker(corner, i), picture.TileClass(corner.String(), face))
			}
			for i, face := range edge.Facelets() {
				write(picture.EdgeSticker(edge, i), picture.TileClass(edge.String(), face))
			}
		}
	}
	return b.Bytes()
}

// rule lays one tile.
func rule(b *bytes.Buffer, selector string, outline [4]picture.Point) {
	low, high := outline[0], outline[0]
	for _, p := range outline {
		low.X, low.Y = min(low.X, p.X), min(low.Y, p.Y)
		high.X, high.Y = max(high.X, p.X), max(high.Y, p.Y)
	}
	width, height := high.X-low.X, high.Y-low.Y
	fmt.Fprintf(b, "%s {\n  left: %s;\n  top: %s;\n  width: %s;\n  height: %s;\n  clip-path: polygon(", selector,
		share(low.X, picture.Width), share(low.Y, picture.Height), share(width, picture.Width), share(height, picture.Height))
	for i, p := range outline {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(share(p.X-low.X, width) + " " + share(p.Y-low.Y, height))
	}
	b.WriteString(");\n}\n")
}

// share is a part of a whole in per cent, to two places.
func share(part, whole int) string {
	if part == 0 {
		return "0"
	}
	n := strconv.FormatFloat(float64(part*10000/whole)/100, 'f', -1, 64)
	return n + "%"
}
