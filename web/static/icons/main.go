// Icons draws the icon as PNG, for those who take no SVG, into the folder that is its
// only argument. "go generate ./web/static" calls it.
package main

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"log"
	"os"
	"path/filepath"

	"golang.org/x/image/vector"

	"slotcast/web/static"
)

func main() {
	if len(os.Args) != 2 {
		log.Fatal("icons: name the folder to write to")
	}
	for _, icon := range static.Icons {
		file, err := draw(icon)
		if err == nil {
			err = os.WriteFile(filepath.Join(os.Args[1], icon.File), file, 0o644) // #nosec G306 G703 -- a command that writes a committed file where it is told
		}
		if err != nil {
			log.Fatal("icons: ", err)
		}
	}
}

// The icon is a full layer's corner with one place open, in the units of
// icon.svg, 32 to a side.
const iconSide = 32

var (
	iconGround = color.NRGBA{0x0b, 0x5d, 0x4a, 0xff}
	iconTile   = color.NRGBA{0xf2, 0xf7, 0xf2, 0xff}
	iconOpen   = color.NRGBA{0xff, 0xb4, 0x54, 0xff}
)

// roundedSquare is a square with round corners, or only its border.
type roundedSquare struct {
	at, side, radius float64 // at is both coordinates of its upper left corner
	right, down      float64 // how far it is moved from there
	border           float64 // its width, inside; 0 for a full square
	colour           color.NRGBA
}

var iconSquares = []roundedSquare{
	{at: 6, side: 9, radius: 3, colour: iconTile},
	{at: 6, side: 9, radius: 3, right: 11, colour: iconTile},
	{at: 6, side: 9, radius: 3, down: 11, colour: iconTile},
	{at: 6, side: 9, radius: 3, right: 11, down: 11, border: 2, colour: iconOpen},
}

// draw draws the icon as PNG.
func draw(i static.Icon) ([]byte, error) {
	picture := image.NewNRGBA(image.Rect(0, 0, i.Side, i.Side))
	scale, margin := float64(i.Side)/iconSide, 0.0
	ground := roundedSquare{side: iconSide, radius: 9, colour: iconGround}
	if i.Maskable {
		ground.radius = 0
	}
	ground.draw(picture, scale, 0)
	if i.Maskable {
		// The outer corners of the tiles are 12.9 units from the middle.
		const smaller = 0.9
		scale, margin = scale*smaller, float64(i.Side)*(1-smaller)/2
	}
	for _, square := range iconSquares {
		square.draw(picture, scale, margin)
	}
	var file bytes.Buffer
	if err := png.Encode(&file, picture); err != nil {
		return nil, fmt.Errorf("draw %s: %w", i.File, err)
	}
	return file.Bytes(), nil
}

func (s roundedSquare) draw(into *image.NRGBA, scale, margin float64) {
	r := vector.NewRasterizer(into.Rect.Dx(), into.Rect.Dy())
	outline := func(inset float64, backwards bool) {
		left, top := s.at+s.right+inset, s.at+s.down+inset
		side, radius := s.side-2*inset, max(0, s.radius-inset)
		// A cubic curve is nearest to a quarter of a circle with its handles this far
		// from the middle of the radius.
		const handle = 1 - 0.5522847
		type point struct{ x, y float64 }
		corners := [...]struct{ from, to, corner point }{
			{point{0, radius}, point{radius, 0}, point{0, 0}},
			{point{side - radius, 0}, point{side, radius}, point{side, 0}},
			{point{side, side - radius}, point{side - radius, side}, point{side, side}},
			{point{radius, side}, point{0, side - radius}, point{0, side}},
		}
		place := func(p point) (x, y float32) {
			return float32((left+p.x)*scale + margin), float32((top+p.y)*scale + margin)
		}
		towards := func(from, corner point) point {
			return point{corner.x + (from.x-corner.x)*handle, corner.y + (from.y-corner.y)*handle}
		}
		for n := range corners {
			c := corners[n]
			if backwards {
				c = corners[len(corners)-1-n]
				c.from, c.to = c.to, c.from
			}
			x, y := place(c.from)
			if n == 0 {
				r.MoveTo(x, y)
			} else {
				r.LineTo(x, y)
			}
			bx, by := place(towards(c.from, c.corner))
			cx, cy := place(towards(c.to, c.corner))
			dx, dy := place(c.to)
			r.CubeTo(bx, by, cx, cy, dx, dy)
		}
		r.ClosePath()
	}
	outline(0, false)
	if s.border > 0 {
		outline(s.border, true)
	}
	r.Draw(into, into.Rect, image.NewUniform(s.colour), image.Point{})
}
