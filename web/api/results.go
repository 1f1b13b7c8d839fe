package api

import (
	"fmt"
	"net/http"
	"strconv"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast/practice"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
)

// How many results are answered at once.
const (
	usualResults = 100
	mostResults  = 1000
)

type resultsAnswer struct {
	Results []profile.ResultValues `json:"results"`
}

type resultsGiven struct {
	Results []profile.ResultGiven `json:"results"`
}

// countedAnswer has the results that were counted now, with their grades.
type countedAnswer struct {
	Counted int                    `json:"counted"`
	Already int                    `json:"already"`
	Results []profile.ResultValues `json:"results"`
}

// practised is an item with what its results come to.
type practised struct {
	Exercise string        `json:"exercise"`
	Item     string        `json:"item"`
	Tries    int           `json:"tries"`
	Right    int           `json:"right"`
	Median   secondsNumber `json:"median"`
	From     secondsNumber `json:"from"`
	To       secondsNumber `json:"to"`
	Counted  int           `json:"counted"`
	Newest   time.Time     `json:"newest"`
	Due      string        `json:"due"`
}

type practiceAnswer struct {
	Practised     []practised   `json:"practised"`
	Reaction      secondsNumber `json:"reaction"`
	OwnReaction   bool          `json:"own_reaction"`
	TrackMeasured *int          `json:"track_measured,omitempty"`
}

// Results answers GET /api/v1/results.
func (s *Server) Results(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	asked, err := readResultsAsked(r)
	if err != nil {
		return err
	}
	results, err := s.store.Results(r.Context(), p.ID, asked)
	if err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, resultsAnswer{profile.ResultsOf(results)})
	return nil
}

func readResultsAsked(r *http.Request) (asked profile.ResultsAsked, err error) {
	asked.Limit = usualResults
	given, values := r.URL.Query(), map[string]string{}
	for name := range given {
		if values[name], err = query.One(r, name); err != nil {
			return asked, err
		}
	}
	if given.Has("exercise") {
		e, err := practice.ParseExercise(problem.Shortened(values["exercise"]))
		if err != nil {
			return asked, problem.BadRequest("exercise", err.Error())
		}
		asked.Exercise = &e
	}
	if text := values["item"]; text != "" {
		if len(text) > practice.LongestItem {
			return asked, problem.BadRequest("item", fmt.Sprintf("%d characters: an item has at most %d", len(text), practice.LongestItem))
		}
		asked.Item = practice.Item(text)
	}
	if id := values["before"]; given.Has("before") {
		if !profile.IsSecret(id) {
			return asked, problem.BadRequest("before", profile.NotSecret)
		}
		asked.Before = id
	}
	if text := values["limit"]; given.Has("limit") {
		asked.Limit, err = strconv.Atoi(text)
		if err != nil || asked.Limit < 1 || asked.Limit > mostResults {
			return asked, problem.BadRequest("limit", fmt.Sprintf("“%s” is not a number from 1 to %d", problem.Shortened(text), mostResults))
		}
	}
	return asked, nil
}

// AddResults answers POST /api/v1/results.
func (s *Server) AddResults(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	var given resultsGiven
	if err := readBody(w, r, profile.MaxResultsBody, &given); err != nil {
		return err
	}
	results, err := profile.ResultsGiven(given.Results)
	if err != nil {
		return err
	}
	counted, err := s.store.AddResults(r.Context(), p.ID, results)
	if err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, countedAnswer{len(counted), len(results) - len(counted), profile.ResultsOf(counted)})
	return nil
}

// ForgetResults answers DELETE /api/v1/results.
func (s *Server) ForgetResults(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	if err := s.store.ForgetResults(r.Context(), p.ID); err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// WithdrawResult answers DELETE /api/v1/results/{id}.
func (s *Server) WithdrawResult(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	id := chi.URLParam(r, "id")
	if !profile.IsSecret(id) {
		return problem.BadRequest("id", profile.NotSecret)
	}
	return s.remove(w, r, p, profile.Records{Results: []profile.Result{{ID: id}}})
}

// resultChange is what can be changed of a result.
type resultChange struct {
	Withdrawn *bool `json:"withdrawn"`
}

// PatchResult answers PATCH /api/v1/results/{id}.
func (s *Server) PatchResult(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	var change resultChange
	if err := readBody(w, r, profile.MaxBody, &change); err != nil {
		return err
	}
	id := chi.URLParam(r, "id")
	switch {
	case !profile.IsSecret(id):
		return problem.BadRequest("id", profile.NotSecret)
	case change.Withdrawn == nil:
		return problem.BadRequest("withdrawn", "missing: true or false")
	case *change.Withdrawn:
		return s.remove(w, r, p, profile.Records{Results: []profile.Result{{ID: id}}})
	}
	if _, err := s.store.Change(r.Context(), p.ID, profile.Change{Restore: []string{id}}); err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// Practised answers GET /api/v1/practised.
func (s *Server) Practised(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	measured := practice.Measure(records.Practised)
	answer := practiceAnswer{Practised: []practised{}, Reaction: secondsNumber(measured.Reaction), OwnReaction: measured.OwnReaction}
	if pieces, ok := measured.Track(); ok {
		answer.TrackMeasured = &pieces
	}
	for i := range records.Practised {
		of := &records.Practised[i]
		if of.Tries == 0 {
			continue // all were withdrawn
		}
		s := of.Seconds()
		answer.Practised = append(answer.Practised, practised{
			Exercise: of.Exercise.String(), Item: string(of.Item), Tries: of.Tries, Right: of.Right,
			Median: secondsNumber(s.Median), From: secondsNumber(s.From), To: secondsNumber(s.To), Counted: s.Count,
			Newest: of.Newest, Due: of.Memory.Due().Date().Format(time.DateOnly),
		})
	}
	problem.WriteJSON(w, http.StatusOK, answer)
	return nil
}
