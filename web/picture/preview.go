package picture

import (
	"image/color"
	"math"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/static"
	"slotcast/web/words"
)

// The size of a preview, in pixels: what the protocol's readers commonly show
// whole, without a source.
const (
	PreviewWidth  = 1200
	PreviewHeight = 630
)

// Preview is the picture that a shared case is shown by: the case as it is held, and
// its best option for anyone or the question for it. It shows nothing of a person's own,
// so that anybody may keep it.
type Preview struct {
	// Positions are the case, seen once for each open slot.
	Positions   []PreviewPicture
	Title, Code string
	// Best is nil where the picture asks which option one would do.
	Best *PreviewOption
}

// PreviewPicture is a picture of a case, and what is written over it, "" for nothing.
type PreviewPicture struct {
	Picture Picture
	Over    string
}

// PreviewOption is an option on a preview, and the pattern that it leaves.
type PreviewOption struct {
	Lead, Turns string
	// After fills the other slot where two are open, "" otherwise.
	After         string
	Leaves, Total string
	Outcome       lastslot.Outcome
	Seconds       forecast.Seconds
}

// PreviewOf is the preview of a case with the best option for each pattern.
func PreviewOf(c lastslot.Case, options []forecast.Option) Preview {
	best := options[0]
	shown := PreviewOption{
		Lead:  words.Counted(len(options), "pattern") + " to choose from; the fastest:",
		Turns: best.Turns.String(), Leaves: words.Pattern(best.Leaves.Pattern()), Total: "about " + words.Seconds(best.Seconds.Total()) + " s",
		Outcome: best.Leaves, Seconds: best.Seconds,
	}
	if len(options) == 1 {
		shown.Lead = "1 pattern to choose from:"
	}
	if len(best.Turns) == 0 {
		shown.Turns = "Do nothing"
	}
	p := QuestionOf(c)
	p.Best = &shown
	return p
}

// QuestionOf is the preview of a case that asks which option one would do, and shows
// none.
func QuestionOf(c lastslot.Case) Preview {
	return Preview{Positions: []PreviewPicture{{Picture: PositionOf(c).Picture()}}, Title: "Last slot " + c.Slot.Words(), Code: c.Code()}
}

// PreviewWords say what the preview of a case shows, to whoever cannot see it.
func PreviewWords(c lastslot.Case) string {
	return "Last slot " + c.Slot.Words() + ": " + PositionOf(c).Words() + ". Beside it the fastest option for anyone and the pattern it leaves."
}

// QuestionWords say what the preview shows that asks, to whoever cannot see it.
func QuestionWords(c lastslot.Case) string {
	return "Last slot " + c.Slot.Words() + ": " + PositionOf(c).Words() + ". Beside it the question: which would you do?"
}

// sidePaints are the puzzle's colours as is usual, by the side where each belongs.
var sidePaints = [cube.Faces]string{
	cube.FaceU: "--yellow", cube.FaceD: "--white", cube.FaceF: "--green", cube.FaceB: "--blue", cube.FaceR: "--orange", cube.FaceL: "--red",
}

// The marks' colours are those of .seen-solid and .seen-hollow.
var (
	paintMark  = color.RGBA{0x10, 0x20, 0x1a, 0xff}
	paintWhite = color.RGBA{0xff, 0xff, 0xff, 0xff}
)

// Where things are on the picture, in pixels.
const (
	previewPositionAt = 60 // from the left and from the top
	previewPosition   = 510
	previewLeft       = 626 // of the words
	previewWide       = 1140 - previewLeft
	previewTurnsY     = 218
	previewTurnsHigh  = 84 // from the first line of turns to the last
)

// previewTurnSizes are tried one after the other until the turns fit.
var previewTurnSizes = []float64{60, 52, 45, 38, 32, 26}

