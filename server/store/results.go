package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"slotcast/forecast/practice"
	"slotcast/web/profile"
)

// resultsKind is the table of results. One that is there stays as it is.
var resultsKind = func() kind {
	rest := []string{"exercise", "item", "done", "milliseconds", "correct", "grade", "withdrawn", "pattern", "insert_milliseconds", "recognise_milliseconds"}
	return kind{table: "results", keys: []string{"id"}, rest: rest, stays: rest}
}()

const resultColumns = "id, exercise, item, done, milliseconds, correct, grade, withdrawn, pattern, insert_milliseconds, recognise_milliseconds"

// resultRow is the result as the table has it. One that is to be graded has some grade
// meanwhile.
func resultRow(r profile.Result) []any {
	grade := cmp.Or(r.Grade, practice.Again)
	return []any{r.ID, r.Exercise.String(), string(r.Item), r.At.UnixMilli(), r.Took.Milliseconds(), r.Right, int(grade), r.Withdrawn, r.Left, r.Insert.Milliseconds(), r.Recognise.Milliseconds()}
}

func readResult(scan scanner) (r profile.Result, err error) {
	var done int64
	err = scan(&r.ID, (*exerciseName)(&r.Exercise), &r.Item, &done, (*milliseconds)(&r.Took), &r.Right, &r.Grade, &r.Withdrawn, &r.Left, (*milliseconds)(&r.Insert), (*milliseconds)(&r.Recognise))
	r.At = time.UnixMilli(done).UTC()
	return r, err
}

// Results are the profile's that are asked for, the newest first.
func (s *Store) Results(ctx context.Context, id profile.ID, asked profile.ResultsAsked) (results []profile.Result, err error) {
	query, values := "SELECT "+resultColumns+" FROM results WHERE profile = $1", []any{id}
	where := func(text string, more ...any) {
		for _, value := range more {
			values = append(values, value)
			text = strings.Replace(text, "?", fmt.Sprintf("$%d", len(values)), 1)
		}
		query += text // #nosec G202 -- the texts below, with values apart
	}
	if asked.Exercise != nil {
		where(" AND exercise = ?", asked.Exercise.String())
	}
	if asked.Item != "" {
		where(" AND item = ?", string(asked.Item))
	}
	if asked.Before != "" {
		where(" AND (done, id) < (SELECT done, id FROM results WHERE profile = $1 AND id = ?)", asked.Before)
	}
	query += " ORDER BY done DESC, id DESC"
	if asked.Limit > 0 {
		where(" LIMIT ?", asked.Limit)
	}
	err = s.reading(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if _, err := profileWith(ctx, tx, id); err != nil {
			return err
		}
		found, err := tx.QueryContext(ctx, query, values...)
		if err != nil {
			return err
		}
		for found.Next() {
			r, err := readResult(found.Scan)
			if err != nil {
				return closed(found, err)
			}
			results = append(results, r)
		}
		return closed(found, found.Err())
	})
	return results, err
}

// closed closes rows that were read until the error.
func closed(rows *sql.Rows, err error) error { return errors.Join(err, rows.Close()) }

// AddResults counts the results that are not there yet, and returns these.
func (s *Store) AddResults(ctx context.Context, id profile.ID, results []profile.Result) (counted []profile.Result, err error) {
	err = s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if err := lock(ctx, tx, id); err != nil {
			return err
		}
		r := profile.Records{Results: results}
		before, err := count(ctx, tx, id, r)
		if err != nil {
			return err
		}
		if counted, err = addResults(ctx, tx, id, results); err != nil {
			return err
		}
		return before.room(ctx, tx, id, r)
	})
	return counted, err
}

// ForgetResults removes all results with what they come to, and what was expected then.
func (s *Store) ForgetResults(ctx context.Context, id profile.ID) error {
	return s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if err := lock(ctx, tx, id); err != nil {
			return err
		}
		for _, query := range []string{"DELETE FROM results WHERE profile = $1", "DELETE FROM practised WHERE profile = $1", "DELETE FROM practice_weeks WHERE profile = $1", "DELETE FROM practice_days WHERE profile = $1", "DELETE FROM expected WHERE profile = $1"} {
			if _, err := tx.ExecContext(ctx, query, id); err != nil {
				return err
			}
		}
		return nil
	})
}

// itemKey tells items apart.
type itemKey struct {
	exercise practice.Exercise
	item     practice.Item
}

