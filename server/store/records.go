package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/profile"
)

type scanner = func(into ...any) error

// rows reads all rows of a query about the profile.
func rows[T any](ctx context.Context, tx *sql.Tx, id profile.ID, query string, read func(scanner) (T, error)) (all []T, err error) {
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

func profileWith(ctx context.Context, tx *sql.Tx, id profile.ID) (profile.Profile, error) {
	p := profile.Profile{ID: id}
	err := tx.QueryRowContext(ctx, "SELECT revision FROM profiles WHERE id = $1", id).Scan(&p.Revision)
	return p, found(err)
}

// Records are all of the profile's, as they were at one moment: cases with the
// last one first, each other kind in the order of its keys.
func (s *Store) Records(ctx context.Context, id profile.ID) (p profile.Profile, r profile.Records, err error) {
	err = s.reading(ctx, func(ctx context.Context, tx *sql.Tx) (err error) {
		if p, err = profileWith(ctx, tx, id); err != nil {
			return err
		}
		r.Scale, err = rows(ctx, tx, id, "SELECT step, rating, thousandths FROM scale WHERE profile = $1 ORDER BY step, rating", func(scan scanner) (s profile.ScaleStep, err error) {
			var thousandths int64
			err = scan((*step)(&s.Step), &s.Rating, &thousandths)
			if s.Step == forecast.Execute {
				s.Factor = float64(thousandths) / 1000
			} else {
				s.Time = time.Duration(thousandths) * time.Millisecond
			}
			return s, err
		})
		if err != nil {
			return err
		}
		r.Ratings, err = rows(ctx, tx, id, "SELECT pattern, step, rating, milliseconds FROM ratings WHERE profile = $1 ORDER BY pattern, step", func(scan scanner) (r profile.Rating, err error) {
			err = scan(&r.Pattern, (*step)(&r.Step), &r.Rating, (*milliseconds)(&r.Time))
			return r, err
		})
		if err != nil {
			return err
		}
		r.Learnt, err = rows(ctx, tx, id, "SELECT pattern, learnt FROM learnt WHERE profile = $1 ORDER BY pattern", func(scan scanner) (l profile.Learnt, err error) {
			err = scan(&l.Pattern, &l.Learnt)
			return l, err
		})
		if err != nil {
			return err
		}
		r.Names, err = rows(ctx, tx, id, "SELECT pattern, name FROM names WHERE profile = $1 ORDER BY pattern", func(scan scanner) (n profile.Name, err error) {
			err = scan(&n.Pattern, &n.Name)
			return n, err
		})
		if err != nil {
			return err
		}
		r.Sequences, err = rows(ctx, tx, id, "SELECT pattern, turns FROM sequences WHERE profile = $1 ORDER BY pattern, turns", func(scan scanner) (s profile.OwnSequence, err error) {
			err = scan(&s.Pattern, &s.Turns)
			return s, err
		})
		if err != nil {
			return err
		}
		r.Insertions, err = rows(ctx, tx, id, "SELECT slot, turns, own, known, predicted, hidden, rating, milliseconds FROM insertions WHERE profile = $1 ORDER BY slot, turns", func(scan scanner) (i profile.OwnInsertion, err error) {
			err = scan((*slotName)(&i.Slot), &i.Turns, &i.Own, &i.Known, &i.Predict, &i.Hidden, &i.Rating, (*milliseconds)(&i.Time))
			return i, err
		})
		if err != nil {
			return err
		}
		r.Preferences, err = rows(ctx, tx, id, "SELECT name, value FROM preferences WHERE profile = $1 ORDER BY name", func(scan scanner) (p profile.Preference, err error) {
			err = scan(&p.Name, &p.Value)
			return p, err
		})
		if err != nil {
			return err
		}
		r.Kept, err = rows(ctx, tx, id, "SELECT code, note, since FROM kept_cases WHERE profile = $1 ORDER BY since DESC, code", func(scan scanner) (k profile.KeptCase, err error) {
			var since int64
			err = scan(&k.Code, &k.Note, &since)
			k.Since = time.Unix(since, 0).UTC()
			return k, err
		})
		if err != nil {
			return err
		}
		r.Recent, err = rows(ctx, tx, id, "SELECT code, looked FROM recent_cases WHERE profile = $1 ORDER BY looked DESC", func(scan scanner) (c profile.RecentCase, err error) {
			var looked int64
			err = scan(&c.Code, &looked)
			c.Looked = time.UnixMilli(looked).UTC()
			return c, err
		})
		return err
	})
	return p, r, err
}

// putting adds the records, each in place of the one with the same key.
func putting(id profile.ID, r profile.Records) func(context.Context, *sql.Tx) error {
	return changing(id, r, records{
		scale:       `INSERT INTO scale (profile, step, rating, thousandths) VALUES ($1, $2, $3, $4) ON CONFLICT (profile, step, rating) DO UPDATE SET thousandths = excluded.thousandths`,
		ratings:     `INSERT INTO ratings (profile, pattern, step, rating, milliseconds) VALUES ($1, $2, $3, $4, $5) ON CONFLICT (profile, pattern, step) DO UPDATE SET rating = excluded.rating, milliseconds = excluded.milliseconds`,
		learnt:      `INSERT INTO learnt (profile, pattern, learnt) VALUES ($1, $2, $3) ON CONFLICT (profile, pattern) DO UPDATE SET learnt = excluded.learnt`,
		names:       `INSERT INTO names (profile, pattern, name) VALUES ($1, $2, $3) ON CONFLICT (profile, pattern) DO UPDATE SET name = excluded.name`,
		sequences:   `INSERT INTO sequences (profile, pattern, turns) VALUES ($1, $2, $3) ON CONFLICT (profile, pattern, turns) DO NOTHING`,
		insertions:  `INSERT INTO insertions (profile, slot, turns, own, known, predicted, hidden, rating, milliseconds) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9) ON CONFLICT (profile, slot, turns) DO UPDATE SET own = excluded.own, known = excluded.known, predicted = excluded.predicted, hidden = excluded.hidden, rating = excluded.rating, milliseconds = excluded.milliseconds`,
		preferences: `INSERT INTO preferences (profile, name, value) VALUES ($1, $2, $3) ON CONFLICT (profile, name) DO UPDATE SET value = excluded.value`,
		kept:        `INSERT INTO kept_cases (profile, code, note, since) VALUES ($1, $2, $3, $4) ON CONFLICT (profile, code) DO UPDATE SET note = excluded.note`,
	}, true)
}

// removing removes the records with these keys.
func removing(id profile.ID, r profile.Records) func(context.Context, *sql.Tx) error {
	return changing(id, r, records{
		scale:       `DELETE FROM scale WHERE profile = $1 AND step = $2 AND rating = $3`,
		ratings:     `DELETE FROM ratings WHERE profile = $1 AND pattern = $2 AND step = $3`,
		learnt:      `DELETE FROM learnt WHERE profile = $1 AND pattern = $2`,
		names:       `DELETE FROM names WHERE profile = $1 AND pattern = $2`,
		sequences:   `DELETE FROM sequences WHERE profile = $1 AND pattern = $2 AND turns = $3`,
		insertions:  `DELETE FROM insertions WHERE profile = $1 AND slot = $2 AND turns = $3`,
		preferences: `DELETE FROM preferences WHERE profile = $1 AND name = $2`,
		kept:        `DELETE FROM kept_cases WHERE profile = $1 AND code = $2`,
		recent:      `DELETE FROM recent_cases WHERE profile = $1 AND code = $2`,
	}, false)
}

// records has a statement for each kind of record.
type records struct{ scale, ratings, learnt, names, sequences, insertions, preferences, kept, recent string }

// changing runs the statements with the records' keys, and with the rest of what
// they say if wanted.
func changing(id profile.ID, r profile.Records, with records, rest bool) func(context.Context, *sql.Tx) error {
	return func(ctx context.Context, tx *sql.Tx) error {
		var before counts
		var err error
		if rest {
			if before, err = count(ctx, tx, id, r); err != nil {
				return err
			}
		}
		run := func(query string, key []any, others ...any) error {
			values := append([]any{id}, key...)
			if rest {
				values = append(values, others...)
			}
			_, err := tx.ExecContext(ctx, query, values...)
			return err
		}
		for _, s := range r.Scale {
			if err := run(with.scale, []any{s.Step.String(), s.Rating}, thousandths(s)); err != nil {
				return err
			}
		}
		for _, r := range r.Ratings {
			if err := run(with.ratings, []any{r.Pattern, r.Step.String()}, r.Rating, r.Time.Milliseconds()); err != nil {
				return err
			}
		}
		for _, l := range r.Learnt {
			if err := run(with.learnt, []any{l.Pattern}, l.Learnt); err != nil {
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
			if err := run(with.insertions, []any{i.Slot.String(), i.Turns}, i.Own, i.Known, i.Predict, i.Hidden, i.Rating, i.Time.Milliseconds()); err != nil {
				return err
			}
		}
		for _, p := range r.Preferences {
			if err := run(with.preferences, []any{p.Name}, p.Value); err != nil {
				return err
			}
		}
		for _, k := range r.Kept {
			if err := run(with.kept, []any{k.Code}, k.Note, k.Since.Unix()); err != nil {
				return err
			}
		}
		// In the order in which they were looked up.
		for _, c := range slices.Backward(r.Recent) {
			if rest {
				err = look(ctx, tx, id, c)
			} else {
				err = run(with.recent, []any{c.Code})
			}
			if err != nil {
				return err
			}
		}
		if rest {
			return before.room(ctx, tx, id, r)
		}
		return nil
	}
}

// limits are the most rows of a kind that a profile has, and the query that
// counts them.
var limits = [...]struct {
	put   func(profile.Records) bool
	query string
	full  profile.FullError
}{
	{func(r profile.Records) bool { return len(r.Sequences) > 0 }, "SELECT COUNT(*) AS n FROM sequences WHERE profile = $1 GROUP BY pattern ORDER BY n DESC LIMIT 1", profile.FullError{Kind: "sequences for a pattern", Max: profile.MaxSequences}},
	{func(r profile.Records) bool { return len(r.Insertions) > 0 }, "SELECT COUNT(*) FROM insertions WHERE profile = $1", profile.FullError{Kind: "insertions", Max: profile.MaxInsertions}},
	{func(r profile.Records) bool { return len(r.Kept) > 0 }, "SELECT COUNT(*) FROM kept_cases WHERE profile = $1", profile.FullError{Kind: "cases", Max: profile.MaxKept}},
}

// counts are the rows of each kind that has a limit.
type counts [len(limits)]int

// count counts the kinds that the records have.
func count(ctx context.Context, tx *sql.Tx, id profile.ID, r profile.Records) (n counts, err error) {
	for i, limit := range limits {
		if !limit.put(r) {
			continue
		}
		// Where there is nothing, there is nothing to group.
		if err := tx.QueryRowContext(ctx, limit.query, id).Scan(&n[i]); err != nil && !errors.Is(err, sql.ErrNoRows) {
			return n, err
		}
	}
	return n, nil
}

// room checks that a change left no more than a profile may have. One that had
// more before, as there was no limit once, can still change what it has.
func (before counts) room(ctx context.Context, tx *sql.Tx, id profile.ID, r profile.Records) error {
	after, err := count(ctx, tx, id, r)
	if err != nil {
		return err
	}
	for i, limit := range limits {
		if after[i] > limit.full.Max && after[i] > before[i] {
			return &limit.full
		}
	}
	return nil
}

// Visit puts a case first among those looked up lately.
func (s *Store) Visit(ctx context.Context, id profile.ID, code string, at time.Time) error {
	return s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
		// It waits its turn as every change does, but counts as none.
		if err := wait(ctx, tx, id); err != nil {
			return err
		}
		var last int64
		if err := tx.QueryRowContext(ctx, "SELECT COALESCE(MAX(looked), 0) FROM recent_cases WHERE profile = $1", id).Scan(&last); err != nil {
			return err
		}
		// Whatever the clock says, this one is the last.
		return look(ctx, tx, id, profile.RecentCase{Code: code, Looked: time.UnixMilli(max(at.UnixMilli(), last+1))})
	})
}

