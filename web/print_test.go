package web

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

func classed(class string) func(*html.Node) bool {
	return func(n *html.Node) bool { return slices.Contains(strings.Fields(attribute(n, "class")), class) }
}

// What a pattern's picture shows is oriented by each of its sequences after the
// AUF beside it: seen on plain stickers.
func TestPatternRowsFitTheirPictures(t *testing.T) {
	book, err := loadedBook()
	require.NoError(t, err)
	s := &site{Config: Config{Book: book}}
	for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
		usual := s.patternRow(Records{}, p)
		require.True(t, usual.Usual)
		require.Len(t, usual.Sequences, 1)
		assert.Empty(t, usual.Sequences[0].AUF, "seen as the first sequence takes it")

		// The same sequence, begun from the other sides.
		own := Records{}
		for _, rotation := range []string{"", "y", "y2", "y'"} {
			turns := strings.TrimSpace(rotation + " " + book.FollowUp(p).String())
			own.Sequences = append(own.Sequences, OwnSequence{p, turns})
		}
		row := s.patternRow(own, p)
		require.False(t, row.Usual)
		require.Len(t, row.Sequences, 4)
		shown := slices.Index(patternPictures[:], row.Picture)
		require.GreaterOrEqual(t, shown, 0)
		twists, flips := lastslot.Outcome(shown).Twists(), lastslot.Outcome(shown).Flips()
		c := lastslot.Case{Corner: lastslot.InSlot, Edge: lastslot.InSlot}
		copy(c.Twists[:], twists[:])
		copy(c.Flips[:], flips[:])
		for _, sequence := range row.Sequences {
			turns, err := cube.Parse(strings.TrimSpace(sequence.AUF + " " + sequence.Turns))
			require.NoError(t, err)
			after := cubetest.Of(c.Cube()).Do(turns)
			for _, sticker := range after[:8] {
				// Eight stickers a face, then the six centres.
				require.Equal(t, after[48]-48, sticker/8, "%s: on top after %s %s", patternName(p), sequence.AUF, sequence.Turns)
			}
		}
	}
}

// Averaged over all cases with the pair in its place, the order is that of the
// seconds in all: 27 turnings of the other corners times 8 of the other edges.
func TestEasiestIsByTheAverage(t *testing.T) {
	book, err := loadedBook()
	require.NoError(t, err)
	anyone := book.For(forecast.Anyone())
	for _, place := range []lastslot.Case{tappedCase, {Slot: lastslot.BL, Corner: lastslot.InSlot, Edge: 2, Flips: [lastslot.Spots]int{2: 1, 4: 1}}} {
		sum, cases := map[string]time.Duration{}, 0
		var options []forecast.Option
		for index := range lastslot.Cases {
			c := lastslot.CaseAt(index)
			if c.Slot != place.Slot || c.Corner != place.Corner || c.Edge != place.Edge || c.Twists[c.Corner] != place.Twists[c.Corner] || c.Flips[c.Edge] != place.Flips[c.Edge] {
				continue
			}
			cases++
			options = anyone.Forecast(forecast.Request{Case: c})
			for _, o := range options {
				sum[o.Turns.String()] += o.Seconds.Total()
			}
		}
		require.Equal(t, 27*8, cases)
		listed := easiest(options, place.Slot)
		require.Greater(t, len(listed), placeRows)
		assert.True(t, slices.IsSortedFunc(listed, func(a, b forecast.Option) int {
			return cmp.Compare(sum[a.Turns.String()], sum[b.Turns.String()])
		}))
		best := slices.MinFunc(options, func(a, b forecast.Option) int { return cmp.Compare(sum[a.Turns.String()], sum[b.Turns.String()]) })
		assert.Equal(t, sum[best.Turns.String()], sum[listed[0].Turns.String()])
		told := map[string]bool{}
		for _, o := range listed {
			at, turns := o.Insertion(place.Slot)
			id := insertionID(at, turns.String())
			assert.False(t, told[id], "listed twice: %s", id)
			told[id] = true
		}
	}
}

