package api

import (
	"net/http"

	"slotcast/forecast/technique"
	"slotcast/forecast/twoslots"
	"slotcast/web/problem"
	"slotcast/web/query"
)

// The steps to learn with two slots open as JSON.
type (
	learningStepsAnswer struct {
		Open string `json:"open"`
		// Places is how many places of both pairs count.
		Places  int            `json:"places"`
		Average secondsNumber  `json:"average"`
		Steps   []learningStep `json:"steps"`
	}
	learningStep struct {
		Open       string                `json:"open"`
		Turns      string                `json:"turns"`
		Count      int                   `json:"count"`
		Insert     secondsNumber         `json:"insert"`
		Average    secondsNumber         `json:"average"`
		Saves      secondsNumber         `json:"saves"`
		Best       int                   `json:"best"`
		Example    learningExample       `json:"example"`
		Techniques []technique.Technique `json:"techniques"`
	}
	learningExample struct {
		Case  string `json:"case"`
		Fills string `json:"fills"`
		Turns string `json:"turns"`
	}
)

// LearningSteps answers GET /api/v1/learning/steps.
func (s *Server) LearningSteps(w http.ResponseWriter, r *http.Request) error {
	name, err := query.One(r, "open")
	if err != nil {
		return err
	}
	open, err := twoslots.ParseOpen(name)
	if err != nil {
		return problem.NoSlots("open", name)
	}
	owner, f, err := s.learner(r)
	if err != nil {
		return err
	}
	found, err := s.sessions.LearningSteps(r.Context(), owner, f, open)
	if err != nil {
		return err
	}
	answer := learningStepsAnswer{Open: open.String(), Places: twoslots.JointPlaces - found.Without, Average: average(found.Mean), Steps: make([]learningStep, len(found.Next))}
	for i := range found.Next {
		l := &found.Next[i]
		answer.Steps[i] = learningStep{
			Open: l.Step.Open.String(), Turns: l.Step.Turns.String(), Count: l.Count,
			Insert: secondsNumber(l.Takes), Average: average(l.Mean), Saves: average(l.Saves), Best: l.Best,
			Example:    learningExample{l.Example.Code(), l.Fills.String(), l.Turns.String()},
			Techniques: l.Techniques(),
		}
	}
	answerTo(w, owner != nil, answer)
	return nil
}