// byItem sorts results into their items, each in the order in which they were done, and the
// items in an order that is always the same.
func byItem(results []profile.Result) (keys []itemKey, of map[itemKey][]profile.Result) {
	of = map[itemKey][]profile.Result{}
	for _, r := range results {
		key := itemKey{r.Exercise, r.Item}
		if of[key] == nil {
			keys = append(keys, key)
		}
		of[key] = append(of[key], r)
	}
	for _, key := range keys {
		slices.SortFunc(of[key], func(a, b profile.Result) int {
			return cmp.Or(a.At.Compare(b.At), strings.Compare(a.ID, b.ID))
		})
	}
	return keys, of
}

// addResults counts the results that are not there yet. What their items come to grows by
// them; only where one is not the newest of its item, all of that are looked at.
// Those that it counted are in results then, with their grades.
func addResults(ctx context.Context, tx *sql.Tx, id profile.ID, given []profile.Result) (results []profile.Result, err error) {
	given, err = insertFresh(ctx, tx, id, given)
	if err != nil {
		return nil, err
	}
	if err := tallied(ctx, tx, id, given, 1); err != nil {
		return nil, err
	}
	if err := drilled(ctx, tx, id, given); err != nil {
		return nil, err
	}
	keys, of := byItem(given)
	for _, key := range keys {
		c, err := itemOf(ctx, tx, id, key.exercise, key.item)
		if err != nil {
			return nil, err
		}
		late := false
		for _, r := range of[key] {
			c.results++
			late = late || c.Tries > 0 && !r.At.After(c.Newest)
			if r.Grade == 0 {
				r.Grade = c.GradeOf(r.Try)
				if _, err := tx.ExecContext(ctx, "UPDATE results SET grade = $3 WHERE profile = $1 AND id = $2", id, r.ID, int(r.Grade)); err != nil {
					return nil, err
				}
			}
			if !r.Withdrawn {
				c.Add(r.Try, r.Grade)
			}
			results = append(results, r)
		}
		if late {
			if err := c.replay(ctx, tx, id); err != nil {
				return nil, err
			}
		}
		if err := practisedKind.put(ctx, tx, id, []row{c.row()}); err != nil {
			return nil, err
		}
	}
	return results, nil
}

// insertFresh puts in the results whose ids are not there yet, and returns them. Of those
// with the same id the first counts.
func insertFresh(ctx context.Context, tx *sql.Tx, id profile.ID, results []profile.Result) (fresh []profile.Result, err error) {
	given := map[string]profile.Result{}
	var once []profile.Result
	for _, r := range results {
		if _, twice := given[r.ID]; !twice {
			given[r.ID] = r
			once = append(once, r)
		}
	}
	for _, n := range atOnce {
		whole := len(once) / n * n
		for some := range slices.Chunk(once[:whole], n) {
			values := []any{id}
			for _, r := range some {
				values = append(values, resultRow(r)...)
			}
			found, err := tx.QueryContext(ctx, resultsKind.insertion(n)+" RETURNING id", values...)
			if err != nil {
				return nil, err
			}
			for found.Next() {
				var name string
				if err := found.Scan(&name); err != nil {
					return nil, closed(found, err)
				}
				fresh = append(fresh, given[name])
			}
			if err := closed(found, found.Err()); err != nil {
				return nil, err
			}
		}
		once = once[whole:]
	}
	return fresh, nil
}

// withdraw has results count no more, or again, and works their items out anew.
func withdraw(ctx context.Context, tx *sql.Tx, id profile.ID, results []string, withdrawn bool) error {
	var keys []itemKey
	var turned []profile.Result
	for _, result := range results {
		found, err := tx.QueryContext(ctx, "UPDATE results SET withdrawn = $3 WHERE profile = $1 AND id = $2 AND withdrawn <> $3 RETURNING "+resultColumns, id, result, withdrawn)
		if err != nil {
			return err
		}
		for found.Next() {
			r, err := readResult(found.Scan)
			if err != nil {
				return closed(found, err)
			}
			r.Withdrawn = false
			turned = append(turned, r)
			if key := (itemKey{r.Exercise, r.Item}); !slices.Contains(keys, key) {
				keys = append(keys, key)
			}
		}
		if err := closed(found, found.Err()); err != nil {
			return err
		}
	}
	by := 1
	if withdrawn {
		by = -1
	}
	if err := tallied(ctx, tx, id, turned, by); err != nil {
		return err
	}
	for _, key := range keys {
		c := counted{Practised: practice.Practised{Exercise: key.exercise, Item: key.item}}
		if err := c.replay(ctx, tx, id); err != nil {
			return err
		}
		if err := practisedKind.put(ctx, tx, id, []row{c.row()}); err != nil {
			return err
		}
	}
	return nil
}
