package web

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"

	"slotcast/web/profile"
	"slotcast/web/session"
)

// Files are taken one at a time, in the order in which they are all here: one that
// arrives slowly keeps nobody waiting, and whoever waits too long is told when to come
// again.
func TestFilesAreTakenOneAtATimeOnceTheyAreHere(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		wrap := wrapper{log: slog.New(slog.DiscardHandler)}
		var taken []string
		atOnce, done := 0, make(chan struct{})
		h := session.Arrival(nil)(wrap.arrived(newArriving())(wrap.newLine(1).stand(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
			atOnce++
			assert.Equal(t, 1, atOnce)
			file, err := io.ReadAll(r.Body)
			assert.NoError(t, err)
			taken = append(taken, string(file))
			<-done
			atOnce--
		}))))
		send := func(body io.Reader) *httptest.ResponseRecorder {
			w := httptest.NewRecorder()
			go h.ServeHTTP(w, httptest.NewRequest("POST", "/api/v1/import", body))
			synctest.Wait()
			return w
		}
		slow, network := io.Pipe()
		send(slow)
		send(strings.NewReader("first"))
		second := send(strings.NewReader("second"))
		assert.Equal(t, []string{"first"}, taken)
		done <- struct{}{}
		synctest.Wait()
		assert.Equal(t, []string{"first", "second"}, taken)
		late := send(strings.NewReader("late"))
		time.Sleep(lineTimeout + time.Millisecond)
		synctest.Wait()
		assert.Equal(t, http.StatusServiceUnavailable, late.Code)
		assert.Equal(t, "5", late.Header().Get("Retry-After"))
		assert.Contains(t, late.Body.String(), "nothing was changed")
		assert.Equal(t, http.StatusOK, second.Code)
		done <- struct{}{}
		_, _ = network.Write([]byte("slow"))
		_ = network.Close()
		synctest.Wait()
		assert.Equal(t, []string{"first", "second", "slow"}, taken)
		done <- struct{}{}
	})
}

// What arrives at once is bounded in bytes, of all and of one address; room is given
// back by who leaves, and a file that is too large is left to who says so.
func TestWhatArrivesAtOnceIsBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := newArriving()
		var reached atomic.Int32
		handler := session.Arrival(nil)(wrapper{log: slog.New(slog.DiscardHandler)}.arrived(h)(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
			reached.Add(1)
			if r.ContentLength > profile.MaxImport {
				return
			}
			n, err := io.Copy(io.Discard, r.Body)
			assert.NoError(t, err)
			assert.EqualValues(t, 1<<20, n)
		})))
		ctx, leave := context.WithCancel(t.Context())
		var networks []*io.PipeWriter
		send := func(address string, length int64) *httptest.ResponseRecorder {
			body, network := io.Pipe()
			networks = append(networks, network)
			r := httptest.NewRequestWithContext(ctx, "POST", "/api/v1/import", body)
			r.RemoteAddr, r.ContentLength = address, length
			w := httptest.NewRecorder()
			go handler.ServeHTTP(w, r)
			synctest.Wait()
			return w
		}
		for range arrivingOfOne / (1 << 20) {
			assert.Equal(t, http.StatusOK, send("192.0.2.1:1", 1<<20).Code)
		}
		refused := send("192.0.2.1:2", 1<<20)
		assert.Equal(t, http.StatusServiceUnavailable, refused.Code)
		assert.Equal(t, "5", refused.Header().Get("Retry-After"))
		// Of a length that is not told, the most is taken.
		assert.Equal(t, http.StatusOK, send("192.0.2.2:1", -1).Code)
		assert.Equal(t, http.StatusServiceUnavailable, send("192.0.2.2:1", -1).Code)
		assert.LessOrEqual(t, h.all, arrivingOfAll)
		assert.Zero(t, reached.Load(), "none is here")
		send("192.0.2.1:3", profile.MaxImport*2)
		assert.EqualValues(t, 1, reached.Load(), "too large")

		file := bytes.Repeat([]byte("x"), 1<<20)
		for _, network := range networks[:3] {
			_, err := network.Write(file)
			assert.NoError(t, err)
			assert.NoError(t, network.Close())
		}
		synctest.Wait()
		assert.EqualValues(t, 4, reached.Load())
		leave()
		for _, network := range networks[3:] {
			_ = network.CloseWithError(context.Canceled)
		}
		synctest.Wait()
		assert.EqualValues(t, 4, reached.Load(), "who left is not waited on")
		assert.Zero(t, h.all)
		assert.Empty(t, h.of)
	})
}
