package picture_test

import (
	"slotcast/cube/cubetest"

	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/static"
	"slotcast/web/webtest/site"
)

// besideMark is where between a tile's middle and its farthest corner there is no mark.
const besideMark = 0.64

// In the picture as it is served each sticker has its colour where its tile is: worked
// out from the case alone, not from the shapes.
func TestPreviewShowsTheCase(t *testing.T) {
	t.Parallel()
	stride := cubetest.Stride(t, 7)
	h := site.NewHandler(t)
	for index := 0; index < lastslot.Cases; index += 4391 * stride {
		c := lastslot.CaseAt(index)
		r, file := site.Ask(t, h, http.MethodGet, "/case/"+c.Code()+"/picture.png")
		require.Equal(t, http.StatusOK, r.StatusCode)
		require.Equal(t, "image/png", r.Header.Get("Content-Type"))
		drawn, err := png.Decode(bytes.NewReader([]byte(file)))
		require.NoError(t, err)
		require.Equal(t, picture.PreviewWidth, drawn.Bounds().Dx())
		require.Equal(t, picture.PreviewHeight, drawn.Bounds().Dy())

		// At a tile's middle, and beside the mark that may be there.
		view := picture.ViewOf(c.Slot)
		at := func(s picture.Sticker, towards float64) color.Color {
			tile, seen := view.Tile(s)
			require.True(t, seen)
			middle := tile.Middle()
			far := slices.MaxFunc(tile.Outline[:], func(a, b picture.Point) int {
				away := func(p picture.Point) int { return (p.X-middle.X)*(p.X-middle.X) + (p.Y-middle.Y)*(p.Y-middle.Y) }
				return away(a) - away(b)
			})
			const scale = float64(picture.PreviewPosition) / picture.Height
			x := picture.PreviewPositionAt + (picture.PreviewPosition-scale*picture.Width)/2 + scale*(float64(middle.X)+towards*float64(far.X-middle.X))
			y := picture.PreviewPositionAt + scale*(float64(middle.Y)+towards*float64(far.Y-middle.Y))
			return color.RGBAModel.Convert(drawn.At(int(x), int(y)))
		}
		piece := func(spot, pair, turned int, own []cube.Face, stickerOf func(i int) picture.Sticker) {
			for i, of := range own {
				sticker := stickerOf((i + turned) % len(own))
				switch {
				case spot == pair && i == 0:
					assert.Equal(t, picture.PaintMark, at(sticker, 0), "%s: the pair is told by this one", c.Code())
					assert.Equal(t, static.Colour(picture.SidePaints[of]), at(sticker, besideMark), c.Code())
				case spot == pair:
					assert.Equal(t, picture.PaintWhite, at(sticker, 0), c.Code())
					assert.Equal(t, static.Colour(picture.SidePaints[of]), at(sticker, besideMark), c.Code())
				case i == 0:
					assert.Equal(t, static.Colour(picture.SidePaints[cube.FaceU]), at(sticker, 0), "%s: the top colour", c.Code())
				default:
					tile, _ := view.Tile(sticker)
					ground := "--puzzle"
					if tile.Folded {
						ground = "--flap"
					}
					assert.Equal(t, static.Colour(ground), at(sticker, 0), "%s: hollow", c.Code())
				}
			}
		}
		for spot := range lastslot.Spots {
			own := c.Slot.Corner().Facelets()
			piece(spot, c.Corner, c.Twists[spot], own[:], func(i int) picture.Sticker { return picture.CornerSticker(c.Slot.CornerPlace(spot), i) })
			ownEdge := c.Slot.Edge().Facelets()
			piece(spot, c.Edge, c.Flips[spot], ownEdge[:], func(i int) picture.Sticker { return picture.EdgeSticker(c.Slot.EdgePlace(spot), i) })
		}
		assert.Equal(t, static.Colour(picture.SidePaints[cube.FaceU]), at(picture.CentreSticker(cube.FaceU), 0))
		// Nothing is written or drawn over the edges.
		for y := range picture.PreviewHeight {
			for _, x := range []int{0, 20, picture.PreviewLeft + picture.PreviewWide + 2, picture.PreviewWidth - 1} {
				require.Equal(t, static.Colour("--ground"), color.RGBAModel.Convert(drawn.At(x, y)), "%s at %d, %d", c.Code(), x, y)
			}
		}
	}
}

