package main

import (
	"crypto/rand"
	"database/sql"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
	"unsafe"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	_ "modernc.org/sqlite" // another program that has the file

	"slotcast/server/store/storetest"
	"slotcast/web/webtest"
)

// outageRounds is how often a test does what it does at random moments; SLOTCAST_OUTAGES
// says otherwise.
func outageRounds(t *testing.T, short int) int {
	t.Helper()
	text := os.Getenv("SLOTCAST_OUTAGES")
	if text == "" {
		return short
	}
	n, err := strconv.Atoi(text)
	require.NoError(t, err)
	return n
}

// said is an answer, and how long it took.
type said struct {
	status int
	header http.Header
	body   string
	took   time.Duration
}

// ask asks the program as the writer.
func (w *writer) ask(t *testing.T, method, url, body, accept string) said {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), method, url, strings.NewReader(body))
	require.NoError(t, err)
	r.Header.Set("Accept", accept)
	if accept == "text/html" {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.AddCookie(&http.Cookie{Name: "slotcast", Value: w.key})
	} else {
		r.Header.Set("Authorization", "Bearer "+w.key)
	}
	begun := time.Now()
	got, err := writingClient.Do(r)
	require.NoError(t, err)
	text, err := io.ReadAll(got.Body)
	require.NoError(t, err)
	require.NoError(t, got.Body.Close())
	return said{got.StatusCode, got.Header, string(text), time.Since(begun)}
}

// named is the name that pattern 27 has, or what was answered instead.
func (w *writer) named(t *testing.T, url string) string {
	t.Helper()
	got := w.ask(t, "GET", url+"/api/v1/names", "", "")
	var names struct{ Names []struct{ Name string } }
	if got.status != 200 {
		return got.body
	}
	require.NoError(t, json.Unmarshal([]byte(got.body), &names))
	if len(names.Names) == 0 {
		return ""
	}
	return names.Names[0].Name
}

func (w *writer) name(t *testing.T, url, name string) said {
	t.Helper()
	return w.ask(t, "PUT", url+"/api/v1/names/27", fmt.Sprintf(`{"name": %q}`, name), "")
}

// limit is more than the 5 seconds that the program may take, and less than the
// outages last.
const limit = 15 * time.Second

// assertOutage sees that an answer is one to an outage, and says so in such words.
func assertOutage(t *testing.T, what string, got said, says string) {
	t.Helper()
	t.Logf("%s: %d after %.1f s: %.200s", what, got.status, got.took.Seconds(), got.body)
	assert.Equal(t, 503, got.status, what)
	assert.Less(t, got.took, limit, what)
	assert.NotEmpty(t, got.header.Get("Retry-After"), what)
	assert.Regexp(t, says, got.body, what)
	if strings.HasPrefix(got.header.Get("Content-Type"), "text/html") {
		assert.Contains(t, got.body, "<h1", what)
	} else {
		assert.Equal(t, "application/problem+json", got.header.Get("Content-Type"), what)
	}
}

// program on a file of its own, with a writer who has a profile there.
func onFile(t *testing.T, database string) (s *started, again func() *started, w *writer) {
	t.Helper()
	again = func() *started {
		return start(t, binaryCommand(t, "-listen", "127.0.0.1:0", "-rate", "0", "-database", database))
	}
	s = again()
	return s, again, newWriters(t, s.url)[0]
}

// wellAgain waits until the program answers as if nothing had been.
func wellAgain(t *testing.T, s *started, w *writer) {
	t.Helper()
	require.Eventually(t, func() bool {
		return w.ask(t, "GET", s.url+"/healthz", "", "").status == 200
	}, patience, 50*time.Millisecond, "healthz stays ill")
	got := w.name(t, s.url, "well again")
	require.Less(t, got.status, 300, got.body)
	require.Equal(t, "well again", w.named(t, s.url))
}

// illSoon waits until /healthz says so, which it may take a few seconds to look for.
func illSoon(t *testing.T, s *started, w *writer, says string) {
	t.Helper()
	var got said
	require.Eventually(t, func() bool {
		got = w.ask(t, "GET", s.url+"/healthz", "", "")
		return got.status != 200
	}, patience, 50*time.Millisecond, "healthz stays well")
	assertOutage(t, "healthz", got, says)
}

