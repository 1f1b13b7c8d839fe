package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
	"net"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/server/store/storetest"
	"slotcast/web/profile"
)

// A lock that is held longer than the limit is told as such, and one who went away as
// that, by what waits and by what stands in the queue behind it.
func TestTheLimitAndThoseWhoGo(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "slotcast.db")
	// What is not about the limit is asked of a store that has a minute.
	patient := opened(t, path)
	_, id := newProfile(t, patient)
	s, err := openWithin(t.Context(), path, 3*time.Second)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, s.Close()) })
	other, err := open(path, filePragmas)
	require.NoError(t, err)
	lock, err := other.BeginTx(t.Context(), nil)
	require.NoError(t, err)
	var all sync.WaitGroup
	for range 5 {
		all.Go(func() {
			err := put(t, s, id, "refused")
			unavailable := (*profile.UnavailableError)(nil)
			if assert.ErrorAs(t, err, &unavailable) {
				assert.Contains(t, unavailable.Reason, "locked")
				assert.False(t, unavailable.Unknown)
			}
		})
		all.Go(func() {
			ctx, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond)
			defer cancel()
			gone, leave := context.WithCancel(t.Context())
			context.AfterFunc(ctx, leave)
			err := s.Put(gone, id, profile.Records{Names: []profile.Name{{Pattern: 1, Name: "gone"}}})
			assert.ErrorIs(t, err, context.Canceled)
			unavailable := (*profile.UnavailableError)(nil)
			assert.False(t, errors.As(err, &unavailable), "%v", err)
		})
	}
	all.Wait()
	require.NoError(t, lock.Rollback())
	require.NoError(t, other.Close())
	assert.Empty(t, recordsOf(t, patient, id).Names)
	require.Eventually(t, func() bool { return put(t, s, id, "well again") == nil }, time.Minute, time.Millisecond)
	assert.Len(t, recordsOf(t, patient, id).Names, 1)
}

// What an error says of the database, and which say nothing of it.
func TestOutages(t *testing.T) {
	t.Parallel()
	s := &Store{limit: askLimit, path: "slotcast.db"}
	now, cancel := context.WithCancel(t.Context())
	defer cancel()
	late, cancelLate := context.WithDeadline(now, time.Now().Add(-time.Second))
	defer cancelLate()
	left, leave := context.WithCancel(t.Context())
	leave()
	full := &profile.FullError{Kind: "keys", Max: 1}
	for _, tt := range []struct {
		name        string
		ctx, within context.Context
		err         error
		// says is the reason, "" for an error that stays as it is.
		says    string
		unknown bool
	}{
		{"the server's disk", now, now, &pgconn.PgError{Code: "53100"}, "disk is full", false},
		{"too many", now, now, fmt.Errorf("begin: %w", &pgconn.PgError{Code: "53300"}), "no more connections", false},
		{"stopping", now, now, &pgconn.PgError{Code: "57P01"}, "cannot be reached", false},
		{"a standby", now, now, &pgconn.PgError{Code: "25006"}, "only be read", false},
		{"spoilt", now, now, &pgconn.PgError{Code: "XX001"}, "damaged", false},
		{"a constraint", now, now, &pgconn.PgError{Code: "23505"}, "", false},
		{"the line", now, now, &net.OpError{Op: "read", Err: errors.New("reset")}, "cannot be reached", false},
		{"cut off", now, now, io.ErrUnexpectedEOF, "cannot be reached", false},
		{"no connection", now, now, driver.ErrBadConn, "cannot be reached", false},
		{"cut off at the end", now, now, &commitError{io.ErrUnexpectedEOF}, "cannot be reached", true},
		{"late", now, late, context.DeadlineExceeded, "too much to do", false},
		{"late, told otherwise", now, late, sql.ErrTxDone, "too much to do", false},
		{"late at the end", now, late, &commitError{context.DeadlineExceeded}, "too much to do", true},
		{"late by who asked", late, late, context.DeadlineExceeded, "too much to do", false},
		{"a mistake, and late", now, late, full, "", false},
		{"a mistake, and gone", left, left, full, "", false},
		{"not there", now, now, profile.ErrNotFound, "", false},
		{"done", now, now, errDone, "", false},
	} {
		told := s.told(tt.ctx, tt.within, tt.err)
		unavailable := (*profile.UnavailableError)(nil)
		if tt.says == "" {
			assert.Equal(t, tt.err, told, tt.name)
			continue
		}
		if assert.ErrorAs(t, told, &unavailable, tt.name) {
			assert.Contains(t, unavailable.Reason, tt.says, tt.name)
			assert.Equal(t, tt.unknown, unavailable.Unknown, tt.name)
			assert.ErrorIs(t, told, tt.err, tt.name)
			p := unavailable.Problem()
			assert.Equal(t, 503, p.Status, tt.name)
			assert.NotZero(t, p.RetryAfter, tt.name)
			assert.Equal(t, tt.unknown, strings.Contains(p.Detail, "it is not known"), tt.name)
			assert.Equal(t, !tt.unknown, strings.Contains(p.Detail, "nothing was changed"), tt.name)
		}
	}
	for _, err := range []error{context.Canceled, sql.ErrTxDone, &net.OpError{Op: "read", Err: errors.New("reset")}, &commitError{context.Canceled}} {
		told := s.told(left, left, err)
		assert.ErrorIs(t, told, context.Canceled)
		unavailable := (*profile.UnavailableError)(nil)
		assert.False(t, errors.As(told, &unavailable), "%v", err)
	}
}

// However many ask whether the database is well, it is asked every two seconds at most.
func TestProbesAreShared(t *testing.T) {
	t.Parallel()
	for _, address := range []string{filepath.Join(t.TempDir(), "slotcast.db"), storetest.StartPostgres(t, false).NewDatabase(t)} {
		s := opened(t, address)
		begun := time.Now()
		probes := sync.Map{}
		var all sync.WaitGroup
		for range 20 {
			all.Go(func() {
				for range 50 {
					assert.NoError(t, s.Ping(t.Context()))
					s.probing.mu.Lock()
					probes.Store(s.probing.last, nil)
					s.probing.mu.Unlock()
				}
			})
		}
		all.Wait()
		n := 0
		probes.Range(func(any, any) bool { n++; return true })
		t.Logf("%d probes in %v", n, time.Since(begun))
		assert.LessOrEqual(t, n, 1+int(time.Since(begun)/probeEvery))
		// What somebody met in between is looked at without delay.
		last := s.probing.last
		s.probing.forget()
		require.NoError(t, s.Ping(t.Context()))
		assert.NotSame(t, last, s.probing.last)
	}
}

// Who asks and goes takes nobody's answer away.
func TestAProbeOutlivesWhoAskedForIt(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "slotcast.db")
	s := opened(t, path)
	other, err := open(path, filePragmas)
	require.NoError(t, err)
	lock, err := other.BeginTx(t.Context(), nil)
	require.NoError(t, err)
	gone, leave := context.WithCancel(t.Context())
	first := make(chan error, 1)
	go func() { first <- s.Ping(gone) }()
	require.Eventually(t, func() bool {
		s.probing.mu.Lock()
		defer s.probing.mu.Unlock()
		return s.probing.last != nil
	}, time.Minute, time.Millisecond)
	second := make(chan error, 1)
	go func() { second <- s.Ping(t.Context()) }()
	leave()
	require.ErrorIs(t, <-first, context.Canceled)
	require.NoError(t, lock.Rollback())
	require.NoError(t, other.Close())
	assert.NoError(t, <-second)
}
