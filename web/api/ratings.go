package api

import (
	"fmt"
	"net/http"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
)

type ratingsAnswer struct {
	Ratings []profile.PatternRating `json:"ratings"`
}

// Ratings answers GET /api/v1/ratings.
func (s *Server) Ratings(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, ratingsAnswer{profile.RatingsOf(records)})
	return nil
}

// PutRating answers PUT /api/v1/ratings/{oll}: it gives both steps.
func (s *Server) PutRating(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	return s.rate(w, r, p, func(given profile.Records) error {
		for step := range forecast.Step(forecast.Steps) {
			if int(step) >= len(given.Ratings) || given.Ratings[step].Step != step {
				return problem.BadRequest(step.String(), fmt.Sprintf("missing: a rating from 1 to 5, or %s_seconds; with PATCH one step is enough", step))
			}
		}
		return nil
	})
}

// PatchRating answers PATCH /api/v1/ratings/{oll}: a step that it does not
// give stays as it is, so that two pages that rate different steps of a pattern
// lose nothing.
func (s *Server) PatchRating(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	return s.rate(w, r, p, func(given profile.Records) error {
		if given.Empty() {
			return profile.NothingRated()
		}
		return nil
	})
}

func (s *Server) rate(w http.ResponseWriter, r *http.Request, p profile.Profile, enough func(profile.Records) error) error {
	pattern, err := query.Pattern(chi.URLParam(r, "oll"), 0)
	if err != nil {
		return err
	}
	var values profile.RatingValues
	if err := readBody(w, r, profile.MaxBody, &values); err != nil {
		return err
	}
	given, err := values.Records(pattern)
	if err != nil {
		return err
	}
	if err := enough(given); err != nil {
		return err
	}
	if err := s.store.Put(r.Context(), p.ID, given); err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, profile.RatingsOf(given)[0])
	return nil
}

// DeleteRating answers DELETE /api/v1/ratings/{oll}, and with the step behind
// it for that step alone.
func (s *Server) DeleteRating(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	pattern, err := query.Pattern(chi.URLParam(r, "oll"), 0)
	if err != nil {
		return err
	}
	var gone profile.Records
	for step := range forecast.Step(forecast.Steps) {
		if only := chi.URLParam(r, "step"); only == "" || only == step.String() {
			gone.Ratings = append(gone.Ratings, profile.Rating{Pattern: pattern, Step: step})
		}
	}
	if gone.Empty() {
		return &problem.Problem{Status: http.StatusNotFound}
	}
	if chi.URLParam(r, "step") == "" {
		gone.Learnt = []profile.Learnt{{Pattern: pattern}}
	}
	return s.remove(w, r, p, gone)
}