// whileOut has all write while an outage begins, until each is refused, and sees after
// its end that those who were told that nothing was changed can rely on it.
func whileOut(t *testing.T, writers []*writer, url string, begin, end func()) {
	t.Helper()
	var all sync.WaitGroup
	for _, w := range writers {
		all.Go(func() { w.write(t.Context(), url) })
	}
	whileWriting(t, writers)
	begin()
	all.Wait()
	end()
	unknown := 0
	for _, w := range writers {
		refused := w.unanswered.Error()
		assert.Contains(t, refused, "503 Service Unavailable")
		if strings.Contains(refused, "it is not known") {
			unknown++
		} else {
			assert.Contains(t, refused, "nothing was changed")
			w.tried = w.answered
		}
	}
	t.Logf("%d of %d refused do not know whether theirs was written", unknown, len(writers))
	require.Eventually(t, func() bool {
		_, err := writers[0].call(t.Context(), "GET", url+"/api/v1/export", "")
		return err == nil
	}, patience, 50*time.Millisecond)
	for _, w := range writers {
		w.check(t, url)
	}
}

// copyFile copies what is there of a file.
func copyFile(t *testing.T, from, to string) {
	t.Helper()
	content, err := os.ReadFile(from)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(to, content, 0o600))
}

// What becomes of the write-ahead log while the program runs.
var lostLogs = []struct {
	name string
	lose func(t *testing.T, log string)
}{
	{"removed", func(t *testing.T, log string) { require.NoError(t, os.Remove(log)) }},
	{"removed with the index", func(t *testing.T, log string) {
		require.NoError(t, os.Remove(log))
		require.NoError(t, os.Remove(strings.TrimSuffix(log, "-wal")+"-shm"))
	}},
	{"replaced by an empty one", func(t *testing.T, log string) {
		require.NoError(t, os.WriteFile(log+"2", nil, 0o600))
		require.NoError(t, os.Rename(log+"2", log))
	}},
	{"replaced by itself as it was", func(t *testing.T, log string) {
		copyFile(t, log, log+"2")
		time.Sleep(50 * time.Millisecond)
		require.NoError(t, os.Rename(log+"2", log))
	}},
}

// The write-ahead log is lost while 32 write: what was answered as written before and
// after is there when the program was killed.
func TestAnsweredWritesOutliveTheLogsLoss(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	for _, lost := range lostLogs {
		t.Run(lost.name, func(t *testing.T) {
			t.Parallel()
			database := filepath.Join(t.TempDir(), "slotcast.db")
			s, again, _ := onFile(t, database)
			writers := newWriters(t, s.url)
			for range outageRounds(t, 2) {
				var all sync.WaitGroup
				for _, w := range writers {
					all.Go(func() { w.write(t.Context(), s.url) })
				}
				whileWriting(t, writers)
				lost.lose(t, database+"-wal")
				whileWriting(t, writers) // goes on by itself
				s.kill(t)
				all.Wait()
				s = again()
				for _, w := range writers {
					w.check(t, s.url)
				}
			}
			t.Logf("%d writes", writers[0].all.Load())
			s.kill(t)
		})
	}
}

// So it is with one who writes now and then: nothing is written between the loss and
// the kill.
func TestALostLogIsNoticedWithoutARequest(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	database := filepath.Join(t.TempDir(), "slotcast.db")
	s, again, w := onFile(t, database)
	require.Less(t, w.name(t, s.url, "before").status, 300)
	require.NoError(t, os.Remove(database+"-wal"))
	require.Eventually(t, func() bool {
		_, err := os.Stat(database + "-wal")
		return err == nil
	}, patience, 10*time.Millisecond, "there is a new one soon")
	s.kill(t)
	s = again()
	assert.Equal(t, "before", w.named(t, s.url))
	s.kill(t)
}

// What becomes of a file, and how it is mended.
func TestHealthTellsOfItsFile(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	for _, damage := range []struct {
		name, says string
		do         func(t *testing.T, file string) (undo func())
	}{
		{"moved away", "is gone", func(t *testing.T, file string) func() {
			require.NoError(t, os.Rename(file, file+".away"))
			return func() { require.NoError(t, os.Rename(file+".away", file)) }
		}},
		{"another one", "another one", func(t *testing.T, file string) func() {
			copyFile(t, file, file+".other")
			require.NoError(t, os.Rename(file, file+".away"))
			require.NoError(t, os.Rename(file+".other", file))
			return func() { require.NoError(t, os.Rename(file+".away", file)) }
		}},
		{"full of noise", "damaged", func(t *testing.T, file string) func() {
			before, err := os.ReadFile(file)
			require.NoError(t, err)
			noise := make([]byte, len(before))
			_, _ = rand.Read(noise)
			write := func(content []byte) {
				f, err := os.OpenFile(file, os.O_WRONLY, 0)
				require.NoError(t, err)
				_, err = f.WriteAt(content, 0)
				require.NoError(t, err)
				require.NoError(t, f.Close())
			}
			write(noise)
			return func() { write(before) }
		}},
		{"locked", "locked", func(t *testing.T, file string) func() {
			return lockFile(t, file)
		}},
	} {
		t.Run(damage.name, func(t *testing.T) {
			t.Parallel()
			database := filepath.Join(t.TempDir(), "slotcast.db")
			s, _, w := onFile(t, database)
			require.Less(t, w.name(t, s.url, "before").status, 300)
			require.Equal(t, 200, w.ask(t, "GET", s.url+"/healthz", "", "").status)
			undo := damage.do(t, database)
			illSoon(t, s, w, damage.says)
			assertOutage(t, "a write", w.name(t, s.url, "meanwhile"), damage.says)
			assertOutage(t, "a form", w.ask(t, "POST", s.url+"/ratings/27", "name=meanwhile", "text/html"), damage.says)
			undo()
			wellAgain(t, s, w)
			require.NoError(t, s.Process.Signal(syscall.SIGTERM))
			assert.Equal(t, 0, s.wait(t), "%s", s.log)
		})
	}
}

