package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"slotcast/web/profile"
)

// file is a database's file with the two beside it, the write-ahead log and its index,
// as the connections have them open. Who removes or replaces one while the program runs
// does not take it from them: they would go on with what nobody finds again.
type file struct {
	path             string
	main, log, index *handle
	// keeper is a connection that is open as long as the file is: without any, SQLite
	// clears the log away, and the next connection makes another.
	keeper *sql.Conn
	pool   *sql.DB
	// kept says of a file that was closed for its log's sake that all that the
	// connections wrote is in the main file.
	kept bool
	// closed says that the connections are closed, for new ones to be made.
	closed bool
	// over says that the log is not what the connections know, and that they cannot be
	// closed without harm: closing them would copy it to the main file.
	over bool
}

// handle is a file that is held open, so that nobody else's gets its number. On POSIX
// systems to close any handle of the main file or of the index lets go of all locks that
// the program has on it, so these are closed after the connections.
type handle struct {
	path string
	*os.File
	info os.FileInfo
}

func hold(path string) (*handle, error) {
	f, err := os.Open(path) // #nosec G304 -- beside the one that the operator names
	if err != nil {
		return nil, err
	}
	info, err := f.Stat()
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return &handle{path, f, info}, nil
}

// sign says whether what is at the handle's path is the file that it holds.
type sign int

const (
	same sign = iota
	gone
	other
)

func (h *handle) look() (sign, error) {
	info, err := os.Stat(h.path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return gone, nil
	case err != nil:
		return 0, err
	case !os.SameFile(info, h.info):
		return other, nil
	}
	return same, nil
}

// openFile holds the file that is at the path; main is what holds the main file
// already, nil for nothing.
func openFile(ctx context.Context, path string, main *handle) (f *file, err error) {
	f = &file{path: path, main: main}
	defer func() {
		if err != nil {
			err = errors.Join(err, f.close())
		}
	}()
	if main == nil {
		if f.main, err = hold(path); err != nil {
			return nil, err
		}
	}
	if f.pool, err = open(path, filePragmas); err != nil {
		return nil, err
	}
	if f.keeper, err = f.pool.Conn(ctx); err != nil {
		return nil, err
	}
	// Only who reads opens the log.
	var tables int
	if err = f.keeper.QueryRowContext(ctx, "SELECT COUNT(*) FROM sqlite_master").Scan(&tables); err != nil {
		return nil, err
	}
	if f.log, err = hold(path + "-wal"); err != nil {
		return nil, err
	}
	if f.index, err = hold(path + "-shm"); err != nil {
		return nil, err
	}
	return f, nil
}

// close closes all but the main file's handle. The connections of the store are closed
// before.
func (f *file) close() error {
	var all []error
	if f.keeper != nil {
		all = append(all, f.keeper.Close())
	}
	if f.pool != nil {
		all = append(all, f.pool.Close())
	}
	for _, h := range []*handle{f.log, f.index} {
		if h != nil {
			all = append(all, h.Close())
		}
	}
	return errors.Join(all...)
}

// errLogLost says that what is written to the log now is not found again.
var errLogLost = errors.New("the write-ahead log is not the one that is open")

// errOver says that only a start of the program helps.
var errOver = &profile.UnavailableError{Reason: "the database’s write-ahead log was changed from outside: the program has to be started again"}

// mainHeader is what every SQLite file begins with.
const mainHeader = "SQLite format 3\x00"

// look says whether what the connections write will be found: [errLogLost] where that
// can be mended, a [profile.UnavailableError] where it cannot. It takes a few
// microseconds.
func (f *file) look() error {
	if f.over {
		return errOver
	}
	is, err := f.main.look()
	switch {
	case err != nil:
		return &profile.UnavailableError{Reason: "the database’s file cannot be reached", Err: err}
	case is == gone:
		return &profile.UnavailableError{Reason: "the database’s file is gone"}
	case is == other:
		return &profile.UnavailableError{Reason: "the database’s file is another one than the program opened: it has to be put back, or the program started again"}
	}
	var header [len(mainHeader)]byte
	if _, err := f.main.ReadAt(header[:], 0); orShort(err) != nil {
		return &profile.UnavailableError{Reason: "the database’s file cannot be read", Err: err}
	}
	if string(header[:]) != mainHeader {
		return &profile.UnavailableError{Reason: "the database’s file is damaged"}
	}
	if f.closed {
		return errLogLost
	}
	for _, h := range []*handle{f.log, f.index} {
		if is, err := h.look(); err != nil || is != same {
			return errors.Join(errLogLost, err)
		}
	}
	end, known, err := endInIndex(f.index)
	if err != nil || !known {
		return err
	}
	if begins, err := end.begins(f.log.File); err != nil || !begins {
		return errors.Join(errLogLost, err)
	}
	return nil
}

// keep copies all that the connections know from the log to the main file, while
// nobody uses them. Where others know more than the log that is held, as who made a new
// one, nothing is copied.
func (f *file) keep(ctx context.Context) error {
	end, known, err := endInIndex(f.index)
	if err != nil || !known {
		return errors.Join(errors.New("the log’s index is not known"), err)
	}
	if end.frames == 0 {
		f.kept = true
		return nil
	}
	switch whole, err := end.reaches(f.log); {
	case err != nil:
		return err
	case !whole:
		info, err := f.log.Stat()
		if err != nil {
			return err
		}
		// One without anything in it does no harm.
		if info.Size() > 0 {
			f.over = true
			return errOver
		}
		return nil
	}
	is, err := f.index.look()
	if err != nil {
		return err
	}
	if is == other {
		// Its locks are not those that this program takes.
		f.over = true
		return errOver
	}
	if is, err = f.log.look(); err != nil {
		return err
	}
	if is == other {
		// What was put in its place would be copied over what is newer at the next start.
		if err := os.Rename(f.log.path, f.log.path+".replaced"); err != nil {
			return err
		}
	}
	var busy, frames, copied int
	if err := f.keeper.QueryRowContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &frames, &copied); err != nil {
		return err
	}
	if busy != 0 {
		return fmt.Errorf("another program has the file: %d of %d frames copied", copied, frames)
	}
	f.kept = true
	return nil
}
