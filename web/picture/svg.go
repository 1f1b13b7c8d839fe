package picture

import (
	"fmt"
	"html"
	"strings"
)

// vertex is a point of a picture, in its own units.
type vertex struct{ X, Y float64 }

// svg writes a picture for a page, shape by shape, the first at the back.
type svg struct{ strings.Builder }

// begin is a picture of a class of the style sheet, with what it shows in words.
// Attributes are others that it has.
func (b *svg) begin(class string, side int, words string, attributes ...string) {
	fmt.Fprintf(b, `<svg class="%s" viewBox="0 0 %d %d" role="img" aria-label="%s"%s>`, class, side, side, html.EscapeString(words), strings.Join(append([]string{""}, attributes...), " "))
}

// rect is a rectangle with round corners of the radius r.
func (b *svg) rect(class string, x, y, w, h, r float64) {
	fmt.Fprintf(b, `<rect class="%s" x="%g" y="%g" width="%g" height="%g" rx="%g"/>`, class, x, y, w, h, r)
}

func (b *svg) circle(class string, x, y, r float64) {
	fmt.Fprintf(b, `<circle class="%s" cx="%g" cy="%g" r="%g"/>`, class, x, y, r)
}

// path is a line or an outline as SVG writes it.
func (b *svg) path(class, d string) { fmt.Fprintf(b, `<path class="%s" d="%s"/>`, class, d) }

func (b *svg) polygon(class string, outline []vertex) {
	points := make([]string, len(outline))
	for i, p := range outline {
		points[i] = fmt.Sprintf("%g,%g", p.X, p.Y)
	}
	fmt.Fprintf(b, `<polygon class="%s" points="%s"/>`, class, strings.Join(points, " "))
}

// end is the whole picture.
func (b *svg) end() string {
	b.WriteString("</svg>")
	return b.String()
}
