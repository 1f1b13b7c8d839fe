// Package store keeps what people tell the program: in a file (SQLite), or in
// PostgreSQL.
package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"time"

	"github.com/jackc/pgx/v5"
	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"
	"golang.org/x/sync/semaphore"
	_ "modernc.org/sqlite" // the driver "sqlite"

	"slotcast/web/profile"
)

// filePragmas has what every connection to a file starts with: writers wait for
// each other instead of failing, readers do not wait at all, and what was
// answered as written outlives a power cut. What a statement of many rows may have to
// take back is kept in memory: there may be no directory for it.
const filePragmas = "_pragma=busy_timeout(5000)&" + otherPragmas

const otherPragmas = "_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)&_pragma=temp_store(MEMORY)&_txlock=immediate"

// writePragmas are for who writes to a file. They ask for its lock again and again, see
// [Store.begin]: SQLite itself would ask ten times a second only, after the first moments.
const writePragmas = "_pragma=busy_timeout(4)&" + otherPragmas

// A program that writes to a file without a pause leaves its lock to other programs for
// turnPause once in turnMost: between two of its transactions the lock is free for less
// than a millisecond, and they would not get it within [askLimit]. The pause is longer
// than it takes them to ask again.
const (
	turnMost  = 250 * time.Millisecond
	turnPause = 6 * time.Millisecond
)

// reachTimeout bounds how long a PostgreSQL may take to answer at the start: one that
// is reachable answers within milliseconds, and a person who waits for a message
// should not wait longer.
const reachTimeout = 10 * time.Second

// othersTimeout bounds how long the start waits for other programs that have the
// database: one that brings its tables up to date may take a while on a slow disk.
// What this program does itself is never cut short.
const othersTimeout = time.Minute

// connections bounds how many a program has to PostgreSQL, which as a rule takes
// 100 from all programs together, and to read a file: each has it open, and a
// system lets a program open so many files and no more. Who comes later waits.
const connections = 20

// Store is an open database.
type Store struct {
	// gate is passed by all that use what is below; who makes the connections anew passes
	// with [everybody].
	gate *semaphore.Weighted
	// limit is [askLimit] but in tests.
	limit time.Duration
	// path is the file's, "" for PostgreSQL.
	path string
	// file is what the connections have open, nil for PostgreSQL.
	file *file
	// ill is what was seen of the file last, nil where nothing is wrong.
	ill atomic.Pointer[profile.UnavailableError]
	// beginning counts those who wait for the file's lock, and vain is when somebody last
	// waited in vain, in nanoseconds since 1970.
	beginning atomic.Int32
	vain      atomic.Int64
	turn      turn
	probing   probing
	log       atomic.Pointer[slog.Logger]
	// closing ends the watch over the file, and watched is closed when it has ended.
	closing, watched chan struct{}

	read *sql.DB
	// write is read's own, save for a file: there writers stand in line for one
	// connection, which is fairer than that each tries again until it gets through.
	write *sql.DB
	// reads and writes have a turn for each connection of theirs, in the order in which
	// they are asked for. The pool of database/sql picks any of those who wait: one in a
	// hundred would wait for as long as five rounds take.
	reads, writes *semaphore.Weighted
	// snapshot is the isolation in which a transaction sees one moment only. With
	// a file every transaction does, and it has no name for it.
	snapshot sql.IsolationLevel
	// byKey finds the profile that a key opens. It is run with nearly every request,
	// and to prepare it each time would take longer than to run it.
	byKey *sql.Stmt
}

// Check says whether the address can be one of a database; it opens nothing.
func Check(address string) error {
	switch {
	case address == "":
		return errors.New("no file’s path and no postgres:// address")
	case isPostgres(address):
		// The parser's error hides the password.
		_, err := pgx.ParseConfig(address)
		return err
	case strings.Contains(address, "://"):
		return errors.New("neither a file’s path nor a postgres:// address")
	}
	return nil
}

