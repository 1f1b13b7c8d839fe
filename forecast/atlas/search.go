package atlas

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// Search finds a shortest insertion for every pair, and reports each length
// when it is exhausted, and every now and then how far it is. Of equally short ones
// it takes the one that is the easiest for two hands, so that it always finds the
// same.
func Search(ctx context.Context, exhausted func(Level), progress func(Progress)) (*Found, error) {
	return searchTo(ctx, longestRow, exhausted, progress)
}

var errTooShort = errors.New("not every pair has an insertion of so few turns")

// searchTo gives errTooShort, and what was found, where more turns than the
// limit are needed.
func searchTo(ctx context.Context, limit int, exhausted func(Level), progress func(Progress)) (*Found, error) {
	start := time.Now()
	f := newFilling()
	pace := &pace{report: progress, pairs: &f.pairs}
	f.fillFrom(mapOf(nil), nil)
	level := Level{Rows: 1, Maps: 1}
	f.count(&level, 0)
	level.Took = time.Since(start)
	exhausted(level)
	f.found.Levels = append(f.found.Levels, level)
	var halves *halfTable
	for length := 1; f.left > 0; length++ {
		if length > limit {
			return &f.found, fmt.Errorf("%w: %d", errTooShort, limit)
		}
		if second := length / 2; halves == nil || halves.length != second {
			halves = nil // the garbage collector can have it before the next is made
			var err error
			if halves, err = newHalfTable(ctx, second); err != nil {
				return nil, err
			}
		}
		pace.begin(length)
		rows, err := halves.rowsOf(ctx, length, pace)
		if err != nil {
			return nil, err
		}
		level := Level{Turns: length, Rows: len(rows)}
		if err := f.fill(ctx, rows, &level, pace); err != nil {
			return nil, err
		}
		level.Took = time.Since(start)
		exhausted(level)
		f.found.Levels = append(f.found.Levels, level)
	}
	return &f.found, nil
}
