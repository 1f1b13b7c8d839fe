package page_test

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"math"
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
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/page"
	"slotcast/web/tap"
	"slotcast/web/webtest/site"
	"slotcast/web/words"
)

func TestExampleIsBeforeTheLastSlot(t *testing.T) {
	t.Parallel()
	scramble, solution := site.MustParse(t, page.ExampleScramble), site.MustParse(t, page.ExampleSolution)
	assert.Len(t, scramble, 20)
	found, err := lastslot.Find(scramble.Cube().Do(solution), nil)
	require.NoError(t, err)
	assert.Equal(t, cube.Hold(0), found.Hold)
	assert.Equal(t, lastslot.FR, found.Case.Slot)
	assert.False(t, found.Case.Solved())

	p := site.Get(t, site.NewHandler(t), "/")
	assert.Equal(t, http.StatusOK, p.Status)
	assert.Empty(t, p.ByID(t, "scramble"), "the fields are for one's own")
	assert.Contains(t, p.ByID(t, "status"), "An example. Case "+found.Case.Code())
	assert.NotEmpty(t, patternsOf(p))
	assert.Equal(t, tap.Empty(lastslot.FR), figureSent(t, p), "the first tap begins one's own, with nothing of the example")
	assert.Contains(t, p.Body, `<input type="hidden" name="was" value="">`, "nor does Undo lead to it")
	tools := p.Find(func(n *html.Node) bool { return site.Attribute(n, "class") == "tool" })
	require.Len(t, tools, 5)
	for _, tool := range tools {
		assert.False(t, hasAttribute(tool, "href"), "no tool changes the example")
	}
}

// figureSent is the figure that the page's form would send.
func figureSent(t *testing.T, p site.Page) tap.Figure {
	t.Helper()
	values := url.Values{}
	for _, n := range p.Find(func(n *html.Node) bool { return site.Attribute(n, "type") == "radio" && hasAttribute(n, "checked") }) {
		values.Add(site.Attribute(n, "name"), site.Attribute(n, "value"))
	}
	return sent(t, values)
}

// patternsOf lists the patterns of an answer.
func patternsOf(p site.Page) []*html.Node {
	return p.Find(func(n *html.Node) bool { return site.Attribute(n, "class") == "option" })
}

func TestAnswerSaysWhatTheInterfaceSays(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	query := url.Values{"scramble": {page.ExampleScramble}, "solution": {page.ExampleSolution}}
	p := site.Get(t, h, "/?view=all&"+query.Encode())
	told := site.AskForecast(t, h, "scramble", page.ExampleScramble, "solution", page.ExampleSolution, "per", "pattern", "limit", "500")
	lines := patternsOf(p)
	require.Greater(t, len(told.Options), page.PatternsShown)
	require.Len(t, lines, page.PatternsShown)
	for i, o := range told.Options[:page.PatternsShown] {
		said := site.Words(lines[i])
		name := "All oriented"
		if o.Leaves.OLL != 0 {
			name = words.Pattern(lastslot.Pattern(o.Leaves.OLL))
		}
		assert.Contains(t, said, " "+o.Turns+" ")
		assert.Contains(t, said, " "+name+" ")
		assert.Contains(t, said, o.Sequence)
		total := time.Duration(site.Milliseconds(t, o.Seconds.Total)) * time.Millisecond
		assert.Contains(t, said, words.Seconds(total)+" s")
		line := site.Page{Root: lines[i]}
		for _, svg := range line.Find(func(n *html.Node) bool { return site.Attribute(n, "class") == "pattern" }) {
			assert.Equal(t, o.Leaves.Facing, site.FacingOf(site.Attribute(svg, "aria-label")))
		}
		bar := line.Find(func(n *html.Node) bool { return site.Attribute(n, "class") == "bar" })
		require.Len(t, bar, 1)
		length := 0
		for _, part := range (site.Page{Root: bar[0]}).Find(func(n *html.Node) bool { return n.Data == "rect" }) {
			assert.Equal(t, strconv.Itoa(length), site.Attribute(part, "x"))
			n, err := strconv.Atoi(site.Attribute(part, "width"))
			require.NoError(t, err)
			length += n
		}
		assert.EqualValues(t, site.Milliseconds(t, o.Seconds.Total), length, "the bar is as long as the total")
	}
	scales := map[string]bool{}
	for _, bar := range p.Find(func(n *html.Node) bool { return site.Attribute(n, "class") == "bar" }) {
		scales[site.Attribute(bar, "viewbox")+site.Attribute(bar, "viewBox")] = true
	}
	assert.Len(t, scales, 1, "one scale for all")
	all := p.Find(func(n *html.Node) bool {
		return n.Data == "a" && site.Attribute(n, "href") == "/case/"+told.Case+"/patterns"
	})
	require.Len(t, all, 1)
	assert.Equal(t, fmt.Sprintf("What can I get here? All %d patterns", len(told.Options)), site.Words(all[0]))
}

