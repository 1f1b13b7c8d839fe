package main

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/web/webtest"
)

// opens says how often the program has files open whose path begins so.
func (s *started) opens(t *testing.T, path string) (n int) {
	t.Helper()
	fds := fmt.Sprintf("/proc/%d/fd", s.Process.Pid)
	open, err := os.ReadDir(fds)
	require.NoError(t, err)
	for _, fd := range open {
		// One that was closed meanwhile is none.
		if file, err := os.Readlink(filepath.Join(fds, fd.Name())); err == nil && strings.HasPrefix(file, path) {
			n++
		}
	}
	return n
}

// A thousand ask at once for what is read from the file, each on a connection of
// their own: all are answered, and the file is open a few times and no more, then and
// afterwards.
func TestManyReadersLeaveFewFilesOpen(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	const readers = 1000
	path := filepath.Join(t.TempDir(), "slotcast.db")
	command := binaryCommand(t, "-listen", "127.0.0.1:0", "-rate", "0", "-database", path)
	// As many read at the same time as would on a large machine.
	command.Env = append(command.Env, "GOMAXPROCS=256")
	s := start(t, command)
	person := newWriters(t, s.url)[0]
	client := http.Client{Timeout: patience, Transport: &http.Transport{MaxIdleConnsPerHost: readers}}
	paths := []string{"/ratings", "/profile", "/api/v1/ratings", "/api/v1/export", "/case/" + lastslot.CaseAt(7).Code()}
	var all sync.WaitGroup
	var done atomic.Bool
	begin := make(chan struct{})
	for n := range readers {
		all.Go(func() {
			r, err := http.NewRequestWithContext(t.Context(), "GET", s.url+paths[n%len(paths)], nil)
			if !assert.NoError(t, err) {
				return
			}
			r.Header.Set("Authorization", "Bearer "+person.key)
			<-begin
			got, err := client.Do(r)
			if assert.NoError(t, err) {
				assert.Equal(t, http.StatusOK, got.StatusCode, r.URL.Path)
				assert.NoError(t, got.Body.Close())
			}
		})
	}
	most := make(chan int)
	go func() {
		n := 0
		for ; !done.Load(); time.Sleep(time.Millisecond) {
			n = max(n, s.opens(t, path))
		}
		most <- n
	}()
	close(begin)
	all.Wait()
	done.Store(true)
	meanwhile := <-most
	// A connection has the file, its log and what readers share.
	const bound = 3 * 25
	t.Logf("%d files open at most", meanwhile)
	assert.NotZero(t, meanwhile)
	assert.LessOrEqual(t, meanwhile, bound)
	assert.LessOrEqual(t, s.opens(t, path), bound)
	require.NoError(t, s.Process.Kill())
	s.wait(t)
}
