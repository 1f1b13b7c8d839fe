package web

import (
	"bytes"
	"fmt"
	"image/color"
	"image/png"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// In the picture as it is served each sticker has its colour where the net has
// its cell: worked out from the case alone, not from the shapes.
func TestPreviewShowsTheCase(t *testing.T) {
	h := newHandler(t)
	for index := 0; index < lastslot.Cases; index += 4391 {
		c := lastslot.CaseAt(index)
		r, file := ask(t, h, http.MethodGet, "/case/"+c.Code()+"/picture.png")
		require.Equal(t, http.StatusOK, r.StatusCode)
		require.Equal(t, "image/png", r.Header.Get("Content-Type"))
		picture, err := png.Decode(bytes.NewReader([]byte(file)))
		require.NoError(t, err)
		require.Equal(t, previewWidth, picture.Bounds().Dx())
		require.Equal(t, previewHeight, picture.Bounds().Dy())

		// At a cell's middle, and beside the mark that may be there.
		at := func(c cell, beside float64) color.Color {
			const scale = float64(previewNet) / netSide
			x := previewNetAt + scale*(netMargin+netUnit*(float64(c.Column)-0.5)+beside)
			y := previewNetAt + scale*(netMargin+netUnit*(float64(c.Row)-0.5)+beside)
			return color.RGBAModel.Convert(picture.At(int(x), int(y)))
		}
		piece := func(spot, pair, turned int, own []cube.Face, cellOf func(sticker int) cell) {
			for i, of := range own {
				sticker := cellOf((i + turned) % len(own))
				switch {
				case spot == pair && i == 0:
					assert.Equal(t, paintMark, at(sticker, 0), "%s: the pair is told by this one", c.Code())
					assert.Equal(t, paint(sidePaints[of]), at(sticker, 12), c.Code())
				case spot == pair:
					assert.Equal(t, paintWhite, at(sticker, 0), c.Code())
					assert.Equal(t, paint(sidePaints[of]), at(sticker, 12), c.Code())
				case i == 0:
					assert.Equal(t, paint(sidePaints[cube.FaceU]), at(sticker, 0), "%s: the top colour", c.Code())
				default:
					assert.Equal(t, paint("--puzzle"), at(sticker, 0), "%s: hollow", c.Code())
				}
			}
		}
		for spot := range lastslot.Spots {
			own := c.Slot.Corner().Facelets()
			piece(spot, c.Corner, c.Twists[spot], own[:], func(sticker int) cell { return netCorner(c.Slot, spot, sticker) })
			ownEdge := c.Slot.Edge().Facelets()
			piece(spot, c.Edge, c.Flips[spot], ownEdge[:], func(sticker int) cell { return netEdge(c.Slot, spot, sticker) })
		}
		assert.Equal(t, paint(sidePaints[cube.FaceU]), at(netTop(c.Slot), 0))
		// Nothing is written or drawn over the edges.
		for y := range previewHeight {
			for _, x := range []int{0, 20, previewLeft + previewWide + 2, previewWidth - 1} {
				require.Equal(t, paint("--ground"), color.RGBAModel.Convert(picture.At(x, y)), "%s at %d, %d", c.Code(), x, y)
			}
		}
	}
}

// The longest turns, names and times fit where they are written.
func TestPreviewClipsNothing(t *testing.T) {
	h := newHandler(t)
	book, err := loadedBook()
	require.NoError(t, err)
	anyone := book.For(forecast.Anyone())
	var longest preview
	for index := 0; index < lastslot.Cases; index += 13 {
		best := anyone.Forecast(forecast.Request{Case: lastslot.CaseAt(index), Limit: 1})[0]
		p := preview{Turns: best.Turns.String(), Code: lastslot.CaseAt(index).Code()}
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
	p := preview{Turns: "y U2 R2 U2 R2 U2 R2 U2 R2 U2 R2 U2 R2"}
	_, _, lines := p.turns()
	assert.LessOrEqual(t, len(lines), 2)

	for slot := range lastslot.Slot(lastslot.Slots) {
		assert.LessOrEqual(t, newLettering(typefaces().bold, 46).width("Last slot "+slot.Words()), float64(previewWide))
	}
	for p := range lastslot.Pattern(lastslot.Patterns) {
		assert.LessOrEqual(t, newLettering(typefaces().bold, 44).width(patternName(p)), float64(previewWide-170))
	}
	label := newLettering(typefaces().bold, 24)
	assert.LessOrEqual(t, label.width("insert 00.00 recognise 0.00 execute 00.00")+2*22, float64(previewWide))

	r, _ := ask(t, h, http.MethodGet, "/case/"+longest.Code+"/picture.png")
	assert.Equal(t, http.StatusOK, r.StatusCode)
}

// The picture's colours are the pages' own as the style's sources name them, in
// the light.
func TestPreviewHasTheStyleSheetsColours(t *testing.T) {
	base, err := os.ReadFile("style/base.css")
	require.NoError(t, err)
	puzzle, err := os.ReadFile("style/puzzle.css")
	require.NoError(t, err)
	hex := func(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }
	for _, name := range []string{"--ground", "--panel", "--line", "--ink", "--faint", "--accent", "--tile", "--recognise", "--recognise-text", "--execute", "--execute-text"} {
		assert.Contains(t, string(base), name+": light-dark("+hex(paint(name))+", ")
	}
	for _, name := range sidePaints {
		// The usual scheme stands first.
		_, after, ok := strings.Cut(string(puzzle), name+": ")
		require.True(t, ok, name)
		assert.Equal(t, hex(paint(name)), after[:7], name)
	}
	assert.Contains(t, string(puzzle), "--puzzle: "+hex(paint("--puzzle")))
	assert.PanicsWithValue(t, "web: the style sheet has no colour --nothing", func() { paint("--nothing") })
}

func TestPreviewIsKept(t *testing.T) {
	h := newHandler(t)
	address := "/case/" + tappedCode(t) + "/picture.png"
	first, file := ask(t, h, http.MethodGet, address)
	again, same := ask(t, newHandler(t), http.MethodGet, address)
	assert.True(t, file == same, "drawn the same each time")
	assert.Equal(t, "public, max-age=86400", first.Header.Get("Cache-Control"))
	tag := first.Header.Get("ETag")
	assert.Regexp(t, `^"[0-9a-f]{24}"$`, tag, "RFC 9110, 8.8.3")
	assert.Equal(t, tag, again.Header.Get("ETag"))
	r := httptest.NewRequest(http.MethodGet, address, nil)
	r.Header.Set("If-None-Match", tag)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	assert.Equal(t, http.StatusNotModified, w.Code, "RFC 9110, 13.1.2")
	assert.Empty(t, w.Body.Bytes())
	assert.Less(t, len(file), 150<<10)

	other, _ := ask(t, h, http.MethodGet, "/case/00000/picture.png")
	assert.NotEqual(t, tag, other.Header.Get("ETag"))
	assert.Equal(t, http.StatusBadRequest, get(t, h, "/case/ABC/picture.png").status)
}

// The properties are those of the Open Graph protocol: an image has a type, a
// width, a height and words.
func TestCasePageNamesItsPreview(t *testing.T) {
	h := newHandler(t)
	p := get(t, h, "/case/"+tappedCode(t))
	content := map[string]string{}
	for _, n := range p.find(func(n *html.Node) bool { return n.Data == "meta" }) {
		content[attribute(n, "name")+attribute(n, "property")] = attribute(n, "content")
	}
	assert.Equal(t, "http://example.com/case/"+tappedCode(t)+"/picture.png", content["og:image"])
	_, first := ask(t, h, http.MethodGet, "/?case="+tappedCode(t))
	assert.Contains(t, first, `property="og:image" content="`+content["og:image"]+`"`, "the first page names it too")
	assert.Equal(t, "image/png", content["og:image:type"])
	assert.Equal(t, "1200", content["og:image:width"])
	assert.Equal(t, "630", content["og:image:height"])
	assert.Equal(t, "summary_large_image", content["twitter:card"])
	best := words(p.find(classed("insertion"))[0])
	assert.Contains(t, content["og:image:alt"], "Last slot front right. "+best+" leaves ")
}

// Areas are those of geometry.
func TestCanvasFills(t *testing.T) {
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

// Drawing a preview and writing it as a file.
func BenchmarkPreview(b *testing.B) {
	h := newHandler(b)
	address := "/case/" + tappedCode(b) + "/picture.png"
	var size int
	for b.Loop() {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, address, nil))
		size = w.Body.Len()
	}
	b.ReportMetric(float64(size), "bytes/picture")
}