// Yours come first, in order, then what learning would gain, with what it gains and costs,
// and then what is slower; nothing is lost by marking it.
func TestYoursFirst(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	lists := func(address string) (titles []string, lines map[string][]string) {
		lines = map[string][]string{}
		p := site.PageOf(t, s.get(address).ResponseRecorder)
		for _, n := range p.Find(func(n *html.Node) bool {
			return site.Attribute(n, "class") == "patterns-head" || site.Attribute(n, "class") == "line"
		}) {
			if site.Attribute(n, "class") == "patterns-head" {
				titles = append(titles, site.Words(n))
				continue
			}
			opened, err := url.Parse(site.Attribute(n, "href"))
			require.NoError(t, err)
			title := titles[len(titles)-1]
			lines[title] = append(lines[title], opened.Query().Get("turns")+"|"+site.Words(n))
		}
		return titles, lines
	}
	const example = "/case/1T0WT"
	titles, lines := lists(example)
	require.Equal(t, []string{"Yours", "Worth learning here"}, titles[:2])
	require.Len(t, lines["Yours"], 1)
	assert.True(t, strings.HasPrefix(lines["Yours"][0], "U F' U' F U F' U2 F|"), "the usual one: %s", lines["Yours"][0])
	told := s.Forecast(t, s.NewKey(t), "case=1T0WT&per=pattern")
	known := s.Forecast(t, "", "case=1T0WT&view=known").Options[0]
	for i, line := range lines["Worth learning here"] {
		o := told.Options[i]
		gains := time.Duration(math.Round(1000*(known.Seconds.Total-o.Seconds.Total))) * time.Millisecond
		assert.True(t, strings.HasPrefix(line, o.Turns+"|"), line)
		assert.Contains(t, line, words.Seconds(gains)+" s faster, ")
		assert.Regexp(t, `s faster, \d+ turns`, line)
	}

	// Marked, one is among yours, and what was there stays.
	gains := told.Options[0]
	slot, turns := insertionOf(t, "1T0WT", gains.Turns)
	require.Equal(t, http.StatusSeeOther, s.post("/insertions/marks", "know", slot+" "+turns, "back", example).Code)
	_, marked := lists(example)
	require.Len(t, marked["Yours"], 2)
	assert.True(t, strings.HasPrefix(marked["Yours"][0], gains.Turns+"|"))
	assert.True(t, strings.HasPrefix(marked["Yours"][1], "U F' U' F U F' U2 F|"))

	// Who marks their own has none until they do.
	fresh := &surfer{Service: s.Service}
	require.Equal(t, http.StatusSeeOther, fresh.post("/profile/preferences", "usual", "none", "back", example).Code)
	s = fresh
	titles, _ = lists(example)
	assert.Equal(t, []string{"You know none of these yet"}, titles)
}

// insertionOf is where the slot stands for the option's insertion, and its turns.
func insertionOf(t *testing.T, code, turns string) (slot, insertion string) {
	t.Helper()
	c, err := lastslot.ParseCode(code)
	require.NoError(t, err)
	o := forecast.Option{Turns: site.MustParse(t, turns)}
	at, without := o.Insertion(c.Slot)
	return at.String(), without.String()
}

