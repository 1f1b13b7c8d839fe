package storetest

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// Freeze stops all of the server's processes where they are: connections stay, and
// nothing is answered until [Postgres.Thaw].
func (p *Postgres) Freeze(t testing.TB) {
	t.Helper()
	// Who starts the others is first, so that none is missed.
	p.signal(t, syscall.SIGSTOP)
	t.Cleanup(func() { p.Thaw(t) })
}

// Thaw has the server go on.
func (p *Postgres) Thaw(t testing.TB) {
	t.Helper()
	p.signal(t, syscall.SIGCONT)
}

func (p *Postgres) signal(t testing.TB, signal syscall.Signal) {
	t.Helper()
	require.NoError(t, p.server.Process.Signal(signal))
	found, err := filepath.Glob("/proc/[0-9]*/stat")
	require.NoError(t, err)
	for _, file := range found {
		stat, err := os.ReadFile(file) // #nosec G304 -- of the system's own
		if err != nil {
			continue // one that has ended
		}
		// The name is in brackets and may have anything in it; then come the state and the
		// number of the process that started this one.
		_, rest, _ := strings.Cut(string(stat), ") ")
		fields := strings.Fields(rest)
		if len(fields) < 2 || fields[1] != strconv.Itoa(p.server.Process.Pid) {
			continue
		}
		pid, err := strconv.Atoi(filepath.Base(filepath.Dir(file)))
		require.NoError(t, err)
		_ = syscall.Kill(pid, signal) // which may have ended by now
	}
}
