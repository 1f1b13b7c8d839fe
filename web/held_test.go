package web

import (
	"bytes"
	"compress/gzip"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/go-chi/chi/v5/middleware"

	"slotcast/web/session"
)

// slow is a reader that takes an answer only once it is let.
type slow struct {
	*httptest.ResponseRecorder
	reads chan struct{}
}

func (s slow) Write(p []byte) (int, error) {
	<-s.reads
	return s.ResponseRecorder.Write(p)
}

// Slow readers hold so many bytes and no more, whoever they are, and one address no
// more than its share; small answers go on. What they hold is packed.
func TestWhatSlowReadersHoldIsBounded(t *testing.T) {
	page := bytes.Repeat([]byte("a page, much of which is alike. "), 40<<10)
	wrap := wrapper{log: slog.New(slog.DiscardHandler), sessions: session.New(nil, nil, slog.New(slog.DiscardHandler), "")}
	synctest.Test(t, func(t *testing.T) {
		h := newHeld()
		h.most, h.share = 8<<20, 4<<20
		packed := middleware.Compress(1, "text/html")
		handler := session.Arrival(nil)(wrap.whole(h)(packed(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			w.Header().Set("Content-Type", "text/html")
			http.SetCookie(w, &http.Cookie{Name: "kept", Value: "yes"})
			if r.URL.Path == "/small" {
				_, _ = w.Write(page[:1000])
				return
			}
			_, _ = w.Write(page)
		}))))
		reads := make(chan struct{})
		ask := func(address, path, encoding string) *httptest.ResponseRecorder {
			r := httptest.NewRequest("GET", path, nil)
			r.RemoteAddr = address
			r.Header.Set("Accept-Encoding", encoding)
			w := httptest.NewRecorder()
			go handler.ServeHTTP(slow{w, reads}, r)
			synctest.Wait()
			return w
		}
		var served []*httptest.ResponseRecorder
		hold := func(address string) (n int) {
			for {
				before := h.all
				w := ask(address, "/", "")
				if h.all < before+len(page) {
					assert.Equal(t, http.StatusServiceUnavailable, w.Code)
					assert.Equal(t, "5", w.Header().Get("Retry-After"))
					assert.Equal(t, "application/problem+json", w.Header().Get("Content-Type"))
					assert.NotEmpty(t, w.Header().Get("Content-Security-Policy"))
					assert.Len(t, w.Result().Cookies(), 1)
					return n
				}
				served = append(served, w)
				n++
			}
		}
		assert.InDelta(t, 3, hold("192.0.2.1:1"), 1)
		assert.InDelta(t, 3, hold("192.0.2.2:1"), 1, "another has room")
		assert.LessOrEqual(t, h.all, h.most)
		assert.LessOrEqual(t, hold("192.0.2.3:1"), 2, "all is taken")

		small := ask("192.0.2.1:2", "/small", "")
		gzipped := ask("192.0.2.1:3", "/", "gzip")
		close(reads)
		synctest.Wait()
		assert.Equal(t, 1000, small.Body.Len(), "it is sent all the same")
		unpacked, err := gzip.NewReader(gzipped.Body)
		require.NoError(t, err)
		whole, err := io.ReadAll(unpacked)
		require.NoError(t, err)
		assert.Equal(t, page, whole, "packed it is small")
		for _, w := range served {
			assert.Equal(t, len(page), w.Body.Len())
		}
		assert.Zero(t, h.all)
		assert.Empty(t, h.of)
	})
}