// An option opens with the whole position where that is known.
func TestOptionsLeadToTheirPages(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	for _, s := range []struct{ query, scramble, solution string }{
		{url.Values{"scramble": {page.ExampleScramble}, "solution": {page.ExampleSolution}, "view": {"all"}}.Encode(), page.ExampleScramble, page.ExampleSolution},
		{"case=" + site.TappedCode(t) + "&predicted=true&view=all", "", ""},
	} {
		p := site.Get(t, h, "/?"+s.query)
		asked, err := url.ParseQuery(s.query)
		require.NoError(t, err)
		pairs := []string{"per", "pattern", "limit", "12"}
		for name := range asked {
			pairs = append(pairs, name, asked.Get(name))
		}
		told := site.AskForecast(t, h, pairs...)
		lines := p.Find(func(n *html.Node) bool { return site.Attribute(n, "class") == "line" })
		require.Len(t, lines, len(told.Options))
		for i, o := range told.Options {
			address, err := url.Parse(site.Attribute(lines[i], "href"))
			require.NoError(t, err)
			assert.Equal(t, "/case/"+told.Case+"/option", address.Path)
			assert.Equal(t, o.Turns, address.Query().Get("turns"))
			assert.Equal(t, s.scramble, address.Query().Get("scramble"))
			assert.Equal(t, s.solution, address.Query().Get("solution"))
			assert.Equal(t, asked.Get("predicted"), address.Query().Get("predicted"))
		}
	}
}

// Filters are links; each keeps the case and the others.
func TestFilters(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	p := site.Get(t, h, "/?case="+lastslot.CaseAt(20000).Code())
	choose := func(filter, label string) {
		t.Helper()
		links := p.Find(func(n *html.Node) bool {
			return n.Data == "a" && site.Words(n) == label && n.Parent.Data == "span" && site.Attribute(n.Parent.Parent, "aria-label") == filter
		})
		require.Len(t, links, 1)
		p = site.Get(t, h, site.Attribute(links[0], "href"))
		require.Equal(t, http.StatusOK, p.Status)
	}
	turns := func() (all []string) {
		for _, n := range p.Find(func(n *html.Node) bool { return site.Attribute(n, "class") == "turns" && n.Data == "b" }) {
			all = append(all, site.Words(n))
		}
		return all
	}
	choose("Rotation", "none")
	choose("Side", "R, not L")
	choose("Max turns", "9")
	assert.NotEmpty(t, turns())
	for _, way := range turns() {
		assert.False(t, strings.ContainsAny(way, "yLl"), way)
		parsed := site.MustParse(t, way)
		if parsed[0].Layer() == cube.U {
			parsed = parsed[1:]
		}
		assert.LessOrEqual(t, parsed.Count(), 9, way)
	}
	assert.Contains(t, p.ByID(t, "filters"), "Filter (3 set)")
	choose("Max turns", "6")
	if len(turns()) == 0 {
		assert.Contains(t, p.ByID(t, "status"), "no option passes the filters")
	}
	choose("Side", "both")
	choose("Rotation", "any")
	choose("Max turns", "any")
	assert.Equal(t, site.Get(t, h, "/?case="+lastslot.CaseAt(20000).Code()).ByID(t, "answer"), p.ByID(t, "answer"))
}

// What a tap asks for is the part of the page that it changes, and little of it.
func TestPartOfThePage(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	for index := 0; index < lastslot.Cases; index += 7001 {
		query := tapsOf(formOf(tap.Of(lastslot.CaseAt(index))))
		whole := site.Get(t, h, "/?"+query.Encode())
		query.Set("part", "answer")
		part := site.Get(t, h, "/?"+query.Encode())
		require.Equal(t, http.StatusOK, part.Status)
		for _, id := range []string{"status", "answer", "steps", "figure-picture", "stickers", "tools", "top-problem", "best", "paste-hidden", "code-hidden", "scramble-problem"} {
			assert.Equal(t, whole.ByID(t, id), part.ByID(t, id), id)
		}
		assert.Equal(t, figureSent(t, whole), figureSent(t, part))
		assert.NotContains(t, part.Body, "part=answer", "links lead to pages")
		assert.NotContains(t, part.Body, "<kbd>", "what no tap changes is left out")
		assert.NotContains(t, part.Body, "<head>")

		var packed bytes.Buffer
		w, err := gzip.NewWriterLevel(&packed, 1)
		require.NoError(t, err)
		_, err = w.Write([]byte(part.Body))
		require.NoError(t, err)
		require.NoError(t, w.Close())
		// Ten segments, which a server sends without waiting: RFC 6928, 2.
		assert.Less(t, packed.Len(), 14600, "bytes, packed as it is sent")
		assert.Less(t, len(part.Body), 100<<10)
	}
}

