package main

import (
	"context"
	"math/rand/v2"
	"path/filepath"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/server/store/storetest"
	"slotcast/web/webtest"
)

// Whoever goes away at whatever moment, while a database reads, writes or keeps them
// waiting, leaves no error in the log.
func TestCancelledRequestsAreNoErrors(t *testing.T) {
	t.Parallel()
	for _, kind := range []struct {
		name    string
		address func(t *testing.T) string
	}{
		{"SQLite", func(t *testing.T) string { return filepath.Join(t.TempDir(), "slotcast.db") }},
		{"PostgreSQL", func(t *testing.T) string { return storetest.StartPostgres(t, false).NewDatabase(t) }},
	} {
		t.Run(kind.name, func(t *testing.T) {
			if kind.name != "SQLite" {
				webtest.Long(t)
			}
			s := start(t, binaryCommand(t, "-listen", "127.0.0.1:0", "-rate", "0", "-database", kind.address(t)))
			people := newWriters(t, s.url)
			file := fullFile(1)
			var all sync.WaitGroup
			for n, w := range people {
				all.Go(func() {
					for range 10 {
						ctx, cancel := context.WithTimeout(t.Context(), rand.N(20*time.Millisecond))
						switch n % 4 {
						case 0:
							_, _ = w.call(ctx, "GET", s.url+"/api/v1/export", "")
						case 1:
							_, _ = w.call(ctx, "GET", s.url+"/ratings", "")
						case 2:
							_, _ = w.call(ctx, "PUT", s.url+"/api/v1/ratings/27", `{"recognise": 4, "execute": 5}`)
						case 3:
							_, _ = w.call(ctx, "POST", s.url+"/api/v1/import", file)
						}
						cancel()
					}
				})
			}
			all.Wait()
			_, err := people[0].call(t.Context(), "PUT", s.url+"/api/v1/ratings/27", `{"recognise": 4, "execute": 5}`)
			require.NoError(t, err)
			require.NoError(t, s.Process.Signal(syscall.SIGTERM))
			require.Equal(t, 0, s.wait(t), "%s", s.log)
			assert.Contains(t, s.log.String(), "given up")
			assert.NotContains(t, s.log.String(), "level=ERROR")
		})
	}
}
