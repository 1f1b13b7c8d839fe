package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"
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
		if err := putting(ctx, tx, id, c.Put); err != nil {
			return err
		}
		if err := removing(ctx, tx, id, c.Remove); err != nil {
			return err
		}
		return withdraw(ctx, tx, id, c.Restore, false)
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
	keys := append(c.Put.Keys(), c.Remove.Keys()...)
	var late []string
	for keys := range slices.Chunk(keys, atOnce[0]) {
		if c.Read != nil {
			later, err := changedAfter(ctx, tx, p.ID, *c.Read, keys)
			if err != nil {
				return err
			}
			if len(later) > 0 {
				return profile.ErrReadAgain
			}
		}
		if c.Sent.Seen != nil {
			by, err := changedAfter(ctx, tx, p.ID, *c.Sent.Seen, keys)
			if err != nil {
				return err
			}
			for _, key := range keys {
				if device, later := by[key]; later && (device == "" || device != c.Sent.Device) {
					late = append(late, key)
				}
			}
		}
	}
	if len(late) > 0 {
		return &profile.ChangedElsewhereError{Keys: late}
	}
	now := time.Now().Unix()
	return changesKind.put(ctx, tx, p.ID, each(keys, func(key string) row { return row{[]any{key}, []any{p.Revision, c.Sent.Device, now}} }))
}

// changesKind is the table of who changed which record last.
var changesKind = kind{table: "changes", keys: []string{"record"}, rest: []string{"revision", "device", "made"}}

// changedAfter are those of the records that were changed after the revision, with the
// device that did.
func changedAfter(ctx context.Context, tx *sql.Tx, id profile.ID, revision int64, keys []string) (by map[string]string, err error) {
	values := []any{id, revision}
	var marks []string
	for n, key := range keys {
		values = append(values, key)
		marks = append(marks, fmt.Sprintf("$%d", n+3))
	}
	found, err := tx.QueryContext(ctx, "SELECT record, device FROM changes WHERE profile = $1 AND revision > $2 AND record IN ("+strings.Join(marks, ", ")+")", values...) // #nosec G202 -- numbers of parameters
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, found.Close()) }()
	by = map[string]string{}
	for found.Next() {
		var key, device string
		if err := found.Scan(&key, &device); err != nil {
			return nil, err
		}
		by[key] = device
	}
	return by, found.Err()
}
