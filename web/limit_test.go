package web_test

import (
	"encoding/json"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web"
	"slotcast/web/webtest/site"
)

// limitedTo is a service with such a rate, behind so many proxies.
func limitedTo(t *testing.T, rate float64, proxies int) http.Handler {
	t.Helper()
	book, err := site.LoadedBook()
	require.NoError(t, err)
	return web.New(web.Config{Book: book, Log: slog.New(slog.DiscardHandler), Rate: rate, Proxies: proxies})
}

// asks sends a request from an address, with what proxies have added, and returns the answer.
func asks(h http.Handler, method, address, from, forwarded string) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	r := httptest.NewRequest(method, address, strings.NewReader("{}"))
	r.RemoteAddr = from + ":4711"
	if strings.Contains(from, ":") {
		r.RemoteAddr = "[" + from + "]:4711"
	}
	if forwarded != "" {
		r.Header.Set("X-Forwarded-For", forwarded)
	}
	h.ServeHTTP(w, r)
	return w
}

// Who sends too many requests is told so, as a program or as a page, and when to ask
// again; others are not held up, nor is who watches over the service.
func TestOneClientsRequestsAreLimited(t *testing.T) {
	t.Parallel()
	h := limitedTo(t, 2, 0)
	const within = 20 // two a second, over ten seconds
	var refused *httptest.ResponseRecorder
	for n := range 4 * within {
		w := asks(h, http.MethodGet, "/api/v1/patterns", "192.0.2.7", "")
		if n < within {
			require.Equal(t, http.StatusOK, w.Code, n)
		} else if w.Code != http.StatusOK {
			refused = w
		}
	}
	require.NotNil(t, refused)
	require.Equal(t, http.StatusTooManyRequests, refused.Code)
	assert.Equal(t, "application/problem+json", refused.Header().Get("Content-Type"))
	var said struct{ Title, Detail string }
	require.NoError(t, json.Unmarshal(refused.Body.Bytes(), &said))
	assert.NotEmpty(t, said.Title)
	seconds, err := strconv.Atoi(refused.Header().Get("Retry-After"))
	require.NoError(t, err)
	assert.Positive(t, seconds)

	w := httptest.NewRecorder()
	r := httptest.NewRequest(http.MethodGet, "/help", nil)
	r.RemoteAddr = "192.0.2.7:1"
	r.Header.Set("Accept", "text/html")
	h.ServeHTTP(w, r)
	assert.Equal(t, http.StatusTooManyRequests, w.Code, "from another port too")
	assert.Contains(t, w.Header().Get("Content-Type"), "text/html")

	assert.Equal(t, http.StatusOK, asks(h, http.MethodGet, "/api/v1/patterns", "192.0.2.8", "").Code)
	assert.NotEqual(t, http.StatusTooManyRequests, asks(h, http.MethodGet, "/healthz", "192.0.2.7", "").Code)
	assert.Equal(t, http.StatusTooManyRequests, asks(h, http.MethodGet, "/api/v1/patterns", "192.0.2.7", "198.51.100.1").Code, "what it says of itself is not trusted")
}

// Changes cost more, so fewer of them are taken.
func TestChangesAreLimitedSooner(t *testing.T) {
	t.Parallel()
	h := limitedTo(t, 8, 0)
	refused := 0
	for range 40 {
		if asks(h, http.MethodPost, "/api/v1/device-links", "192.0.2.7", "").Code == http.StatusTooManyRequests {
			refused++
		}
	}
	assert.GreaterOrEqual(t, refused, 20, "one a second, over ten seconds")
	assert.Equal(t, http.StatusOK, asks(h, http.MethodGet, "/api/v1/patterns", "192.0.2.7", "").Code)
}

// The default is above 100 reads and 20 changes a second of one client, which the
// interface promises.
func TestTheDefaultRateIsAboveWhatIsPromised(t *testing.T) {
	t.Parallel()
	h := limitedTo(t, web.DefaultRate, 0)
	for second := range 10 {
		for range 100 {
			require.Equal(t, http.StatusOK, asks(h, http.MethodGet, "/api/v1/openapi.json", "192.0.2.7", "").Code, second)
		}
		for range 20 {
			require.NotEqual(t, http.StatusTooManyRequests, asks(h, http.MethodPost, "/api/v1/device-links", "192.0.2.7", "").Code, second)
		}
	}
}

// Behind a proxy clients are told apart by the address that the proxy saw, however many a
// client writes before it; and one network of IPv6 (RFC 6177: what a customer has) is one
// client.
func TestClientsBehindAProxy(t *testing.T) {
	t.Parallel()
	h := limitedTo(t, 1, 1)
	exhausted := func(from, forwarded string) bool {
		for range 40 {
			if asks(h, http.MethodGet, "/api/v1/patterns", from, forwarded).Code == http.StatusTooManyRequests {
				return true
			}
		}
		return false
	}
	require.True(t, exhausted("10.0.0.1", "198.51.100.1"))
	assert.Equal(t, http.StatusOK, asks(h, http.MethodGet, "/api/v1/patterns", "10.0.0.1", "198.51.100.2").Code)
	assert.Equal(t, http.StatusTooManyRequests, asks(h, http.MethodGet, "/api/v1/patterns", "10.0.0.1", "203.0.113.9, 198.51.100.1").Code)
	require.True(t, exhausted("10.0.0.1", "2001:db8:1:2::1"))
	assert.Equal(t, http.StatusTooManyRequests, asks(h, http.MethodGet, "/api/v1/patterns", "10.0.0.1", "2001:db8:1:2:ffff::9").Code)
	assert.Equal(t, http.StatusOK, asks(h, http.MethodGet, "/api/v1/patterns", "10.0.0.1", "2001:db8:1:3::1").Code)
}
