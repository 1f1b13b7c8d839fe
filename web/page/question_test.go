package page_test

import (
	"html"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	nethtml "golang.org/x/net/html"

	"slotcast/forecast/lastslot"
	"slotcast/web/webtest/site"
)

// A question's page has none of the answer's options, patterns and times, neither in
// sight nor hidden; nor have the words and the picture that it is shown by elsewhere.
func TestQuestionGivesNothingAway(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	for _, code := range []string{site.TappedCode(t), lastslot.CaseAt(54321).Code(), lastslot.CaseAt(lastslot.Cases - 8).Code()} {
		p := site.Get(t, h, "/case/"+code+"?question=true")
		require.Equal(t, http.StatusOK, p.Status)
		answer := site.Get(t, h, "/case/"+code)
		told := site.AskForecast(t, h, "case", code, "per", "pattern", "limit", "500")
		require.NotEmpty(t, told.Options)
		assert.Contains(t, answer.Body, html.EscapeString(told.Options[0].Turns), "the answer has it, so the check can fail")
		for _, o := range told.Options {
			if strings.Count(o.Turns, " ") > 0 {
				assert.NotContains(t, p.Body, html.EscapeString(o.Turns), code)
			}
		}
		for _, word := range []string{"OLL ", "riented:", "class=\"pattern", "class=\"bar", "class=\"total", "fastest", "turns\""} {
			assert.NotContains(t, p.Body, word, code)
		}

		content := map[string]string{}
		for _, n := range p.Find(func(n *nethtml.Node) bool { return n.Data == "meta" || n.Data == "link" }) {
			content[site.Attribute(n, "name")+site.Attribute(n, "property")+site.Attribute(n, "rel")] = site.Attribute(n, "content") + site.Attribute(n, "href")
		}
		const home = "http://example.com"
		assert.Equal(t, home+"/case/"+code+"?question=true", content["og:url"], "whoever goes by it finds the question")
		assert.Equal(t, content["og:url"], content["canonical"])
		assert.Equal(t, home+"/case/"+code+"/picture.png?question=true", content["og:image"])
		assert.Contains(t, content["og:title"], "Which would you do?")
		assert.Contains(t, content["og:description"], "Which would you do?")
		assert.Contains(t, content["og:image:alt"], "which would you do?")
		assert.NotContains(t, content["og:image:alt"], "quickest")

		leads := p.Find(func(n *nethtml.Node) bool {
			return n.Data == "a" && site.Attribute(n, "href") == "/case/"+code && site.Words(n) == "Show the answer"
		})
		assert.Len(t, leads, 1)
	}
	code := site.TappedCode(t)
	kept := site.Get(t, h, "/case/"+code+"?question=true&view=all")
	assert.Contains(t, kept.Body, `href="/case/`+code+`?view=all"`, "how it is answered goes along")
	for address, says := range map[string]string{
		"/case/" + code + "?question=no":                 "it can be true",
		"/case/" + code + "?question=true&question=true": "once is enough",
		"/case/" + code + "/picture.png?question=":       "it can be true",
		"/case/" + code + "/qr.png?question=1":           "it can be true",
	} {
		p := site.Get(t, h, address)
		assert.Equal(t, http.StatusBadRequest, p.Status, address)
		assert.Contains(t, p.Body, says, address)
	}
	assert.Equal(t, http.StatusNotFound, site.Get(t, h, "/case/"+code+"/qr.png?with=nothing").Status)
}

// The share of a ranking is made once, for every case.
func TestShareIsMadeOnce(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	code := site.TappedCode(t)
	assert.NotContains(t, s.get("/case/"+code).Body.String(), "with=")
	first := s.post("/case/" + code + "/share")
	require.Equal(t, http.StatusSeeOther, first.Code)
	assert.Equal(t, "/case/"+code+"/share#way-with-me", first.Header().Get("Location"))
	require.Equal(t, http.StatusSeeOther, s.post("/case/00000/share").Code)
	require.Equal(t, http.StatusNoContent, s.save("/case/00000/share").Code)
	page := s.get("/case/" + code + "/share")
	require.Equal(t, http.StatusOK, page.Code)
	assert.Equal(t, "private, no-store", page.Header().Get("Cache-Control"))
	id := shareLink.FindStringSubmatch(page.Body.String())
	require.NotNil(t, id)
	assert.Len(t, regexpAll(`(aria-label="Share link")`, s.get("/profile").Body.String()), 1)
	assert.Contains(t, s.get("/case/00000").Body.String(), "/case/00000?with="+id[1])
	assert.Equal(t, http.StatusOK, (&surfer{Service: s.Service}).get("/case/"+code+"?with="+id[1]).Code)
	assert.Equal(t, http.StatusBadRequest, s.post("/case/ABC/share").Code)
}
