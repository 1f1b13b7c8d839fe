package web_test

import (
	"bytes"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/forecasttest"
	"slotcast/web"
	"slotcast/web/webtest/site"
)

// from is a request that comes from the address, which says that it passes on
// another's.
func from(method, path, address, forwardedFor string) *http.Request {
	r := httptest.NewRequest(method, path, nil)
	r.RemoteAddr = address
	if forwardedFor != "" {
		r.Header.Set("X-Forwarded-For", forwardedFor)
	}
	return r
}

func answered(h http.Handler, r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// untilRefused asks until it is refused, and says how often it was answered.
func untilRefused(t *testing.T, h http.Handler, r func() *http.Request) int {
	t.Helper()
	for n := range 1000 {
		if answered(h, r()).Code == http.StatusTooManyRequests {
			return n
		}
	}
	require.FailNow(t, "never refused")
	return 0
}

// Whoever asks too often is told when to ask again, in JSON or as a page, and is no
// hindrance to others. Nobody is asked whose page that is, and no line is logged.
func TestOneAddressMaySendSoManyRequests(t *testing.T) {
	var log bytes.Buffer
	h := web.New(web.Config{Rate: 2, Log: slog.New(slog.NewTextHandler(&log, nil))}) // without a store: it panics where one is asked
	// Half again as many where the time in which they are counted ends meanwhile.
	assert.InDelta(t, 12, untilRefused(t, h, func() *http.Request { return from("GET", "/manifest.webmanifest", "192.0.2.1:1000", "") }), 3)
	log.Reset()

	w := answered(h, from("POST", "/api/v1/profiles", "192.0.2.1:1001", ""))
	site.AssertProblem(t, w.Result(), w.Body.String(), http.StatusTooManyRequests, "", site.None, "too many requests")
	assert.Equal(t, "5", w.Header().Get("Retry-After"))
	assert.Equal(t, "no-store", w.Header().Get("Cache-Control"))

	r := from("GET", "/ratings", "192.0.2.1:1002", "198.51.100.7")
	r.Header.Set("Accept", "text/html")
	r.AddCookie(&http.Cookie{Name: "slotcast", Value: "whatever"})
	w = answered(h, r)
	assert.Equal(t, http.StatusTooManyRequests, w.Code)
	assert.Contains(t, w.Header().Get("Content-Type"), "text/html")
	assert.Contains(t, w.Body.String(), "wait a moment")
	assert.Equal(t, "5", w.Header().Get("Retry-After"))
	assert.NotContains(t, w.Header(), "Slotcast-Owner", "a browser would take the page for somebody else's and clear what it keeps")
	assert.Empty(t, log.String())

	for _, other := range []string{"192.0.2.2:1000", "[2001:db8::1]:1000"} {
		assert.Equal(t, http.StatusOK, answered(h, from("GET", "/manifest.webmanifest", other, "")).Code, other)
	}
}

// Of IPv6 somebody has a whole network: its addresses count as one.
func TestANetworkOfIPv6IsOneClient(t *testing.T) {
	h := web.New(web.Config{Rate: 2, Log: slog.New(slog.DiscardHandler)})
	n := 0
	assert.InDelta(t, 12, untilRefused(t, h, func() *http.Request {
		n++
		return from("GET", "/manifest.webmanifest", "[2001:db8::"+strconv.Itoa(n)+"]:1000", "")
	}), 3)
}

// What a proxy says of those whom it passes on counts only where it was named.
func TestProxiesAreBelievedThatWereNamed(t *testing.T) {
	ask := func(h http.Handler, address, forwardedFor string) int {
		return answered(h, from("GET", "/manifest.webmanifest", address, forwardedFor)).Code
	}
	none := web.New(web.Config{Rate: 1, Log: slog.New(slog.DiscardHandler)})
	n := 0
	untilRefused(t, none, func() *http.Request {
		n++
		return from("GET", "/manifest.webmanifest", "192.0.2.1:1000", "198.51.100."+strconv.Itoa(n))
	})

	behind := web.New(web.Config{Rate: 1, Log: slog.New(slog.DiscardHandler), Proxies: []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8")}})
	untilRefused(t, behind, func() *http.Request {
		n++ // what the client itself sends comes before what the proxy adds
		return from("GET", "/manifest.webmanifest", "10.0.0.1:1000", "203.0.113."+strconv.Itoa(n%250)+", 198.51.100.7")
	})
	assert.Equal(t, http.StatusOK, ask(behind, "10.0.0.1:1000", "198.51.100.8"))
	assert.Equal(t, http.StatusTooManyRequests, ask(behind, "10.0.0.1:1000", "198.51.100.7, 10.0.0.9"), "two proxies")
	assert.Equal(t, http.StatusTooManyRequests, ask(behind, "198.51.100.7:1000", "198.51.100.9"), "it came past the proxy")
}

// Behind a proxy that was named and came over TLS, the cookie is for TLS and for this
// host alone, links say https, and the browser is to stay with it.
func TestBehindAProxyWithTLS(t *testing.T) {
	s := site.New(t)
	book := forecasttest.Book()
	h := web.New(web.Config{Book: book, Store: s.Store, Log: slog.New(slog.DiscardHandler), Proxies: []netip.Prefix{netip.MustParsePrefix("10.0.0.1/32")}})
	ask := func(method, path, address, proto string, cookies ...*http.Cookie) *httptest.ResponseRecorder {
		r := from(method, path, address, "")
		r.Header.Set("X-Forwarded-Proto", proto)
		for _, c := range cookies {
			r.AddCookie(c)
		}
		return answered(h, r)
	}
	var insecure *http.Cookie
	for _, tt := range []struct {
		address, proto string
		tls            bool
	}{
		{"10.0.0.1:1", "https, http", false},
		{"10.0.0.2:1", "https", false},
		{"10.0.0.1:1", "https", true},
		{"10.0.0.1:1", "http, HTTPS", true},
		{"[::ffff:10.0.0.1]:1", "https", true},
	} {
		w := ask("POST", "/api/v1/profiles?keep=cookie", tt.address, tt.proto)
		require.Equal(t, http.StatusCreated, w.Code, "%s", w.Body)
		cookie := w.Result().Cookies()[0]
		assert.Equal(t, tt.tls, cookie.Secure, tt)
		if !tt.tls {
			assert.Equal(t, "slotcast", cookie.Name, tt)
			assert.Empty(t, w.Header().Get("Strict-Transport-Security"), tt)
			insecure = cookie
			continue
		}
		assert.Equal(t, "__Host-slotcast", cookie.Name, tt)
		assert.Equal(t, "max-age=31536000", w.Header().Get("Strict-Transport-Security"), tt)
		assert.Equal(t, http.StatusOK, ask("GET", "/api/v1/ratings", tt.address, tt.proto, cookie).Code)
		// What somebody else could write into the browser opens nothing beside it.
		assert.Equal(t, http.StatusOK, ask("GET", "/api/v1/ratings", tt.address, tt.proto, &http.Cookie{Name: "slotcast", Value: "planted"}, cookie).Code)
		assert.Equal(t, http.StatusUnauthorized, ask("GET", "/api/v1/ratings", "10.0.0.1:1", "http", cookie).Code)
	}
	// A cookie of before TLS still opens its profile, and goes with it.
	assert.Equal(t, http.StatusOK, ask("GET", "/api/v1/ratings", "10.0.0.1:1", "https", insecure).Code)
	gone := ask("DELETE", "/api/v1/profiles/me", "10.0.0.1:1", "https", insecure).Result()
	require.Equal(t, http.StatusNoContent, gone.StatusCode)
	var names []string
	for _, c := range gone.Cookies() {
		assert.Negative(t, c.MaxAge)
		names = append(names, c.Name)
	}
	assert.ElementsMatch(t, []string{"slotcast", "__Host-slotcast"}, names)
}
