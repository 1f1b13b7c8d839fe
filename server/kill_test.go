package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/server/store/storetest"
	"slotcast/web/profile"
	"slotcast/web/webtest"
)

// writer writes its number of the moment to several records of its profile in
// one request, and counts on.
type writer struct {
	key string
	// full says that each request is a full profile's file, whose rows a database takes
	// some while to write.
	full bool
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
		method, path, body := w.request(w.tried)
		_, w.unanswered = w.call(context.WithoutCancel(ctx), method, url+path, body)
		switch {
		case w.unanswered == nil:
			w.answered = w.tried
			w.all.Add(1)
		case strings.Contains(w.unanswered.Error(), "too many slow requests right now; nothing was changed"), strings.Contains(w.unanswered.Error(), "too much to do; nothing was changed"):
			// It is told to come again: others import, or the machine has other things to
			// do. In an outage it is told of that.
			w.tried, w.unanswered = w.answered, nil
			time.Sleep(100 * time.Millisecond)
		default:
			return
		}
	}
}

// request is what it writes with the number.
func (w *writer) request(n int) (method, path, body string) {
	if w.full {
		return "POST", "/api/v1/import", fullFile(n)
	}
	return "PUT", "/api/v1/ratings/9", fmt.Sprintf(`{"recognise_seconds": %g, "execute_seconds": %g}`, seconds(n), seconds(n))
}

// fullFile is an exported file with as much as a profile may have of what there can be
// most of; all times in it are the number's.
func fullFile(number int) string {
	var b strings.Builder
	fmt.Fprint(&b, `{"format": "slotcast", "version": 3, "insertions": [`)
	for n := range profile.MaxInsertions {
		turns := []string{"R U R'"}
		for digit := 1; digit <= profile.MaxInsertions; digit *= 2 {
			turns = append(turns, map[bool]string{true: "R R'", false: "L L'"}[n&digit > 0])
		}
		fmt.Fprintf(&b, `%s{"slot": "FR", "turns": "%s", "own": true, "hidden": false, "known": true, "seconds": %g}`, comma(n), strings.Join(turns, " "), seconds(number))
	}
	fmt.Fprint(&b, `], "kept": [`)
	for n := range profile.MaxKept {
		fmt.Fprintf(&b, `%s{"case": "%s", "note": "%d", "since": "2026-03-01T12:00:00Z"}`, comma(n), lastslot.CaseAt(n).Code(), number)
	}
	fmt.Fprint(&b, `], "ratings": [`)
	for p := range lastslot.Patterns {
		fmt.Fprintf(&b, `%s{"oll": %d, "recognise_seconds": %g, "execute_seconds": %g}`, comma(int(p)), p, seconds(number), seconds(number))
	}
	fmt.Fprint(&b, `], "recent": [`)
	for n := range profile.MaxRecent {
		fmt.Fprintf(&b, `%s{"case": "%s", "looked": "2026-03-01T12:00:%02dZ"}`, comma(n), lastslot.CaseAt(n).Code(), 59-n)
	}
	fmt.Fprint(&b, `]}`)
	return b.String()
}

func comma(n int) string {
	if n == 0 {
		return ""
	}
	return ","
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
		Kept    []struct{ Note string }
		Ratings []struct {
			Recognise float64 `json:"recognise_seconds"`
			Execute   float64 `json:"execute_seconds"`
		}
		Insertions []struct{ Seconds float64 }
	}
	require.NoError(t, json.Unmarshal([]byte(said), &book))
	kept, ratings, insertions := 0, 1, 0
	if w.full {
		kept, ratings, insertions = profile.MaxKept, lastslot.Patterns, profile.MaxInsertions
	}
	if w.answered == 0 && len(book.Ratings) == 0 {
		kept, ratings, insertions = 0, 0, 0
	}
	require.Len(t, book.Kept, kept, "half of a write")
	require.Len(t, book.Ratings, ratings, "half of a write")
	require.Len(t, book.Insertions, insertions, "half of a write")
	found := w.answered
	if ratings > 0 && math.Abs(book.Ratings[0].Recognise-seconds(found)) > 1e-9 {
		found = w.tried
	}
	for _, r := range book.Ratings {
		require.InDelta(t, seconds(found), r.Recognise, 1e-9, "answered %d, tried %d", w.answered, w.tried)
		require.InDelta(t, seconds(found), r.Execute, 1e-9, "half of a write")
	}
	for _, k := range book.Kept {
		require.Equal(t, fmt.Sprint(found), k.Note, "half of a write")
	}
	for _, i := range book.Insertions {
		require.InDelta(t, seconds(found), i.Seconds, 1e-9, "half of a write")
	}
	w.answered = found
}

