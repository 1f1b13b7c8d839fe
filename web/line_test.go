package web

import (
	"context"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
)

// lineOf is one with room for one at work and two behind.
func lineOf(wrap wrapper) *line {
	l := wrap.newLine(1)
	l.standing = make(chan struct{}, 3)
	return l
}

// Who comes when the line is full, or stood in it for long, is told to come again;
// who has gone does no work; and as soon as one is done the next is served.
func TestDearRequestsStandInLine(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := lineOf(wrapper{log: slog.New(slog.DiscardHandler)})
		served, done := 0, make(chan struct{})
		h := l.stand(http.HandlerFunc(func(http.ResponseWriter, *http.Request) {
			served++
			<-done
		}))
		ask := func(ctx context.Context) *httptest.ResponseRecorder {
			w := httptest.NewRecorder()
			go h.ServeHTTP(w, httptest.NewRequestWithContext(ctx, "GET", "/api/v1/dear", nil))
			synctest.Wait()
			return w
		}
		ask(t.Context())
		assert.Equal(t, 1, served)
		late := ask(t.Context())
		ctx, leave := context.WithCancel(t.Context())
		gone := ask(ctx)
		for range 3 {
			w := ask(t.Context())
			assert.Equal(t, http.StatusServiceUnavailable, w.Code, "the line is full: at once")
			assert.Equal(t, "5", w.Header().Get("Retry-After"))
			assert.Contains(t, w.Body.String(), "try again")
		}
		leave()
		synctest.Wait()
		assert.Empty(t, gone.Body.String())
		next := ask(t.Context())
		time.Sleep(lineTimeout - time.Millisecond)
		assert.Equal(t, http.StatusOK, late.Code, "it still waits")
		done <- struct{}{}
		synctest.Wait()
		assert.Equal(t, 2, served)
		time.Sleep(2 * time.Millisecond)
		synctest.Wait()
		assert.Equal(t, http.StatusServiceUnavailable, next.Code, "it stood too long")
		close(done)
		synctest.Wait()
		assert.Empty(t, l.standing)
		assert.Empty(t, l.working)
		ask(t.Context())
		assert.Equal(t, 3, served)
	})
}
