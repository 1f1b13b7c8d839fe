package store

import (
	"context"
	"database/sql"
	"time"

	"slotcast/web/profile"
)

// usedEvery is how often the use of a key is written down: the page tells the day,
// and a request that reads is not to write.
const usedEvery = 24 * time.Hour

// usedTimeout is how long a request waits for that: it is not worth more.
const usedTimeout = 250 * time.Millisecond

// keyMark is the beginning of a key's hash, by which it is told from the profile's
// others; nobody makes a key of it.
const keyMark = "substr(hash, 1, 16)"

// used notes that a key was used, if that is worth noting.
func (s *Store) used(ctx context.Context, key profile.KeyHash, last int64) {
	now := time.Now()
	if now.Sub(time.Unix(last, 0)) < usedEvery {
		return
	}
	ctx, cancel := context.WithTimeout(ctx, usedTimeout)
	defer cancel()
	// The next request notes what this one could not.
	_ = s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "UPDATE keys SET used = $1 WHERE hash = $2", now.Unix(), hexOf(key))
		return err
	})
}

// insertKey adds a key to the profile.
func insertKey(ctx context.Context, tx *sql.Tx, id profile.ID, key profile.KeyHash) error {
	now := time.Now().Unix()
	_, err := tx.ExecContext(ctx, "INSERT INTO keys (hash, profile, made, used) VALUES ($1, $2, $3, $4)", hexOf(key), id, now, now)
	return err
}

// Keys are the profile's, the oldest first.
func (s *Store) Keys(ctx context.Context, id profile.ID) (keys []profile.Key, err error) {
	err = s.reading(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if _, err := profileWith(ctx, tx, id); err != nil {
			return err
		}
		keys, err = rows(ctx, tx, id, "SELECT "+keyMark+", name, made, used FROM keys WHERE profile = $1 ORDER BY made, hash", func(scan scanner) (k profile.Key, err error) {
			var made, used int64
			err = scan(&k.ID, &k.Name, &made, &used)
			k.Made, k.Used = timeOf(made), timeOf(used)
			return k, err
		})
		return err
	})
	return keys, err
}

// timeOf is the time of a column in which 0 is one that is not known.
func timeOf(seconds int64) time.Time {
	if seconds == 0 {
		return time.Time{}
	}
	return time.Unix(seconds, 0).UTC()
}

// NameKey names one of the profile's keys.
func (s *Store) NameKey(ctx context.Context, id profile.ID, key profile.KeyID, name string) error {
	return s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
		return changed(tx.ExecContext(ctx, "UPDATE keys SET name = $1 WHERE profile = $2 AND "+keyMark+" = $3", name, id, key))
	})
}

// RevokeKey takes one of the profile's keys back; links that it could have made are
// taken back with it.
func (s *Store) RevokeKey(ctx context.Context, id profile.ID, key profile.KeyID) error {
	return s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if err := lock(ctx, tx, id); err != nil {
			return err
		}
		if err := changed(tx.ExecContext(ctx, "DELETE FROM keys WHERE profile = $1 AND "+keyMark+" = $2", id, key)); err != nil {
			return err
		}
		var left int
		if err := tx.QueryRowContext(ctx, "SELECT COUNT(*) FROM keys WHERE profile = $1", id).Scan(&left); err != nil {
			return err
		}
		if left == 0 {
			return profile.ErrLastKey
		}
		_, err := tx.ExecContext(ctx, "DELETE FROM device_links WHERE profile = $1", id)
		return err
	})
}

// roomFor checks that the profile has fewer than it may have of what the query counts.
func roomFor(ctx context.Context, tx *sql.Tx, id profile.ID, query, kind string, most int) error {
	var n int
	if err := tx.QueryRowContext(ctx, query, id).Scan(&n); err != nil {
		return err
	}
	if n >= most {
		return &profile.FullError{Kind: kind, Max: most}
	}
	return nil
}