// openBeside is another program that has the file.
func openBeside(t *testing.T, file string) *sql.DB {
	t.Helper()
	other, err := sql.Open("sqlite", (&url.URL{Scheme: "file", OmitHost: true, Path: file, RawQuery: "_pragma=busy_timeout(60000)"}).String())
	require.NoError(t, err)
	return other
}

// lockFile has another program write to the file and not end.
func lockFile(t *testing.T, file string) (unlock func()) {
	t.Helper()
	other := openBeside(t, file)
	connection, err := other.Conn(t.Context())
	require.NoError(t, err)
	_, err = connection.ExecContext(t.Context(), "BEGIN EXCLUSIVE")
	require.NoError(t, err)
	return func() {
		_, err := connection.ExecContext(t.Context(), "ROLLBACK")
		require.NoError(t, err)
		require.NoError(t, connection.Close())
		require.NoError(t, other.Close())
	}
}

// While the file is locked who writes is sent away after a while, however many they
// are, who reads is answered, and nothing of what was refused is written.
func TestALockedFile(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	database := filepath.Join(t.TempDir(), "slotcast.db")
	s, _, w := onFile(t, database)
	writers := newWriters(t, s.url)
	require.Less(t, w.name(t, s.url, "before").status, 300)
	for range outageRounds(t, 1) {
		var unlock func()
		whileOut(t, writers, s.url, func() {
			unlock = lockFile(t, database)
			assert.Equal(t, "before", w.named(t, s.url))
		}, func() {
			assertOutage(t, "a write", w.name(t, s.url, "refused"), "locked")
			unlock()
		})
		assert.Equal(t, "before", w.named(t, s.url))
		wellAgain(t, s, w)
		require.Less(t, w.name(t, s.url, "before").status, 300)
	}
	s.kill(t)
}

// A full disk: what is refused is not there, what is answered is, and when there is
// room again the program goes on.
func TestADiskThatIsFull(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	for _, disk := range []struct {
		name, says string
		// full fills the disk that the file is on, or what is one to the program.
		full func(t *testing.T, s *started, dir string) (free func())
		// make makes the disk, if it can be made here.
		make func(t *testing.T, dir string) bool
	}{
		{"a small one", "disk is full", fillDisk, mountSmall},
		{"a largest size of files", "cannot be written", limitFiles, func(*testing.T, string) bool { return true }},
	} {
		t.Run(disk.name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			if !disk.make(t, dir) {
				t.Log("no disk can be made here: the limit on files stands for it")
				return
			}
			database := filepath.Join(dir, "slotcast.db")
			s, again, w := onFile(t, database)
			writers := newWriters(t, s.url)
			for range outageRounds(t, 1) {
				var free func()
				whileOut(t, writers, s.url, func() {
					// What is full already goes on being used again and again.
					emptyLog(t, database)
					free = disk.full(t, s, dir)
				}, func() {
					illSoon(t, s, w, disk.says)
					assertOutage(t, "a write", w.name(t, s.url, "meanwhile"), disk.says)
					assertOutage(t, "a form", w.ask(t, "POST", s.url+"/ratings/27", "name=meanwhile", "text/html"), disk.says)
					free()
				})
				wellAgain(t, s, w)
			}
			s.kill(t)
			s = again()
			assert.Equal(t, "well again", w.named(t, s.url))
			s.kill(t)
		})
	}
}

