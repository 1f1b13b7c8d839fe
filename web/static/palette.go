package static

import "image/color"

// palette has the colours of the style sheet that pictures other than SVG need, in
// the light and of the usual scheme, by their names there. A test compares the two.
var palette = map[string]color.RGBA{
	"--ground":         {0xea, 0xf0, 0xec, 0xff},
	"--panel":          {0xfb, 0xfd, 0xfb, 0xff},
	"--ink":            {0x13, 0x24, 0x1f, 0xff},
	"--faint":          {0x4d, 0x60, 0x5a, 0xff},
	"--line":           {0xb9, 0xc8, 0xc0, 0xff},
	"--accent":         {0x0b, 0x5d, 0x4a, 0xff},
	"--tile":           {0x16, 0x4a, 0x5e, 0xff},
	"--insert":         {0x1f, 0x7a, 0x67, 0xff},
	"--insert-text":    {0x14, 0x60, 0x4f, 0xff},
	"--recognise":      {0xb3, 0x64, 0x0a, 0xff},
	"--recognise-text": {0x8a, 0x4a, 0x00, 0xff},
	"--execute":        {0x4a, 0x56, 0xa8, 0xff},
	"--execute-text":   {0x3d, 0x48, 0x98, 0xff},
	"--moved":          {0x12, 0xa3, 0x83, 0xff},
	"--flap":           {0x41, 0x50, 0x4a, 0xff},
	"--rim":            {0x1c, 0x23, 0x21, 0xff},
	"--fold":           {0xe8, 0xef, 0xe9, 0xff},
	"--plain":          {0x8b, 0xa1, 0x97, 0xff},
	"--puzzle":         {0x0f, 0x14, 0x13, 0xff},
	"--white":          {0xf7, 0xf7, 0xf2, 0xff},
	"--yellow":         {0xf5, 0xd0, 0x00, 0xff},
	"--green":          {0x15, 0x94, 0x47, 0xff},
	"--blue":           {0x2b, 0x6c, 0xd6, 0xff},
	"--red":            {0xd1, 0x2b, 0x38, 0xff},
	"--orange":         {0xee, 0x7a, 0x12, 0xff},
}

// Colour is the one that the style sheet names so, in the light. Of a name that the
// palette has not, it panics.
func Colour(name string) color.RGBA {
	c, ok := palette[name]
	if !ok {
		panic("static: the palette has no colour " + name)
	}
	return c
}

// The colours of the ground in style/base.css, which a device shows around the
// pages.
const (
	LightGround = "#eaf0ec"
	DarkGround  = "#0d1714"
)

// Ground is the colour around a page for whoever always wants it light or dark.
func Ground(theme string) string {
	if theme == "dark" {
		return DarkGround
	}
	return LightGround
}
