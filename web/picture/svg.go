package picture

import (
	"html"
	"strconv"
)

// vertex is a point of a picture, in its own units.
type vertex struct{ X, Y float64 }

// svg writes a picture for a page, shape by shape, the first at the back. A page has
// dozens of pictures, so numbers are appended and not formatted.
type svg struct{ file []byte }

// begin is a picture of a class of the style sheet, with what it shows in words.
// Attributes are others that it has.
func (s *svg) begin(class string, width, height int, words string, attributes ...string) {
	s.beginAbove(class, 0, width, height, words, attributes...)
}

// beginAbove is begin for a picture that reaches so far above its zero.
func (s *svg) beginAbove(class string, above, width, height int, words string, attributes ...string) {
	// About what a picture of the puzzle has.
	s.file = make([]byte, 0, 6<<10)
	s.write(`<svg class="`, class, `" viewBox="0 `)
	s.number(float64(-above))
	s.write(" ")
	s.number(float64(width))
	s.write(" ")
	s.number(float64(above + height))
	if words == "" {
		s.write(`" aria-hidden="true"`)
	} else {
		s.write(`" role="img" aria-label="`, html.EscapeString(words), `"`)
	}
	for _, a := range attributes {
		s.write(" ", a)
	}
	s.write(">")
}

func (s *svg) write(texts ...string) {
	for _, text := range texts {
		s.file = append(s.file, text...)
	}
}

func (s *svg) number(n float64) {
	if whole := int64(n); float64(whole) == n {
		s.file = strconv.AppendInt(s.file, whole, 10)
		return
	}
	s.file = strconv.AppendFloat(s.file, n, 'g', -1, 64)
}

// shape is an element with its class and numbers, whose names and values are in the
// same order.
func (s *svg) shape(element, class string, names []string, numbers ...float64) {
	s.write("<", element, ` class="`, class, `"`)
	for i, n := range numbers {
		s.write(" ", names[i], `="`)
		s.number(n)
		s.write(`"`)
	}
	s.write("/>")
}

var (
	rectNames   = []string{"x", "y", "width", "height", "rx"}
	circleNames = []string{"cx", "cy", "r"}
)

// rect is a rectangle with round corners of the radius r.
func (s *svg) rect(class string, x, y, w, h, r float64) {
	s.shape("rect", class, rectNames, x, y, w, h, r)
}

func (s *svg) circle(class string, x, y, r float64) {
	s.shape("circle", class, circleNames, x, y, r)
}

// path is a line or an outline as SVG writes it.
func (s *svg) path(class, d string) { s.write(`<path class="`, class, `" d="`, d, `"/>`) }

// outlines are polygons that look alike, each closed. From their first point on they
// are written by their steps, which takes half of the room.
func (s *svg) outlines(class string, outlines [][]Point) {
	s.write(`<path class="`, class, `" d="`)
	for _, outline := range outlines {
		for i, p := range outline {
			switch i {
			case 0:
				s.write("M")
				s.number(float64(p.X))
				s.write(" ")
				s.number(float64(p.Y))
				s.write("l")
				continue
			case 1:
			default:
				s.write(" ")
			}
			s.number(float64(p.X - outline[i-1].X))
			s.write(" ")
			s.number(float64(p.Y - outline[i-1].Y))
		}
		s.write("z")
	}
	s.write(`"/>`)
}

// text is a word around a point. Who hears the picture has it in words.
func (s *svg) text(class string, at Point, word string) {
	s.write(`<text class="`, class, `" aria-hidden="true" x="`)
	s.number(float64(at.X))
	s.write(`" y="`)
	s.number(float64(at.Y))
	s.write(`">`, html.EscapeString(word), "</text>")
}

// end is the whole picture.
func (s *svg) end() string {
	s.write("</svg>")
	return string(s.file)
}
