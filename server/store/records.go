package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"slotcast/forecast"
	"slotcast/web"
)

type scanner = func(into ...any) error

// rows reads all rows of a query about the profile.
func rows[T any](ctx context.Context, tx *sql.Tx, id web.ProfileID, query string, read func(scanner) (T, error)) (all []T, err error) {
	found, err := tx.QueryContext(ctx, query, id)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, found.Close()) }()
	for found.Next() {
		one, err := read(found.Scan)
		if err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	return all, found.Err()
}

func profileWith(ctx context.Context, tx *sql.Tx, id web.ProfileID) (web.Profile, error) {
	p := web.Profile{ID: id}
	err := tx.QueryRowContext(ctx, "SELECT revision FROM profiles WHERE id = $1", id).Scan(&p.Revision)
	return p, found(err)
}

// Records are all of the profile's, as they were at one moment, each kind in the
// order of its keys.
func (s *Store) Records(ctx context.Context, id web.ProfileID) (p web.Profile, r web.Records, err error) {
	err = s.reading(ctx, func(tx *sql.Tx) (err error) {
		if p, err = profileWith(ctx, tx, id); err != nil {
			return err
		}
		r.Scale, err = rows(ctx, tx, id, "SELECT step, rating, seconds FROM scale WHERE profile = $1 ORDER BY step, rating", func(scan scanner) (s web.ScaleStep, err error) {
			err = scan(&s.Step, &s.Rating, (*milliseconds)(&s.Time))
			return s, err
		})
		if err != nil {
			return err
		}
		r.Ratings, err = rows(ctx, tx, id, "SELECT pattern, step, rating, seconds FROM ratings WHERE profile = $1 ORDER BY pattern, step", func(scan scanner) (r web.Rating, err error) {
			err = scan(&r.Pattern, &r.Step, &r.Rating, (*milliseconds)(&r.Time))
			return r, err
		})
		if err != nil {
			return err
		}
		r.Names, err = rows(ctx, tx, id, "SELECT pattern, name FROM names WHERE profile = $1 ORDER BY pattern", func(scan scanner) (n web.Name, err error) {
			err = scan(&n.Pattern, &n.Name)
			return n, err
		})
		if err != nil {
			return err
		}
		r.Sequences, err = rows(ctx, tx, id, "SELECT pattern, turns FROM sequences WHERE profile = $1 ORDER BY pattern, turns", func(scan scanner) (s web.OwnSequence, err error) {
			err = scan(&s.Pattern, &s.Turns)
			return s, err
		})
		if err != nil {
			return err
		}
		r.Insertions, err = rows(ctx, tx, id, "SELECT slot, turns, own, known, hidden, rating, seconds FROM insertions WHERE profile = $1 ORDER BY slot, turns", func(scan scanner) (i web.OwnInsertion, err error) {
			err = scan((*slotName)(&i.Slot), &i.Turns, &i.Own, &i.Known, &i.Hidden, &i.Rating, (*milliseconds)(&i.Time))
			return i, err
		})
		return err
	})
	return p, r, err
}

// putting adds the records, each in place of the one with the same key.
func putting(id web.ProfileID, r web.Records) func(context.Context, *sql.Tx) error {
	return changing(id, r, records{
		scale:      `INSERT INTO scale (profile, step, rating, seconds) VALUES ($1, $2, $3, $4) ON CONFLICT (profile, step, rating) DO UPDATE SET seconds = excluded.seconds`,
		ratings:    `INSERT INTO ratings (profile, pattern, step, rating, seconds) VALUES ($1, $2, $3, $4, $5) ON CONFLICT (profile, pattern, step) DO UPDATE SET rating = excluded.rating, seconds = excluded.seconds`,
		names:      `INSERT INTO names (profile, pattern, name) VALUES ($1, $2, $3) ON CONFLICT (profile, pattern) DO UPDATE SET name = excluded.name`,
		sequences:  `INSERT INTO sequences (profile, pattern, turns) VALUES ($1, $2, $3) ON CONFLICT (profile, pattern, turns) DO NOTHING`,
		insertions: `INSERT INTO insertions (profile, slot, turns, own, known, hidden, rating, seconds) VALUES ($1, $2, $3, $4, $5, $6, $7, $8) ON CONFLICT (profile, slot, turns) DO UPDATE SET own = excluded.own, known = excluded.known, hidden = excluded.hidden, rating = excluded.rating, seconds = excluded.seconds`,
	}, true)
}

// removing removes the records with these keys.
func removing(id web.ProfileID, r web.Records) func(context.Context, *sql.Tx) error {
	return changing(id, r, records{
		scale:      `DELETE FROM scale WHERE profile = $1 AND step = $2 AND rating = $3`,
		ratings:    `DELETE FROM ratings WHERE profile = $1 AND pattern = $2 AND step = $3`,
		names:      `DELETE FROM names WHERE profile = $1 AND pattern = $2`,
		sequences:  `DELETE FROM sequences WHERE profile = $1 AND pattern = $2 AND turns = $3`,
		insertions: `DELETE FROM insertions WHERE profile = $1 AND slot = $2 AND turns = $3`,
	}, false)
}

// records has a statement for each kind of record.
type records struct{ scale, ratings, names, sequences, insertions string }

// changing runs the statements with the records' keys, and with the rest of what
// they say if wanted.
func changing(id web.ProfileID, r web.Records, with records, rest bool) func(context.Context, *sql.Tx) error {
	return func(ctx context.Context, tx *sql.Tx) error {
		run := func(query string, key []any, others ...any) error {
			values := append([]any{id}, key...)
			if rest {
				values = append(values, others...)
			}
			_, err := tx.ExecContext(ctx, query, values...)
			return err
		}
		for _, s := range r.Scale {
			if err := run(with.scale, []any{s.Step, s.Rating}, s.Time.Milliseconds()); err != nil {
				return err
			}
		}
		for _, r := range r.Ratings {
			if err := run(with.ratings, []any{r.Pattern, r.Step}, r.Rating, r.Time.Milliseconds()); err != nil {
				return err
			}
		}
		for _, n := range r.Names {
			if err := run(with.names, []any{n.Pattern}, n.Name); err != nil {
				return err
			}
		}
		for _, s := range r.Sequences {
			if err := run(with.sequences, []any{s.Pattern, s.Turns}); err != nil {
				return err
			}
		}
		for _, i := range r.Insertions {
			if err := run(with.insertions, []any{i.Slot.String(), i.Turns}, i.Own, i.Known, i.Hidden, i.Rating, i.Time.Milliseconds()); err != nil {
				return err
			}
		}
		return nil
	}
}

// milliseconds reads a duration from a column of them.
type milliseconds time.Duration

// Scan is called by package sql.
func (m *milliseconds) Scan(value any) error {
	n, ok := value.(int64)
	if !ok {
		return fmt.Errorf("%T is no number of milliseconds", value)
	}
	*m = milliseconds(time.Duration(n) * time.Millisecond)
	return nil
}

// slotName reads a slot from its name.
type slotName forecast.Slot

// Scan is called by package sql.
func (n *slotName) Scan(value any) error {
	text, ok := value.(string)
	if !ok {
		return fmt.Errorf("%T is no name of a slot", value)
	}
	slot, err := forecast.ParseSlot(text)
	*n = slotName(slot)
	return err
}
