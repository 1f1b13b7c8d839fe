package store

import (
	"context"
	"database/sql"
	"fmt"
	"strconv"
	"strings"
	"time"

	"slotcast/forecast/practice"
	"slotcast/web/profile"
)

// practised are the items that the profile practised, in the order of their names.
func practised(ctx context.Context, tx querier, id profile.ID) ([]practice.Practised, error) {
	return rows(ctx, tx, id, "SELECT "+practisedColumns+" FROM practised WHERE profile = $1 ORDER BY exercise, item", func(scan scanner) (practice.Practised, error) {
		p, err := readPractised(scan)
		return p.Practised, err
	})
}

// counted is an item that was practised, with how many results it has, those withdrawn
// included.
type counted struct {
	practice.Practised
	results int
}

// practisedKind is the table of what results come to.
var practisedKind = kind{table: "practised", keys: []string{"exercise", "item"}, rest: []string{"results", "tries", "correct", "newest", "recent", "stability", "difficulty", "last_day", "due_after"}}

const practisedColumns = "exercise, item, results, tries, correct, newest, recent, stability, difficulty, last_day, due_after"

// row is the item as the table has it.
func (c *counted) row() row {
	newest := int64(0)
	if !c.Newest.IsZero() {
		newest = c.Newest.UnixMilli()
	}
	return row{
		[]any{c.Exercise.String(), string(c.Item)},
		[]any{c.results, c.Tries, c.Right, newest, writeTries(c.Recent), c.Memory.Stability, c.Memory.Difficulty, int(c.Memory.Last), c.Memory.Interval},
	}
}

func readPractised(scan scanner) (c counted, err error) {
	var newest int64
	var recent string
	err = scan((*exerciseName)(&c.Exercise), &c.Item, &c.results, &c.Tries, &c.Right, &newest, &recent, &c.Memory.Stability, &c.Memory.Difficulty, &c.Memory.Last, &c.Memory.Interval)
	if err != nil {
		return c, err
	}
	if newest != 0 {
		c.Newest = time.UnixMilli(newest).UTC()
	}
	c.Recent, err = readTries(recent)
	return c, err
}

// writeTries writes tries as text, each as when it was done and how long it took, in
// milliseconds, with + between them where it was right and - where it was wrong.
func writeTries(tries []practice.Try) string {
	var b []byte
	for i, t := range tries {
		if i > 0 {
			b = append(b, ' ')
		}
		b = strconv.AppendInt(b, t.At.UnixMilli(), 10)
		if t.Right {
			b = append(b, '+')
		} else {
			b = append(b, '-')
		}
		b = strconv.AppendInt(b, t.Took.Milliseconds(), 10)
	}
	return string(b)
}

// readTries undoes writeTries.
func readTries(text string) (tries []practice.Try, err error) {
	for one := range strings.FieldsSeq(text) {
		sign := strings.LastIndexAny(one, "+-")
		if sign < 0 {
			return nil, fmt.Errorf("“%s” is no try", one)
		}
		at, err := strconv.ParseInt(one[:sign], 10, 64)
		if err != nil {
			return nil, err
		}
		took, err := strconv.ParseInt(one[sign+1:], 10, 64)
		if err != nil {
			return nil, err
		}
		tries = append(tries, practice.Try{At: time.UnixMilli(at).UTC(), Took: time.Duration(took) * time.Millisecond, Right: one[sign] == '+'})
	}
	return tries, nil
}

// itemOf reads what is kept of an item; of one that was never practised that is nothing.
func itemOf(ctx context.Context, tx *sql.Tx, id profile.ID, e practice.Exercise, item practice.Item) (c counted, err error) {
	found, err := tx.QueryContext(ctx, "SELECT "+practisedColumns+" FROM practised WHERE profile = $1 AND exercise = $2 AND item = $3", id, e.String(), string(item))
	if err != nil {
		return c, err
	}
	c.Exercise, c.Item = e, item
	if found.Next() {
		c, err = readPractised(found.Scan)
	}
	return c, closed(found, err)
}

// replay works an item out anew from all its results, in the order in which they were done.
func (c *counted) replay(ctx context.Context, tx *sql.Tx, id profile.ID) error {
	found, err := tx.QueryContext(ctx, "SELECT "+resultColumns+" FROM results WHERE profile = $1 AND exercise = $2 AND item = $3 ORDER BY done, id", id, c.Exercise.String(), string(c.Item))
	if err != nil {
		return err
	}
	c.History, c.results = practice.History{}, 0
	for found.Next() {
		r, err := readResult(found.Scan)
		if err != nil {
			return closed(found, err)
		}
		c.results++
		if !r.Withdrawn {
			c.Add(r.Try, r.Grade)
		}
	}
	return closed(found, found.Err())
}

// exerciseName reads an exercise from its name.
type exerciseName practice.Exercise

// Scan is called by package sql.
func (n *exerciseName) Scan(value any) error {
	text, ok := value.(string)
	if !ok {
		return fmt.Errorf("%T is no name of an exercise", value)
	}
	e, err := practice.ParseExercise(text)
	*n = exerciseName(e)
	return err
}