// What one tap costs the service.
func BenchmarkTap(b *testing.B) {
	h := site.NewHandler(b)
	query := tapsOf(formOf(tap.Of(site.TappedCase)))
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
	t.Parallel()
	h := site.NewHandler(t)
	code := lastslot.CaseAt(31000).Code()
	assert.Len(t, patternsOf(site.Get(t, h, "/?case="+code+"&limit=1")), 1)
	for _, n := range patternsOf(site.Get(t, h, "/?case="+strings.ToLower(code)+"&per=pattern")) {
		assert.NotContains(t, site.Words(n), "other way")
	}
	assert.Contains(t, site.Get(t, h, "/?case="+code+"&predicted=true").ByID(t, "answer"), "as if you predicted everything")
	all := site.Get(t, h, "/?scramble=R+U+R%27+U+R+U2+R%27&slot=BL")
	assert.Contains(t, all.ByID(t, "answer"), "Last slot back left")
	assert.Contains(t, all.ByID(t, "answer"), "Do nothing: the slot is already filled.")
}

func TestTroubleIsSaidBesideItsField(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
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
		p := site.Get(t, h, "/?"+s.query)
		assert.Equal(t, s.status, p.Status, s.query)
		assert.Contains(t, p.ByID(t, s.field+"-problem"), s.says, s.query)
		assert.Contains(t, p.ByID(t, "status"), s.says, s.query)
		marks := p.Find(func(n *html.Node) bool { return n.Data == "mark" })
		if s.marked == "" {
			assert.Empty(t, marks, s.query)
		} else if assert.Len(t, marks, 1, s.query) {
			assert.Equal(t, s.marked, site.Words(marks[0]))
		}
		if s.field == "other" {
			continue
		}
		described := p.Find(func(n *html.Node) bool {
			return site.Attribute(n, "aria-describedby") == s.field+"-problem" && site.Attribute(n, "aria-invalid") == "true"
		})
		assert.Len(t, described, 1, s.query)
		assert.Empty(t, patternsOf(p), s.query)
	}
}

func TestWhatWasTypedIsKeptAndEscaped(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	const typed = `R "</textarea><script>alert(1)</script>`
	p := site.Get(t, h, "/?"+url.Values{"scramble": {typed}, "solution": {"U'"}}.Encode())
	assert.Equal(t, http.StatusBadRequest, p.Status)
	assert.Equal(t, typed, p.ByID(t, "scramble"))
	assert.Equal(t, "U'", p.ByID(t, "solution"))
	assert.NotContains(t, p.Body, "<script>alert")
	assert.Equal(t, tap.Empty(lastslot.FR), figureSent(t, p), "nothing is on the figure that nobody told")
	p = site.Get(t, h, "/?"+url.Values{"scramble": {typed}, "slot": {"BL"}}.Encode())
	assert.Equal(t, tap.Empty(lastslot.BL), figureSent(t, p))

	p = site.Get(t, h, "/case/"+url.PathEscape("<u>&"))
	assert.Equal(t, http.StatusBadRequest, p.Status)
	assert.NotContains(t, p.Body, "<u>")
	p = site.Get(t, h, "/?"+url.Values{"corner": {"<u>"}, "edge": {"UB.U"}}.Encode())
	assert.Equal(t, http.StatusBadRequest, p.Status)
	assert.NotContains(t, p.Body, "<u>")
}