// A preview that asks has the position as the other has it, and beside it nothing that
// depends on the options: it is the same for all cases of a slot but for the code.
func TestQuestionPreviewShowsNoOption(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	served := func(c lastslot.Case, query string) *image.RGBA {
		r, file := site.Ask(t, h, http.MethodGet, "/case/"+c.Code()+"/picture.png"+query)
		require.Equal(t, http.StatusOK, r.StatusCode)
		drawn, err := png.Decode(strings.NewReader(file))
		require.NoError(t, err)
		require.Equal(t, image.Rect(0, 0, picture.PreviewWidth, picture.PreviewHeight), drawn.Bounds())
		return drawn.(*image.RGBA)
	}
	// The position stands left of this; the code stands below that.
	const beside, code = picture.PreviewLeft - 16, 575
	// differing is how many rows of the part are not the same.
	differing := func(a, b *image.RGBA, part image.Rectangle) (rows int) {
		for y := part.Min.Y; y < part.Max.Y; y++ {
			from, to := a.PixOffset(part.Min.X, y), a.PixOffset(part.Max.X, y)
			if !bytes.Equal(a.Pix[from:to], b.Pix[from:to]) {
				rows++
			}
		}
		return rows
	}
	position := image.Rect(0, 0, beside, picture.PreviewHeight)
	words := image.Rect(beside, 0, picture.PreviewWidth, code)
	first := map[lastslot.Slot]*image.RGBA{}
	for index := 0; index < lastslot.Cases; index += 15013 {
		c := lastslot.CaseAt(index)
		asks, tells := served(c, "?question=true"), served(c, "")
		assert.Zero(t, differing(asks, tells, position), "%s: another position", c.Code())
		assert.Greater(t, differing(asks, tells, words), 100, "%s: the other one tells", c.Code())
		if one, ok := first[c.Slot]; ok {
			assert.Zero(t, differing(asks, one, words), "%s: something of its own beside it", c.Code())
			assert.NotZero(t, differing(asks, one, position), c.Code())
		} else {
			first[c.Slot] = asks
		}
	}
	assert.Len(t, first, lastslot.Slots)
}

// The picture's colours are the pages' own as the style's sources name them, in
// the light.
func TestPreviewHasTheStyleSheetsColours(t *testing.T) {
	t.Parallel()
	base, err := os.ReadFile("../style/base.css")
	require.NoError(t, err)
	puzzle, err := os.ReadFile("../style/puzzle.css")
	require.NoError(t, err)
	hex := func(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }
	for _, name := range []string{"--ground", "--panel", "--line", "--ink", "--faint", "--accent", "--tile", "--recognise", "--recognise-text", "--execute", "--execute-text"} {
		assert.Contains(t, string(base), name+": light-dark("+hex(static.Colour(name))+", ")
	}
	for _, name := range picture.SidePaints {
		// The usual scheme stands first.
		_, after, ok := strings.Cut(string(puzzle), name+": ")
		require.True(t, ok, name)
		assert.Equal(t, hex(static.Colour(name)), after[:7], name)
	}
	assert.Contains(t, string(puzzle), "--puzzle: "+hex(static.Colour("--puzzle")))
	assert.PanicsWithValue(t, "static: the palette has no colour --nothing", func() { static.Colour("--nothing") })
}

func TestPreviewIsKept(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	address := "/case/" + site.TappedCode(t) + "/picture.png"
	first, file := site.Ask(t, h, http.MethodGet, address)
	again, same := site.Ask(t, site.NewHandler(t), http.MethodGet, address)
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

	other, _ := site.Ask(t, h, http.MethodGet, "/case/00000/picture.png")
	assert.NotEqual(t, tag, other.Header.Get("ETag"))
	assert.Equal(t, http.StatusBadRequest, site.Get(t, h, "/case/ABC/picture.png").Status)
}

// The properties are those of the Open Graph protocol: an image has a type, a
// width, a height and words.
func TestCasePageNamesItsPreview(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	p := site.Get(t, h, "/case/"+site.TappedCode(t))
	content := map[string]string{}
	for _, n := range p.Find(func(n *html.Node) bool { return n.Data == "meta" }) {
		content[site.Attribute(n, "name")+site.Attribute(n, "property")] = site.Attribute(n, "content")
	}
	assert.Equal(t, "http://example.com/case/"+site.TappedCode(t)+"/picture.png", content["og:image"])
	_, first := site.Ask(t, h, http.MethodGet, "/?case="+site.TappedCode(t))
	assert.Contains(t, first, `property="og:image" content="`+content["og:image"]+`"`, "the first page names it too")
	assert.Equal(t, "image/png", content["og:image:type"])
	assert.Equal(t, "1200", content["og:image:width"])
	assert.Equal(t, "630", content["og:image:height"])
	assert.Equal(t, "summary_large_image", content["twitter:card"])
	assert.Contains(t, content["og:image:alt"], "pair’s corner at UFR, bottom colour facing right")
	assert.Contains(t, content["og:image:alt"], "Last slot front right: ")
}

// Drawing a preview and writing it as a file.
func BenchmarkPreview(b *testing.B) {
	h := site.NewHandler(b)
	address := "/case/" + site.TappedCode(b) + "/picture.png"
	var size int
	for b.Loop() {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, address, nil))
		size = w.Body.Len()
	}
	b.ReportMetric(float64(size), "bytes/picture")
}
