package main

import (
	"fmt"
	"net"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/web/webtest"
)

// resident is how much memory the program has at most had, in MiB.
func (s *started) resident(t *testing.T) int {
	t.Helper()
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.Process.Pid))
	require.NoError(t, err)
	found := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(status)
	require.NotNil(t, found)
	kb, err := strconv.Atoi(string(found[1]))
	require.NoError(t, err)
	return kb >> 10
}

// Many ask for the largest page there is and do not read it: the program's memory
// stays within bounds, and others are answered. SLOTCAST_SLOW_READERS says how many.
func TestSlowReaders(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	many := 150
	if text := os.Getenv("SLOTCAST_SLOW_READERS"); text != "" {
		var err error
		many, err = strconv.Atoi(text)
		require.NoError(t, err)
	}
	s := start(t, binaryCommand(t, "-listen", "127.0.0.1:0", "-rate", "0", "-database", filepath.Join(t.TempDir(), "slotcast.db")))
	at, err := url.Parse(s.url)
	require.NoError(t, err)
	place := lastslot.Places(lastslot.FR)[5].Case().Code()
	var begun, refused atomic.Int64
	for range many {
		c, err := net.Dial("tcp", at.Host)
		require.NoError(t, err)
		t.Cleanup(func() { _ = c.Close() })
		require.NoError(t, c.(*net.TCPConn).SetReadBuffer(4<<10))
		_, err = fmt.Fprintf(c, "GET /print/place/%s HTTP/1.1\r\nHost: %s\r\n\r\n", place, at.Host)
		require.NoError(t, err)
		go func() {
			line := make([]byte, 12)
			if n, err := c.Read(line); err == nil {
				begun.Add(1)
				if strings.Contains(string(line[:n]), "503") {
					refused.Add(1)
				}
			}
		}()
	}
	require.Eventually(t, func() bool { return begun.Load() == int64(many) }, patience, 10*time.Millisecond)
	status, _ := get(t, s.url+"/healthz")
	assert.Equal(t, 200, status)
	t.Logf("%d readers, %d of them refused: %d MiB", many, refused.Load(), s.resident(t))
	assert.Less(t, s.resident(t), 400)
}