// Draw draws the preview. It is the same to the pixel for the same preview.
func (p Preview) Draw() *canvas {
	c := newCanvas(PreviewWidth, PreviewHeight, static.Colour("--ground"))
	faces := typefaces()
	const inset = 24
	frame := rounded(previewPositionAt-inset, previewPositionAt-inset, previewPosition+2*inset, previewPosition+2*inset, 30)
	c.fill(static.Colour("--panel"), frame)
	c.stroke(static.Colour("--line"), frame, 2)
	p.drawPositions(c)

	c.write(newLettering(faces.bold, 46), previewLeft, 92, p.Title, static.Colour("--ink"))
	if p.Best != nil {
		c.option(*p.Best)
	} else {
		c.question()
	}

	c.fill(static.Colour("--accent"), rounded(previewLeft, 580, 22, 22, 6))
	c.stroke(static.Colour("--recognise"), rounded(previewLeft+29.5, 581.5, 19, 19, 5), 3)
	c.write(newLettering(faces.bold, 28), previewLeft+62, 601, "Slotcast", static.Colour("--ink"))
	code := newLettering(faces.mono, 26)
	words := "Case " + p.Code
	c.write(code, previewLeft+previewWide-code.width(words), 601, words, static.Colour("--faint"))
	return c
}

// drawPositions draws one position over the whole frame, or two side by side.
func (p Preview) drawPositions(c *canvas) {
	if len(p.Positions) == 1 {
		const scale = float64(previewPosition) / Height
		const left = previewPositionAt + (previewPosition-scale*Width)/2
		c.position(p.Positions[0].Picture, left, previewPositionAt, scale)
		c.names(p.Positions[0].Picture, left, previewPositionAt, scale)
		return
	}
	// The sides have no names here: there is no room beside so small a puzzle.
	const wide, gap = previewPosition / 2, 20
	const scale = float64(wide-gap) / Width
	const top = previewPositionAt + (previewPosition-scale*Height)/2
	over := newLettering(typefaces().bold, 30)
	for i, shown := range p.Positions {
		left := float64(previewPositionAt + i*wide)
		c.write(over, left+(wide-over.width(shown.Over))/2, top-28, shown.Over, static.Colour("--ink"))
		c.position(shown.Picture, left+gap/2, top, scale)
	}
}

// option draws an option and the pattern that it leaves beside the position.
func (c *canvas) option(o PreviewOption) {
	faces := typefaces()
	c.write(newLettering(faces.regular, 26), previewLeft, 138, o.Lead, static.Colour("--faint"))
	turns, size, lines := o.turns()
	for i, line := range lines {
		c.write(turns, previewLeft, previewTurnsY+float64(i)*size*1.2, line, static.Colour("--ink"))
	}

	const top, side = 322, 150
	c.pattern(o.Outcome, previewLeft-8, top, side)
	c.write(newLettering(faces.regular, 26), previewLeft+side+20, top+40, "leaves", static.Colour("--faint"))
	c.write(newLettering(faces.bold, 44), previewLeft+side+20, top+88, o.Leaves, static.Colour("--ink"))
	c.write(newLettering(faces.regular, 30), previewLeft+side+20, top+130, o.Total, static.Colour("--ink"))

	c.seconds(o.Seconds, previewLeft, 498)
}

// The question, and what to do about it.
var questionLines = [2]string{"Which would", "you do?"}

const questionHint = "Decide first. The link has the answer."

// question asks for an option beside the position.
func (c *canvas) question() {
	faces := typefaces()
	large := newLettering(faces.bold, 76)
	for i, line := range questionLines {
		c.write(large, previewLeft, 268+float64(i)*88, line, static.Colour("--ink"))
	}
	c.write(newLettering(faces.regular, 26), previewLeft, 438, questionHint, static.Colour("--faint"))
}

