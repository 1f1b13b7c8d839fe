// Package store keeps what people tell the program: in a file (SQLite), or in
// PostgreSQL.
package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"
	_ "modernc.org/sqlite"             // the driver "sqlite"
)

// filePragmas has what every connection to a file starts with: writers wait for
// each other instead of failing, readers do not wait at all, and what was
// answered as written outlives a power cut.
const filePragmas = "_pragma=busy_timeout(5000)&_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)&_txlock=immediate"

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
	read *sql.DB
	// write is read's own, save for a file: there writers stand in line for one
	// connection, which is fairer than that each tries again until it gets through.
	write *sql.DB
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
		return errors.New("no file's path and no postgres:// address")
	case isPostgres(address):
		// The parser's error hides the password.
		_, err := pgx.ParseConfig(address)
		return err
	case strings.Contains(address, "://"):
		return errors.New("neither a file's path nor a postgres:// address")
	}
	return nil
}

// Open opens the database at the address, a file's path or a postgres://
// address, sees that it can be written to, and brings its tables up to date. The
// file and its directory are made at need.
func Open(ctx context.Context, address string) (*Store, error) {
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
	read.SetMaxIdleConns(connections)
	read.SetMaxOpenConns(connections)
	s := &Store{read: read, write: read}
	if isPostgres(address) {
		s.snapshot = sql.LevelRepeatableRead
	} else {
		if s.write, err = open(address, filePragmas); err != nil {
			return nil, errors.Join(err, read.Close())
		}
		s.write.SetMaxOpenConns(1)
	}
	if s.byKey, err = read.PrepareContext(ctx, "SELECT p.id, p.revision, keys.used FROM keys JOIN profiles p ON p.id = keys.profile WHERE hash = $1"); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
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

// Ping says whether the database answers.
func (s *Store) Ping(ctx context.Context) error {
	var one int
	return s.read.QueryRowContext(ctx, "SELECT 1").Scan(&one)
}

// Close closes the database.
func (s *Store) Close() error {
	if s.write == s.read {
		return s.read.Close()
	}
	return errors.Join(s.write.Close(), s.read.Close())
}

// writing runs what changes the database in one transaction.
func (s *Store) writing(ctx context.Context, do func(*sql.Tx) error) error {
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	if err := do(tx); err != nil {
		return errors.Join(err, tx.Rollback())
	}
	return tx.Commit()
}

// reading runs what only reads, all of it from one moment.
func (s *Store) reading(ctx context.Context, do func(*sql.Tx) error) error {
	tx, err := s.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: true, Isolation: s.snapshot})
	if err != nil {
		return err
	}
	if err := do(tx); err != nil {
		return errors.Join(err, tx.Rollback())
	}
	return tx.Commit()
}
