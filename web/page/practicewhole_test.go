package page_test

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/web/webtest/site"
)

// A whole solve's scramble leads to its case, and what is offered is what the person's
// insertions leave there; any other pattern can be said, too.
func TestPracticeOfWholeSolves(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := slowAtDots(t, s)
	address := "/practice?exercise=whole&seed=3"
	answer := s.Ask("GET", address, key, "")
	assert.Equal(t, answer.Body.String(), s.Ask("GET", address, key, "").Body.String(), "the same seed is the same session")
	page := site.PageOf(t, answer.ResponseRecorder)
	codes := linkedItems(t, page.Body)
	cards := cardsOf(page)
	require.Len(t, cards, len(codes))
	for n, card := range cards {
		scramble := site.Words(site.Page{Root: card}.Find(site.Classed("practice-scramble"))[0])
		found := s.Ask("GET", "/api/v1/forecast?view=known&limit=500&scramble="+url.QueryEscape(scramble), key, "").Must(t)
		assert.Equal(t, codes[n], found["case"])
		assert.LessOrEqual(t, site.MustParse(t, scramble).Count(), 22)
		left := map[float64]bool{}
		for _, one := range found["options"].([]any) {
			left[one.(map[string]any)["leaves"].(map[string]any)["oll"].(float64)] = true
		}
		best := found["options"].([]any)[0].(map[string]any)
		turns := best["turns"].(string)
		if turns == "" {
			turns = "Do nothing"
		}
		assert.Contains(t, site.Attribute(card, "data-answer"), "the best was "+turns+", to ")
		answers := answersOf(card)
		require.Len(t, answers, min(4, len(left))+2)
		for _, a := range answers[:len(answers)-2] {
			var oll float64
			for _, digit := range site.Attribute(a, "data-left") {
				oll = 10*oll + float64(digit-'0')
			}
			assert.True(t, left[oll], "pattern %v is left by what is known", oll)
		}
		assert.False(t, isRight(answers[len(answers)-1]))
	}
	patterns := page.Find(func(n *html.Node) bool { return site.Attribute(n, "id") == "practice-patterns" })
	require.Len(t, patterns, 1)
	assert.Len(t, site.Page{Root: patterns[0]}.Find(site.Classed("practice-answer")), 58)

	// What the page sends is kept, and what is absurd refused.
	surfer := &surfer{Service: site.New(t)}
	result := url.Values{"id": {"AAAAAAAAAAAAAAAAAAAAAA"}, "exercise": {"whole"}, "item": {"FR-UFR.R-UB.U"}, "at": {"2026-03-29T00:59:59.999Z"}, "seconds": {"4.5"}, "right": {"true"}, "left": {"27"}, "insert": {"1.5"}, "recognise": {"0.5"}}
	require.Equal(t, http.StatusSeeOther, surfer.send(http.MethodPost, "/practice/results", result, "text/html").Code)
	assert.Contains(t, surfer.exported(t), `"insert": 1.5`)
	assert.Contains(t, surfer.get("/practice/results").Body.String(), "whole, 4.50 s, to OLL 27; insert 1.50, recognise 0.50, execute 2.50")
	assert.Contains(t, surfer.get("/practice?exercise=whole").Body.String(), "1 whole solve from 1 place so far.")
	for _, wrong := range [][2]string{{"left", "x"}, {"left", "58"}, {"insert", "soon"}, {"recognise", "4"}} {
		values := url.Values{}
		for name := range result {
			values.Set(name, result.Get(name))
		}
		values.Set("id", "BBBBBBBBBBBBBBBBBBBBBB")
		values.Set(wrong[0], wrong[1])
		assert.Equal(t, http.StatusBadRequest, surfer.send(http.MethodPost, "/practice/results", values, "text/html").Code, wrong)
	}
}
