package store

import (
	"context"
	"database/sql"

	"slotcast/forecast/practice"
	"slotcast/web/profile"
)

// tallied counts results in the tables that plots are drawn from, or takes them away again
// where by is -1.
func tallied(ctx context.Context, tx *sql.Tx, id profile.ID, results []profile.Result, by int) error {
	type place struct {
		exercise practice.Exercise
		week     practice.Week
		bin      int
	}
	places, days := map[place]int{}, map[practice.Day]int{}
	for _, r := range results {
		if r.Withdrawn {
			continue
		}
		day := practice.DayOf(r.At)
		places[place{r.Exercise, day.Week(), r.Bin()}] += by
		days[day] += by
	}
	for at, n := range places {
		if _, err := tx.ExecContext(ctx, `INSERT INTO practice_weeks (profile, exercise, week, bin, tries) VALUES ($1, $2, $3, $4, $5)
			ON CONFLICT (profile, exercise, week, bin) DO UPDATE SET tries = practice_weeks.tries + excluded.tries`,
			id, at.exercise.String(), int(at.week), at.bin, n); err != nil {
			return err
		}
	}
	for day, n := range days {
		if _, err := tx.ExecContext(ctx, `INSERT INTO practice_days (profile, day, tries) VALUES ($1, $2, $3)
			ON CONFLICT (profile, day) DO UPDATE SET tries = practice_days.tries + excluded.tries`, id, int(day), n); err != nil {
			return err
		}
	}
	return nil
}

// Progress is what the profile's results of the week and those after it come to.
func (s *Store) Progress(ctx context.Context, id profile.ID, since practice.Week) (p profile.Progress, err error) {
	err = s.reading(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if _, err := profileWith(ctx, tx, id); err != nil {
			return err
		}
		p.Weeks = map[practice.Exercise]map[practice.Week]*practice.Tally{}
		found, err := tx.QueryContext(ctx, "SELECT exercise, week, bin, tries FROM practice_weeks WHERE profile = $1 AND week >= $2 AND tries > 0", id, int(since))
		if err != nil {
			return err
		}
		for found.Next() {
			var exercise practice.Exercise
			var week practice.Week
			var bin, tries int
			if err := found.Scan((*exerciseName)(&exercise), &week, &bin, &tries); err != nil {
				return closed(found, err)
			}
			if p.Weeks[exercise] == nil {
				p.Weeks[exercise] = map[practice.Week]*practice.Tally{}
			}
			if p.Weeks[exercise][week] == nil {
				p.Weeks[exercise][week] = &practice.Tally{}
			}
			p.Weeks[exercise][week].Add(bin, tries)
		}
		if err := closed(found, found.Err()); err != nil {
			return err
		}
		found, err = tx.QueryContext(ctx, "SELECT day FROM practice_days WHERE profile = $1 AND day >= $2 AND tries > 0 ORDER BY day", id, int(since.First()))
		if err != nil {
			return err
		}
		for found.Next() {
			var day practice.Day
			if err := found.Scan(&day); err != nil {
				return closed(found, err)
			}
			p.Days = append(p.Days, day)
		}
		return closed(found, found.Err())
	})
	return p, err
}
