package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image/color"
	"image/png"
	"net/http"
	"regexp"
	"strconv"
	"sync"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// The size of a preview, in pixels: what the protocol's readers commonly show
// whole, without a source.
const (
	previewWidth  = 1200
	previewHeight = 630
)

// preview is the picture that a shared case is shown by: the case in the net, its
// best way for anyone and the pattern that it leaves. It shows nothing of a
// person's own, so that anybody may keep it.
type preview struct {
	Net           netPicture
	Title, Lead   string
	Turns         string
	Leaves, Total string
	Outcome       lastslot.Outcome
	Seconds       forecast.Seconds
	Code          string
	// Words say the same to whoever cannot see it.
	Words string
}

func (s *site) previewOf(c lastslot.Case) preview {
	options := s.anyone().Forecast(forecast.Request{Case: c, PerPattern: true})
	best := options[0]
	p := preview{
		Net: positionOf(c).picture(), Title: "Last slot " + c.Slot.Words(), Lead: counted(len(options), "pattern") + " to choose from; the fastest:",
		Turns: best.Turns.String(), Leaves: patternName(best.Leaves.Pattern()), Total: "about " + inSeconds(best.Seconds.Total()) + " s",
		Outcome: best.Leaves, Seconds: best.Seconds, Code: c.Code(),
	}
	if len(options) == 1 {
		p.Lead = "1 pattern to choose from:"
	}
	if len(best.Turns) == 0 {
		p.Turns = "Do nothing"
	}
	p.Words = fmt.Sprintf("%s. %s leaves %s, %s: %s. Before it: %s.", p.Title, p.Turns, p.Leaves, p.Total, outcomeWords(best.Leaves), p.Net.Words)
	return p
}

// paint is a colour of the pages' style sheet, in the light, by its name there.
func paint(name string) color.RGBA {
	c, ok := paints()[name]
	if !ok {
		panic("web: the style sheet has no colour " + name)
	}
	return c
}

// styleColour is where the style sheet gives a colour a name; of two, the first is
// for the light.
var styleColour = regexp.MustCompile(`(--[a-z-]+):\s*(?:light-dark\()?#([0-9a-f]{6})\b`)

var paints = sync.OnceValue(func() map[string]color.RGBA {
	style, err := staticFS.ReadFile("static/app.css")
	if err != nil {
		panic(err)
	}
	named := map[string]color.RGBA{}
	for _, found := range styleColour.FindAllSubmatch(style, -1) {
		name := string(found[1])
		// A name that is given again is for readers who prefer other colours.
		if _, ok := named[name]; ok {
			continue
		}
		rgb, err := strconv.ParseUint(string(found[2]), 16, 32)
		if err != nil {
			panic(err)
		}
		named[name] = color.RGBA{uint8(rgb >> 16), uint8(rgb >> 8), uint8(rgb), 0xff}
	}
	return named
})

// sidePaints are the puzzle's colours as is usual, by the side where each belongs.
var sidePaints = [cube.Faces]string{
	cube.FaceU: "--yellow", cube.FaceD: "--white", cube.FaceF: "--green", cube.FaceB: "--blue", cube.FaceR: "--orange", cube.FaceL: "--red",
}

// The marks' colours are those of .net-solid and .net-hollow.
var (
	paintMark  = color.RGBA{0x10, 0x20, 0x1a, 0xff}
	paintWhite = color.RGBA{0xff, 0xff, 0xff, 0xff}
)

// Where things are on the picture, in pixels.
const (
	previewNetAt  = 60 // from the left and from the top
	previewNet    = 510
	previewLeft   = 626 // of the words
	previewWide   = 1140 - previewLeft
	previewTurnsY = 218
)

// previewTurnSizes are tried one after the other until the turns fit in two lines.
var previewTurnSizes = []float64{60, 52, 45, 38}

// draw draws the preview. It is the same to the pixel for the same preview.
func (p preview) draw() *canvas {
	c := newCanvas(previewWidth, previewHeight, paint("--ground"))
	faces := typefaces()
	const inset = 24
	frame := rounded(previewNetAt-inset, previewNetAt-inset, previewNet+2*inset, previewNet+2*inset, 30)
	c.fill(paint("--panel"), frame)
	c.stroke(paint("--line"), frame, 2)
	c.net(p.Net, previewNetAt, previewNetAt, float64(previewNet)/netSide)

	c.write(newLettering(faces.bold, 46), previewLeft, 92, p.Title, paint("--ink"))
	c.write(newLettering(faces.regular, 26), previewLeft, 138, p.Lead, paint("--faint"))
	turns, size, lines := p.turns()
	for i, line := range lines {
		c.write(turns, previewLeft, previewTurnsY+float64(i)*size*1.2, line, paint("--ink"))
	}

	const top, side = 322, 150
	c.pattern(p.Outcome, previewLeft-8, top, side)
	c.write(newLettering(faces.regular, 26), previewLeft+side+20, top+40, "leaves", paint("--faint"))
	c.write(newLettering(faces.bold, 44), previewLeft+side+20, top+88, p.Leaves, paint("--ink"))
	c.write(newLettering(faces.regular, 30), previewLeft+side+20, top+130, p.Total, paint("--ink"))

	c.seconds(p.Seconds, previewLeft, 498)

	c.fill(paint("--accent"), rounded(previewLeft, 580, 22, 22, 6))
	c.stroke(paint("--recognise"), rounded(previewLeft+29.5, 581.5, 19, 19, 5), 3)
	c.write(newLettering(faces.bold, 28), previewLeft+62, 601, "Slotcast", paint("--ink"))
	code := newLettering(faces.mono, 26)
	words := "Case " + p.Code
	c.write(code, previewLeft+previewWide-code.width(words), 601, words, paint("--faint"))
	return c
}

