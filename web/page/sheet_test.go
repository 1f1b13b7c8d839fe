package page_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/facts"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/web/page"
	"slotcast/web/tap"
	"slotcast/web/webtest/site"
	"slotcast/web/words"
)

func TestPlaceSheet(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	code := site.TappedCode(t)
	p := site.Get(t, h, "/print/place/"+code)
	require.Equal(t, http.StatusOK, p.Status)
	assert.Equal(t, "private, no-store", p.Header.Get("Cache-Control"))
	rows := p.Find(func(n *html.Node) bool { return n.Data == "li" && site.Classed("sheet-places")(n.Parent) })
	require.Len(t, rows, page.PlaceRows)
	for _, row := range rows {
		within := site.Page{Root: row}
		turns := site.Words(within.Find(func(n *html.Node) bool { return n.Data == "h2" })[0])
		frames := within.Find(func(n *html.Node) bool { return n.Data == "li" })
		var written []string
		for _, f := range frames {
			written = append(written, site.Words(f))
		}
		assert.Equal(t, turns, strings.Join(written, " "), "a frame for each turn")
		last := site.Page{Root: frames[len(frames)-1]}.Find(func(n *html.Node) bool { return n.Data == "svg" })
		require.Len(t, last, 1)
		require.Len(t, within.Find(site.Classed("map")), 2, "corners and edges")
		assert.Contains(t, site.Attribute(last[0], "aria-label"), "pair’s corner in the slot, bottom colour facing down; pair’s edge in the slot, front colour facing front")
	}
	assert.Contains(t, p.ByID(t, "answer"), "Take breaks")
	assert.NotContains(t, site.Get(t, h, "/print/case/"+code).ByID(t, "answer"), "Take breaks", "that is no drill")
}

// The maps are of all turns, rotation and AUF included: they tell what is left of
// the case itself.
func TestSheetsMapsAreFromThePlace(t *testing.T) {
	t.Parallel()
	book := forecasttest.Book()
	anyone := book.For(forecast.Anyone())
	rotated, step := 0, 9973*cubetest.Stride(t, 5)
	for index := 0; index < lastslot.Cases; index += step {
		c := lastslot.CaseAt(index)
		for _, o := range anyone.Forecast(forecast.Request{Case: c}) {
			if len(o.Turns) == 0 {
				continue
			}
			if o.Turns[0].Layer() == cube.Y {
				rotated++
			}
			whole, err := lastslot.NewInsertion(c.Slot, o.Turns)
			require.NoError(t, err)
			require.Equal(t, o.Leaves, leftBy(facts.Of(whole), c), "%s %s", c.Code(), o.Turns)
		}
	}
	assert.NotZero(t, rotated)
}

// leftBy is what the facts make of a case in which the pair is where the insertion
// takes it from, in the hold that the turns end in.
func leftBy(f facts.Facts, c lastslot.Case) lastslot.Outcome {
	corners, edges := f.All()
	var twists, flips [lastslot.InSlot]int
	for to := range lastslot.InSlot {
		twists[to] = (c.Twists[corners[to].From] + corners[to].Turned) % 3
		flips[to] = c.Flips[edges[to].From] ^ edges[to].Turned
	}
	return lastslot.OutcomeAs(twists, flips)
}

// Where the pair is solved, doing nothing is the first way, and has no strip.
func TestPlaceSheetOfTheSolvedPair(t *testing.T) {
	t.Parallel()
	solved := lastslot.Case{Corner: lastslot.InSlot, Edge: lastslot.InSlot}
	p := site.Get(t, site.NewHandler(t), "/print/place/"+solved.Code())
	require.Equal(t, http.StatusOK, p.Status)
	rows := p.Find(func(n *html.Node) bool { return n.Data == "li" && site.Classed("sheet-places")(n.Parent) })
	require.Len(t, rows, page.PlaceRows)
	assert.Equal(t, "Do nothing 0 turns, about 0.00 s leaves All oriented", strings.TrimSuffix(site.Words(rows[0]), " all oriented"))
	assert.Empty(t, site.Page{Root: rows[0]}.Find(site.Classed("sheet-strip")))
	assert.Len(t, p.Find(site.Classed("sheet-strip")), page.PlaceRows-1)
}

// A place that is told by stickers is a case with all else oriented, as far as a
// puzzle can be: every place of the pair is one.
func TestPlaceByStickers(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	for slot := range lastslot.Slot(lastslot.Slots) {
		for corner := range lastslot.Spots {
			for twist, cornerFace := range tap.CornerFaces(corner) {
				for edge := range lastslot.Spots {
					for flip, edgeFace := range tap.EdgeFaces(slot, edge) {
						address := fmt.Sprintf("/print/place?slot=%s&corner=%s.%s&edge=%s.%s&paper=letter", slot, words.CornerSpots[corner], cornerFace, words.EdgeSpots[edge], edgeFace)
						p := site.Get(t, h, address)
						require.Equal(t, http.StatusSeeOther, p.Status, address)
						code, ok := strings.CutPrefix(p.Header.Get("Location"), "/print/place/")
						require.True(t, ok)
						code, ok = strings.CutSuffix(code, "?paper=letter")
						require.True(t, ok)
						c, err := lastslot.ParseCode(code)
						require.NoError(t, err)
						require.Equal(t, [5]int{int(slot), corner, twist, edge, flip}, [5]int{int(c.Slot), c.Corner, c.Twists[c.Corner], c.Edge, c.Flips[c.Edge]}, address)
						for spot := range lastslot.InSlot {
							require.True(t, spot == c.Corner || c.Twists[spot] == 0 || c.Corner == lastslot.InSlot, address)
							require.True(t, spot == c.Edge || c.Flips[spot] == 0 || c.Edge == lastslot.InSlot, address)
						}
					}
				}
			}
		}
	}
}

func TestSheetsSayWhatIsWrong(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	for address, says := range map[string]string{
		"/print/patterns?paper=a5":                         "“a5” is unknown: use a4 or letter",
		"/print/patterns?paper=":                           "use a4 or letter",
		"/print/patterns?show=none":                        "“none” is unknown",
		"/print/place/ABC":                                 "in no code",
		"/print/case/" + site.TappedCode(t) + "?view=some": "use all or known",
		"/print/place?slot=FR&corner=UFR.R":                "“” is not a sticker of the pair’s edge: give a place, a point and a face, such as UB.U",
		"/print/place?slot=XX&corner=UFR.R&edge=UF.U":      "no slot",
		"/print/place?slot=FR&corner=UFR.L&edge=UF.U":      "UFR.L",
	} {
		p := site.Get(t, h, address)
		assert.Equal(t, http.StatusBadRequest, p.Status, address)
		assert.Contains(t, strings.ToLower(p.ByID(t, "answer")), strings.ToLower(says), address)
	}
}
