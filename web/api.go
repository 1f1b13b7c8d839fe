package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// Bounds of the number of options in an answer.
const (
	maxLimit     = 500
	defaultLimit = 50
	// maxMaxCount is far more turns than any insertion has that is not a person's
	// own.
	maxMaxCount = 100
)

// query is what a forecast is asked for.
type query struct {
	Case lastslot.Case
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
	Only      forecast.Filter
}

// options are the forecast of whoever it is made for.
func (q query) options(f *forecast.Forecaster) []forecast.Option {
	if q.Predicted {
		f = f.Predicted()
	}
	return f.Forecast(forecast.Request{Case: q.Case, View: q.View, Filter: q.Only, Limit: q.Limit, PerPattern: q.PerPattern})
}

// parameters lists all that [readQuery] reads.
var parameters = []string{"case", "scramble", "solution", "slot", "limit", "per", "predicted", "view", "rotation", "hand", "max_count", "share"}

// readQuery reads the parameters of a forecast. An error is a [*problem]. A form
// sends its empty fields too; they count as given here.
func readQuery(values url.Values) (query, error) {
	for _, field := range parameters {
		if n := len(values[field]); n > 1 {
			return query{}, unclear(field, fmt.Sprintf("given %d times; once is enough", n))
		}
	}
	q := query{Limit: defaultLimit}
	if err := q.readPosition(values); err != nil {
		return query{}, err
	}
	if values.Has("limit") {
		limit, err := readLimit(values.Get("limit"))
		if err != nil {
			return query{}, err
		}
		q.Limit = limit
	}
	if values.Has("per") {
		if per := values.Get("per"); per != "pattern" {
			return query{}, unreadable("per", 0, fmt.Sprintf("“%s” is unknown; it can be pattern", shortened(per)))
		}
		q.PerPattern = true
	}
	if values.Has("predicted") {
		predicted := values.Get("predicted")
		if predicted != "true" && predicted != "false" {
			return query{}, unreadable("predicted", 0, fmt.Sprintf("“%s” is unknown; it can be true or false", shortened(predicted)))
		}
		q.Predicted = predicted == "true"
	}
	if values.Has("view") {
		switch view := values.Get("view"); view {
		case "all":
		case "known":
			q.View = forecast.Known
		default:
			return query{}, unreadable("view", 0, fmt.Sprintf("“%s” is unknown; it can be all or known", shortened(view)))
		}
	}
	only, err := readOnly(values)
	q.Only = only
	return q, err
}

// readOnly reads which of the ways are offered.
func readOnly(values url.Values) (only forecast.Filter, err error) {
	if values.Has("rotation") {
		if rotation := values.Get("rotation"); rotation != "none" {
			return only, unreadable("rotation", 0, fmt.Sprintf("“%s” is unknown; it can be none", shortened(rotation)))
		}
		only.NoRotation = true
	}
	if values.Has("hand") {
		switch hand := values.Get("hand"); hand {
		case "right":
			only.Side = forecast.RightSide
		case "left":
			only.Side = forecast.LeftSide
		default:
			return only, unreadable("hand", 0, fmt.Sprintf("“%s” is unknown; it can be right or left", shortened(hand)))
		}
	}
	if values.Has("max_count") {
		text := values.Get("max_count")
		most, err := strconv.ParseUint(text, 10, 16)
		if err != nil || most < 1 || most > maxMaxCount {
			return only, unreadable("max_count", 0, fmt.Sprintf("“%s” is no whole number from 1 to %d", shortened(text), maxMaxCount))
		}
		only.MaxCount = int(most)
	}
	return only, nil
}

// readPosition reads which case the query is about.
func (q *query) readPosition(values url.Values) error {
	byCode, byScramble := values.Has("case"), values.Has("scramble")
	switch {
	case byCode && byScramble:
		return unclear("case", "given beside scramble: give one of the two")
	case !byCode && !byScramble:
		return unclear("scramble", "missing: give a scramble, or the code of a case")
	case byCode && values.Has("solution"):
		return unclear("solution", "given beside case: a solution belongs to a scramble")
	case byCode && values.Has("slot"):
		return unclear("slot", "given beside case: a code says which slot is open")
	case byCode:
		return q.readCode(values.Get("case"))
	}
	return q.readScramble(values)
}

