package api

import (
	"net/http"
	"net/url"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
)

// The plan of a place as JSON.
type (
	planAnswer struct {
		Place     string      `json:"place"`
		Predict   planPart    `json:"predict"`
		Accept    []int       `json:"accept"`
		Otherwise planPart    `json:"otherwise"`
		Seconds   planSeconds `json:"seconds"`
	}
	planPart struct {
		Turns string `json:"turns"`
		Track int    `json:"track"`
	}
	planSeconds struct {
		Alone secondsNumber `json:"alone"`
		Plan  secondsNumber `json:"plan"`
	}
)

// Plan answers GET /api/v1/plan.
func (s *Server) Plan(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return problem.NotEncoded()
	}
	place, err := readPlace(values)
	if err != nil {
		return err
	}
	owner, f, err := s.learner(r)
	if err != nil {
		return err
	}
	plan, err := learn.PlanOf(r.Context(), f, place, false)
	if err != nil {
		return err
	}
	if plan == nil {
		return &problem.Problem{Status: http.StatusNotFound, Title: "No plan", Detail: "fewer than two insertions are known for this place: there is nothing to choose between"}
	}
	answer := planAnswer{
		Place: place.String(), Accept: []int{},
		Predict:   planPart{plan.Predict.Turns().String(), plan.Predict.Track},
		Otherwise: planPart{plan.Otherwise.Turns().String(), plan.Otherwise.Track},
		Seconds:   planSeconds{average(plan.Alone), average(plan.Takes)},
	}
	for _, p := range plan.Accept {
		answer.Accept = append(answer.Accept, int(p))
	}
	answerTo(w, owner != nil, answer)
	return nil
}

// readPlace reads a place by its name or by one of its cases: exactly one of the two.
func readPlace(values url.Values) (lastslot.Place, error) {
	for _, field := range []string{"place", "case"} {
		if n := len(values[field]); n > 1 {
			return lastslot.Place{}, problem.Repeated(field, n)
		}
	}
	switch {
	case values.Has("place") && values.Has("case"):
		return lastslot.Place{}, problem.BadRequest("case", "given beside place: give one of the two")
	case values.Has("place"):
		name := values.Get("place")
		place, err := lastslot.ParsePlace(name)
		if err != nil {
			return lastslot.Place{}, problem.BadSyntax("place", 0, query.NoPlace(name))
		}
		return place, nil
	case values.Has("case"):
		c, err := profile.CheckCode("case", values.Get("case"))
		return c.Place(), err
	}
	return lastslot.Place{}, problem.BadRequest("place", "missing: give a place, or the code of a case")
}
