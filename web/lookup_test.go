package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/cube"
	"slotcast/forecast"
)

func TestExampleIsBeforeTheLastSlot(t *testing.T) {
	scramble, solution := mustParse(t, exampleScramble), mustParse(t, exampleSolution)
	assert.Len(t, scramble, 20)
	found, err := forecast.Find(scramble.Cube().Do(solution), nil)
	require.NoError(t, err)
	assert.Equal(t, cube.Hold(0), found.Hold)
	assert.Equal(t, forecast.FR, found.Case.Slot)
	assert.False(t, found.Case.Solved())

	p := get(t, newHandler(t), "/")
	assert.Equal(t, http.StatusOK, p.status)
	assert.Equal(t, exampleScramble, p.byID(t, "scramble"))
	assert.Contains(t, p.byID(t, "status"), "An example. Case "+found.Case.Code())
}

// patternsOf lists the cards of an answer.
func patternsOf(p page) []*html.Node {
	return p.find(func(n *html.Node) bool { return attribute(n, "class") == "card" })
}

func TestAnswerSaysWhatTheInterfaceSays(t *testing.T) {
	h := newHandler(t)
	query := url.Values{"scramble": {exampleScramble}, "solution": {exampleSolution}}
	p := get(t, h, "/?"+query.Encode())
	told := askForecast(t, h, "scramble", exampleScramble, "solution", exampleSolution, "per", "pattern", "limit", "500")
	cards := patternsOf(p)
	require.Len(t, cards, len(told.Options))
	for i, o := range told.Options {
		said := words(cards[i])
		name := "All oriented"
		if o.Leaves.OLL != 0 {
			name = patternName(forecast.Pattern(o.Leaves.OLL))
		}
		assert.Contains(t, said, " "+name+" "+o.Turns+" then")
		assert.Contains(t, said, o.Sequence)
		for _, svg := range (page{root: cards[i]}).find(func(n *html.Node) bool { return attribute(n, "class") == "pattern" }) {
			assert.Equal(t, o.Leaves.Facing, facingOf(attribute(svg, "aria-label")))
		}
	}
}

func TestParametersOfTheInterfaceOnThePage(t *testing.T) {
	h := newHandler(t)
	code := forecast.CaseAt(31000).Code()
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
		{"case=" + forecast.CaseAt(5).Code() + "&limit=0", "other", 400, "limit: ", ""},
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

	p = get(t, h, "/case/"+url.PathEscape("<b>&"))
	assert.Equal(t, http.StatusBadRequest, p.status)
	assert.NotContains(t, p.body, "<b>")
	p = get(t, h, "/?"+url.Values{"corner": {"<b>"}, "edge": {"UB.U"}}.Encode())
	assert.Equal(t, http.StatusBadRequest, p.status)
	assert.NotContains(t, p.body, "<b>")
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