// Open opens the database at the address, a file's path or a postgres://
// address, sees that it can be written to, and brings its tables up to date. The
// file and its directory are made at need.
func Open(ctx context.Context, address string) (*Store, error) {
	return openWithin(ctx, address, askLimit)
}

// openWithin is [Open] with another limit, for tests.
func openWithin(ctx context.Context, address string, limit time.Duration) (*Store, error) {
	if err := Check(address); err != nil {
		return nil, err
	}
	read, err := open(address, filePragmas)
	if err != nil {
		return nil, err
	}
	if err := makeFile(address); err != nil {
		return nil, errors.Join(err, read.Close())
	}
	if err := reached(ctx, read, address); err != nil {
		if !isPostgres(address) { // whose driver says where it tried
			err = fmt.Errorf("%s: %w", address, err)
		}
		return nil, errors.Join(err, read.Close())
	}
	// What is idle would keep a file from being locked.
	read.SetMaxIdleConns(0)
	if err := migrate(ctx, address); err != nil {
		return nil, errors.Join(err, read.Close())
	}
	if err := read.Close(); err != nil {
		return nil, err
	}
	s := &Store{gate: semaphore.NewWeighted(everybody), reads: semaphore.NewWeighted(connections), limit: limit, closing: make(chan struct{}), watched: make(chan struct{})}
	s.LogTo(slog.New(slog.DiscardHandler))
	if isPostgres(address) {
		s.snapshot, s.writes = sql.LevelRepeatableRead, s.reads
	} else {
		s.path, s.writes = address, semaphore.NewWeighted(1)
	}
	if err := s.openPools(ctx, address, nil); err != nil {
		return nil, err
	}
	if s.path != "" {
		go s.watch() // #nosec G118 -- it ends with the store
	}
	return s, nil
}

// LogTo has the store tell of what happens to it while nobody asks.
func (s *Store) LogTo(log *slog.Logger) { s.log.Store(log) }

// openPools makes the connections; main is the handle of a file that is held already.
func (s *Store) openPools(ctx context.Context, address string, main *handle) (err error) {
	if s.read, err = open(address, filePragmas); err != nil {
		return err
	}
	s.read.SetMaxIdleConns(connections)
	s.read.SetMaxOpenConns(connections)
	s.write = s.read
	if !isPostgres(address) {
		if s.write, err = open(address, writePragmas); err != nil {
			return errors.Join(err, s.closePools())
		}
		s.write.SetMaxOpenConns(1)
		s.writes = semaphore.NewWeighted(1)
	}
	if s.byKey, err = s.read.PrepareContext(ctx, "SELECT p.id, p.revision, keys.used FROM keys JOIN profiles p ON p.id = keys.profile WHERE hash = $1"); err != nil {
		return errors.Join(err, s.closePools())
	}
	if !isPostgres(address) {
		if s.file, err = openFile(ctx, address, main); err != nil {
			return errors.Join(err, s.closePools())
		}
	}
	return nil
}

func (s *Store) closePools() error {
	if s.write == s.read {
		return s.read.Close()
	}
	return errors.Join(s.write.Close(), s.read.Close())
}

// makeFile makes the file where there is none, for its owner alone: it has what people
// say of themselves. SQLite gives the files beside it the same mode.
func makeFile(address string) error {
	if isPostgres(address) {
		return nil
	}
	file, err := os.OpenFile(address, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600) // #nosec G304 -- the operator says which
	if err != nil {
		// One that is there already, or cannot be made, is opened and told of below.
		return nil
	}
	if err := file.Close(); err != nil {
		return fmt.Errorf("make %s: %w", address, err)
	}
	return nil
}

// open makes connections when they are needed. The pragmas are for a file.
func open(address, pragmas string) (*sql.DB, error) {
	if isPostgres(address) {
		return sql.Open("pgx", address)
	}
	path, err := filepath.Abs(address)
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, fmt.Errorf("make its directory: %w", err)
	}
	return sql.Open("sqlite", (&url.URL{Scheme: "file", OmitHost: true, Path: filepath.ToSlash(path), RawQuery: pragmas}).String())
}