// turns is how the turns are written: the largest size at which they fit.
func (p preview) turns() (l lettering, size float64, lines []string) {
	for _, size = range previewTurnSizes {
		l = newLettering(typefaces().bold, size)
		if lines = l.wrapped(p.Turns, previewWide); len(lines) <= 2 {
			break
		}
	}
	return l, size, lines
}

// net draws a picture of the net with its top left at x and y.
func (c *canvas) net(picture netPicture, x, y, scale float64) {
	for _, s := range picture.Shapes {
		var outline []vertex
		if len(s.Points) == 0 {
			outline = rounded(x+float64(s.X)*scale, y+float64(s.Y)*scale, float64(s.W)*scale, float64(s.H)*scale, float64(s.R)*scale)
		}
		for _, p := range s.Points {
			outline = append(outline, vertex{x + float64(p.X)*scale, y + float64(p.Y)*scale})
		}
		switch s.Class {
		case netMoved:
			c.fill(paint("--net-moved"), outline)
		case netBody:
			c.fill(paint("--net-outline"), widened(outline, 1.25*scale))
			c.fill(paint("--puzzle"), widened(outline, -1.25*scale))
		case netTile, netBar:
			c.fill(paint(sidePaints[s.Of]), outline)
		case netPlain:
			c.stroke(paint("--net-plain"), outline, 2.5*scale)
		case netSolid:
			c.fill(paintMark, outline)
			c.stroke(paintWhite, outline, 3*scale)
		case netHollow:
			c.fill(paintWhite, outline)
			c.stroke(paintMark, outline, 3*scale)
		}
	}
}

// pattern draws a picture of the pattern with its top left at x and y.
func (c *canvas) pattern(o lastslot.Outcome, x, y, side float64) {
	scale := side / patternSide
	for _, s := range patternShapes(o) {
		outline := rounded(x+s.X*scale, y+s.Y*scale, s.W*scale, s.H*scale, s.R*scale)
		if s.Class == "hollow" {
			c.stroke(paint("--tile"), outline, 2.2*scale)
			continue
		}
		c.fill(paint("--tile"), outline)
	}
}

// seconds draws the bar of the seconds, as long as the words are wide, and each
// part's name and time under it.
func (c *canvas) seconds(s forecast.Seconds, x, y float64) {
	l, bold := newLettering(typefaces().regular, 24), newLettering(typefaces().bold, 24)
	from, at := x, x
	for _, part := range []struct {
		name, colour string
		length       time.Duration
	}{
		{"insert", "--insert", s.Insert()}, {"recognise", "--recognise", s.Recognise}, {"execute", "--execute", s.Execute()},
	} {
		if part.length == 0 {
			continue
		}
		width := previewWide * float64(part.length) / float64(s.Total())
		// A gap tells the parts apart without their colours.
		c.fill(paint(part.colour), rounded(from, y, max(width-4, 2), 24, 6))
		from += width
		at = c.write(l, at, y+54, part.name+" ", paint(part.colour+"-text"))
		at = c.write(bold, at, y+54, inSeconds(part.length), paint(part.colour+"-text")) + 22
	}
}

// pictureOf is the preview of a case, for the page that is shared.
func (s *site) pictureOf(r *http.Request, c lastslot.Case) *pagePicture {
	return &pagePicture{s.publicURL(r) + "/case/" + c.Code() + "/picture.png", s.previewOf(c).Words}
}

// casePicture answers GET /case/{code}/picture.png.
func (s *site) casePicture(w http.ResponseWriter, r *http.Request) error {
	var q query
	if err := q.readCode(chi.URLParam(r, "code")); err != nil {
		return err
	}
	var file bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&file, s.previewOf(q.Case).draw()); err != nil {
		return fmt.Errorf("write a picture: %w", err)
	}
	hash := sha256.Sum256(file.Bytes())
	w.Header().Set("Content-Type", "image/png")
	w.Header().Set("ETag", `"`+hex.EncodeToString(hash[:12])+`"`)
	// It is nobody's own; the estimates change with the program.
	w.Header().Set("Cache-Control", "public, max-age=86400")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(file.Bytes()))
	return nil
}
