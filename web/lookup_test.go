package web

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

func TestExampleIsBeforeTheLastSlot(t *testing.T) {
	scramble, solution := mustParse(t, exampleScramble), mustParse(t, exampleSolution)
	assert.Len(t, scramble, 20)
	found, err := lastslot.Find(scramble.Cube().Do(solution), nil)
	require.NoError(t, err)
	assert.Equal(t, cube.Hold(0), found.Hold)
	assert.Equal(t, lastslot.FR, found.Case.Slot)
	assert.False(t, found.Case.Solved())

	p := get(t, newHandler(t), "/")
	assert.Equal(t, http.StatusOK, p.status)
	assert.Empty(t, p.byID(t, "scramble"), "the fields are for one's own")
	assert.Contains(t, p.byID(t, "status"), "An example. Case "+found.Case.Code())
	assert.Equal(t, figureOf(found.Case), figureSent(t, p))
	assert.NotEmpty(t, patternsOf(p))

	fresh := p.find(func(n *html.Node) bool {
		return n.Data == "a" && n.Parent.Data == "span" && attribute(n.Parent, "id") == "fresh"
	})
	require.Len(t, fresh, 1)
	own := get(t, newHandler(t), attribute(fresh[0], "href"))
	assert.Equal(t, emptyFigure(lastslot.FR), figureSent(t, own))
	assert.Empty(t, own.byID(t, "fresh"))
}

// figureSent is the figure that the page's form would send.
func figureSent(t *testing.T, p page) figure {
	t.Helper()
	values := url.Values{}
	for _, n := range p.find(func(n *html.Node) bool { return attribute(n, "type") == "radio" && hasAttribute(n, "checked") }) {
		values.Add(attribute(n, "name"), attribute(n, "value"))
	}
	return sent(t, values)
}

// patternsOf lists the patterns of an answer.
func patternsOf(p page) []*html.Node {
	return p.find(func(n *html.Node) bool { return attribute(n, "class") == "option" })
}

func TestAnswerSaysWhatTheInterfaceSays(t *testing.T) {
	h := newHandler(t)
	query := url.Values{"scramble": {exampleScramble}, "solution": {exampleSolution}}
	p := get(t, h, "/?"+query.Encode())
	told := askForecast(t, h, "scramble", exampleScramble, "solution", exampleSolution, "per", "pattern", "limit", "500")
	lines := patternsOf(p)
	require.Greater(t, len(told.Options), patternsShown)
	require.Len(t, lines, patternsShown)
	for i, o := range told.Options[:patternsShown] {
		said := words(lines[i])
		name := "All oriented"
		if o.Leaves.OLL != 0 {
			name = patternName(lastslot.Pattern(o.Leaves.OLL))
		}
		assert.Contains(t, said, " "+o.Turns+" ")
		assert.Contains(t, said, " "+name+" ")
		assert.Contains(t, said, o.Sequence)
		total := time.Duration(milliseconds(t, o.Seconds.Total)) * time.Millisecond
		assert.Contains(t, said, inSeconds(total)+" s")
		line := page{root: lines[i]}
		for _, svg := range line.find(func(n *html.Node) bool { return attribute(n, "class") == "pattern" }) {
			assert.Equal(t, o.Leaves.Facing, facingOf(attribute(svg, "aria-label")))
		}
		bar := line.find(func(n *html.Node) bool { return attribute(n, "class") == "bar" })
		require.Len(t, bar, 1)
		length := 0
		for _, part := range (page{root: bar[0]}).find(func(n *html.Node) bool { return n.Data == "rect" }) {
			assert.Equal(t, strconv.Itoa(length), attribute(part, "x"))
			n, err := strconv.Atoi(attribute(part, "width"))
			require.NoError(t, err)
			length += n
		}
		assert.EqualValues(t, milliseconds(t, o.Seconds.Total), length, "the bar is as long as the total")
	}
	scales := map[string]bool{}
	for _, bar := range p.find(func(n *html.Node) bool { return attribute(n, "class") == "bar" }) {
		scales[attribute(bar, "viewbox")+attribute(bar, "viewBox")] = true
	}
	assert.Len(t, scales, 1, "one scale for all")
	all := p.find(func(n *html.Node) bool {
		return n.Data == "a" && attribute(n, "href") == "/case/"+told.Case+"/patterns"
	})
	require.Len(t, all, 1)
	assert.Equal(t, fmt.Sprintf("What can I get here? All %d patterns", len(told.Options)), words(all[0]))
}

