package page_test

import (
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/query"
	"slotcast/web/webtest/site"
	"slotcast/web/words"
)

// hasClass accepts the elements of a class.
func hasClass(class string) func(*html.Node) bool {
	return func(n *html.Node) bool {
		for c := range strings.FieldsSeq(site.Attribute(n, "class")) {
			if c == class {
				return true
			}
		}
		return false
	}
}

// wayTo is the address of an option.
func wayTo(c lastslot.Case, turns string) string {
	return "/case/" + c.Code() + "/option?" + url.Values{"turns": {turns}}.Encode()
}

func solvedBy(t testing.TB, slot lastslot.Slot, turns string) lastslot.Case {
	t.Helper()
	sequence, err := cube.Parse(turns)
	require.NoError(t, err)
	i, err := lastslot.NewInsertion(slot, sequence)
	require.NoError(t, err)
	return i.Case()
}

func TestOpenedOptions(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	book := forecasttest.Book()
	random := rand.New(rand.NewPCG(1, 1))
	for range 40 / cubetest.Stride(t, 3) {
		c := lastslot.CaseAt(random.IntN(lastslot.Cases))
		options := book.For(forecast.Anyone()).Forecast(forecast.Request{Case: c})
		o := options[random.IntN(len(options))]
		address := wayTo(c, o.Turns.String())
		p := site.Get(t, h, address)
		require.Equal(t, http.StatusOK, p.Status, address)
		assert.Contains(t, p.ByID(t, "answer"), words.Pattern(o.Leaves.Pattern()), address)
		assert.Contains(t, p.ByID(t, "answer"), words.Case(c).String())
		assert.Contains(t, p.ByID(t, "answer"), fmt.Sprintf("about %s s", words.Seconds(o.Seconds.Total())))

		strips := p.Find(hasClass("strip"))
		rows := []cube.Sequence{o.Turns}
		if next := cube.Join(o.Then, o.Sequence); len(next) > 0 {
			rows = append(rows, next)
		}
		require.Len(t, strips, len(rows), address)
		position := picture.PositionOf(c)
		for i, row := range rows {
			position.Last = nil
			var frames []*html.Node
			for n := range strips[i].ChildNodes() {
				if n.Type == html.ElementNode {
					frames = append(frames, n)
				}
			}
			require.Len(t, frames, len(row)+1)
			for at, frame := range frames {
				said := site.Words(frame)
				if at > 0 {
					position = position.Turned(row[at-1])
					assert.Contains(t, said, row[at-1].String())
				}
				var label string
				for n := range frame.Descendants() {
					if n.Data == "svg" {
						label = site.Attribute(n, "aria-label")
					}
				}
				assert.Equal(t, position.Words(), label)
			}
		}

		// The other hand's page opens too, leaves the mirrored pattern and leads back.
		for _, a := range p.Find(func(n *html.Node) bool {
			return n.Data == "a" && strings.HasPrefix(site.Attribute(n, "href"), "/case/"+c.Mirror().Code()+"/option")
		}) {
			other := site.Get(t, h, site.Attribute(a, "href"))
			require.Equal(t, http.StatusOK, other.Status)
			assert.Contains(t, other.Body, html.EscapeString(o.Turns.String()))
		}
		if len(o.Turns) > 0 {
			assert.Contains(t, p.ByID(t, "answer"), "in the mirrored case")
		}
	}
}

func TestOpenedOptionsThatAreNone(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	c := solvedBy(t, lastslot.FR, "R U R'")
	for address, want := range map[string]struct {
		status int
		says   string
	}{
		"/case/" + c.Code() + "/option":              {http.StatusBadRequest, "Turns: missing"},
		wayTo(c, "R U R'") + "&turns=U":              {http.StatusBadRequest, "given 2 times"},
		wayTo(c, "R U Q R'"):                         {http.StatusBadRequest, "“Q” (at character 5)"},
		wayTo(c, strings.Repeat("U U' ", 200)):       {http.StatusBadRequest, "at most"},
		wayTo(c, ""):                                 {http.StatusUnprocessableEntity, "doing nothing does not fill the slot"},
		wayTo(c, "R U R"):                            {http.StatusUnprocessableEntity, "does not keep"},
		wayTo(c, "U R U R'"):                         {http.StatusUnprocessableEntity, "does not fill the slot"},
		wayTo(c, "R U R' x"):                         {http.StatusUnprocessableEntity, "does not fill the slot"},
		"/case/ABC/option?turns=R":                   {http.StatusBadRequest, "in no code"},
		wayTo(c, "R U R'") + "&predicted=so":         {http.StatusBadRequest, "true or false"},
		wayTo(c, "R U R'") + "&scramble=":            {http.StatusBadRequest, "Scramble: no turns"},
		wayTo(c, "R U R'") + "&scramble=R+Q":         {http.StatusBadRequest, "Q"},
		wayTo(c, "R U R'") + "&scramble=R+U'+R'+U":   {http.StatusUnprocessableEntity, "lead to the case"},
		wayTo(c, "R U R'") + "&scramble=R+F+R+F+R+F": {http.StatusUnprocessableEntity, "Scramble: not a position before the last slot"},
	} {
		p := site.Get(t, h, strings.ReplaceAll(address, "'", "%27"))
		assert.Equal(t, want.status, p.Status, address)
		said := p.ByID(t, "answer")
		assert.Contains(t, said, want.says, address)
		assert.Equal(t, !strings.HasPrefix(address, "/case/ABC"), strings.Contains(said, "Back to case "+c.Code()), address)
	}
}

