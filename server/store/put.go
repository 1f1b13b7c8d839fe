package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"

	"slotcast/web/profile"
)

// row is a record as a table has it: what tells it from the profile's others, and
// what else it says.
type row struct{ key, rest []any }

// kind is a table with one kind of record, and what is in it of a profile's records.
type kind struct {
	table      string
	keys, rest []string
	rows       func(profile.Records) []row
	// stays are those of the rest that only a new row takes.
	stays []string
}

// kinds are all but the cases looked up and the results, which depend on each other.
var kinds = []kind{
	{"scale", []string{"step", "rating"}, []string{"thousandths"}, func(r profile.Records) []row {
		return each(r.Scale, func(s profile.ScaleStep) row {
			return row{[]any{s.Step.String(), s.Rating}, []any{thousandths(s)}}
		})
	}, nil},
	{"ratings", []string{"pattern", "step"}, []string{"rating", "milliseconds"}, func(r profile.Records) []row {
		return each(r.Ratings, func(r profile.Rating) row {
			return row{[]any{r.Pattern, r.Step.String()}, []any{r.Rating, r.Time.Milliseconds()}}
		})
	}, nil},
	{"learnt", []string{"pattern"}, []string{"learnt"}, func(r profile.Records) []row {
		return each(r.Learnt, func(l profile.Learnt) row { return row{[]any{l.Pattern}, []any{l.Learnt}} })
	}, nil},
	{"pll_ratings", []string{"pll"}, []string{"rating"}, func(r profile.Records) []row {
		return each(r.PLLRatings, func(p profile.PLLRating) row { return row{[]any{p.PLL.String()}, []any{p.Rating}} })
	}, nil},
	{"pll_sequences", []string{"pll"}, []string{"turns"}, func(r profile.Records) []row {
		return each(r.PLLSequences, func(p profile.PLLSequence) row { return row{[]any{p.PLL.String()}, []any{p.Turns}} })
	}, nil},
	{"names", []string{"pattern"}, []string{"name"}, func(r profile.Records) []row {
		return each(r.Names, func(n profile.Name) row { return row{[]any{n.Pattern}, []any{n.Name}} })
	}, nil},
	{"sequences", []string{"pattern", "turns"}, nil, func(r profile.Records) []row {
		return each(r.Sequences, func(s profile.OwnSequence) row { return row{[]any{s.Pattern, s.Turns}, nil} })
	}, nil},
	{"insertions", []string{"slot", "turns"}, []string{"own", "known", "predicted", "hidden", "rating", "milliseconds"}, func(r profile.Records) []row {
		return each(r.Insertions, func(i profile.OwnInsertion) row {
			return row{[]any{i.Slot.String(), i.Turns}, []any{i.Own, i.Known, i.Predict, i.Hidden, i.Rating, i.Time.Milliseconds()}}
		})
	}, nil},
	{"steps", []string{"open", "turns"}, []string{"known", "hidden", "milliseconds"}, func(r profile.Records) []row {
		return each(r.Steps, func(s profile.OwnStep) row {
			return row{[]any{s.Open.String(), s.Turns}, []any{s.Known, s.Hidden, s.Time.Milliseconds()}}
		})
	}, nil},
	{"preferences", []string{"name"}, []string{"value"}, func(r profile.Records) []row {
		return each(r.Preferences, func(p profile.Preference) row { return row{[]any{p.Name}, []any{p.Value}} })
	}, nil},
	{"expected", []string{"day"}, []string{"milliseconds"}, func(r profile.Records) []row {
		return each(r.Expected, func(e profile.Expected) row { return row{[]any{int(e.Day)}, []any{e.Total.Milliseconds()}} })
	}, []string{"milliseconds"}},
	{"kept_cases", []string{"code"}, []string{"note", "since"}, func(r profile.Records) []row {
		return each(r.Kept, func(k profile.KeptCase) row { return row{[]any{k.Code}, []any{k.Note, k.Since.Unix()}} })
	}, []string{"since"}},
}

func each[R, T any](records []R, of func(R) T) []T {
	all := make([]T, len(records))
	for n, one := range records {
		all[n] = of(one)
	}
	return all
}

// putting adds the records, each in place of the one with the same key.
func putting(ctx context.Context, tx *sql.Tx, id profile.ID, r profile.Records) error {
	before, err := count(ctx, tx, id, r)
	if err != nil {
		return err
	}
	for _, k := range kinds {
		if err := k.put(ctx, tx, id, k.rows(r)); err != nil {
			return err
		}
	}
	if len(r.Results) > 0 {
		if _, err := addResults(ctx, tx, id, r.Results); err != nil {
			return err
		}
	}
	if len(r.Recent) > 0 {
		known, err := recent(ctx, tx, id)
		if err != nil {
			return err
		}
		if err := look(ctx, tx, id, known, r.Recent...); err != nil {
			return err
		}
	}
	return before.room(ctx, tx, id, r)
}

