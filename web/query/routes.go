package query

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/routes"
	"slotcast/forecast/twoslots"
	"slotcast/web/problem"
)

// Bounds of the number of routes in an answer.
const (
	MaxRoutes     = 100
	DefaultRoutes = 20
)

// Routes is what routes are asked for.
type Routes struct {
	Case twoslots.Case
	// Hold is the rotation to do first, so that the cross is down; none for a case told by
	// its code.
	Hold cube.Hold
	// Puzzle is the whole position in that hold, nil for a case told by its code.
	Puzzle *cube.Cube
	Limit  int
	View   forecast.View
	// Seen says what of the case is known; Pair is the slot whose pair it is, where that is
	// all.
	Seen routes.Seen
	Pair lastslot.Slot
}

// Asked is the request for so many routes, 0 for all.
func (q Routes) Asked(limit int) routes.Request {
	return routes.Request{Case: q.Case, View: q.View, Seen: q.Seen, Pair: q.Pair, Limit: limit}
}

// RoutesParameters lists all that [ReadRoutes] reads.
var RoutesParameters = []string{"case", "scramble", "solution", "open", "limit", "view", "seen", "share"}

// ReadRoutes reads the parameters of routes. An error is a [*problem.Problem].
func ReadRoutes(values url.Values) (q Routes, err error) {
	for _, field := range RoutesParameters {
		if n := len(values[field]); n > 1 {
			return Routes{}, problem.Repeated(field, n)
		}
	}
	q.Limit = DefaultRoutes
	if values.Has("limit") {
		text := values.Get("limit")
		limit, err := strconv.ParseUint(text, 10, 16)
		if err != nil || limit < 1 || limit > MaxRoutes {
			return Routes{}, problem.BadSyntax("limit", 0, fmt.Sprintf("“%s” is no whole number from 1 to %d", problem.Shortened(text), MaxRoutes))
		}
		q.Limit = int(limit)
	}
	if q.View, err = readView(values); err != nil {
		return Routes{}, err
	}
	byCode, byScramble := values.Has("case"), values.Has("scramble")
	switch {
	case byCode && byScramble:
		return Routes{}, problem.BadRequest("case", "given beside scramble: give one of the two")
	case !byCode && !byScramble:
		return Routes{}, problem.BadRequest("scramble", "missing: give a scramble, or the code of a case")
	case byCode && values.Has("solution"):
		return Routes{}, problem.BadRequest("solution", "given beside case: a solution belongs to a scramble")
	case byCode && values.Has("open"):
		return Routes{}, problem.BadRequest("open", "given beside case: a code says which slots are open")
	case byCode:
		if q.Case, err = twoslots.ParseCode(values.Get("case")); err != nil {
			return Routes{}, problem.Parse("case", err)
		}
		return q, q.readSeen(values)
	}
	if err = q.readScramble(values); err != nil {
		return q, err
	}
	return q, q.readSeen(values)
}

// readSeen reads what of the case is seen: the pair of one of its slots is named by that.
func (q *Routes) readSeen(values url.Values) error {
	switch seen := values.Get("seen"); {
	case !values.Has("seen") || seen == "all":
		return nil
	case seen == "pairs":
		q.Seen = routes.SeenPairs
		return nil
	default:
		slot, err := lastslot.ParseSlot(seen)
		open := q.Case.Open.Slots()
		if err != nil || !slices.Contains(open[:], slot) {
			return problem.BadSyntax("seen", 0, fmt.Sprintf("“%s” is unknown: use all, pairs, %s or %s", problem.Shortened(seen), open[0], open[1]))
		}
		q.Seen, q.Pair = routes.SeenPair, slot
		return nil
	}
}

// readScramble finds the case in what scramble and solution make.
func (q *Routes) readScramble(values url.Values) error {
	puzzle, last, err := readPuzzle(values)
	if err != nil {
		return err
	}
	var open *twoslots.Open
	if values.Has("open") {
		named, err := twoslots.ParseOpen(values.Get("open"))
		if err != nil {
			return problem.NoSlots("open", values.Get("open"))
		}
		open = &named
	}
	found, err := twoslots.Find(puzzle, open)
	if other := (*twoslots.NotNamedError)(nil); errors.As(err, &other) {
		return &problem.Problem{Status: http.StatusUnprocessableEntity, Title: "Another slot is open", Detail: other.Error(), Field: "open"}
	}
	if unsolved := (*lastslot.UnsolvedError)(nil); errors.As(err, &unsolved) {
		return &problem.Problem{Status: http.StatusUnprocessableEntity, Title: "Not before the last two slots", Detail: unsolved.Error(), Field: last}
	}
	if err != nil {
		return fmt.Errorf("find the case: %w", err)
	}
	q.Case, q.Hold, q.Puzzle = found.Case, found.Hold, &found.Cube
	return nil
}
