package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/pll"
	"slotcast/forecast/twoslots"
	"slotcast/web/profile"
)

type scanner = func(into ...any) error

// querier is a transaction, or a database where one statement is enough.
type querier interface {
	QueryContext(ctx context.Context, query string, values ...any) (*sql.Rows, error)
}

// rows reads all rows of a query about the profile.
func rows[T any](ctx context.Context, tx querier, id profile.ID, query string, read func(scanner) (T, error)) (all []T, err error) {
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

// Records are all of the profile's but the results, as they were at one moment: cases with
// the last one first, each other kind in the order of its keys.
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
		r.PLLRatings, err = rows(ctx, tx, id, "SELECT pll, rating FROM pll_ratings WHERE profile = $1 ORDER BY pll", func(scan scanner) (p profile.PLLRating, err error) {
			err = scan((*pllLetters)(&p.PLL), &p.Rating)
			return p, err
		})
		if err != nil {
			return err
		}
		r.PLLSequences, err = rows(ctx, tx, id, "SELECT pll, turns FROM pll_sequences WHERE profile = $1 ORDER BY pll", func(scan scanner) (p profile.PLLSequence, err error) {
			err = scan((*pllLetters)(&p.PLL), &p.Turns)
			return p, err
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
		r.Steps, err = rows(ctx, tx, id, "SELECT open, turns, known, hidden, milliseconds FROM steps WHERE profile = $1 ORDER BY open, turns", func(scan scanner) (s profile.OwnStep, err error) {
			err = scan((*openSlots)(&s.Open), &s.Turns, &s.Known, &s.Hidden, (*milliseconds)(&s.Time))
			return s, err
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
		r.Expected, err = rows(ctx, tx, id, "SELECT day, milliseconds FROM expected WHERE profile = $1 ORDER BY day", func(scan scanner) (e profile.Expected, err error) {
			err = scan(&e.Day, (*milliseconds)(&e.Total))
			return e, err
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
		if r.Recent, err = recent(ctx, tx, id); err != nil {
			return err
		}
		r.Practised, err = practised(ctx, tx, id)
		return err
	})
	return p, r, err
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

// pllLetters reads a PLL from its letters.
type pllLetters pll.PLL

// Scan is called by package sql.
func (l *pllLetters) Scan(value any) error {
	text, ok := value.(string)
	if !ok {
		return fmt.Errorf("%T is no letters of a PLL", value)
	}
	read, err := pll.Parse(text)
	*l = pllLetters(read)
	return err
}

// slotName reads a slot from its name.
type slotName lastslot.Slot

type openSlots twoslots.Open

// Scan is called by package sql.
func (o *openSlots) Scan(value any) error {
	text, ok := value.(string)
	if !ok {
		return fmt.Errorf("%T is no name of two slots", value)
	}
	open, err := twoslots.ParseOpen(text)
	*o = openSlots(open)
	return err
}

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