func (q *query) readCode(code string) error {
	c, err := lastslot.ParseCode(code)
	if wrong := (*lastslot.CodeError)(nil); errors.As(err, &wrong) {
		return unreadable("case", wrong.Offset, wrong.Error())
	}
	if err != nil {
		return fmt.Errorf("read a code: %w", err)
	}
	q.Case = c
	return nil
}

// readScramble does the scramble and the solution, and finds the case in what
// they make.
func (q *query) readScramble(values url.Values) error {
	last := "scramble"
	turns, err := readSequence(values, last)
	if err != nil {
		return err
	}
	puzzle := turns.Cube()
	if values.Has("solution") {
		last = "solution"
		turns, err := readSequence(values, last)
		if err != nil {
			return err
		}
		puzzle = puzzle.Do(turns)
	}
	var slot *lastslot.Slot
	if values.Has("slot") {
		named, err := lastslot.ParseSlot(values.Get("slot"))
		if err != nil {
			return unreadable("slot", 0, fmt.Sprintf("no slot “%s”: a slot is FR, FL, BL or BR", shortened(values.Get("slot"))))
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
		return &problem{Status: http.StatusUnprocessableEntity, Title: "Not before the last slot", Detail: unsolved.Error(), Field: last}
	}
	if err != nil {
		return fmt.Errorf("find the case: %w", err)
	}
	q.Case, q.Hold, q.Puzzle = found.Case, found.Hold, &found.Cube
	return nil
}

// readSequence reads a parameter that must have turns.
func readSequence(values url.Values, field string) (cube.Sequence, error) {
	turns, err := cube.Parse(values.Get(field))
	if wrong := (*cube.ParseError)(nil); errors.As(err, &wrong) {
		return nil, unreadable(field, wrong.Offset, wrong.Error())
	}
	if err != nil {
		return nil, fmt.Errorf("read a sequence: %w", err)
	}
	if len(turns) == 0 {
		return nil, unreadable(field, 0, "no turns in it")
	}
	return turns, nil
}

func readLimit(text string) (int, error) {
	limit, err := strconv.ParseUint(text, 10, 16)
	if err != nil || limit < 1 || limit > maxLimit {
		return 0, unreadable("limit", 0, fmt.Sprintf("“%s” is no whole number from 1 to %d", shortened(text), maxLimit))
	}
	return int(limit), nil
}

// unreadable is the problem that a parameter cannot be read from the offset on.
func unreadable(field string, offset int, detail string) *problem {
	return &problem{Status: http.StatusBadRequest, Title: "Cannot be read", Detail: detail, Field: field, Offset: &offset}
}

// unclear is the problem that it cannot be told what is asked for, because of a
// parameter that is missing, given twice or beside one that excludes it.
func unclear(field, detail string) *problem {
	return &problem{Status: http.StatusBadRequest, Title: "Cannot be read", Detail: detail, Field: field}
}

// The answers as JSON. Their words are those of the pages.
type (
	forecastAnswer struct {
		Case    string         `json:"case"`
		Hold    string         `json:"hold"`
		Slot    string         `json:"slot"`
		Options []optionAnswer `json:"options"`
	}
	insertionsAnswer struct {
		forecastAnswer
		Ways     int    `json:"ways"`
		Searched string `json:"searched"`
	}
	optionAnswer struct {
		Turns    string        `json:"turns"`
		Leaves   outcomeAnswer `json:"leaves"`
		Then     string        `json:"then"`
		Sequence string        `json:"sequence"`
		Count    int           `json:"count"`
		Seconds  secondsAnswer `json:"seconds"`
		// Known says whether the profile knows the insertion; of one that it does not,
		// Gain is what knowing it would gain here. Both are nil without a profile.
		Known *bool          `json:"known,omitempty"`
		Gain  *secondsNumber `json:"gain,omitempty"`
	}
	outcomeAnswer struct {
		OLL             lastslot.Pattern `json:"oll"`
		Edges           lastslot.Edges   `json:"edges"`
		CornersOriented int              `json:"corners_oriented"`
		Facing          string           `json:"facing"`
	}
	secondsAnswer struct {
		Insert    secondsNumber `json:"insert"`
		Recognise secondsNumber `json:"recognise"`
		Execute   secondsNumber `json:"execute"`
		Total     secondsNumber `json:"total"`
	}
	patternsAnswer struct {
		Patterns []patternAnswer `json:"patterns"`
	}
	patternAnswer struct {
		outcomeAnswer
		Sequence string `json:"sequence"`
	}
	healthAnswer struct {
		Status string `json:"status"`
	}
)

// secondsNumber is a time that is written in seconds to the millisecond.
type secondsNumber time.Duration

// MarshalJSON writes whole milliseconds, so that a total is exactly the sum of
// its parts.
func (s secondsNumber) MarshalJSON() ([]byte, error) {
	return strconv.AppendFloat(nil, float64(time.Duration(s).Milliseconds())/1000, 'f', -1, 64), nil
}

// answerForecast tells the options; own ones are of a profile.
func answerForecast(q query, options []forecast.Option, own bool) forecastAnswer {
	a := forecastAnswer{
		Case:    q.Case.Code(),
		Hold:    q.Hold.Turns().String(),
		Slot:    q.Case.Slot.String(),
		Options: make([]optionAnswer, len(options)),
	}
	for i, o := range options {
		a.Options[i] = optionAnswer{
			Turns:    o.Turns.String(),
			Leaves:   answerOutcome(o.Leaves),
			Then:     o.Then.String(),
			Sequence: o.Sequence.String(),
			Count:    o.Count,
			Seconds: secondsAnswer{
				Insert:    secondsNumber(o.Seconds.Insert()),
				Recognise: secondsNumber(o.Seconds.Recognise),
				Execute:   secondsNumber(o.Seconds.Execute()),
				Total:     secondsNumber(o.Seconds.Total()),
			},
		}
		if own {
			a.Options[i].Known = new(o.Known)
			if !o.Known {
				a.Options[i].Gain = new(secondsNumber(o.Gain))
			}
		}
	}
	return a
}

func answerOutcome(o lastslot.Outcome) outcomeAnswer {
	return outcomeAnswer{OLL: o.Pattern(), Edges: o.Edges(), CornersOriented: o.CornersOriented(), Facing: o.Facing()}
}

// forecastAPI answers GET /api/v1/forecast.
func (s *site) forecastAPI(w http.ResponseWriter, r *http.Request) error {
	asked, err := s.readAsked(w, r)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, answerForecast(asked.query, asked.options(asked.forecaster), asked.own))
	return nil
}