// An option opens with the whole position where that is known.
func TestOptionsLeadToTheirPages(t *testing.T) {
	h := newHandler(t)
	for _, s := range []struct{ query, scramble, solution string }{
		{url.Values{"scramble": {exampleScramble}, "solution": {exampleSolution}}.Encode(), exampleScramble, exampleSolution},
		{"case=" + tappedCode(t) + "&predicted=true", "", ""},
	} {
		p := get(t, h, "/?"+s.query)
		asked, err := url.ParseQuery(s.query)
		require.NoError(t, err)
		pairs := []string{"per", "pattern", "limit", "12"}
		for name := range asked {
			pairs = append(pairs, name, asked.Get(name))
		}
		told := askForecast(t, h, pairs...)
		lines := p.find(func(n *html.Node) bool { return attribute(n, "class") == "line" })
		require.Len(t, lines, len(told.Options))
		for i, o := range told.Options {
			address, err := url.Parse(attribute(lines[i], "href"))
			require.NoError(t, err)
			assert.Equal(t, "/case/"+told.Case+"/way", address.Path)
			assert.Equal(t, o.Turns, address.Query().Get("turns"))
			assert.Equal(t, s.scramble, address.Query().Get("scramble"))
			assert.Equal(t, s.solution, address.Query().Get("solution"))
			assert.Equal(t, asked.Get("predicted"), address.Query().Get("predicted"))
		}
	}
}

// Filters are links; each keeps the case and the others.
func TestFilters(t *testing.T) {
	h := newHandler(t)
	p := get(t, h, "/?case="+lastslot.CaseAt(20000).Code())
	choose := func(bound, label string) {
		t.Helper()
		links := p.find(func(n *html.Node) bool {
			return n.Data == "a" && words(n) == label && n.Parent.Data == "span" && attribute(n.Parent.Parent, "aria-label") == bound
		})
		require.Len(t, links, 1)
		p = get(t, h, attribute(links[0], "href"))
		require.Equal(t, http.StatusOK, p.status)
	}
	turns := func() (all []string) {
		for _, n := range p.find(func(n *html.Node) bool { return attribute(n, "class") == "turns" && n.Data == "b" }) {
			all = append(all, words(n))
		}
		return all
	}
	choose("Rotation", "none")
	choose("Side", "R, not L")
	choose("Turns at most", "9")
	assert.NotEmpty(t, turns())
	for _, way := range turns() {
		assert.False(t, strings.ContainsAny(way, "yLl"), way)
		parsed := mustParse(t, way)
		if parsed[0].Layer() == cube.U {
			parsed = parsed[1:]
		}
		assert.LessOrEqual(t, parsed.Count(), 9, way)
	}
	assert.Contains(t, p.byID(t, "bounds"), "Filter (3 set)")
	choose("Turns at most", "6")
	if len(turns()) == 0 {
		assert.Contains(t, p.byID(t, "status"), "no way is within the bounds")
	}
	choose("Side", "both")
	choose("Rotation", "any")
	choose("Turns at most", "any")
	assert.Equal(t, get(t, h, "/?case="+lastslot.CaseAt(20000).Code()).byID(t, "answer"), p.byID(t, "answer"))
}

// What a tap asks for is the part of the page that it changes, and little of it.
func TestPartOfThePage(t *testing.T) {
	h := newHandler(t)
	for index := 0; index < lastslot.Cases; index += 7001 {
		query := tapsOf(formOf(figureOf(lastslot.CaseAt(index))))
		whole := get(t, h, "/?"+query.Encode())
		query.Set("part", "answer")
		part := get(t, h, "/?"+query.Encode())
		require.Equal(t, http.StatusOK, part.status)
		for _, id := range []string{"status", "answer", "tap", "paste-hidden", "code-hidden", "scramble-problem", "fresh"} {
			assert.Equal(t, whole.byID(t, id), part.byID(t, id), id)
		}
		assert.Equal(t, figureSent(t, whole), figureSent(t, part))
		assert.NotContains(t, part.body, "part=answer", "links lead to pages")
		assert.NotContains(t, part.body, "<head>")

		var packed bytes.Buffer
		w, err := gzip.NewWriterLevel(&packed, 1)
		require.NoError(t, err)
		_, err = w.Write([]byte(part.body))
		require.NoError(t, err)
		require.NoError(t, w.Close())
		assert.Less(t, packed.Len(), 12<<10, "bytes, packed as it is sent")
		assert.Less(t, len(part.body), 100<<10)
	}
}

// What one tap costs the service.
func BenchmarkTap(b *testing.B) {
	h := newHandler(b)
	query := tapsOf(formOf(figureOf(tappedCase)))
	query.Set("part", "answer")
	size := 0
	for b.Loop() {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/?"+query.Encode(), nil))
		size = w.Body.Len()
	}
	b.ReportMetric(float64(size), "bytes/tap")
}