// reached sees that the database answers and can be written to.
func reached(ctx context.Context, db *sql.DB, address string) error {
	if !isPostgres(address) {
		return patiently(ctx, func() error { return writable(ctx, db) })
	}
	ctx, cancel := context.WithTimeout(ctx, reachTimeout)
	defer cancel()
	return writable(ctx, db)
}

// writable begins a transaction that could write: on a file that takes the
// writer's lock, which a file that can only be read refuses.
func writable(ctx context.Context, db *sql.DB) error {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	return tx.Rollback()
}

func isPostgres(address string) bool {
	return strings.HasPrefix(address, "postgres://") || strings.HasPrefix(address, "postgresql://")
}

// Close closes the database. A file that others have put there meanwhile is left as it
// is: to close the connections would clear away what is beside it.
func (s *Store) Close() error {
	ctx, cancel := context.WithTimeout(context.Background(), s.limit)
	defer cancel()
	if s.path == "" {
		return s.closePools()
	}
	close(s.closing)
	<-s.watched
	_ = s.notice(ctx)
	if err := s.gate.Acquire(ctx, everybody); err != nil {
		return err
	}
	defer s.gate.Release(everybody)
	if s.file.over {
		return errOver
	}
	if is, err := s.file.main.look(); is == other || err != nil {
		return errors.Join(s.file.look(), err)
	}
	return errors.Join(s.closePools(), s.file.close(), s.file.main.Close())
}

// writing runs what changes the database in one transaction.
func (s *Store) writing(ctx context.Context, do func(context.Context, *sql.Tx) error) error {
	return s.asked(ctx, true, func(ctx context.Context) error {
		if s.path != "" {
			s.turn.leave()
			defer s.turn.end()
		}
		tx, err := s.begin(ctx)
		if err != nil {
			return err
		}
		err = do(ctx, tx)
		if err == nil {
			// From here on it may be written whatever becomes of the answer.
			err = ctx.Err()
		}
		if err != nil {
			return errors.Join(err, tx.Rollback())
		}
		if err := tx.Commit(); err != nil {
			return &commitError{err}
		}
		return nil
	})
}

// begin begins a transaction that writes, for which it asks until a file's lock is free.
func (s *Store) begin(ctx context.Context) (*sql.Tx, error) {
	s.beginning.Add(1)
	defer s.beginning.Add(-1)
	begun := time.Now()
	tx, err := s.write.BeginTx(ctx, nil)
	for isBusy(err) && ctx.Err() == nil {
		time.Sleep(time.Millisecond) // some refusals come at once
		tx, err = s.write.BeginTx(ctx, nil)
	}
	if err != nil && time.Since(begun) > askLimit/10 {
		s.vain.Store(time.Now().UnixNano())
	}
	return tx, err
}

// turn is since when a program writes to its file without a pause, and when it last did.
// One at a time has it: who writes.
type turn struct{ begun, ended time.Time }

// leave leaves the file's lock to other programs for a while where it is time to.
func (t *turn) leave() {
	switch now := time.Now(); {
	case now.Sub(t.ended) > turnPause:
		t.begun = now
	case now.Sub(t.begun) > turnMost:
		time.Sleep(turnPause)
		t.begun = time.Now()
	}
}

func (t *turn) end() { t.ended = time.Now() }

// reading runs what only reads, all of it from one moment.
func (s *Store) reading(ctx context.Context, do func(context.Context, *sql.Tx) error) error {
	return s.asked(ctx, false, func(ctx context.Context) error {
		tx, err := s.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: true, Isolation: s.snapshot})
		if err != nil {
			return err
		}
		if err := do(ctx, tx); err != nil {
			return errors.Join(err, tx.Rollback())
		}
		return tx.Commit()
	})
}
