package profile

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
)

// CheckPattern is the pattern with the number, of those from the first on.
func CheckPattern(oll *int, first lastslot.Pattern) (lastslot.Pattern, error) {
	switch {
	case oll == nil:
		return 0, problem.BadRequest("oll", "missing: the number of a pattern")
	case *oll < int(first) || *oll >= lastslot.Patterns:
		return 0, problem.NoPattern(strconv.Itoa(*oll), first)
	}
	return lastslot.Pattern(*oll), nil
}

// CheckRating is a rating, 0 for none.
func CheckRating(field string, rating *int) (int, error) {
	switch {
	case rating == nil:
		return 0, nil
	case *rating < 1 || *rating > 5:
		return 0, problem.BadRequest(field, fmt.Sprintf("%d is not a rating: use 1 (weak) to 5 (strong)", *rating))
	}
	return *rating, nil
}

// LongestTime is more than any part of a last slot takes anyone who times it.
const LongestTime = time.Minute

// CheckSeconds is a time that somebody measured, 0 for none.
func CheckSeconds(field string, seconds *float64) (time.Duration, error) {
	if seconds == nil {
		return 0, nil
	}
	ms := math.Round(*seconds * 1000)
	if !(ms >= 1 && *seconds <= LongestTime.Seconds()) {
		return 0, problem.BadRequest(field, fmt.Sprintf("%v seconds: a time is more than 0 and at most %v", *seconds, LongestTime.Seconds()))
	}
	return time.Duration(ms) * time.Millisecond, nil
}

// WrittenSeconds and writtenRating are a record's values as they are written: nil for none.
func WrittenSeconds(d time.Duration) *float64 {
	if d == 0 {
		return nil
	}
	s := float64(d.Milliseconds()) / 1000
	return &s
}

// WrittenRating is explained at WrittenSeconds.
func WrittenRating(n int) *int {
	if n == 0 {
		return nil
	}
	return &n
}

// LongestOwn is the most turns that a sequence of one's own may have; nobody
// executes a last slot or OLL half as long.
const LongestOwn = 100

// CheckTurns reads a sequence of the person’s own.
func CheckTurns(text string) (cube.Sequence, error) {
	turns, err := cube.Parse(text)
	if err != nil {
		return nil, problem.Parse("turns", err)
	}
	switch {
	case len(turns) == 0:
		return nil, problem.BadSyntax("turns", 0, "no turns in it")
	case len(turns) > LongestOwn:
		return nil, problem.BadRequest("turns", fmt.Sprintf("%d turns; your own may have at most %d", len(turns), LongestOwn))
	}
	return turns, nil
}
