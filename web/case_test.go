package web

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/forecast/lastslot"
)

func TestCaseInWords(t *testing.T) {
	c, err := lastslot.NewCase(tappedCase)
	require.NoError(t, err)
	assert.Equal(t, "Last slot front right: corner at UFR, its bottom colour facing right, edge at UB, its front colour facing up; the top oriented but for edge in the slot facing front, corner in the slot facing right.", wordsOf(c).String())
	assert.Equal(t, "Last slot back left: corner in the slot, its bottom colour facing down, edge in the slot, its back colour facing back; the top oriented.", wordsOf(lastslot.Case{Slot: lastslot.BL, Corner: 4, Edge: 4}).String())
}

// No two cases of a slot are said in the same words.
func TestWordsTellCasesApart(t *testing.T) {
	said := make(map[string]bool, lastslot.Cases)
	for index := range lastslot.Cases {
		said[wordsOf(lastslot.CaseAt(index)).String()] = true
	}
	assert.Len(t, said, lastslot.Cases)
}

func TestCasePage(t *testing.T) {
	h := newHandler(t)
	code := tappedCode(t)
	p := get(t, h, "/case/"+code)
	assert.Equal(t, http.StatusOK, p.status)
	content := map[string]string{}
	for _, n := range p.find(func(n *html.Node) bool { return n.Data == "meta" || n.Data == "link" }) {
		content[attribute(n, "name")+attribute(n, "property")+attribute(n, "rel")] = attribute(n, "content") + attribute(n, "href")
	}
	title := words(p.find(func(n *html.Node) bool { return n.Data == "title" && n.Parent.Data == "head" })[0])
	assert.Equal(t, "Case "+code+": last slot front right – Slotcast", title)
	assert.Equal(t, title, content["og:title"])
	assert.True(t, strings.HasPrefix(content["description"], "Last slot front right: corner at UFR"), content["description"])
	assert.Equal(t, content["description"], content["og:description"])
	assert.Equal(t, "http://example.com/case/"+code, content["canonical"])
	assert.Equal(t, content["canonical"], content["og:url"])
	require.Len(t, p.find(func(n *html.Node) bool {
		return n.Data == "svg" && attribute(n, "class") == "net" && n.Parent.Data == "div" && attribute(n.Parent, "class") == "one-case-head"
	}), 1, "the case is seen")
	link := p.find(func(n *html.Node) bool { return attribute(n, "id") == "link" })
	require.Len(t, link, 1)
	assert.Equal(t, content["canonical"], attribute(link[0], "value"))

	lower := get(t, h, "/case/"+strings.ToLower(code))
	assert.Equal(t, http.StatusOK, lower.status)
	assert.Equal(t, p.body, lower.body, "either case of letters is the same page")
}

func TestCasePageLinksToThePublicAddress(t *testing.T) {
	book, err := loadedBook()
	require.NoError(t, err)
	h := New(Config{Book: book, PublicURL: "https://cubes.example/"})
	assert.Contains(t, get(t, h, "/case/"+tappedCode(t)).body, `href="https://cubes.example/case/`+tappedCode(t)+`"`)
}

func TestCasePageOfNoCase(t *testing.T) {
	h := newHandler(t)
	code := tappedCode(t)
	for address, says := range map[string]string{
		"/case/ABC":                       "in no code",
		"/case/" + code + "0":             "this one has 6",
		"/case/" + code[:4]:               "this one has 4",
		"/case/" + code + "?limit=no":     "no whole number",
		"/case/" + code + "?predicted=so": "true or false",
		"/case/%25":                       "in no code",
	} {
		p := get(t, h, address)
		assert.Equal(t, http.StatusBadRequest, p.status, address)
		assert.Contains(t, p.byID(t, "answer"), says, address)
	}
}

// A whole page, everything but the network.
func BenchmarkCasePage(b *testing.B) {
	h := newHandler(b)
	address := "/case/" + tappedCode(b)
	var size int
	for b.Loop() {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, address, nil))
		size = w.Body.Len()
	}
	b.ReportMetric(float64(size), "bytes/page")
}
