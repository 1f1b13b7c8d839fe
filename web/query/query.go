package query

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"slotcast/cube"
	"slotcast/forecast"
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
	Case forecast.Case
	// Hold is the rotation to do first, so that the cross is down; none for a case
	// told by its code.
	Hold cube.Hold
	// Puzzle is the whole position in that hold, nil for a case told by its code.
	Puzzle     *cube.Cube
	Limit      int
	PerPattern bool
	// Predicted says that the pattern is recognised in advance.
	Predicted bool
	View      forecast.View
	Only      forecast.Only
}

// Options are the forecast of whoever it is made for.
func (q Query) Options(f *forecast.Forecaster) []forecast.Option {
	if q.Predicted {
		f = f.Predicted()
	}
	return f.Forecast(forecast.Request{Case: q.Case, View: q.View, Only: q.Only, Limit: q.Limit, PerPattern: q.PerPattern})
}

// Parameters lists all that [Read] reads.
var Parameters = []string{"case", "scramble", "solution", "slot", "limit", "per", "predicted", "view", "rotation", "hand", "max_count", "share"}

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
	if values.Has("limit") {
		limit, err := readLimit(values.Get("limit"))
		if err != nil {
			return Query{}, err
		}
		q.Limit = limit
	}
	if values.Has("per") {
		if per := values.Get("per"); per != "pattern" {
			return Query{}, problem.BadSyntax("per", 0, fmt.Sprintf("“%s” is unknown; it can be pattern", problem.Shortened(per)))
		}
		q.PerPattern = true
	}
	if values.Has("predicted") {
		predicted := values.Get("predicted")
		if predicted != "true" && predicted != "false" {
			return Query{}, problem.BadSyntax("predicted", 0, fmt.Sprintf("“%s” is unknown; it can be true or false", problem.Shortened(predicted)))
		}
		q.Predicted = predicted == "true"
	}
	if values.Has("view") {
		switch view := values.Get("view"); view {
		case "all":
		case "known":
			q.View = forecast.Known
		default:
			return Query{}, problem.BadSyntax("view", 0, fmt.Sprintf("“%s” is unknown; it can be all or known", problem.Shortened(view)))
		}
	}
	only, err := readOnly(values)
	q.Only = only
	return q, err
}

func readLimit(text string) (int, error) {
	limit, err := strconv.ParseUint(text, 10, 16)
	if err != nil || limit < 1 || limit > MaxLimit {
		return 0, problem.BadSyntax("limit", 0, fmt.Sprintf("“%s” is no whole number from 1 to %d", problem.Shortened(text), MaxLimit))
	}
	return int(limit), nil
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

func NoPlace(name string) string {
	return fmt.Sprintf("no place “%s”: a place is the slot, the sticker with the bottom colour of the pair’s corner and the one with the front or back colour of its edge, such as FR-UFR.R-UB.U", problem.Shortened(name))
}

// AnswerParameters say how a case is answered, not which it is.
var AnswerParameters = []string{"predicted", "limit", "per", "view", "rotation", "hand", "max_count"}
