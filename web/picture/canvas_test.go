package picture

import (
	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/web/words"

	"image/color"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The longest turns, names and times fit where they are written.
func TestPreviewClipsNothing(t *testing.T) {
	t.Parallel()
	stride := cubetest.Stride(t, 20)
	book := forecasttest.Book()
	anyone := book.For(forecast.Anyone())
	var longest PreviewOption
	for index := 0; index < lastslot.Cases; index += 13 * stride {
		best := anyone.Forecast(forecast.Request{Case: lastslot.CaseAt(index), Limit: 1})[0]
		p := PreviewOption{Turns: best.Turns.String()}
		l, _, lines := p.turns()
		require.LessOrEqual(t, len(lines), 2, p.Turns)
		for _, line := range lines {
			require.LessOrEqual(t, l.width(line), float64(previewWide), p.Turns)
		}
		if len(p.Turns) > len(longest.Turns) {
			longest = p
		}
	}
	// Longer than any best way is today.
	p := PreviewOption{Turns: "y U2 R2 U2 R2 U2 R2 U2 R2 U2 R2 U2 R2"}
	_, _, lines := p.turns()
	assert.LessOrEqual(t, len(lines), 2)

	for slot := range lastslot.Slot(lastslot.Slots) {
		assert.LessOrEqual(t, newLettering(typefaces().bold, 46).width("Last slot "+slot.Words()), float64(previewWide))
	}
	for p := range lastslot.Pattern(lastslot.Patterns) {
		assert.LessOrEqual(t, newLettering(typefaces().bold, 44).width(words.Pattern(p)), float64(previewWide-170))
	}
	for _, line := range questionLines {
		assert.LessOrEqual(t, newLettering(typefaces().bold, 76).width(line), float64(previewWide))
	}
	assert.LessOrEqual(t, newLettering(typefaces().regular, 26).width(questionHint), float64(previewWide))
	label := newLettering(typefaces().bold, 24)
	assert.LessOrEqual(t, label.width("insert 00.00 recognise 0.00 execute 00.00")+2*22, float64(previewWide))

	assert.NotPanics(t, func() { Preview{Best: &longest}.Draw() })
}

// Areas are those of geometry.
func TestCanvasFills(t *testing.T) {
	t.Parallel()
	area := func(draw func(*canvas)) float64 {
		c := newCanvas(100, 100, color.White)
		draw(c)
		sum := 0.0
		for i := 0; i < len(c.Pix); i += 4 {
			sum += 1 - float64(c.Pix[i])/255
		}
		return sum
	}
	square := rounded(30, 30, 40, 40, 0)
	circle := rounded(30, 30, 40, 40, 20)
	diamond := []vertex{{50, 30}, {70, 50}, {50, 70}, {30, 50}}
	notched := []vertex{{20, 20}, {80, 20}, {80, 50}, {50, 50}, {50, 80}, {20, 80}}
	for name, shape := range map[string]struct {
		draw func(*canvas)
		area float64
	}{
		"square":         {func(c *canvas) { c.fill(color.Black, square) }, 1600},
		"circle":         {func(c *canvas) { c.fill(color.Black, circle) }, 1256.6},
		"diamond":        {func(c *canvas) { c.fill(color.Black, diamond) }, 800},
		"wider square":   {func(c *canvas) { c.fill(color.Black, widened(square, 2)) }, 44 * 44},
		"wider circle":   {func(c *canvas) { c.fill(color.Black, widened(circle, 2)) }, 1520.5},
		"wider notched":  {func(c *canvas) { c.fill(color.Black, widened(notched, 2)) }, 64*64 - 30*30},
		"square's line":  {func(c *canvas) { c.stroke(color.Black, square, 4) }, 44*44 - 36*36},
		"circle's line":  {func(c *canvas) { c.stroke(color.Black, circle, 4) }, 502.7},
		"notched's line": {func(c *canvas) { c.stroke(color.Black, notched, 4) }, 64*64 - 30*30 - (56*56 - 30*30)},
	} {
		assert.InEpsilon(t, shape.area, area(shape.draw), 0.01, name)
	}
}
