package main

import (
	"database/sql"
	"net/url"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/server/store"
	"slotcast/web/profile"
)

// A program forgets what is too old while it answers.
func TestWhatIsTooOldGoes(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "slotcast.db")
	data, err := store.Open(t.Context(), path)
	require.NoError(t, err)
	key := profile.HashOf(profile.NewSecret())
	require.NoError(t, data.NewProfile(t.Context(), key))
	p, err := data.Profile(t.Context(), key)
	require.NoError(t, err)
	require.NoError(t, data.NewDeviceLink(t.Context(), p.ID, profile.HashOf("old"), time.Now().Add(-100*24*time.Hour)))
	require.NoError(t, data.Close())

	s := start(t, binaryCommand(t, "-listen", "127.0.0.1:0", "-database", path))
	look, err := sql.Open("sqlite", (&url.URL{Scheme: "file", OmitHost: true, Path: filepath.ToSlash(path), RawQuery: "mode=ro"}).String())
	require.NoError(t, err)
	defer func() { assert.NoError(t, look.Close()) }()
	require.Eventually(t, func() bool {
		var links int
		return look.QueryRowContext(t.Context(), "SELECT COUNT(*) FROM device_links").Scan(&links) == nil && links == 0
	}, patience, 10*time.Millisecond)
	require.NoError(t, s.Process.Signal(syscall.SIGTERM))
	assert.Equal(t, 0, s.wait(t), "%s", s.log)
}
