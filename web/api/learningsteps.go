package api

import (
	"net/http"

	"slotcast/forecast/routes"
)

// The steps to learn as JSON.
type (
	learningStepsAnswer struct {
		Average secondsNumber `json:"average"`
		// Known is for how many of the places a way is known.
		Known  int            `json:"known"`
		Places int            `json:"places"`
		Steps  []learningStep `json:"steps"`
	}
	learningStep struct {
		Open  string        `json:"open"`
		Turns string        `json:"turns"`
		Saves secondsNumber `json:"saves"`
		// Most is what it saves in the case, where it fills that slot by these turns.
		Most  secondsNumber `json:"most"`
		Case  string        `json:"case"`
		Fills string        `json:"fills"`
		First string        `json:"first"`
	}
)

// LearningSteps answers GET /api/v1/learning/steps.
func (s *Server) LearningSteps(w http.ResponseWriter, r *http.Request) error {
	p, f, err := s.learner(r)
	if err != nil {
		return err
	}
	found, err := s.sessions.StepLessons(r.Context(), p, f)
	if err != nil {
		return err
	}
	answer := learningStepsAnswer{Average: average(found.Mean), Known: found.Known, Places: routes.Places, Steps: []learningStep{}}
	for _, l := range found.Next {
		answer.Steps = append(answer.Steps, learningStep{
			l.Open.String(), l.Step.Turns.String(), average(l.Saves), average(l.Most), l.Case.Code(), l.Fills.String(), l.Turns.String(),
		})
	}
	answerTo(w, p != nil, answer)
	return nil
}
