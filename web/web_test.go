package web_test

import (
	"errors"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/web"
	"slotcast/web/problem"
	"slotcast/web/webtest/site"
)

func TestErrorThatIsNoProblemIsToldWithoutItsInsides(t *testing.T) {
	got, body := site.Ask(t, problem.JSON(slog.New(slog.DiscardHandler), func(http.ResponseWriter, *http.Request) error { return errors.New("table ratings is gone") }), http.MethodGet, "/")
	site.AssertProblem(t, got, body, 500, "", site.None, "went wrong")
	assert.NotContains(t, body, "ratings")
}

func TestUnknownAddresses(t *testing.T) {
	handler := site.NewHandler(t)
	for _, address := range []string{"/nowhere", "/case/", "/case", "/static/app.css", "/static/nothing"} {
		p := site.Get(t, handler, address)
		assert.Equal(t, http.StatusNotFound, p.Status, address)
		assert.Contains(t, p.Header.Get("Content-Type"), "text/html", address)
		assert.Contains(t, p.ByID(t, "answer"), "Not Found", address)
	}
	p := site.Get(t, handler, "/api/v1/nothing")
	assert.Equal(t, http.StatusNotFound, p.Status)
	assert.Equal(t, "application/problem+json", p.Header.Get("Content-Type"))

	w := httptest.NewRecorder()
	handler.ServeHTTP(w, httptest.NewRequest(http.MethodPost, "/", nil))
	assert.Equal(t, http.StatusMethodNotAllowed, w.Code)
	assert.Equal(t, "GET, HEAD", w.Header().Get("Allow"))
	assert.Equal(t, "application/problem+json", w.Header().Get("Content-Type"), "who asks for no page gets none")
}

func TestPanicOnAPage(t *testing.T) {
	handler := web.New(web.Config{Log: slog.New(slog.DiscardHandler)}) // without a book every forecast panics
	p := site.Get(t, handler, "/")
	assert.Equal(t, http.StatusInternalServerError, p.Status)
	assert.Contains(t, p.Header.Get("Content-Type"), "text/html")
	assert.Contains(t, p.ByID(t, "answer"), "went wrong")

	w := httptest.NewRecorder()
	handler.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/", nil))
	assert.Equal(t, http.StatusInternalServerError, w.Code)
	assert.Equal(t, "application/problem+json", w.Header().Get("Content-Type"))
	assert.Equal(t, http.StatusNotFound, site.Get(t, handler, "/nowhere").Status, "the service goes on")
}

func TestPolicyAndStaticFiles(t *testing.T) {
	handler := site.NewHandler(t)
	p := site.Get(t, handler, "/")
	assert.Equal(t, web.ContentPolicy, p.Header.Get("Content-Security-Policy"))
	inline := p.Find(func(n *html.Node) bool {
		return n.Data == "style" || site.Attribute(n, "style") != "" || n.Data == "script" && site.Attribute(n, "src") == ""
	})
	assert.Empty(t, inline, "the policy would block it")
	for _, n := range p.Find(func(n *html.Node) bool { return n.Data == "script" || n.Data == "link" }) {
		if site.Attribute(n, "rel") == "canonical" || site.Attribute(n, "rel") == "manifest" {
			continue
		}
		address := site.Attribute(n, "src") + site.Attribute(n, "href")
		require.True(t, strings.HasPrefix(address, "/static/"), address)
		file := site.Get(t, handler, address)
		assert.Equal(t, http.StatusOK, file.Status, address)
		assert.Contains(t, file.Header.Get("Cache-Control"), "immutable", address)
		assert.NotContains(t, file.Header.Get("Content-Type"), "text/plain", address)
	}
}
