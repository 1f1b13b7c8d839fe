package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image/color"
	"image/png"
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/cube"
	"slotcast/forecast"
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
	Outcome       forecast.Outcome
	Seconds       forecast.Seconds
	Code          string
	// Words say the same to whoever cannot see it.
	Words string
}

func (s *site) previewOf(c forecast.Case) preview {
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

// The picture's colours are those of the style sheets in the light.
var (
	paintGround        = color.RGBA{0xea, 0xf0, 0xec, 0xff} // --ground
	paintPanel         = color.RGBA{0xfb, 0xfd, 0xfb, 0xff} // --panel
	paintLine          = color.RGBA{0xb9, 0xc8, 0xc0, 0xff} // --line
	paintInk           = color.RGBA{0x13, 0x24, 0x1f, 0xff} // --ink
	paintFaint         = color.RGBA{0x4d, 0x60, 0x5a, 0xff} // --faint
	paintAccent        = color.RGBA{0x0b, 0x5d, 0x4a, 0xff} // --accent
	paintTile          = color.RGBA{0x16, 0x4a, 0x5e, 0xff} // --tile
	paintInsert        = color.RGBA{0x1f, 0x7a, 0x67, 0xff} // --insert
	paintRecognise     = color.RGBA{0xb3, 0x64, 0x0a, 0xff} // --recognise
	paintExecute       = color.RGBA{0x4a, 0x56, 0xa8, 0xff} // --execute
	paintInsertText    = color.RGBA{0x14, 0x60, 0x4f, 0xff} // --insert-text
	paintRecogniseText = color.RGBA{0x8a, 0x4a, 0x00, 0xff} // --recognise-text
	paintExecuteText   = color.RGBA{0x3d, 0x48, 0x98, 0xff} // --execute-text
	paintPuzzle        = color.RGBA{0x1c, 0x23, 0x21, 0xff} // --puzzle
	paintPlain         = color.RGBA{0x8b, 0xa1, 0x97, 0xff} // --net-plain
	paintMark          = color.RGBA{0x10, 0x20, 0x1a, 0xff} // of .net-solid and .net-hollow
	paintMoved         = color.RGBA{0x12, 0xa3, 0x83, 0xff} // --net-moved
	paintWhite         = color.RGBA{0xff, 0xff, 0xff, 0xff}
	paintSides         = [cube.Faces]color.RGBA{
		cube.FaceU: {0xf5, 0xd0, 0x00, 0xff}, // --yellow
		cube.FaceD: {0xf7, 0xf7, 0xf2, 0xff}, // --white
		cube.FaceF: {0x15, 0x94, 0x47, 0xff}, // --green
		cube.FaceB: {0x1f, 0x5f, 0xc4, 0xff}, // --blue
		cube.FaceR: {0xee, 0x7a, 0x12, 0xff}, // --orange
		cube.FaceL: {0xc3, 0x20, 0x2f, 0xff}, // --red
	}
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

// paint draws the preview. It is the same to the pixel for the same preview.
func (p preview) paint() *canvas {
	c := newCanvas(previewWidth, previewHeight, paintGround)
	faces := typefaces()
	const inset = 24
	frame := rounded(previewNetAt-inset, previewNetAt-inset, previewNet+2*inset, previewNet+2*inset, 30)
	c.fill(paintPanel, frame)
	c.stroke(paintLine, frame, 2)
	c.net(p.Net, previewNetAt, previewNetAt, float64(previewNet)/netSide)

	c.write(newLettering(faces.bold, 46), previewLeft, 92, p.Title, paintInk)
	c.write(newLettering(faces.regular, 26), previewLeft, 138, p.Lead, paintFaint)
	turns, size, lines := p.turns()
	for i, line := range lines {
		c.write(turns, previewLeft, previewTurnsY+float64(i)*size*1.2, line, paintInk)
	}

	const top, side = 322, 150
	c.pattern(p.Outcome, previewLeft-8, top, side)
	c.write(newLettering(faces.regular, 26), previewLeft+side+20, top+40, "leaves", paintFaint)
	c.write(newLettering(faces.bold, 44), previewLeft+side+20, top+88, p.Leaves, paintInk)
	c.write(newLettering(faces.regular, 30), previewLeft+side+20, top+130, p.Total, paintInk)

	c.seconds(p.Seconds, previewLeft, 498)

	c.fill(paintAccent, rounded(previewLeft, 580, 22, 22, 6))
	c.stroke(paintRecognise, rounded(previewLeft+29.5, 581.5, 19, 19, 5), 3)
	c.write(newLettering(faces.bold, 28), previewLeft+62, 601, "Slotcast", paintInk)
	code := newLettering(faces.mono, 26)
	words := "Case " + p.Code
	c.write(code, previewLeft+previewWide-code.width(words), 601, words, paintFaint)
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
			c.fill(paintMoved, outline)
		case netBody:
			c.fill(paintPuzzle, widened(outline, 1.25*scale))
		case netTile, netBar:
			c.fill(paintSides[s.Of], outline)
		case netPlain:
			c.stroke(paintPlain, outline, 2.5*scale)
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
func (c *canvas) pattern(o forecast.Outcome, x, y, side float64) {
	scale := side / patternSide
	for _, s := range patternShapes(o) {
		outline := rounded(x+s.X*scale, y+s.Y*scale, s.W*scale, s.H*scale, s.R*scale)
		if s.Class == "hollow" {
			c.stroke(paintTile, outline, 2.2*scale)
			continue
		}
		c.fill(paintTile, outline)
	}
}

// seconds draws the bar of the seconds, as long as the words are wide, and each
// part's name and time under it.
func (c *canvas) seconds(s forecast.Seconds, x, y float64) {
	l, bold := newLettering(typefaces().regular, 24), newLettering(typefaces().bold, 24)
	from, at := x, x
	for _, part := range []struct {
		name         string
		length       time.Duration
		colour, text color.RGBA
	}{
		{"insert", s.Insert(), paintInsert, paintInsertText},
		{"recognise", s.Recognise, paintRecognise, paintRecogniseText},
		{"execute", s.Execute(), paintExecute, paintExecuteText},
	} {
		if part.length == 0 {
			continue
		}
		width := previewWide * float64(part.length) / float64(s.Total())
		// A gap tells the parts apart without their colours.
		c.fill(part.colour, rounded(from, y, max(width-4, 2), 24, 6))
		from += width
		at = c.write(l, at, y+54, part.name+" ", part.text)
		at = c.write(bold, at, y+54, inSeconds(part.length), part.text) + 22
	}
}

// pictureOf is the preview of a case, for the page that is shared.
func (s *site) pictureOf(r *http.Request, c forecast.Case) *pagePicture {
	return &pagePicture{s.publicURL(r) + "/case/" + c.Code() + "/picture.png", s.previewOf(c).Words}
}

// casePicture answers GET /case/{code}/picture.png.
func (s *site) casePicture(w http.ResponseWriter, r *http.Request) error {
	var q query
	if err := q.readCode(chi.URLParam(r, "code")); err != nil {
		return err
	}
	var file bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&file, s.previewOf(q.Case).paint()); err != nil {
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
