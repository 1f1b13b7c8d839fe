package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"sync"
	"time"

	"slotcast/web/profile"
)

// probeEvery is how long what a probe found is told to whoever asks: a stranger who asks
// without end has the database write no more than that.
const probeEvery = 2 * time.Second

// probing has the probe that all askers share.
type probing struct {
	mu   sync.Mutex
	last *probe
}

// probe is a look at what is kept and a write, done or under way.
type probe struct {
	done chan struct{}
	// What follows is there when done is closed.
	ended time.Time
	err   error
	// stale says that something was seen since that it did not know; the probing's lock
	// guards it.
	stale bool
}

// forget has the next who asks probe again.
func (p *probing) forget() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.last != nil {
		p.last.stale = true
	}
}

// probe is the last one, or a new one where that is too long ago.
func (p *probing) probe(do func() error) *probe {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.last != nil {
		select {
		case <-p.last.done:
			if !p.last.stale && time.Since(p.last.ended) < probeEvery {
				return p.last
			}
		default:
			return p.last
		}
	}
	one := &probe{done: make(chan struct{})}
	p.last = one
	go func() {
		one.err = do()
		one.ended = time.Now()
		p.mu.Lock()
		one.stale = false // by itself
		p.mu.Unlock()
		close(one.done)
	}()
	return one
}

// Ping says whether what people tell can be read and written: a
// [profile.UnavailableError] where it cannot. A file is looked at each time; rows are
// read and written every two seconds at most, however many ask.
func (s *Store) Ping(ctx context.Context) error {
	if err := s.notice(ctx); err != nil {
		return s.told(ctx, ctx, err)
	}
	// Others may wait for it when this one has gone.
	one := s.probing.probe(func() error {
		ctx, cancel := context.WithTimeout(context.Background(), s.limit)
		defer cancel()
		return s.probe(ctx)
	})
	select {
	case <-one.done:
		return one.err
	case <-ctx.Done():
		return s.told(ctx, ctx, ctx.Err())
	}
}

// probe writes a row and reads it again, and a row of somebody's.
func (s *Store) probe(ctx context.Context) error {
	err := s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "INSERT INTO probes (id, at) VALUES (1, $1) ON CONFLICT (id) DO UPDATE SET at = excluded.at", time.Now().UnixMilli())
		return err
	})
	if err != nil {
		return fmt.Errorf("write: %w", err)
	}
	err = s.asked(ctx, false, func(ctx context.Context) (err error) {
		read := s.read
		if s.path != "" {
			// One that was used before may still know what the file does not have any more.
			if read, err = open(s.path, filePragmas); err != nil {
				return err
			}
			defer func() { err = errors.Join(err, read.Close()) }()
		}
		var at int64
		if err := read.QueryRowContext(ctx, "SELECT at FROM probes WHERE id = 1").Scan(&at); err != nil {
			return err
		}
		// Another profile each time, the first one where there is none beyond.
		for _, from := range []int64{rand.Int64(), 0} { // #nosec G404 -- any will do
			var (
				p   profile.Profile
				key sql.NullString
			)
			err := read.QueryRowContext(ctx, "SELECT p.id, p.revision, keys.hash FROM profiles p LEFT JOIN keys ON keys.profile = p.id WHERE p.id >= $1 ORDER BY p.id LIMIT 1", from).Scan(&p.ID, &p.Revision, &key)
			if !errors.Is(err, sql.ErrNoRows) {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("read: %w", err)
	}
	return nil
}