// With the pair in its slot nothing need be done, and that is an option as well.
func TestOpenedNothing(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	c := lastslot.Case{Slot: lastslot.BL, Corner: lastslot.InSlot, Edge: lastslot.InSlot}
	p := site.Get(t, h, wayTo(c, ""))
	require.Equal(t, http.StatusOK, p.Status)
	said := p.ByID(t, "answer")
	assert.Contains(t, said, "Do nothing")
	assert.Contains(t, said, "A solved puzzle shows this case")
	assert.NotContains(t, said, "How to see it coming")
	assert.NotContains(t, said, "I know it")

	// Whoever turns the puzzle all the same has done nothing that could be kept.
	p = site.Get(t, h, wayTo(c, "U y U'"))
	require.Equal(t, http.StatusOK, p.Status)
	assert.NotContains(t, p.ByID(t, "answer"), "I know it")
}

// Whoever came from a scramble is told the PLL: a puzzle that the insertion and
// then a sequence for T solve (from memory) has T left after the insertion.
func TestOpenedOptionTellsThePLL(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	c := solvedBy(t, lastslot.FR, "R U R'")
	for sequence, says := range map[string]string{
		"R U R' U' R' F R2 U' R' U' R U R' F'": "PLL T follows.",
		"M2 U M2 U2 M2 U M2":                   "PLL H follows.",
		"U'":                                   "No PLL follows: after U' all is solved.",
		"":                                     "No PLL follows: all is solved.",
	} {
		rest, err := cube.Parse(sequence)
		require.NoError(t, err)
		insertion, err := cube.Parse("R U R'")
		require.NoError(t, err)
		scramble := cube.Join(insertion, rest).Inverse().String()
		address := wayTo(c, "R U R'") + "&" + url.Values{"scramble": {scramble}, "solution": {""}}.Encode()
		p := site.Get(t, h, address)
		require.Equal(t, http.StatusOK, p.Status, "%s: %s", address, p.ByID(t, "answer"))
		assert.Contains(t, p.ByID(t, "answer"), says)
		assert.Contains(t, p.Body, html.EscapeString("/?"+url.Values{"scramble": {scramble}}.Encode()), "it leads back to the same position")
	}
	assert.NotContains(t, site.Get(t, h, wayTo(c, "R U R'")).Body, "PLL")

	// With the cross in front, held first as the page says.
	scramble := cube.Sequence{}
	for _, turn := range []string{"x", "R", "U'", "R'", "x'"} {
		parsed, err := cube.Parse(turn)
		require.NoError(t, err)
		scramble = append(scramble, parsed...)
	}
	q, err := query.Read(url.Values{"scramble": {scramble.String()}})
	require.NoError(t, err)
	p := site.Get(t, h, wayTo(q.Case, "R U R'")+"&"+url.Values{"scramble": {scramble.String()}}.Encode())
	require.Equal(t, http.StatusOK, p.Status)
	assert.Contains(t, p.ByID(t, "answer"), q.Hold.Turns().String()+" first")
	assert.Contains(t, p.ByID(t, "answer"), "No PLL follows: all is solved.")
}

// The option's own page is private, and what is not usual is kept.
func TestOpenedOptionOfOnesOwn(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	c := solvedBy(t, lastslot.FL, "L' U' L")
	p := site.Get(t, h, wayTo(c, "L' U' L")+"&predicted=true")
	require.Equal(t, http.StatusOK, p.Status)
	assert.Contains(t, p.ByID(t, "answer"), "recognise 0.20", "less than tracking five pieces")
	assert.Contains(t, p.Body, "predicted=true")
	assert.Contains(t, p.Header.Get("Cache-Control"), "private")
}

// A whole page, everything but the network.
func BenchmarkOptionPage(b *testing.B) {
	h := site.NewHandler(b)
	address := wayTo(solvedBy(b, lastslot.FR, "U F' d' L U2 L' U L"), "U F' d' L U2 L' U L")
	var size int
	for b.Loop() {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, address, nil))
		size = w.Body.Len()
	}
	b.ReportMetric(float64(size), "bytes/page")
}

// Links that were shared before options had this address still lead to them.
func TestOptionsThatMoved(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	p := site.Get(t, h, "/case/1T0WT/way?turns=R+U+R%27&predicted=true")
	assert.Equal(t, http.StatusMovedPermanently, p.Status)
	assert.Equal(t, "/case/1T0WT/option?turns=R+U+R%27&predicted=true", p.Header.Get("Location"))
	assert.Equal(t, http.StatusBadRequest, site.Get(t, h, "/case/ABC/way").Status)
}