// asked is for which case, and for whom, options are asked for.
type asked struct {
	query
	values     url.Values
	forecaster *forecast.Forecaster
	own        bool // the forecaster is a profile's
}

// readAsked reads what is asked, and says how the answer may be cached.
func (s *site) readAsked(w http.ResponseWriter, r *http.Request) (a asked, err error) {
	// Unlike URL.Query it does not pass over what it cannot decode.
	if a.values, err = url.ParseQuery(r.URL.RawQuery); err != nil {
		return asked{}, &problem{Status: http.StatusBadRequest, Title: "Cannot be read", Detail: "the address's parameters are not encoded as they should be; a “;” is %3B, a “%” is %25"}
	}
	if a.query, err = readQuery(a.values); err != nil {
		return asked{}, err
	}
	if a.forecaster, a.own, err = s.forecasterFor(r, a.values, a.View); err != nil {
		return asked{}, err
	}
	// The estimates change with the program.
	w.Header().Set("Cache-Control", "no-cache")
	if a.own {
		w.Header().Set("Cache-Control", "private, no-cache")
	}
	return a, nil
}

// patternsAPI answers GET /api/v1/patterns.
func (s *site) patternsAPI(w http.ResponseWriter, _ *http.Request) error {
	var a patternsAnswer
	for p := range lastslot.Pattern(lastslot.Patterns) {
		a.Patterns = append(a.Patterns, patternAnswer{answerOutcome(p.Outcome()), s.Book.FollowUp(p).String()})
	}
	w.Header().Set("Cache-Control", "no-cache")
	writeJSON(w, http.StatusOK, a)
	return nil
}

// healthTimeout is how long the database may take to answer: whoever asks
// whether the program is well asks again soon.
const healthTimeout = 5 * time.Second

// healthz answers GET /healthz.
func (s *site) healthz(w http.ResponseWriter, r *http.Request) error {
	ctx, cancel := context.WithTimeout(r.Context(), healthTimeout)
	defer cancel()
	if err := s.Healthy(ctx); err != nil {
		return errors.Join(&problem{Status: http.StatusServiceUnavailable, Detail: "the database does not answer"}, err)
	}
	w.Header().Set("Cache-Control", "no-store")
	writeJSON(w, http.StatusOK, healthAnswer{"ok"})
	return nil
}
