package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
	"net"
	"strings"
	"time"

	"github.com/jackc/pgx/v5/pgconn"
	"modernc.org/sqlite"
	sqlitelib "modernc.org/sqlite/lib"

	"slotcast/web/profile"
)

// askLimit is how long whoever asks the store waits at most, their place in the queue
// included: longer than what is well ever takes, and shorter than people wait.
const askLimit = 5 * time.Second

// commitError says that a change may be written all the same, as its last word was not
// heard.
type commitError struct{ error }

func (e *commitError) Unwrap() error { return e.error }

// asked runs what asks the database, within [askLimit]. What is no mistake of who asked
// is a [profile.UnavailableError]; where they went away it is [context.Canceled].
func (s *Store) asked(ctx context.Context, writes bool, do func(context.Context) error) error {
	within, cancel := context.WithTimeout(ctx, s.limit)
	defer cancel()
	err := s.told(ctx, within, s.inTurn(within, writes, do))
	if unavailable := (*profile.UnavailableError)(nil); errors.As(err, &unavailable) {
		s.probing.forget()
	}
	return err
}

// inTurn runs it when a connection is free and nobody asked before.
func (s *Store) inTurn(ctx context.Context, writes bool, do func(context.Context) error) error {
	turns := s.reads
	if writes {
		turns = s.writes
	}
	if err := turns.Acquire(ctx, 1); err != nil {
		return err
	}
	defer turns.Release(1)
	return s.passed(ctx, writes, do)
}

// passed runs it within the gate. The file is looked at before something is written,
// and again before it is said to be written.
func (s *Store) passed(ctx context.Context, writes bool, do func(context.Context) error) error {
	for tries := 2; ; tries-- {
		if err := s.gate.Acquire(ctx, 1); err != nil {
			return err
		}
		f := s.file
		var err error
		if writes {
			err = s.look(f)
		} else if ill := s.ill.Load(); ill != nil {
			err = ill
		}
		if err == nil {
			if err = do(ctx); err == nil && writes {
				if err = s.look(f); err != nil {
					err = &commitError{err}
				}
			}
		}
		s.gate.Release(1)
		if !errors.Is(err, errLogLost) {
			return err
		}
		if mended := s.mend(f); mended != nil || tries == 0 {
			return errors.Join(err, mended)
		}
		if lost := (*commitError)(nil); errors.As(err, &lost) {
			if f.kept {
				return nil
			}
			return err
		}
	}
}

// told says what an error means to who asked; within is their context with the store's
// own limit.
func (s *Store) told(ctx, within context.Context, err error) error {
	if err == nil {
		return nil
	}
	told := profile.UnavailableError{Err: err}
	if seen := (*profile.UnavailableError)(nil); errors.As(err, &seen) {
		told = *seen
	} else {
		told.Reason = outage(err)
	}
	// What a context ends is told by many errors, some of which do not name it.
	ended := told.Reason != "" || errors.Is(err, context.DeadlineExceeded) || errors.Is(err, context.Canceled) || errors.Is(err, sql.ErrTxDone)
	switch {
	case ended && errors.Is(ctx.Err(), context.Canceled):
		return fmt.Errorf("%w: %w", context.Canceled, err)
	case ended && within.Err() != nil:
		told.Reason = s.late()
	case told.Reason == "":
		return err
	}
	unheard := (*commitError)(nil)
	told.Unknown = errors.As(err, &unheard) && !isSurelyUnwritten(err)
	return &told
}

// late says why an answer took too long.
func (s *Store) late() string {
	switch {
	case s.path == "":
		return "the database does not answer"
	case s.beginning.Load() > 0 || time.Since(time.Unix(0, s.vain.Load())) < s.limit:
		return "another program has locked the database’s file"
	}
	return "the database has too much to do"
}

// isSurelyUnwritten says of the error of a commit that nothing was written: what was
// cut short is not taken for a commit at the next start. What could not be brought to
// the disk may be.
func isSurelyUnwritten(err error) bool {
	told := (*sqlite.Error)(nil)
	if !errors.As(err, &told) {
		return false
	}
	return told.Code() == sqlitelib.SQLITE_IOERR_WRITE || told.Code()&0xff == sqlitelib.SQLITE_FULL || isBusy(err)
}

// outage is what an error says of the state of the database, "" for one that says
// nothing of it.
func outage(err error) string {
	if file := (*sqlite.Error)(nil); errors.As(err, &file) {
		return outageOfFile(file.Code())
	}
	if server := (*pgconn.PgError)(nil); errors.As(err, &server) {
		return outageOfServer(server.Code)
	}
	connecting, network := (*pgconn.ConnectError)(nil), net.Error(nil)
	if errors.As(err, &connecting) || errors.As(err, &network) || errors.Is(err, driver.ErrBadConn) ||
		errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || pgconn.SafeToRetry(err) {
		return "the database cannot be reached"
	}
	return ""
}

// outageOfFile is for SQLite's result codes.
func outageOfFile(code int) string {
	switch code {
	case sqlitelib.SQLITE_IOERR_WRITE, sqlitelib.SQLITE_IOERR_FSYNC, sqlitelib.SQLITE_IOERR_TRUNCATE, sqlitelib.SQLITE_IOERR_SHMSIZE:
		return "the database’s file cannot be written"
	}
	switch code & 0xff {
	case sqlitelib.SQLITE_BUSY, sqlitelib.SQLITE_LOCKED, sqlitelib.SQLITE_PROTOCOL:
		return "another program has locked the database’s file"
	case sqlitelib.SQLITE_FULL:
		return "the database’s disk is full"
	case sqlitelib.SQLITE_READONLY, sqlitelib.SQLITE_PERM:
		return "the database’s file can only be read"
	case sqlitelib.SQLITE_CORRUPT, sqlitelib.SQLITE_NOTADB:
		return "the database’s file is damaged"
	case sqlitelib.SQLITE_IOERR, sqlitelib.SQLITE_CANTOPEN:
		return "the database’s file cannot be read"
	}
	return ""
}

// outageOfServer is for PostgreSQL's error codes, as its appendix A lists them.
func outageOfServer(code string) string {
	switch code {
	case "25006": // read_only_sql_transaction
		return "the database can only be read"
	case "53100": // disk_full
		return "the database’s disk is full"
	case "53300": // too_many_connections
		return "the database takes no more connections"
	}
	// Trouble with the connection, the machine's resources, what the system does, and a
	// server that stops or starts.
	for _, class := range []string{"08", "53", "58", "57P"} {
		if strings.HasPrefix(code, class) {
			return "the database cannot be reached"
		}
	}
	if strings.HasPrefix(code, "XX") { // internal_error, data_corrupted, index_corrupted
		return "the database is damaged"
	}
	return ""
}
