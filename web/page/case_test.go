package page_test

import (
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/forecast/forecasttest"
	"slotcast/web"
	"slotcast/web/webtest/site"
)

func TestCasePage(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	code := site.TappedCode(t)
	p := site.Get(t, h, "/case/"+code)
	assert.Equal(t, http.StatusOK, p.Status)
	content := map[string]string{}
	for _, n := range p.Find(func(n *html.Node) bool { return n.Data == "meta" || n.Data == "link" }) {
		content[site.Attribute(n, "name")+site.Attribute(n, "property")+site.Attribute(n, "rel")] = site.Attribute(n, "content") + site.Attribute(n, "href")
	}
	title := site.Words(p.Find(func(n *html.Node) bool { return n.Data == "title" && n.Parent.Data == "head" })[0])
	assert.Equal(t, "Case "+code+": last slot front right – Slotcast", title)
	assert.Equal(t, title, content["og:title"])
	assert.True(t, strings.HasPrefix(content["description"], "Last slot front right: corner at UFR"), content["description"])
	assert.Equal(t, content["description"], content["og:description"])
	assert.Equal(t, "http://example.com/case/"+code, content["canonical"])
	assert.Equal(t, content["canonical"], content["og:url"])
	require.Len(t, p.Find(func(n *html.Node) bool {
		return n.Data == "svg" && site.Attribute(n, "class") == "seen" && n.Parent.Data == "div" && site.Attribute(n.Parent, "class") == "one-case-head"
	}), 1, "the case is seen")
	link := p.Find(func(n *html.Node) bool { return site.Attribute(n, "id") == "link" })
	require.Len(t, link, 1)
	assert.Equal(t, content["canonical"], site.Attribute(link[0], "value"))

	lower := site.Get(t, h, "/case/"+strings.ToLower(code))
	assert.Equal(t, http.StatusOK, lower.Status)
	assert.Equal(t, p.Body, lower.Body, "either case of letters is the same page")
}

func TestCasePageLinksToThePublicAddress(t *testing.T) {
	t.Parallel()
	book := forecasttest.Book()
	h := web.New(web.Config{Book: book, PublicURL: "https://cubes.example/", Log: slog.New(slog.DiscardHandler)})
	assert.Contains(t, site.Get(t, h, "/case/"+site.TappedCode(t)).Body, `href="https://cubes.example/case/`+site.TappedCode(t)+`"`)
}

func TestCasePageOfNoCase(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	code := site.TappedCode(t)
	for address, says := range map[string]string{
		"/case/ABC":                       "in no code",
		"/case/" + code + "0":             "this one has 6",
		"/case/" + code[:4]:               "this one has 4",
		"/case/" + code + "?limit=no":     "not a whole number",
		"/case/" + code + "?predicted=so": "true or false",
		"/case/%25":                       "in no code",
	} {
		p := site.Get(t, h, address)
		assert.Equal(t, http.StatusBadRequest, p.Status, address)
		assert.Contains(t, p.ByID(t, "answer"), says, address)
	}
}

// A whole page, everything but the network.
func BenchmarkCasePage(b *testing.B) {
	h := site.NewHandler(b)
	address := "/case/" + site.TappedCode(b)
	var size int
	for b.Loop() {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, address, nil))
		size = w.Body.Len()
	}
	b.ReportMetric(float64(size), "bytes/page")
}
