package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"strings"
	"sync"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/server/store/storetest"
	"slotcast/web/problem"
	"slotcast/web/webtest"
)

// refusedBy is an error as an outage makes it, another each time.
func refusedBy(port int) error {
	return fmt.Errorf("read: %w", errors.Join(&net.OpError{Op: "dial", Net: "tcp", Addr: &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: port}, Err: syscall.ECONNREFUSED}, errors.New("rolled back")))
}

// lockedBuffer is written by timers too.
type lockedBuffer struct {
	mu      sync.Mutex
	written bytes.Buffer
}

func (b *lockedBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.written.Write(p)
}

// taken is what was written since it was last asked.
func (b *lockedBuffer) taken() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	defer b.written.Reset()
	return b.written.String()
}

// Of alike lines the first is written, and after a minute how many more there were;
// what differs in level, message, route, status or kind of error is not alike, and
// nothing that was counted is lost at the end.
func TestAlikeLinesAreCounted(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var written lockedBuffer
		h := newAlike(slog.NewTextHandler(&written, &slog.HandlerOptions{Level: slog.LevelDebug}))
		log := slog.New(h)
		// lines are those written since it was last asked, without their time.
		lines := func() (all []string) {
			synctest.Wait()
			for line := range strings.Lines(written.taken()) {
				_, rest, _ := strings.Cut(line, " ")
				all = append(all, strings.TrimSpace(rest))
			}
			return all
		}
		fail := func(route string, err error) {
			log.Error("request not answered", "route", route, "status", 500, "error", err)
		}
		for n := range 1000 {
			fail("/ratings", refusedBy(n))
		}
		got := lines()
		require.Len(t, got, 1)
		assert.Contains(t, got[0], "127.0.0.1:0: connection refused")

		// Not alike.
		fail("/cases", refusedBy(1))
		fail("/ratings", &net.OpError{Op: "write", Err: syscall.ENOSPC})
		fail("/ratings", io.ErrUnexpectedEOF)
		log.Warn("request not answered", "route", "/ratings", "status", 500, "error", refusedBy(1))
		log.With("part", "age").Error("request not answered", "route", "/ratings", "status", 500, "error", refusedBy(1))
		log.WithGroup("part").Error("request not answered", "route", "/ratings", "status", 500, "error", refusedBy(1))
		log.Error("panic", "route", "/ratings", "trouble", "one thing")
		log.Error("panic", "route", "/ratings", "trouble", "another thing")
		assert.Len(t, lines(), 8)
		// Alike, whatever else somebody sent.
		log.Info("request not answered", "route", "/api/v1/forecast", "status", 400, "error", problem.BadRequest("case", "“A” is no code"))
		log.Info("request not answered", "route", "/api/v1/forecast", "status", 400, "error", problem.BadRequest("case", "“B” is no code"))
		log.Warn("http: TLS handshake error from 192.0.2.1:1234: EOF")
		log.Warn("http: TLS handshake error from 192.0.2.77:4321: EOF")
		assert.Len(t, lines(), 2)
		// Who asked for every line gets every line.
		for range 3 {
			log.Debug("request", "route", "/ratings", "status", 200)
		}
		assert.Len(t, lines(), 3)

		time.Sleep(alikeFor - time.Second)
		assert.Empty(t, lines())
		time.Sleep(2 * time.Second)
		got = lines()
		require.Len(t, got, 3)
		all := strings.Join(got, "\n")
		assert.Contains(t, all, "level=ERROR msg=\"request not answered\" route=/ratings status=500")
		assert.Contains(t, all, "more_alike=999 within=1m0s")
		assert.Equal(t, 2, strings.Count(all, "more_alike=1 within=1m0s"))

		// The next is a first one again.
		fail("/ratings", refusedBy(1))
		assert.Len(t, lines(), 1)
		time.Sleep(2 * alikeFor)
		assert.Empty(t, lines(), "there were no more")
		fail("/ratings", refusedBy(1))
		fail("/ratings", refusedBy(2))
		time.Sleep(10 * time.Second)
		assert.Len(t, lines(), 1)
		h.flush()
		got = lines()
		require.Len(t, got, 1)
		assert.Contains(t, got[0], "more_alike=1 within=10s")
		fail("/ratings", refusedBy(1))
		fail("/ratings", refusedBy(1))
		assert.Len(t, lines(), 2, "nobody would tell of what is counted now")
		time.Sleep(2 * alikeFor)
		assert.Empty(t, lines())
	})
}

// However many kinds there are, memory is bounded, and each line that is not counted
// is written.
func TestManyKindsOfLines(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var written lockedBuffer
		h := newAlike(slog.NewTextHandler(&written, nil))
		log := slog.New(h)
		for n := range 2 * alikeKinds {
			for range 2 {
				log.Error("request not answered", "route", fmt.Sprint("/", n))
			}
		}
		assert.Len(t, h.of, alikeKinds)
		assert.Equal(t, alikeKinds+2*alikeKinds, strings.Count(written.taken(), "\n"))
		h.flush()
		assert.Equal(t, alikeKinds, strings.Count(written.taken(), "\n"))
		assert.Empty(t, h.of)
	})
}

// While its database is away the program writes a few lines, and at its end how many
// more there would have been: none of those that were refused is missing.
func TestAnOutageWritesFewLines(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	database := storetest.StartPostgres(t, false)
	s := start(t, binaryCommand(t, "-listen", "127.0.0.1:0", "-rate", "0", "-database", database.NewDatabase(t)))
	person := newWriters(t, s.url)[0]
	database.Stop(t)
	const asked = 200
	for range asked {
		_, err := person.call(t.Context(), "GET", s.url+"/api/v1/ratings", "")
		require.Error(t, err)
	}
	require.NoError(t, s.Process.Signal(syscall.SIGTERM))
	require.Equal(t, 0, s.wait(t))
	lines, told := 0, 0
	for line := range strings.Lines(s.log.String()) {
		if !strings.Contains(line, "route=/api/v1/ratings") {
			continue
		}
		lines++
		more := 1
		if _, rest, found := strings.Cut(line, "more_alike="); found {
			_, err := fmt.Sscan(rest, &more)
			require.NoError(t, err)
		}
		told += more
	}
	assert.Equal(t, asked, told, "%s", s.log)
	assert.LessOrEqual(t, lines, 12, "%s", s.log)
}