// emptyLog has another program copy the log to the main file, and cut it off.
func emptyLog(t *testing.T, file string) {
	t.Helper()
	other := openBeside(t, file)
	require.Eventually(t, func() bool {
		var busy, frames, copied int
		require.NoError(t, other.QueryRowContext(t.Context(), "PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &frames, &copied))
		return busy == 0
	}, patience, time.Millisecond)
	require.NoError(t, other.Close())
}

// mountSmall makes the directory a disk of 16 megabytes, where that is allowed.
func mountSmall(t *testing.T, dir string) bool {
	t.Helper()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=16m"); err != nil {
		t.Logf("mount a small disk: %v", err)
		return false
	}
	t.Cleanup(func() { assert.NoError(t, syscall.Unmount(dir, syscall.MNT_DETACH)) })
	return true
}

// fillDisk leaves no room on the disk.
func fillDisk(t *testing.T, _ *started, dir string) (free func()) {
	t.Helper()
	filling := filepath.Join(dir, "filling")
	f, err := os.Create(filling)
	require.NoError(t, err)
	for err == nil {
		_, err = f.Write(make([]byte, 4<<10))
	}
	require.ErrorIs(t, err, syscall.ENOSPC)
	require.NoError(t, f.Close())
	return func() { require.NoError(t, os.Remove(filling)) }
}

// limitFiles lets the program make no file larger than the main one is.
func limitFiles(t *testing.T, s *started, dir string) (free func()) {
	t.Helper()
	info, err := os.Stat(filepath.Join(dir, "slotcast.db"))
	require.NoError(t, err)
	var before syscall.Rlimit
	limitFileSize(t, s, nil, &before)
	limitFileSize(t, s, &syscall.Rlimit{Cur: uint64(info.Size()), Max: before.Max}, nil)
	return func() { limitFileSize(t, s, &before, nil) }
}

func limitFileSize(t *testing.T, s *started, now, before *syscall.Rlimit) {
	t.Helper()
	_, _, failed := syscall.RawSyscall6(syscall.SYS_PRLIMIT64, uintptr(s.Process.Pid), syscall.RLIMIT_FSIZE, uintptr(unsafe.Pointer(now)), uintptr(unsafe.Pointer(before)), 0, 0)
	require.Zero(t, failed)
}

// A PostgreSQL that is stopped, or frozen where it is, is an outage to who reads and
// who writes; afterwards the program goes on by itself.
func TestPostgresStoppedAndFrozen(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	for _, outage := range []struct {
		name, says string
		begin      func(*testing.T, *storetest.Postgres)
		end        func(*testing.T, *storetest.Postgres)
	}{
		{"stopped", "cannot be reached", func(t *testing.T, p *storetest.Postgres) { p.Stop(t) }, func(t *testing.T, p *storetest.Postgres) { p.Start(t) }},
		{"frozen", "does not answer|cannot be reached", func(t *testing.T, p *storetest.Postgres) { p.Freeze(t) }, func(t *testing.T, p *storetest.Postgres) { p.Thaw(t) }},
	} {
		t.Run(outage.name, func(t *testing.T) {
			t.Parallel()
			postgres := storetest.StartPostgres(t, true)
			s, _, w := onFile(t, postgres.NewDatabase(t))
			writers := newWriters(t, s.url)
			for range outageRounds(t, 1) {
				whileOut(t, writers, s.url, func() { outage.begin(t, postgres) }, func() {
					var all sync.WaitGroup
					for range 10 {
						all.Go(func() { assertOutage(t, "a write", w.name(t, s.url, "refused"), outage.says) })
						all.Go(func() {
							assertOutage(t, "a read", w.ask(t, "GET", s.url+"/api/v1/export", "", ""), outage.says)
						})
					}
					all.Go(func() {
						assertOutage(t, "a page", w.ask(t, "GET", s.url+"/ratings", "", "text/html"), outage.says)
					})
					all.Go(func() {
						assertOutage(t, "a form", w.ask(t, "POST", s.url+"/ratings/27", "name=meanwhile", "text/html"), outage.says)
					})
					all.Go(func() {
						assertOutage(t, "a new profile", (&writer{}).ask(t, "POST", s.url+"/api/v1/profiles", "", ""), outage.says)
					})
					all.Wait()
					illSoon(t, s, w, outage.says)
					outage.end(t, postgres)
				})
				wellAgain(t, s, w)
			}
			s.kill(t)
		})
	}
}

// Who goes away while the program waits is no error, and is not said to be one.
func TestWhoGoesAwayIsNoError(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	database := filepath.Join(t.TempDir(), "slotcast.db")
	s, _, w := onFile(t, database)
	unlock := lockFile(t, database)
	impatient := http.Client{Timeout: 300 * time.Millisecond}
	for range 5 {
		r, err := http.NewRequestWithContext(t.Context(), "PUT", s.url+"/api/v1/names/27", strings.NewReader(`{"name": "gone"}`))
		require.NoError(t, err)
		r.Header.Set("Authorization", "Bearer "+w.key)
		_, err = impatient.Do(r)
		require.Error(t, err)
	}
	unlock()
	wellAgain(t, s, w)
	require.NoError(t, s.Process.Signal(syscall.SIGTERM))
	require.Equal(t, 0, s.wait(t))
	assert.Contains(t, s.log.String(), "given up by who sent it")
	assert.NotContains(t, s.log.String(), "level=ERROR")
}
