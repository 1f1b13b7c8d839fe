package api

import (
	"net/http"
	"net/url"
	"strconv"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
	"slotcast/web/query"
)

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
		Track    int           `json:"track"`
		// Looks are those of a pattern that is not learnt; Gap says that nothing learnt orients
		// it.
		Looks []lookAnswer `json:"looks,omitempty"`
		Gap   bool         `json:"gap,omitempty"`
		// Predicted says that the profile predicts what the insertion leaves.
		Predicted bool          `json:"predicted"`
		Seconds   secondsAnswer `json:"seconds"`
		// Known says whether the profile knows the insertion, marked or assumed; of one that
		// it does not, Gain is what knowing it would gain here, nil without a profile.
		Known bool           `json:"known"`
		Gain  *secondsNumber `json:"gain,omitempty"`
		// PLL, its turns and the last AUF are there where they are asked for.
		PLL      *string `json:"pll,omitempty"`
		PLLTurns *string `json:"pll_turns,omitempty"`
		Last     *string `json:"last,omitempty"`
	}
	lookAnswer struct {
		OLL       lastslot.Pattern `json:"oll"`
		EdgesOnly bool             `json:"edges_only"`
		Then      string           `json:"then"`
		Sequence  string           `json:"sequence"`
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
		// PLL is nil where it is not asked for.
		PLL   *secondsNumber `json:"pll,omitempty"`
		Total secondsNumber  `json:"total"`
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
func answerForecast(q query.Query, options []forecast.Option, own bool) forecastAnswer {
	a := forecastAnswer{
		Case:    q.Case.Code(),
		Hold:    q.Hold.Turns().String(),
		Slot:    q.Case.Slot.String(),
		Options: make([]optionAnswer, len(options)),
	}
	for i, o := range options {
		a.Options[i] = answerOption(o, own)
	}
	return a
}

// answerOption tells an option; own is one of a profile.
func answerOption(o forecast.Option, own bool) optionAnswer {
	a := optionAnswer{
		Turns:     o.Turns.String(),
		Leaves:    answerOutcome(o.Leaves),
		Then:      o.Then.String(),
		Sequence:  o.Sequence.String(),
		Count:     o.Count,
		Track:     o.Track,
		Predicted: o.Predicted,
		Known:     o.Known,
		Seconds: secondsAnswer{
			Insert:    secondsNumber(o.Seconds.Insert()),
			Recognise: secondsNumber(o.Seconds.Recognise),
			Execute:   secondsNumber(o.Seconds.Execute()),
			Total:     secondsNumber(o.Seconds.Total()),
		},
	}
	a.Gap = o.Gap
	for _, look := range o.Looks {
		a.Looks = append(a.Looks, lookAnswer{look.Pattern, look.Edges, look.AUF.String(), look.Turns.String()})
	}
	if finish := o.Finish; finish != nil {
		a.PLL, a.PLLTurns, a.Last = new(finish.PLL.String()), new(finish.Turns.String()), new(finish.Last.String())
		a.Seconds.PLL = new(secondsNumber(o.Seconds.PLL))
	}
	if own && !o.Known {
		a.Gain = new(secondsNumber(o.Gain))
	}
	return a
}

func answerOutcome(o lastslot.Outcome) outcomeAnswer {
	return outcomeAnswer{OLL: o.Pattern(), Edges: o.Edges(), CornersOriented: o.CornersOriented(), Facing: o.Facing()}
}

// Forecast answers GET /api/v1/forecast.
func (s *Server) Forecast(w http.ResponseWriter, r *http.Request) error {
	asked, err := s.readAsked(w, r)
	if err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, answerForecast(asked.Query, asked.Options(asked.forecaster), asked.own))
	return nil
}

// asked is for which case, and for whom, options are asked for.
type asked struct {
	query.Query
	values     url.Values
	forecaster *forecast.Forecaster
	own        bool // the forecaster is a profile's
}

// readAsked reads what is asked, and says how the answer may be cached.
func (s *Server) readAsked(w http.ResponseWriter, r *http.Request) (a asked, err error) {
	// Unlike URL.Query it does not pass over what it cannot decode.
	if a.values, err = url.ParseQuery(r.URL.RawQuery); err != nil {
		return asked{}, problem.NotEncoded()
	}
	if a.Query, err = query.Read(a.values); err != nil {
		return asked{}, err
	}
	if a.forecaster, a.own, err = s.sessions.ForecasterFor(r, a.values); err != nil {
		return asked{}, err
	}
	// The estimates change with the program.
	w.Header().Set("Cache-Control", "no-cache")
	if a.own {
		w.Header().Set("Cache-Control", "private, no-cache")
	}
	return a, nil
}

// Patterns answers GET /api/v1/patterns.
func (s *Server) Patterns(w http.ResponseWriter, _ *http.Request) error {
	var a patternsAnswer
	for p := range lastslot.Pattern(lastslot.Patterns) {
		a.Patterns = append(a.Patterns, patternAnswer{answerOutcome(p.Outcome()), s.book.FollowUp(p).String()})
	}
	w.Header().Set("Cache-Control", "no-cache")
	problem.WriteJSON(w, http.StatusOK, a)
	return nil
}
