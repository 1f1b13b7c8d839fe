package store

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/profile"
)

func put(t testing.TB, s *Store, id profile.ID, name string) error {
	t.Helper()
	return s.Put(t.Context(), id, profile.Records{Names: []profile.Name{{Pattern: 27, Name: name}}})
}

// afterKill is what a start would find if the program ended now: the files are taken to
// another place and opened there.
func afterKill(t *testing.T, path string) *Store {
	t.Helper()
	there := filepath.Join(t.TempDir(), "slotcast.db")
	for _, end := range []string{"", "-wal"} {
		content, err := os.ReadFile(path + end)
		if end != "" && errors.Is(err, os.ErrNotExist) {
			continue
		}
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(there+end, content, 0o600))
	}
	return opened(t, there)
}

// A log that ends where the index says holds all; one in which anything was changed,
// moved or cut off does not. Where it ends is SQLite's own word, from the file.
func TestTheLogsEnd(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "slotcast.db")
	s := opened(t, path)
	_, id := newProfile(t, s)
	for _, name := range []string{"a", "b", "c"} {
		require.NoError(t, put(t, s, id, name))
	}
	end, known, err := endInIndex(s.file.index)
	require.NoError(t, err)
	require.True(t, known)
	log, err := os.ReadFile(path + "-wal")
	require.NoError(t, err)
	const frame = frameHeaderSize + 4096
	require.NotZero(t, end.frames)
	used := logHeaderSize + int(end.frames)*frame
	require.GreaterOrEqual(t, len(log), used)
	for n := range used / frame {
		for _, at := range []int{0, 17, logHeaderSize + n*frame, logHeaderSize + n*frame + 9, logHeaderSize + n*frame + frameHeaderSize + 100, used - 1} {
			changed := slices.Clone(log)
			changed[at] ^= 4
			reaches, err := end.reaches(bytes.NewReader(changed))
			require.NoError(t, err)
			assert.False(t, reaches, "byte %d", at)
		}
	}
	for _, tt := range []struct {
		name    string
		log     []byte
		reaches bool
	}{
		{"as it is", log, true},
		{"without what is beyond the end", log[:used], true},
		{"with something behind it", append(slices.Clone(log), log...), true},
		{"a byte short", log[:used-1], false},
		{"a frame short", log[:used-frame], false},
		{"the header alone", log[:logHeaderSize], false},
		{"nothing", nil, false},
		{"noise", bytes.Repeat([]byte("noise"), used), false},
	} {
		reaches, err := end.reaches(bytes.NewReader(tt.log))
		require.NoError(t, err, tt.name)
		assert.Equal(t, tt.reaches, reaches, tt.name)
	}
	nothing, err := logEnd{}.reaches(bytes.NewReader(nil))
	require.NoError(t, err)
	assert.True(t, nothing)
	// A start from what is there agrees.
	assert.Equal(t, "c", recordsOf(t, afterKill(t, path), id).Names[0].Name)
}

// What happens to the log while the store is open: what is acknowledged is there after a
// kill, or it is refused.
func TestWhatIsAcknowledgedIsFound(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name string
		lose func(t *testing.T, log string)
		// gone says that the log was spoilt in place, where the program has none else: what
		// was in it alone is lost, but nothing that comes later.
		gone bool
	}{
		{"removed", func(t *testing.T, log string) { require.NoError(t, os.Remove(log)) }, false},
		{"replaced by noise", func(t *testing.T, log string) {
			require.NoError(t, os.Remove(log))
			require.NoError(t, os.WriteFile(log, bytes.Repeat([]byte("noise"), 10000), 0o600))
		}, false},
		{"emptied", func(t *testing.T, log string) { require.NoError(t, os.Truncate(log, 0)) }, true},
		{"cut in half", func(t *testing.T, log string) { require.NoError(t, os.Truncate(log, logHeaderSize+4096)) }, true},
		{"its header overwritten", func(t *testing.T, log string) {
			f, err := os.OpenFile(log, os.O_WRONLY, 0)
			require.NoError(t, err)
			_, err = f.Write(bytes.Repeat([]byte("noise"), 10))
			require.NoError(t, err)
			require.NoError(t, f.Close())
		}, true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			path := filepath.Join(t.TempDir(), "slotcast.db")
			before, err := Open(t.Context(), path)
			require.NoError(t, err)
			key, id := newProfile(t, before)
			require.NoError(t, put(t, before, id, "first"))
			require.NoError(t, before.Close()) // which brings it into the file

			s, err := Open(t.Context(), path)
			require.NoError(t, err)
			require.NoError(t, put(t, s, id, "second"))
			tt.lose(t, path+"-wal")
			kept := "first"
			if !tt.gone {
				kept = "second"
			}
			for _, name := range []string{"third", "fourth"} {
				switch err := put(t, s, id, name); {
				case err == nil:
					kept = name
				default:
					unavailable := (*profile.UnavailableError)(nil)
					require.ErrorAs(t, err, &unavailable)
					assert.False(t, unavailable.Unknown, "it was seen before")
				}
				if tt.gone && kept == "first" {
					continue
				}
				found := afterKill(t, path)
				assert.Equal(t, kept, recordsOf(t, found, id).Names[0].Name)
				_, err := found.Profile(t.Context(), key)
				require.NoError(t, err)
			}
			if !tt.gone {
				assert.Equal(t, "fourth", kept, "it goes on")
				require.NoError(t, s.Ping(t.Context()))
			}
			again := (*Store)(nil)
			if err := s.Close(); err == nil {
				again = opened(t, path)
			} else {
				// Its connections are open until the program ends.
				require.ErrorIs(t, err, errOver)
				require.True(t, tt.gone)
				again = afterKill(t, path)
			}
			_, err = again.Profile(t.Context(), key)
			require.NoError(t, err)
		})
	}
}