// newWriters makes 32, of which two write full files.
func newWriters(t testing.TB, url string) []*writer {
	t.Helper()
	writers := make([]*writer, 32)
	all := &atomic.Int64{}
	for i := range writers {
		w := &writer{all: all, full: i < 2}
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

// rounds is how often something is done to the program: SLOTCAST_KILLS says so, or else
// it is few times.
func rounds(t *testing.T, few int) int {
	t.Helper()
	n := few
	if text := os.Getenv("SLOTCAST_KILLS"); text != "" {
		var err error
		n, err = strconv.Atoi(text)
		require.NoError(t, err)
	}
	return n
}

// onEither runs a test on either database, which waits for the disk.
func onEither(t *testing.T, run func(t *testing.T, begin func() *started)) {
	for _, kind := range []struct {
		name    string
		address func(t *testing.T) string
	}{
		{"SQLite", func(t *testing.T) string { return filepath.Join(t.TempDir(), "slotcast.db") }},
		{"PostgreSQL", func(t *testing.T) string { return storetest.StartPostgres(t, true).NewDatabase(t) }},
	} {
		t.Run(kind.name, func(t *testing.T) {
			t.Parallel()
			address := kind.address(t)
			run(t, func() *started {
				return start(t, binaryCommand(t, "-listen", "127.0.0.1:0", "-rate", "0", "-database", address))
			})
		})
	}
}

// The program is killed while 32 write: every answered write is in the database, and
// nothing is there by half.
func TestAnsweredWritesOutliveAKill(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	onEither(t, func(t *testing.T, begin func() *started) {
		program := begin()
		writers := newWriters(t, program.url)
		for range rounds(t, 1) {
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
	})
}

// Of two programs on one database one is killed: the other goes on as if nothing had
// been, and has every write that either answered.
func TestOneOfTwoProgramsIsKilled(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	onEither(t, func(t *testing.T, begin func() *started) {
		killed, stays := begin(), begin()
		writers := newWriters(t, killed.url)
		for range rounds(t, 2) {
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
	})
}

// notTaken says that a request came when nobody took any more: nobody listened, or the
// connection was closed between two requests (RFC 9112, 9.5).
func notTaken(err error) bool {
	return errors.Is(err, syscall.ECONNREFUSED) || errors.Is(err, syscall.ECONNRESET) || errors.Is(err, syscall.EPIPE) ||
		errors.Is(err, io.EOF) || strings.Contains(err.Error(), "server closed idle connection")
}

// At SIGTERM the program answers whatever it has taken, also while 32 write: what was
// not answered was not done either. It ends with 0, and the next has all that was
// answered and no more.
func TestStopWhileManyWrite(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	onEither(t, func(t *testing.T, begin func() *started) {
		program := begin()
		writers := newWriters(t, program.url)
		for range rounds(t, 1) {
			var all sync.WaitGroup
			for _, w := range writers {
				all.Go(func() { w.write(t.Context(), program.url) })
			}
			whileWriting(t, writers)
			program.stop(t)
			all.Wait()
			program = begin()
			for _, w := range writers {
				require.Error(t, w.unanswered)
				require.True(t, notTaken(w.unanswered), "%v", w.unanswered)
				w.tried = w.answered
				w.check(t, program.url)
			}
		}
		program.kill(t)
	})
}

// stop ends a program in good order.
func (s *started) stop(t *testing.T) {
	t.Helper()
	require.NoError(t, s.Process.Signal(syscall.SIGTERM))
	require.Equal(t, 0, s.wait(t), "%s", s.log)
}

// Programs on one database take turns: one begins, then the one before it is stopped.
// Whoever writes and goes to the new one when the old takes nothing any more is always
// answered, and nothing that either answered is lost.
func TestRollingRestart(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	onEither(t, func(t *testing.T, begin func() *started) {
		program := begin()
		writers := newWriters(t, program.url)
		var url atomic.Value
		url.Store(program.url)
		ctx, stop := context.WithCancel(t.Context())
		var all sync.WaitGroup
		for _, w := range writers {
			all.Go(func() {
				for ctx.Err() == nil {
					at := url.Load().(string)
					w.write(ctx, at)
					if w.unanswered == nil {
						return
					}
					if url.Load() == at || !notTaken(w.unanswered) {
						assert.NoError(t, w.unanswered, "by the program that is there")
						return
					}
					w.tried, w.unanswered = w.answered, nil
				}
			})
		}
		for range rounds(t, 1) {
			whileWriting(t, writers)
			next := begin()
			url.Store(next.url)
			program.stop(t)
			program = next
		}
		whileWriting(t, writers)
		stop()
		all.Wait()
		for _, w := range writers {
			require.NoError(t, w.unanswered)
			require.Equal(t, w.tried, w.answered)
			w.check(t, program.url)
		}
		program.kill(t)
	})
}
