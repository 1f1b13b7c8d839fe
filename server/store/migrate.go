package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"time"

	"github.com/pressly/goose/v3"
	"modernc.org/sqlite"
	sqlitelib "modernc.org/sqlite/lib"
)

// The tables, as numbered steps. A step that was once released never changes.
//
//go:embed migrations
var migrations embed.FS

// exclusivePragmas keep everybody else out of the file until the connection is
// closed. The mode comes before the change to WAL: set later it would wait for
// the first write. Nobody waits, as each of two who wait for all the file would
// hold the other up. Only the end of the work is written through to the disk: until
// then a power cut leaves an earlier state of the tables, from which the next start
// goes on.
const exclusivePragmas = "_pragma=busy_timeout(0)&_pragma=locking_mode(EXCLUSIVE)&_pragma=journal_mode(WAL)&_pragma=synchronous(NORMAL)&_pragma=foreign_keys(1)&_txlock=immediate"

// A file that somebody else has open is left alone for busyWait at first, then for
// longer each time up to busyWaitMost, and up to twice that: programs that start at
// once do not keep meeting, however slow the machine.
const (
	busyWait     = 20 * time.Millisecond
	busyWaitMost = 320 * time.Millisecond
)

// migrate brings the database's tables to what this program knows. One program
// does it at a time. A database with tables of a later program is refused: this
// one might spoil what it does not know.
func migrate(ctx context.Context, address string) error {
	if isPostgres(address) {
		return migratePostgres(ctx, address)
	}
	return patiently(ctx, func() error {
		done, err := migrated(ctx, address, filePragmas)
		if err != nil || done {
			return err
		}
		return up(ctx, address, exclusivePragmas)
	})
}

// patiently tries again as long as somebody else has the file. SQLite's own
// patience does not cover all: not the change to WAL, and not those who hold each
// other up.
func patiently(ctx context.Context, do func() error) error {
	patience, cancel := context.WithTimeout(ctx, othersTimeout)
	defer cancel()
	var busy error
	for wait := busyWait; ; wait = min(2*wait, busyWaitMost) {
		err := do()
		if isBusy(err) {
			busy = err
			select {
			case <-time.After(wait + rand.N(wait)): // #nosec G404 -- programs that wait for each other only come apart
			case <-patience.Done():
			}
		}
		switch {
		case busy != nil && err != nil && patience.Err() != nil:
			return fmt.Errorf("another program has the file open: %w", busy)
		case !isBusy(err):
			return err
		}
	}
}

func migratePostgres(ctx context.Context, address string) error {
	done, err := migrated(ctx, address, "")
	if err != nil || done {
		return err
	}
	return up(ctx, address, "", goose.WithSessionLocker(advisoryLock(0x736c6f74)))
}

// advisoryLock is the number of a lock of PostgreSQL's that programs agree on.
type advisoryLock int64

// SessionLock waits until the lock is free; the end of the connection frees it
// too.
func (l advisoryLock) SessionLock(ctx context.Context, conn *sql.Conn) error {
	ctx, cancel := context.WithTimeout(ctx, othersTimeout)
	defer cancel()
	_, err := conn.ExecContext(ctx, "SELECT pg_advisory_lock($1)", int64(l))
	return err
}

// SessionUnlock frees the lock.
func (l advisoryLock) SessionUnlock(ctx context.Context, conn *sql.Conn) error {
	_, err := conn.ExecContext(ctx, "SELECT pg_advisory_unlock($1)", int64(l))
	return err
}

// migrated says whether the tables are those that this program knows.
func migrated(ctx context.Context, address, pragmas string) (done bool, err error) {
	err = withMigrations(address, pragmas, nil, func(p *goose.Provider) error {
		has, knows, err := p.GetVersions(ctx)
		if has > knows {
			return fmt.Errorf("its tables are of a later Slotcast: version %d, and this program knows up to %d; start the later one", has, knows)
		}
		done = has == knows
		return err
	})
	return done, err
}

func up(ctx context.Context, address, pragmas string, options ...goose.ProviderOption) error {
	return withMigrations(address, pragmas, options, func(p *goose.Provider) error {
		_, err := p.Up(ctx)
		return err
	})
}

// withMigrations has connections of its own, which let go of the database at the
// end.
func withMigrations(address, pragmas string, options []goose.ProviderOption, do func(*goose.Provider) error) (err error) {
	steps, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	db, err := open(address, pragmas)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	// A second connection to a file would wait for the first one's lock.
	db.SetMaxOpenConns(1)
	p, err := goose.NewProvider(dialect(address), db, steps, append(options, goose.WithDisableGlobalRegistry(true))...)
	if err != nil {
		return err
	}
	return do(p)
}

func dialect(address string) goose.Dialect {
	if isPostgres(address) {
		return goose.DialectPostgres
	}
	return goose.DialectSQLite3
}

// isBusy says whether a file was refused because somebody else has it.
func isBusy(err error) bool {
	told := (*sqlite.Error)(nil)
	return errors.As(err, &told) && told.Code()&0xff == sqlitelib.SQLITE_BUSY
}
