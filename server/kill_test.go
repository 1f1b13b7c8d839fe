package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/server/store/storetest"
)

// writer writes its number of the moment to several records of its profile in
// one request, and counts on.
type writer struct {
	key string
	// answered is the last number whose write was answered, tried the last one
	// that was sent.
	answered, tried int
	unanswered      error
	// all counts what was answered to any of them.
	all *atomic.Int64
}

var writingClient = http.Client{Timeout: patience, Transport: &http.Transport{MaxIdleConnsPerHost: 64}}

func (w *writer) call(ctx context.Context, method, url, body string) (string, error) {
	r, err := http.NewRequestWithContext(ctx, method, url, bytes.NewBufferString(body))
	if err != nil {
		return "", err
	}
	if w.key != "" {
		r.Header.Set("Authorization", "Bearer "+w.key)
	}
	got, err := writingClient.Do(r)
	if err != nil {
		return "", err
	}
	said, err := io.ReadAll(got.Body)
	if closed := got.Body.Close(); err == nil {
		err = closed
	}
	if err == nil && got.StatusCode >= 300 {
		err = fmt.Errorf("%s: %s", got.Status, said)
	}
	return string(said), err
}

// write writes until it is not answered.
func (w *writer) write(ctx context.Context, url string) {
	for ctx.Err() == nil {
		w.tried++
		n := w.tried
		_, w.unanswered = w.call(context.WithoutCancel(ctx), "POST", url+"/api/v1/import", fmt.Sprintf(
			`{"format": "slotcast", "version": 1, "names": [{"oll": 0, "name": "%d"}, {"oll": 57, "name": "%d"}], "ratings": [{"oll": 9, "recognise_seconds": %g}], "insertions": [{"slot": "FR", "turns": "R U R'", "seconds": %g}]}`,
			n, n, seconds(n), seconds(n)))
		if w.unanswered != nil {
			return
		}
		w.answered = n
		w.all.Add(1)
	}
}

// seconds is a time that a rating can have, another for each of 50,000 numbers.
func seconds(n int) float64 { return float64(n%50000+1) / 1000 }

// check finds the last answered write, or the one that was not answered, and all
// of it.
func (w *writer) check(t *testing.T, url string) {
	t.Helper()
	said, err := w.call(t.Context(), "GET", url+"/api/v1/export", "")
	require.NoError(t, err)
	var book struct {
		Names   []struct{ Name string }
		Ratings []struct {
			Seconds float64 `json:"recognise_seconds"`
		}
		Insertions []struct{ Seconds float64 }
	}
	require.NoError(t, json.Unmarshal([]byte(said), &book))
	if w.answered == 0 && len(book.Names) == 0 {
		assert.Empty(t, book.Ratings)
		assert.Empty(t, book.Insertions)
		return
	}
	require.Len(t, book.Names, 2)
	require.Len(t, book.Ratings, 1)
	require.Len(t, book.Insertions, 1)
	found := w.answered
	if book.Names[0].Name != fmt.Sprint(found) {
		found = w.tried
	}
	assert.Equal(t, fmt.Sprint(found), book.Names[0].Name, "answered %d, tried %d", w.answered, w.tried)
	assert.Equal(t, fmt.Sprint(found), book.Names[1].Name, "half of a write")
	assert.InDelta(t, seconds(found), book.Ratings[0].Seconds, 1e-9, "half of a write")
	assert.InDelta(t, seconds(found), book.Insertions[0].Seconds, 1e-9, "half of a write")
	w.answered = found
}

func newWriters(t *testing.T, url string) []*writer {
	t.Helper()
	writers := make([]*writer, 32)
	all := &atomic.Int64{}
	for i := range writers {
		w := &writer{all: all}
		said, err := w.call(t.Context(), "POST", url+"/api/v1/profiles", "")
		require.NoError(t, err)
		var made struct{ Key string }
		require.NoError(t, json.Unmarshal([]byte(said), &made))
		w.key = made.Key
		writers[i] = w
	}
	return writers
}

// kill ends a program as a power cut would, while it works.
func (s *started) kill(t *testing.T) {
	t.Helper()
	require.NoError(t, s.Process.Kill())
	s.wait(t)
}

// whileWriting waits until the writers have been answered some more times, and
// some moment between two answers has come.
func whileWriting(t *testing.T, writers []*writer) {
	t.Helper()
	all := writers[0].all
	for from, end := all.Load(), time.Now().Add(patience); all.Load() < from+int64(len(writers)); time.Sleep(time.Millisecond) {
		require.True(t, time.Now().Before(end), "nobody is answered")
	}
	time.Sleep(rand.N(50 * time.Millisecond))
}

// The program is killed while 32 write: every answered write is in the file, and
// nothing is there by half.
func TestAnsweredWritesOutliveAKill(t *testing.T) {
	t.Parallel()
	database := filepath.Join(t.TempDir(), "slotcast.db")
	begin := func() *started {
		return start(t, binaryCommand(t, "-listen", "127.0.0.1:0", "-rate", "0", "-database", database))
	}
	program := begin()
	writers := newWriters(t, program.url)
	for range 20 / cubetest.Stride(t, 10) {
		var all sync.WaitGroup
		for _, w := range writers {
			all.Go(func() { w.write(t.Context(), program.url) })
		}
		whileWriting(t, writers)
		program.kill(t)
		all.Wait()
		program = begin()
		for _, w := range writers {
			require.Error(t, w.unanswered)
			w.check(t, program.url)
		}
	}
	t.Logf("%d writes", writers[0].all.Load())
	program.kill(t)
}

// Of two programs on one PostgreSQL one is killed: the other goes on as if nothing
// had been, and has every write that either answered.
func TestOneOfTwoProgramsIsKilled(t *testing.T) {
	t.Parallel()
	database := storetest.StartPostgres(t, true).NewDatabase(t)
	begin := func() *started {
		return start(t, binaryCommand(t, "-listen", "127.0.0.1:0", "-rate", "0", "-database", database))
	}
	killed, stays := begin(), begin()
	writers := newWriters(t, killed.url)
	for range 20 / cubetest.Stride(t, 10) {
		ctx, stop := context.WithCancel(t.Context())
		var all sync.WaitGroup
		for i, w := range writers {
			program := killed
			if i%2 == 0 {
				program = stays
			}
			all.Go(func() { w.write(ctx, program.url) })
		}
		whileWriting(t, writers)
		killed.kill(t)
		whileWriting(t, writers)
		stop()
		all.Wait()
		for i, w := range writers {
			if i%2 == 0 {
				require.NoError(t, w.unanswered)
				require.Equal(t, w.tried, w.answered)
			} else {
				require.Error(t, w.unanswered)
			}
			w.check(t, stays.url)
		}
		killed = begin()
		for _, w := range writers {
			w.check(t, killed.url)
		}
		killed, stays = stays, killed
	}
	killed.kill(t)
	stays.kill(t)
}
