package query

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
)

// readPosition reads which case the query is about.
func (q *Query) readPosition(values url.Values) error {
	byCode, byScramble := values.Has("case"), values.Has("scramble")
	switch {
	case byCode && byScramble:
		return problem.BadRequest("case", "given beside scramble: give one of the two")
	case !byCode && !byScramble:
		return problem.BadRequest("scramble", "missing: give a scramble, or the code of a case")
	case byCode && values.Has("solution"):
		return problem.BadRequest("solution", "given beside case: a solution belongs to a scramble")
	case byCode && values.Has("slot"):
		return problem.BadRequest("slot", "given beside case: a code says which slot is open")
	case byCode:
		return q.readCode(values.Get("case"))
	}
	return q.readScramble(values)
}

func (q *Query) readCode(code string) error {
	c, err := lastslot.ParseCode(code)
	if err != nil {
		return problem.Parse("case", err)
	}
	q.Case = c
	return nil
}

// readScramble does the scramble and the solution, and finds the case in what
// they make.
func (q *Query) readScramble(values url.Values) error {
	puzzle, last, err := readPuzzle(values)
	if err != nil {
		return err
	}
	var slot *lastslot.Slot
	if values.Has("slot") {
		named, err := lastslot.ParseSlot(values.Get("slot"))
		if err != nil {
			return problem.NoSlot(values.Get("slot"))
		}
		slot = &named
	}
	found, err := lastslot.Find(puzzle, slot)
	if unsolved := (*lastslot.UnsolvedError)(nil); errors.As(err, &unsolved) {
		if slot != nil {
			// With another slot, or none named, it may well be a position.
			if _, err := lastslot.Find(puzzle, nil); err == nil {
				last = "slot"
			}
		}
		return &problem.Problem{Status: http.StatusUnprocessableEntity, Title: "Not before the last slot", Detail: unsolved.Error(), Field: last, Cause: unsolved}
	}
	if err != nil {
		return fmt.Errorf("find the case: %w", err)
	}
	q.Case, q.Hold, q.Puzzle = found.Case, found.Hold, &found.Cube
	return nil
}

// readPuzzle does the scramble and the solution; last is the parameter that was done last.
func readPuzzle(values url.Values) (puzzle cube.Cube, last string, err error) {
	puzzle = cube.Solved
	for _, field := range []string{"scramble", "solution"} {
		if field == "solution" && !values.Has(field) {
			break
		}
		turns, err := readSequence(values, field)
		if err != nil {
			return puzzle, field, err
		}
		puzzle, last = puzzle.Do(turns), field
	}
	return puzzle, last, nil
}

// readSequence reads a parameter that must have turns.
func readSequence(values url.Values, field string) (cube.Sequence, error) {
	turns, err := cube.Parse(values.Get(field))
	if err != nil {
		return nil, problem.Parse(field, err)
	}
	if len(turns) == 0 {
		return nil, problem.BadSyntax(field, 0, "no turns in it")
	}
	return turns, nil
}

// PositionValues are the parameters that tell a whole position, without those that
// are empty.
func PositionValues(values url.Values) url.Values {
	told := url.Values{}
	for _, name := range []string{"scramble", "solution", "slot"} {
		if v, ok := values[name]; ok && (name == "scramble" || values.Get(name) != "") {
			told[name] = v
		}
	}
	return told
}