// turns is how the turns are written: the largest size at which they fit. What is done
// after them begins a line of its own.
func (p PreviewOption) turns() (l lettering, size float64, lines []string) {
	for _, size = range previewTurnSizes {
		l = newLettering(typefaces().bold, size)
		lines = l.wrapped(p.Turns, previewWide)
		if p.After != "" {
			lines = append(lines, l.wrapped(p.After, previewWide)...)
		}
		if float64(len(lines)-1)*size*1.2 <= previewTurnsHigh {
			break
		}
	}
	return l, size, lines
}

// position draws a picture of the puzzle with its top left at x and y.
func (c *canvas) position(picture Picture, x, y, scale float64) {
	at := func(p Point) vertex { return vertex{x + float64(p.X)*scale, y + float64(p.Y)*scale} }
	for _, s := range picture.Shapes {
		outline := make([]vertex, len(s.Points))
		for i, p := range s.Points {
			outline[i] = at(p)
		}
		switch s.Class {
		case flapShape:
			c.fill(static.Colour("--rim"), widened(outline, flapRim*scale))
			c.fill(static.Colour("--flap"), widened(outline, -flapRim*scale))
		case bodyShape:
			c.fill(static.Colour("--rim"), widened(outline, bodyRim*scale))
			c.fill(static.Colour("--puzzle"), widened(outline, -bodyRim*scale))
		case foldShape:
			c.dashes(static.Colour("--fold"), outline[0], outline[1], 5*scale, 12*scale)
		case movedShape:
			c.stroke(static.Colour("--moved"), outline, 8*scale)
		case fullTile:
			c.fill(static.Colour(sidePaints[s.Of]), widened(outline, tileRim*scale))
		case quietTile:
			c.fill(between(static.Colour("--puzzle"), static.Colour(sidePaints[s.Of]), quietShare), widened(outline, tileRim*scale))
		case plainTile:
			c.stroke(static.Colour("--plain"), outline, 5*scale)
		case solidMark:
			c.fill(paintMark, outline)
			c.stroke(paintWhite, outline, 6*scale)
		case hollowMark:
			c.fill(paintWhite, outline)
			c.stroke(paintMark, outline, 6*scale)
		}
	}
}

// names writes the sides' names around a picture of the puzzle.
func (c *canvas) names(picture Picture, x, y, scale float64) {
	l := newLettering(typefaces().regular, 19)
	for _, n := range picture.View.names() {
		word, p := n.side.Words(), vertex{x + 2*scale, y + float64(n.y)*scale}
		if n.right {
			p.X = x + (Width-2)*scale - l.width(word)
		}
		c.write(l, p.X, p.Y+7, word, static.Colour("--faint"))
	}
}

// How far shapes reach over their points, in the picture's units, as the style sheet's
// strokes do; and how much of its colour a quiet tile has.
const (
	bodyRim    = 4
	flapRim    = 2.5
	tileRim    = 3
	quietShare = 0.5
)

// between is a colour that has a share of another.
func between(from, to color.RGBA, share float64) color.RGBA {
	mix := func(a, b uint8) uint8 { return uint8(math.Round(float64(a) + share*(float64(b)-float64(a)))) }
	return color.RGBA{mix(from.R, to.R), mix(from.G, to.G), mix(from.B, to.B), 0xff}
}

// pattern draws a picture of the pattern with its top left at x and y.
func (c *canvas) pattern(o lastslot.Outcome, x, y, side float64) {
	scale := side / patternSide
	for _, s := range patternShapes(o) {
		outline := rounded(x+s.X*scale, y+s.Y*scale, s.W*scale, s.H*scale, s.R*scale)
		if s.Class == "hollow" {
			c.stroke(static.Colour("--tile"), outline, 2.2*scale)
			continue
		}
		c.fill(static.Colour("--tile"), outline)
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
		c.fill(static.Colour(part.colour), rounded(from, y, max(width-4, 2), 24, 6))
		from += width
		at = c.write(l, at, y+54, part.name+" ", static.Colour(part.colour+"-text"))
		at = c.write(bold, at, y+54, words.Seconds(part.length), static.Colour(part.colour+"-text")) + 22
	}
}