// removing removes the records with these keys.
func removing(ctx context.Context, tx *sql.Tx, id profile.ID, r profile.Records) error {
	for _, k := range kinds {
		if err := k.remove(ctx, tx, id, k.rows(r)); err != nil {
			return err
		}
	}
	if err := withdraw(ctx, tx, id, each(r.Results, func(r profile.Result) string { return r.ID }), true); err != nil {
		return err
	}
	return recentKind.remove(ctx, tx, id, each(r.Recent, func(c profile.RecentCase) row { return row{key: []any{c.Code}} }))
}

// put adds the rows, each in place of the one with the same key. Of rows with the
// same key the last counts: a statement may not touch one twice.
func (k kind) put(ctx context.Context, tx *sql.Tx, id profile.ID, rows []row) error {
	var last [][]any
	at := map[string]int{}
	for _, r := range rows {
		values := slices.Concat(r.key, r.rest)
		key := fmt.Sprintf("%q", r.key)
		if n, twice := at[key]; twice {
			last[n] = values
			continue
		}
		at[key] = len(last)
		last = append(last, values)
	}
	for _, n := range atOnce {
		whole := len(last) / n * n
		if err := k.insert(ctx, tx, id, last[:whole], n); err != nil {
			return err
		}
		last = last[whole:]
	}
	return nil
}

// atOnce is how many rows one statement has, the most first. Few numbers make few
// statements for the database to remember; and SQLite finds a parameter by going
// through all of them, so that with more at once a row takes longer. With eight values
// a row it is far from what the databases take (32,766 and 65,535).
var atOnce = [...]int{32, 8, 1}

// insert adds the rows, n with each statement, which is read once.
func (k kind) insert(ctx context.Context, tx *sql.Tx, id profile.ID, rows [][]any, n int) (err error) {
	run := func(values []any) error {
		_, err := tx.ExecContext(ctx, k.insertion(n), values...)
		return err
	}
	if len(rows) > n {
		statement, failed := tx.PrepareContext(ctx, k.insertion(n))
		if failed != nil {
			return failed
		}
		defer func() { err = errors.Join(err, statement.Close()) }()
		run = func(values []any) error {
			_, err := statement.ExecContext(ctx, values...)
			return err
		}
	}
	for some := range slices.Chunk(rows, n) {
		if err := run(append([]any{id}, slices.Concat(some...)...)); err != nil {
			return err
		}
	}
	return nil
}

// insertion is the statement that adds n rows; the profile is its first value.
func (k kind) insertion(n int) string {
	columns := slices.Concat(k.keys, k.rest)
	var rows, set []string
	for row := range n {
		values := "($1"
		for column := range columns {
			values += fmt.Sprintf(", $%d", 2+row*len(columns)+column)
		}
		rows = append(rows, values+")")
	}
	for _, column := range k.rest {
		if !slices.Contains(k.stays, column) {
			set = append(set, column+" = excluded."+column)
		}
	}
	otherwise := "NOTHING"
	if len(set) > 0 {
		otherwise = "UPDATE SET " + strings.Join(set, ", ")
	}
	return fmt.Sprintf("INSERT INTO %s (profile, %s) VALUES %s ON CONFLICT (profile, %s) DO %s",
		k.table, strings.Join(columns, ", "), strings.Join(rows, ", "), strings.Join(k.keys, ", "), otherwise)
}

// remove removes the rows with these keys.
func (k kind) remove(ctx context.Context, tx *sql.Tx, id profile.ID, rows []row) error {
	query := "DELETE FROM " + k.table + " WHERE profile = $1" // #nosec G202 -- tables are named above, by the program alone
	for n, column := range k.keys {
		query += fmt.Sprintf(" AND %s = $%d", column, n+2)
	}
	for _, r := range rows {
		if _, err := tx.ExecContext(ctx, query, append([]any{id}, r.key...)...); err != nil {
			return err
		}
	}
	return nil
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
	{func(r profile.Records) bool { return len(r.Steps) > 0 }, "SELECT COUNT(*) FROM steps WHERE profile = $1", profile.FullError{Kind: "steps", Max: profile.MaxSteps}},
	{func(r profile.Records) bool { return len(r.Kept) > 0 }, "SELECT COUNT(*) FROM kept_cases WHERE profile = $1", profile.FullError{Kind: "cases", Max: profile.MaxKept}},
	{func(r profile.Records) bool { return len(r.Expected) > 0 }, "SELECT COUNT(*) FROM expected WHERE profile = $1", profile.FullError{Kind: "days on which a solve was expected", Max: profile.MaxExpected}},
	{func(r profile.Records) bool { return len(r.Results) > 0 }, "SELECT CAST(COALESCE(SUM(results), 0) AS BIGINT) FROM practised WHERE profile = $1", profile.FullError{Kind: "results", Max: profile.MaxResults}},
	{func(r profile.Records) bool { return len(r.Results) > 0 }, "SELECT COUNT(*) FROM practised WHERE profile = $1", profile.FullError{Kind: "items to practise", Max: profile.MaxPractised}},
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
