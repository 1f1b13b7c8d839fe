package api

import (
	"net/http"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast/twoslots"
	"slotcast/web/problem"
	"slotcast/web/profile"
)

type ownStepsAnswer struct {
	Steps []profile.OwnStepValues `json:"steps"`
}

// OwnSteps answers GET /api/v1/own-steps.
func (s *Server) OwnSteps(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, ownStepsAnswer{profile.OwnStepsOf(records.Steps)})
	return nil
}

// PutOwnStep answers PUT /api/v1/own-steps: it adds what the person says of one, in place
// of what was said before.
func (s *Server) PutOwnStep(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	var given profile.OwnStepValues
	if err := readBody(w, r, profile.MaxBody, &given); err != nil {
		return err
	}
	record, err := given.Record()
	if err != nil {
		return err
	}
	records := []profile.OwnStep{record}
	if err := s.store.Put(r.Context(), p.ID, profile.Records{Steps: records}); err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, profile.OwnStepsOf(records)[0])
	return nil
}

// DeleteOwnStep answers DELETE /api/v1/own-steps/{open}?turns=.
func (s *Server) DeleteOwnStep(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	text := chi.URLParam(r, "open")
	open, err := twoslots.ParseOpen(text)
	if err != nil {
		return problem.NoSlots("open", text)
	}
	turns, err := turnsParameter(r)
	if err != nil {
		return err
	}
	if turns == "" {
		return problem.BadRequest("turns", "missing: the turns of the step, as they are listed")
	}
	return s.remove(w, r, p, profile.Records{Steps: []profile.OwnStep{{Open: open, Turns: turns}}})
}