// Where the log was replaced and another program has written to the new one, nothing of
// the old one is copied over that, by going on or by closing.
func TestAnotherProgramHasANewLog(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "slotcast.db")
	s, err := Open(t.Context(), path)
	require.NoError(t, err)
	key, id := newProfile(t, s)
	require.NoError(t, put(t, s, id, "ours"))
	// All is in the main file, so that who comes next can read it without the log; our
	// frames are still there behind the new one's.
	var busy, frames, copied int
	require.NoError(t, s.file.keeper.QueryRowContext(t.Context(), "PRAGMA wal_checkpoint(RESTART)").Scan(&busy, &frames, &copied))
	require.Zero(t, busy)
	require.NoError(t, s.gate.Acquire(t.Context(), everybody)) // as if nobody had looked meanwhile
	require.NoError(t, os.Remove(path+"-wal"))
	other, err := open(path, filePragmas)
	require.NoError(t, err)
	for range 3 {
		_, err = other.ExecContext(t.Context(), "UPDATE names SET name = 'theirs'")
		require.NoError(t, err)
	}
	s.gate.Release(everybody)

	unavailable := (*profile.UnavailableError)(nil)
	require.ErrorAs(t, put(t, s, id, "ours again"), &unavailable)
	assert.Contains(t, unavailable.Reason, "started again")
	require.ErrorAs(t, s.Ping(t.Context()), &unavailable)
	_, err = s.Profile(t.Context(), key)
	require.ErrorAs(t, err, &unavailable, "who reads is told too")
	require.ErrorIs(t, s.Close(), errOver)
	var name string
	require.NoError(t, other.QueryRowContext(t.Context(), "SELECT name FROM names").Scan(&name))
	assert.Equal(t, "theirs", name)
	assert.Equal(t, "theirs", recordsOf(t, afterKill(t, path), id).Names[0].Name)
	require.NoError(t, other.Close())
}

// A file that was put in the place of the one that is open is left as it is when the
// store is closed, and the files beside it are.
func TestAnotherFileIsLeftAlone(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "slotcast.db")
	s, err := Open(t.Context(), path)
	require.NoError(t, err)
	_, id := newProfile(t, s)
	require.NoError(t, put(t, s, id, "ours"))
	require.NoError(t, os.Rename(path, path+".away"))
	for _, end := range []string{"", "-wal", "-shm"} {
		require.NoError(t, os.WriteFile(path+end, []byte("somebody’s"), 0o600))
	}
	unavailable := (*profile.UnavailableError)(nil)
	require.ErrorAs(t, put(t, s, id, "ours again"), &unavailable)
	assert.Contains(t, unavailable.Reason, "another one")
	require.ErrorAs(t, s.Close(), &unavailable)
	for _, end := range []string{"", "-wal", "-shm"} {
		content, err := os.ReadFile(path + end)
		require.NoError(t, err)
		assert.Equal(t, "somebody’s", string(content), end)
	}
}

// What it costs to look at the file, beside a write that looks twice.
func BenchmarkLook(b *testing.B) {
	s := opened(b, filepath.Join(b.TempDir(), "slotcast.db"))
	_, id := newProfile(b, s)
	b.Run("look", func(b *testing.B) {
		for b.Loop() {
			require.NoError(b, s.file.look())
		}
	})
	b.Run("write", func(b *testing.B) {
		for b.Loop() {
			require.NoError(b, put(b, s, id, strings.Repeat("x", 20)))
		}
	})
}
