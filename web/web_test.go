package web

import (
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

// page is an answer as HTML.
type page struct {
	status int
	header http.Header
	body   string
	root   *html.Node
}

// get asks as a browser does.
func get(t testing.TB, h http.Handler, address string) page {
	t.Helper()
	w := httptest.NewRecorder()
	r := httptest.NewRequest(http.MethodGet, address, nil)
	r.Header.Set("Accept", "text/html,application/xhtml+xml,*/*;q=0.8")
	h.ServeHTTP(w, r)
	root, err := html.Parse(strings.NewReader(w.Body.String()))
	require.NoError(t, err)
	return page{w.Code, w.Header(), w.Body.String(), root}
}

// find lists the elements that the test accepts.
func (p page) find(accept func(*html.Node) bool) (found []*html.Node) {
	for n := range p.root.Descendants() {
		if n.Type == html.ElementNode && accept(n) {
			found = append(found, n)
		}
	}
	return found
}

// byID is the words of an element.
func (p page) byID(t testing.TB, id string) string {
	t.Helper()
	found := p.find(func(n *html.Node) bool { return attribute(n, "id") == id })
	require.Len(t, found, 1, id)
	return words(found[0])
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func words(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data + " ")
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func TestUnknownAddresses(t *testing.T) {
	site := newHandler(t)
	for _, address := range []string{"/nowhere", "/case/", "/case", "/static/app.css", "/static/nothing"} {
		p := get(t, site, address)
		assert.Equal(t, http.StatusNotFound, p.status, address)
		assert.Contains(t, p.header.Get("Content-Type"), "text/html", address)
		assert.Contains(t, p.byID(t, "answer"), "Not Found", address)
	}
	p := get(t, site, "/api/v1/nothing")
	assert.Equal(t, http.StatusNotFound, p.status)
	assert.Equal(t, "application/problem+json", p.header.Get("Content-Type"))

	w := httptest.NewRecorder()
	site.ServeHTTP(w, httptest.NewRequest(http.MethodPost, "/", nil))
	assert.Equal(t, http.StatusMethodNotAllowed, w.Code)
	assert.Equal(t, "GET, HEAD", w.Header().Get("Allow"))
	assert.Equal(t, "application/problem+json", w.Header().Get("Content-Type"), "who asks for no page gets none")
}

func TestPanicOnAPage(t *testing.T) {
	site := New(Config{Log: slog.New(slog.DiscardHandler)}) // without a book every forecast panics
	p := get(t, site, "/")
	assert.Equal(t, http.StatusInternalServerError, p.status)
	assert.Contains(t, p.header.Get("Content-Type"), "text/html")
	assert.Contains(t, p.byID(t, "answer"), "went wrong")

	w := httptest.NewRecorder()
	site.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/", nil))
	assert.Equal(t, http.StatusInternalServerError, w.Code)
	assert.Equal(t, "application/problem+json", w.Header().Get("Content-Type"))
	assert.Equal(t, http.StatusNotFound, get(t, site, "/nowhere").status, "the service goes on")
}

func TestPolicyAndStaticFiles(t *testing.T) {
	site := newHandler(t)
	p := get(t, site, "/")
	assert.Equal(t, contentPolicy, p.header.Get("Content-Security-Policy"))
	inline := p.find(func(n *html.Node) bool {
		return n.Data == "style" || attribute(n, "style") != "" || n.Data == "script" && attribute(n, "src") == ""
	})
	assert.Empty(t, inline, "the policy would block it")
	for _, n := range p.find(func(n *html.Node) bool { return n.Data == "script" || n.Data == "link" }) {
		if attribute(n, "rel") == "canonical" || attribute(n, "rel") == "manifest" {
			continue
		}
		address := attribute(n, "src") + attribute(n, "href")
		require.True(t, strings.HasPrefix(address, "/static/"), address)
		file := get(t, site, address)
		assert.Equal(t, http.StatusOK, file.status, address)
		assert.Contains(t, file.header.Get("Cache-Control"), "immutable", address)
		assert.NotContains(t, file.header.Get("Content-Type"), "text/plain", address)
	}
}