// look keeps when a case was looked up, and forgets the oldest beyond those that
// are known. A time that another case has becomes the next free one.
func look(ctx context.Context, tx *sql.Tx, id profile.ID, c profile.RecentCase) error {
	looked := c.Looked.UnixMilli()
	for {
		var other string
		err := tx.QueryRowContext(ctx, "SELECT code FROM recent_cases WHERE profile = $1 AND looked = $2 AND code <> $3", id, looked, c.Code).Scan(&other)
		if errors.Is(err, sql.ErrNoRows) {
			break
		}
		if err != nil {
			return err
		}
		looked++
	}
	if _, err := tx.ExecContext(ctx, "INSERT INTO recent_cases (profile, code, looked) VALUES ($1, $2, $3) ON CONFLICT (profile, code) DO UPDATE SET looked = CASE WHEN excluded.looked > recent_cases.looked THEN excluded.looked ELSE recent_cases.looked END", id, c.Code, looked); err != nil {
		return err
	}
	_, err := tx.ExecContext(ctx, "DELETE FROM recent_cases WHERE profile = $1 AND looked < (SELECT MIN(looked) FROM (SELECT looked FROM recent_cases WHERE profile = $1 ORDER BY looked DESC LIMIT $2) AS known)", id, profile.MaxRecent)
	return err
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

// thousandths is what a level stands for, of a second or of an estimate.
func thousandths(s profile.ScaleStep) int64 {
	if s.Step == forecast.Execute {
		return int64(math.Round(s.Factor * 1000))
	}
	return s.Time.Milliseconds()
}

// step reads a step from its name.
type step forecast.Step

// Scan is called by package sql.
func (s *step) Scan(value any) error {
	text, ok := value.(string)
	if !ok {
		return fmt.Errorf("%T is no name of a step", value)
	}
	if text == forecast.Track.String() {
		*s = step(forecast.Track)
		return nil
	}
	return (*forecast.Step)(s).UnmarshalText([]byte(text))
}

// slotName reads a slot from its name.
type slotName lastslot.Slot

// Scan is called by package sql.
func (n *slotName) Scan(value any) error {
	text, ok := value.(string)
	if !ok {
		return fmt.Errorf("%T is no name of a slot", value)
	}
	slot, err := lastslot.ParseSlot(text)
	*n = slotName(slot)
	return err
}