func TestParametersOfTheInterfaceOnThePage(t *testing.T) {
	h := newHandler(t)
	code := lastslot.CaseAt(31000).Code()
	assert.Len(t, patternsOf(get(t, h, "/?case="+code+"&limit=1")), 1)
	for _, n := range patternsOf(get(t, h, "/?case="+strings.ToLower(code)+"&per=pattern")) {
		assert.NotContains(t, words(n), "other way")
	}
	assert.Contains(t, get(t, h, "/?case="+code+"&predicted=true").byID(t, "answer"), "recognised in advance")
	all := get(t, h, "/?scramble=R+U+R%27+U+R+U2+R%27&slot=BL")
	assert.Contains(t, all.byID(t, "answer"), "Slot back left")
	assert.Contains(t, all.byID(t, "answer"), "Do nothing: the pair is in its slot already.")
}

func TestTroubleIsSaidBesideItsField(t *testing.T) {
	h := newHandler(t)
	for _, s := range []struct {
		query, field string
		status       int
		says, marked string
	}{
		{"scramble=R+U+Q2+R%27", "scramble", 400, "Not a turn", "Q2"},
		{"scramble=R+U+R%27&solution=%28R+U", "solution", 400, "not closed", "("},
		{"scramble=", "scramble", 400, "No turns in it", ""},
		{"solution=R", "scramble", 400, "Missing", ""},
		{"scramble=R+L", "scramble", 422, "Not a position before the last slot", ""},
		{"scramble=R+U+R%27&solution=F", "solution", 422, "Not a position before the last slot", ""},
		{"scramble=R+U+R%27&slot=BL", "slot", 422, "the open one is FR", ""},
		{"scramble=R+U+R%27&slot=XX", "slot", 400, "No slot “XX”", ""},
		{"case=ABCDE", "case", 400, "in no code", "ABCDE"},
		{"case=", "case", 400, "5 characters", ""},
		{"case=12345&scramble=R", "case", 400, "one of the two", ""},
		{"case=" + lastslot.CaseAt(5).Code() + "&limit=0", "other", 400, "limit: ", ""},
	} {
		p := get(t, h, "/?"+s.query)
		assert.Equal(t, s.status, p.status, s.query)
		assert.Contains(t, p.byID(t, s.field+"-problem"), s.says, s.query)
		assert.Contains(t, p.byID(t, "status"), s.says, s.query)
		marks := p.find(func(n *html.Node) bool { return n.Data == "mark" })
		if s.marked == "" {
			assert.Empty(t, marks, s.query)
		} else if assert.Len(t, marks, 1, s.query) {
			assert.Equal(t, s.marked, words(marks[0]))
		}
		if s.field == "other" {
			continue
		}
		described := p.find(func(n *html.Node) bool {
			return attribute(n, "aria-describedby") == s.field+"-problem" && attribute(n, "aria-invalid") == "true"
		})
		assert.Len(t, described, 1, s.query)
		assert.Empty(t, patternsOf(p), s.query)
	}
}

func TestWhatWasTypedIsKeptAndEscaped(t *testing.T) {
	h := newHandler(t)
	const typed = `R "</textarea><script>alert(1)</script>`
	p := get(t, h, "/?"+url.Values{"scramble": {typed}, "solution": {"U'"}}.Encode())
	assert.Equal(t, http.StatusBadRequest, p.status)
	assert.Equal(t, typed, p.byID(t, "scramble"))
	assert.Equal(t, "U'", p.byID(t, "solution"))
	assert.NotContains(t, p.body, "<script>alert")
	assert.Equal(t, emptyFigure(lastslot.FR), figureSent(t, p), "nothing is on the figure that nobody told")
	p = get(t, h, "/?"+url.Values{"scramble": {typed}, "slot": {"BL"}}.Encode())
	assert.Equal(t, emptyFigure(lastslot.BL), figureSent(t, p))

	p = get(t, h, "/case/"+url.PathEscape("<u>&"))
	assert.Equal(t, http.StatusBadRequest, p.status)
	assert.NotContains(t, p.body, "<u>")
	p = get(t, h, "/?"+url.Values{"corner": {"<u>"}, "edge": {"UB.U"}}.Encode())
	assert.Equal(t, http.StatusBadRequest, p.status)
	assert.NotContains(t, p.body, "<u>")
}

func TestMarkCutsLongText(t *testing.T) {
	var e fieldError
	typed := strings.Repeat("R ", 200) + "Q" + strings.Repeat(" U", 200)
	e.mark(typed, 400)
	assert.Equal(t, "Q", e.Bad)
	assert.Equal(t, "…"+typed[340:400], e.Before)
	assert.Equal(t, typed[401:461]+"…", e.After)

	e = fieldError{}
	e.mark("R’ Ω′ U", 3)
	assert.Equal(t, fieldError{Marked: true, Before: "R’ ", Bad: "Ω′", After: " U"}, e)
	e = fieldError{}
	e.mark("R", 1)
	assert.Equal(t, fieldError{}, e, "nothing to mark at the end")
	e.mark(strings.Repeat("Q", 100), 0)
	assert.Equal(t, strings.Repeat("Q", 60)+"…", e.Bad)
}
