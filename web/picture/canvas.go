package picture

import (
	"image"
	"image/color"
	"image/draw"
	"math"
	"slices"
	"strings"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomonobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// canvas is a picture of pixels. Distances are in pixels, from its top left.
type canvas struct {
	*image.RGBA
	raster vector.Rasterizer
}

func newCanvas(width, height int, ground color.Color) *canvas {
	c := &canvas{RGBA: image.NewRGBA(image.Rect(0, 0, width, height))}
	draw.Draw(c.RGBA, c.Bounds(), image.NewUniform(ground), image.Point{}, draw.Src)
	return c
}

// fill fills outlines, each closed from its last vertex to its first; where one
// goes round the other way it is cut out of the rest. Only the outlines' own part
// of the picture is worked on.
func (c *canvas) fill(with color.Color, outlines ...[]vertex) {
	box := image.Rectangle{Min: image.Pt(math.MaxInt, math.MaxInt), Max: image.Pt(math.MinInt, math.MinInt)}
	for _, outline := range outlines {
		for _, p := range outline {
			box.Min.X, box.Min.Y = min(box.Min.X, int(math.Floor(p.X))), min(box.Min.Y, int(math.Floor(p.Y)))
			box.Max.X, box.Max.Y = max(box.Max.X, int(math.Ceil(p.X))), max(box.Max.Y, int(math.Ceil(p.Y)))
		}
	}
	c.raster.Reset(box.Dx(), box.Dy())
	for _, outline := range outlines {
		for i, p := range outline {
			x, y := float32(p.X-float64(box.Min.X)), float32(p.Y-float64(box.Min.Y))
			if i == 0 {
				c.raster.MoveTo(x, y)
			} else {
				c.raster.LineTo(x, y)
			}
		}
		c.raster.ClosePath()
	}
	c.raster.Draw(c.RGBA, box, image.NewUniform(with), image.Point{})
}

// stroke draws a line along an outline, half of its width on either side.
func (c *canvas) stroke(with color.Color, outline []vertex, width float64) {
	inner := widened(outline, -width/2)
	slices.Reverse(inner)
	c.fill(with, widened(outline, width/2), inner)
}

// dashes draws a broken line; each dash is as long as the gap after it.
func (c *canvas) dashes(with color.Color, from, to vertex, width, dash float64) {
	length := math.Hypot(to.X-from.X, to.Y-from.Y)
	along := vertex{(to.X - from.X) / length, (to.Y - from.Y) / length}
	for at := 0.0; at < length; at += 2 * dash {
		end := min(at+dash, length)
		side := vertex{-along.Y * width / 2, along.X * width / 2}
		p, q := vertex{from.X + at*along.X, from.Y + at*along.Y}, vertex{from.X + end*along.X, from.Y + end*along.Y}
		c.fill(with, []vertex{{p.X + side.X, p.Y + side.Y}, {q.X + side.X, q.Y + side.Y}, {q.X - side.X, q.Y - side.Y}, {p.X - side.X, p.Y - side.Y}})
	}
}

// widened is the outline moved outwards by a distance, or inwards by a negative
// one. Its points go along the middle of the angle between the sides that meet
// there.
func widened(outline []vertex, by float64) []vertex {
	// Between the arcs of a circle a side has no length, and so no direction.
	same := func(a, b vertex) bool { return math.Hypot(a.X-b.X, a.Y-b.Y) < 1e-6 }
	outline = slices.CompactFunc(slices.Clone(outline), same)
	if n := len(outline); same(outline[0], outline[n-1]) {
		outline = outline[:n-1]
	}
	n := len(outline)
	area := 0.0
	for i, p := range outline {
		q := outline[(i+1)%n]
		area += p.X*q.Y - q.X*p.Y
	}
	by = math.Copysign(by, by*area)
	// normal is the side's direction, turned by a quarter.
	normal := func(p, q vertex) vertex {
		dx, dy := q.X-p.X, q.Y-p.Y
		length := math.Hypot(dx, dy)
		return vertex{dy / length, -dx / length}
	}
	moved := make([]vertex, n)
	for i, p := range outline {
		a, b := normal(outline[(i+n-1)%n], p), normal(p, outline[(i+1)%n])
		along := 1 + a.X*b.X + a.Y*b.Y
		moved[i] = vertex{p.X + by*(a.X+b.X)/along, p.Y + by*(a.Y+b.Y)/along}
	}
	return moved
}

// roundedCorner is how many straight pieces a rounded corner is drawn with.
const roundedCorner = 12

// rounded is the outline of a rectangle whose corners are rounded.
func rounded(x, y, width, height, radius float64) []vertex {
	radius = min(radius, width/2, height/2)
	if radius <= 0 {
		return []vertex{{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}}
	}
	outline := make([]vertex, 0, 4*(roundedCorner+1))
	for corner, middle := range [4]vertex{
		{x + width - radius, y + height - radius}, {x + radius, y + height - radius},
		{x + radius, y + radius}, {x + width - radius, y + radius},
	} {
		for i := range roundedCorner + 1 {
			sin, cos := math.Sincos(math.Pi / 2 * (float64(corner) + float64(i)/roundedCorner))
			outline = append(outline, vertex{middle.X + radius*cos, middle.Y + radius*sin})
		}
	}
	return outline
}

// typefaces are the Go fonts: they come as a module, under the licence of Go.
var typefaces = sync.OnceValue(func() (t struct{ regular, bold, mono *opentype.Font }) {
	parsed := func(file []byte) *opentype.Font {
		f, err := opentype.Parse(file)
		if err != nil {
			panic("web: an embedded font is broken: " + err.Error())
		}
		return f
	}
	t.regular, t.bold, t.mono = parsed(goregular.TTF), parsed(gobold.TTF), parsed(gomonobold.TTF)
	return t
})

// lettering is a font at a size. It serves one goroutine.
type lettering struct{ face font.Face }

func newLettering(of *opentype.Font, pixels float64) lettering {
	face, err := opentype.NewFace(of, &opentype.FaceOptions{Size: pixels, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		panic("web: an embedded font at a fixed size: " + err.Error())
	}
	return lettering{face}
}

// width is how far the text reaches, in pixels.
func (l lettering) width(text string) float64 { return float64(font.MeasureString(l.face, text)) / 64 }

// write writes a line that begins at x and stands on y; it returns where it ends.
func (c *canvas) write(l lettering, x, y float64, text string, with color.Color) float64 {
	d := font.Drawer{Dst: c.RGBA, Src: image.NewUniform(with), Face: l.face, Dot: fixed.Point26_6{X: fixed.Int26_6(x * 64), Y: fixed.Int26_6(y * 64)}}
	d.DrawString(text)
	return float64(d.Dot.X) / 64
}

// wrapped breaks a text at its spaces into lines that are not wider than that;
// a single word may be.
func (l lettering) wrapped(text string, width float64) (lines []string) {
	for word := range strings.FieldsSeq(text) {
		if n := len(lines); n > 0 && l.width(lines[n-1]+" "+word) <= width {
			lines[n-1] += " " + word
			continue
		}
		lines = append(lines, word)
	}
	return lines
}
