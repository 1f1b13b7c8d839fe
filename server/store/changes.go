package store

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"slotcast/web/profile"
)

// sentLife is how long changes are remembered, their names and those of the records
// that they changed. A change whose answer got lost is sent again as soon as there is a network; a
// month is longer than most holidays without one.
const sentLife = 30 * 24 * time.Hour

// errDone ends a transaction in which nothing is left to be done.
var errDone = errors.New("done already")

// Put adds the records, each in place of the one with the same key; others stay.
func (s *Store) Put(ctx context.Context, id profile.ID, r profile.Records) error {
	_, err := s.Change(ctx, id, profile.Change{Put: r})
	return err
}

// Remove removes the records with these keys, whatever else they say.
func (s *Store) Remove(ctx context.Context, id profile.ID, r profile.Records) error {
	_, err := s.Change(ctx, id, profile.Change{Remove: r})
	return err
}

// Change puts in and removes what the change says, and returns the profile with
// its revision afterwards.
func (s *Store) Change(ctx context.Context, id profile.ID, c profile.Change) (p profile.Profile, err error) {
	err = s.writing(ctx, func(ctx context.Context, tx *sql.Tx) (err error) {
		if err := lock(ctx, tx, id); err != nil {
			return err
		}
		if p, err = profileWith(ctx, tx, id); err != nil {
			return err
		}
		if err := once(ctx, tx, id, c.Sent.ID); err != nil {
			return err
		}
		if p.Revision%pruneEvery == 0 || len(c.Put.Keys())+len(c.Remove.Keys()) >= pruneEvery {
			if err := prune(ctx, tx, id); err != nil {
				return err
			}
		}
		if err := touch(ctx, tx, p, c); err != nil {
			return err
		}
		if err := putting(id, c.Put)(ctx, tx); err != nil {
			return err
		}
		return removing(id, c.Remove)(ctx, tx)
	})
	if errors.Is(err, errDone) {
		// The revision is that of before.
		err = s.reading(ctx, func(ctx context.Context, tx *sql.Tx) (err error) {
			p, err = profileWith(ctx, tx, id)
			return err
		})
	}
	return p, err
}

// once remembers a change's name; it is [errDone] if that is known already.
func once(ctx context.Context, tx *sql.Tx, id profile.ID, name string) error {
	if name == "" {
		return nil
	}
	err := changed(tx.ExecContext(ctx, "INSERT INTO sent_changes (profile, id, made) VALUES ($1, $2, $3) ON CONFLICT (profile, id) DO NOTHING", id, name, time.Now().Unix()))
	if errors.Is(err, profile.ErrNotFound) {
		return errDone
	}
	return err
}

// touch writes down who changes the change's records. It is a
// [profile.ChangedElsewhereError] where others did after the device had seen them, and
// [profile.ErrReadAgain] where anybody did after they were read for the change.
func touch(ctx context.Context, tx *sql.Tx, p profile.Profile, c profile.Change) error {
	var late []string
	for _, key := range append(c.Put.Keys(), c.Remove.Keys()...) {
		if c.Read != nil {
			var later int
			if err := tx.QueryRowContext(ctx, "SELECT COUNT(*) FROM changes WHERE profile = $1 AND record = $2 AND revision > $3 AND revision < $4", p.ID, key, *c.Read, p.Revision).Scan(&later); err != nil {
				return err
			}
			if later > 0 {
				return profile.ErrReadAgain
			}
		}
		if c.Sent.Seen != nil {
			var by string
			err := tx.QueryRowContext(ctx, "SELECT device FROM changes WHERE profile = $1 AND record = $2 AND revision > $3", p.ID, key, *c.Sent.Seen).Scan(&by)
			switch {
			case errors.Is(err, sql.ErrNoRows) || err == nil && by != "" && by == c.Sent.Device:
			case err != nil:
				return err
			default:
				late = append(late, key)
				continue
			}
		}
		if _, err := tx.ExecContext(ctx, "INSERT INTO changes (profile, record, revision, device, made) VALUES ($1, $2, $3, $4, $5) ON CONFLICT (profile, record) DO UPDATE SET revision = excluded.revision, device = excluded.device, made = excluded.made", p.ID, key, p.Revision, c.Sent.Device, time.Now().Unix()); err != nil {
			return err
		}
	}
	if len(late) > 0 {
		return &profile.ChangedElsewhereError{Keys: late}
	}
	return nil
}
