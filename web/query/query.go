package query

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
)

// All takes the limit from a query that names none: a page folds what the
// interface would cut off.
func (q Query) All(asked url.Values) Query {
	if !asked.Has("limit") {
		q.Limit = 0
	}
	return q
}

// Bounds of the number of options in an answer.
const (
	MaxLimit     = 500
	DefaultLimit = 50
	// maxMaxCount is far more turns than any insertion has that is not a person's
	// own.
	MaxMaxCount = 100
)

// Query is what a forecast is asked for.
type Query struct {
	Case lastslot.Case
	// Hold is the rotation to do first, so that the cross is down; none for a case
	// told by its code.
	Hold cube.Hold
	// Puzzle is the whole position in that hold, nil for a case told by its code.
	Puzzle     *cube.Cube
	Limit      int
	PerPattern bool
	// Predicted asks for the forecast as if the person predicted every insertion.
	Predicted bool
	View      forecast.View
	Filter    forecast.Filter
	// Solved asks for the order by the time until all is solved, of a Puzzle.
	Solved bool
}

// Options are the forecast of whoever it is made for.
func (q Query) Options(f *forecast.Forecaster) []forecast.Option {
	if q.Predicted {
		f = f.Predicted()
	}
	request := forecast.Request{Case: q.Case, View: q.View, Filter: q.Filter, Limit: q.Limit, PerPattern: q.PerPattern}
	if q.Solved {
		return f.UntilSolved(request, *q.Puzzle)
	}
	return f.Forecast(request)
}

// OnPage is the query as a page asks it: where no view was asked for, with what the
// person knows first.
func (q Query) OnPage(asked url.Values) Query {
	if !asked.Has("view") {
		q.View = forecast.KnownFirst
	}
	return q
}

// Parameters lists all that [Read] reads.
var Parameters = append(slices.Clone(caseParameters), "until")

// caseParameters are those that say which case it is and how it is answered.
var caseParameters = []string{"case", "scramble", "solution", "slot", "limit", "per", "predicted", "view", "rotation", "hand", "max_count", "share"}

// Read reads the parameters of a forecast. An error is a [*problem.Problem]. A form
// sends its empty fields too; they count as given here.
func Read(values url.Values) (Query, error) {
	for _, field := range Parameters {
		if n := len(values[field]); n > 1 {
			return Query{}, problem.Repeated(field, n)
		}
	}
	q := Query{Limit: DefaultLimit}
	if err := q.readPosition(values); err != nil {
		return Query{}, err
	}
	if err := q.readAnswer(values); err != nil {
		return Query{}, err
	}
	return q, q.readUntil(values)
}

// readUntil reads until when the options' time counts.
func (q *Query) readUntil(values url.Values) error {
	if !values.Has("until") {
		return nil
	}
	switch until := values.Get("until"); {
	case until == "oriented":
	case until != "solved":
		return problem.BadSyntax("until", 0, fmt.Sprintf("“%s” is unknown: use oriented or solved", problem.Shortened(until)))
	case q.Puzzle == nil:
		return problem.BadRequest("until", "solved is given beside case: a code does not say where the last-layer pieces are; give a scramble")
	default:
		q.Solved = true
	}
	return nil
}

// About is what is asked about a case by those of the parameters that say how it is
// answered, or by those of them that are named. An error is a [*problem.Problem].
func About(c lastslot.Case, values url.Values, named ...string) (Query, error) {
	if len(named) == 0 {
		named = AnswerParameters
	}
	asked := url.Values{}
	for _, name := range named {
		if given, ok := values[name]; ok {
			asked[name] = given
		}
		if n := len(asked[name]); n > 1 {
			return Query{}, problem.Repeated(name, n)
		}
	}
	q := Query{Case: c, Limit: DefaultLimit}
	return q, q.readAnswer(asked)
}

// readAnswer reads how the case is answered.
func (q *Query) readAnswer(values url.Values) (err error) {
	if values.Has("limit") {
		if q.Limit, err = readLimit(values.Get("limit")); err != nil {
			return err
		}
	}
	if values.Has("per") {
		if per := values.Get("per"); per != "pattern" {
			return problem.BadSyntax("per", 0, fmt.Sprintf("“%s” is unknown: use pattern", problem.Shortened(per)))
		}
		q.PerPattern = true
	}
	if values.Has("predicted") {
		predicted := values.Get("predicted")
		if predicted != "true" && predicted != "false" {
			return problem.BadSyntax("predicted", 0, fmt.Sprintf("“%s” is unknown: use true or false", problem.Shortened(predicted)))
		}
		q.Predicted = predicted == "true"
	}
	if q.View, err = readView(values); err != nil {
		return err
	}
	q.Filter, err = readOnly(values)
	return err
}

// readView reads which insertions are offered: all where nothing is said.
func readView(values url.Values) (forecast.View, error) {
	if values.Has("view") {
		switch view := values.Get("view"); view {
		case "all":
		case "known":
			return forecast.Known, nil
		default:
			return 0, problem.BadSyntax("view", 0, fmt.Sprintf("“%s” is unknown: use all or known", problem.Shortened(view)))
		}
	}
	return forecast.All, nil
}

func readLimit(text string) (int, error) {
	limit, err := strconv.ParseUint(text, 10, 16)
	if err != nil || limit < 1 || limit > MaxLimit {
		return 0, problem.BadSyntax("limit", 0, fmt.Sprintf("“%s” is not a whole number from 1 to %d", problem.Shortened(text), MaxLimit))
	}
	return int(limit), nil
}

// Pattern reads the number of a pattern, of those from the first on. An error is a
// [*problem.Problem].
func Pattern(text string, first lastslot.Pattern) (lastslot.Pattern, error) {
	oll, err := strconv.ParseUint(text, 10, 8)
	if err != nil || oll < uint64(first) || oll >= lastslot.Patterns || text != strconv.FormatUint(oll, 10) {
		return 0, problem.NoPattern(text, first)
	}
	return lastslot.Pattern(oll), nil
}

// One reads a parameter that has to be there once.
func One(r *http.Request, field string) (string, error) {
	values, err := url.ParseQuery(r.URL.RawQuery)
	switch n := len(values[field]); {
	case err != nil:
		return "", problem.NotEncoded()
	case n == 0:
		return "", problem.BadRequest(field, "missing")
	case n > 1:
		return "", problem.Repeated(field, n)
	}
	return values.Get(field), nil
}

// NoPlace is what is said of a text that names no place.
func NoPlace(name string) string {
	return fmt.Sprintf("no place “%s”: a place is the slot, the sticker with the bottom colour of the pair’s corner and the one with the front or back colour of its edge, such as FR-UFR.R-UB.U", problem.Shortened(name))
}

// AnswerParameters say how a case is answered, not which it is.
var AnswerParameters = []string{"predicted", "limit", "per", "view", "rotation", "hand", "max_count"}
