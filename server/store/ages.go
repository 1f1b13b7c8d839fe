package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"slotcast/web/profile"
)

// emptyLife is how long a profile that never had anything in it is kept after its key
// was used last: whoever comes back later loses nothing.
const emptyLife = 90 * 24 * time.Hour

// The most that is remembered of a profile's changes: so many records with the
// revision of their last change, and so many names of changes. A full profile has
// about 4,000 records; what is beyond is of records that were removed, or of changes
// that were answered long ago, and the oldest go.
const (
	maxChanges = 10_000
	maxSent    = 5_000
	// pruneEvery is after how many revisions they are counted: to count them with
	// each change would take longer than the change.
	pruneEvery = 64
)

// prune forgets the profile's changes that are too old or too many.
func prune(ctx context.Context, tx *sql.Tx, id profile.ID) error {
	old := time.Now().Add(-sentLife).Unix()
	for _, one := range []struct {
		query  string
		second any
	}{
		{"DELETE FROM sent_changes WHERE profile = $1 AND made < $2", old},
		{"DELETE FROM changes WHERE profile = $1 AND made < $2", old},
		{"DELETE FROM sent_changes WHERE profile = $1 AND id IN (SELECT id FROM (SELECT id, ROW_NUMBER() OVER (ORDER BY made DESC, id) AS n FROM sent_changes WHERE profile = $1) AS ranked WHERE n > $2)", maxSent},
		{"DELETE FROM changes WHERE profile = $1 AND record IN (SELECT record FROM (SELECT record, ROW_NUMBER() OVER (ORDER BY revision DESC, record) AS n FROM changes WHERE profile = $1) AS ranked WHERE n > $2)", maxChanges},
		{"DELETE FROM device_links WHERE profile = $1 AND expires <= $2", time.Now().Unix()},
	} {
		if _, err := tx.ExecContext(ctx, one.query, id, one.second); err != nil {
			return err
		}
	}
	return nil
}

// Age forgets what has no use any more, of every profile: changes of long ago, links
// that have expired, and profiles that never had anything and were not used for long.
// Each profile is a transaction of its own that begins as every change does.
func (s *Store) Age(ctx context.Context) error {
	now := time.Now()
	aged, err := s.profilesWith(ctx, "SELECT profile FROM changes WHERE made < $1 UNION SELECT profile FROM sent_changes WHERE made < $1 UNION SELECT profile FROM device_links WHERE expires < $1", now.Add(-sentLife).Unix())
	if err != nil {
		return fmt.Errorf("find old changes: %w", err)
	}
	for _, id := range aged {
		err := s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
			if err := wait(ctx, tx, id); err != nil {
				return err
			}
			return prune(ctx, tx, id)
		})
		if err != nil && !errors.Is(err, profile.ErrNotFound) {
			return fmt.Errorf("forget old changes: %w", err)
		}
	}
	const unused = "revision = 0 AND NOT EXISTS (SELECT 1 FROM keys WHERE keys.profile = profiles.id AND keys.used >= $1) AND EXISTS (SELECT 1 FROM keys WHERE keys.profile = profiles.id AND keys.used > 0)"
	long := now.Add(-emptyLife).Unix()
	empty, err := s.profilesWith(ctx, "SELECT id FROM profiles WHERE "+unused, long)
	if err != nil {
		return fmt.Errorf("find empty profiles: %w", err)
	}
	for _, id := range empty {
		err := s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
			if err := wait(ctx, tx, id); err != nil {
				return err
			}
			// It may have been used since it was found.
			_, err := tx.ExecContext(ctx, "DELETE FROM profiles WHERE id = $2 AND "+unused, long, id)
			return err
		})
		if err != nil && !errors.Is(err, profile.ErrNotFound) {
			return fmt.Errorf("delete an empty profile: %w", err)
		}
	}
	return nil
}

// profilesWith are the profiles that the query finds with the time.
func (s *Store) profilesWith(ctx context.Context, query string, before int64) (ids []profile.ID, err error) {
	// It looks at everybody's, once a day, and nobody waits for it.
	if err := s.gate.Acquire(ctx, 1); err != nil {
		return nil, err
	}
	defer s.gate.Release(1)
	found, err := s.read.QueryContext(ctx, query, before)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, found.Close()) }()
	for found.Next() {
		var id profile.ID
		if err := found.Scan(&id); err != nil {
			return nil, err
		}
		ids = append(ids, id)
	}
	return ids, found.Err()
}

// wait is [lock] for what counts as no change.
func wait(ctx context.Context, tx *sql.Tx, id profile.ID) error {
	return changed(tx.ExecContext(ctx, "UPDATE profiles SET revision = revision WHERE id = $1", id))
}