func TestPlaceSheet(t *testing.T) {
	h := newHandler(t)
	code := tappedCode(t)
	p := get(t, h, "/print/place/"+code)
	require.Equal(t, http.StatusOK, p.status)
	assert.Equal(t, "private, no-store", p.header.Get("Cache-Control"))
	rows := p.find(func(n *html.Node) bool { return n.Data == "li" && classed("sheet-places")(n.Parent) })
	require.Len(t, rows, placeRows)
	for _, row := range rows {
		within := page{root: row}
		turns := words(within.find(func(n *html.Node) bool { return n.Data == "h2" })[0])
		frames := within.find(func(n *html.Node) bool { return n.Data == "li" })
		var written []string
		for _, f := range frames {
			written = append(written, words(f))
		}
		assert.Equal(t, turns, strings.Join(written, " "), "a frame for each turn")
		last := page{root: frames[len(frames)-1]}.find(func(n *html.Node) bool { return n.Data == "svg" })
		require.Len(t, last, 1)
		require.Len(t, within.find(classed("map")), 2, "corners and edges")
		assert.Contains(t, attribute(last[0], "aria-label"), "pair’s corner in the slot, its bottom colour facing down; pair’s edge in the slot, its front colour facing front")
	}
	assert.Contains(t, p.byID(t, "answer"), "Put the cube down now and then")
	assert.NotContains(t, get(t, h, "/print/case/"+code).byID(t, "answer"), "Put the cube down", "that is no drill")
}

// The maps are of all turns, rotation and AUF included: they tell what is left of
// the case itself.
func TestSheetsMapsAreFromThePlace(t *testing.T) {
	book, err := loadedBook()
	require.NoError(t, err)
	anyone := book.For(forecast.Anyone())
	rotated := 0
	for index := 0; index < lastslot.Cases; index += 9973 {
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
			require.Equal(t, o.Leaves, whole.Map().Leaves(&c).Turned(whole.Turned()), "%s %s", c.Code(), o.Turns)
		}
	}
	assert.NotZero(t, rotated)
}

// Where the pair is solved, doing nothing is the first way, and has no strip.
func TestPlaceSheetOfTheSolvedPair(t *testing.T) {
	solved := lastslot.Case{Corner: lastslot.InSlot, Edge: lastslot.InSlot}
	p := get(t, newHandler(t), "/print/place/"+solved.Code())
	require.Equal(t, http.StatusOK, p.status)
	rows := p.find(func(n *html.Node) bool { return n.Data == "li" && classed("sheet-places")(n.Parent) })
	require.Len(t, rows, placeRows)
	assert.Equal(t, "Do nothing 0 turns, about 0.00 s leaves All oriented", strings.TrimSuffix(words(rows[0]), " all oriented"))
	assert.Empty(t, page{root: rows[0]}.find(classed("sheet-strip")))
	assert.Len(t, p.find(classed("sheet-strip")), placeRows-1)
}

// A place that is told by stickers is a case with all else oriented, as far as a
// puzzle can be: every place of the pair is one.
func TestPlaceByStickers(t *testing.T) {
	h := newHandler(t)
	for slot := range lastslot.Slot(lastslot.Slots) {
		for corner := range lastslot.Spots {
			for twist, cornerFace := range cornerFaces(corner) {
				for edge := range lastslot.Spots {
					for flip, edgeFace := range edgeFaces(slot, edge) {
						address := fmt.Sprintf("/print/place?slot=%s&corner=%s.%s&edge=%s.%s&paper=letter", slot, cornerSpots[corner], cornerFace, edgeSpots[edge], edgeFace)
						p := get(t, h, address)
						require.Equal(t, http.StatusSeeOther, p.status, address)
						code, ok := strings.CutPrefix(p.header.Get("Location"), "/print/place/")
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
	h := newHandler(t)
	for address, says := range map[string]string{
		"/print/patterns?paper=a5":                    "“a5” is unknown; it can be a4 or letter",
		"/print/patterns?paper=":                      "it can be a4 or letter",
		"/print/patterns?show=none":                   "“none” is unknown",
		"/print/place/ABC":                            "in no code",
		"/print/case/" + tappedCode(t) + "?view=some": "it can be all or known",
		"/print/place?slot=FR&corner=UFR.R":           "“” is no sticker of the pair’s edge: give a place, a point and a face, such as UB.U",
		"/print/place?slot=XX&corner=UFR.R&edge=UF.U": "no slot",
		"/print/place?slot=FR&corner=UFR.L&edge=UF.U": "UFR.L",
	} {
		p := get(t, h, address)
		assert.Equal(t, http.StatusBadRequest, p.status, address)
		assert.Contains(t, strings.ToLower(p.byID(t, "answer")), strings.ToLower(says), address)
	}
}
