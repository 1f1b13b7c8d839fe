package store

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"time"

	"github.com/pressly/goose/v3"
	gooselock "github.com/pressly/goose/v3/lock"
	"modernc.org/sqlite"
	sqlitelib "modernc.org/sqlite/lib"
)

// The tables, as numbered steps. A step that was once released never changes.
//
//go:embed migrations
var migrations embed.FS

// exclusivePragma keeps everybody else out of the file until the connection is
// closed. It comes before those of every connection: set after the change to
// WAL it would wait for the first write.
const exclusivePragma = "_pragma=locking_mode(EXCLUSIVE)&" + filePragmas

// busyWait is how long a file that somebody else has open is left alone, at
// least; up to twice that, so that two programs that start at once do not keep
// meeting.
const busyWait = 20 * time.Millisecond

// migrate brings the database's tables to what this program knows. One program
// does it at a time. A database with tables of a later program is refused: this
// one might spoil what it does not know.
func migrate(ctx context.Context, address string) error {
	if isPostgres(address) {
		return migratePostgres(ctx, address)
	}
	for {
		done, err := migrated(ctx, address, filePragmas)
		if err != nil || done {
			return err
		}
		switch err := up(ctx, address, exclusivePragma); {
		case err == nil:
			return nil
		case !isBusy(err):
			return err
		}
		select {
		case <-time.After(busyWait + rand.N(busyWait)):
		case <-ctx.Done():
			return errors.New("its tables are to be changed, but another program has the file open")
		}
	}
}

func migratePostgres(ctx context.Context, address string) error {
	done, err := migrated(ctx, address, "")
	if err != nil || done {
		return err
	}
	locker, err := gooselock.NewPostgresSessionLocker()
	if err != nil {
		return err
	}
	return up(ctx, address, "", goose.WithSessionLocker(locker))
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

