package api

import (
	"fmt"
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
)

type (
	ratingsAnswer struct {
		Ratings []profile.PatternRating `json:"ratings"`
	}
	scaleAnswer struct {
		Scale []scaleAnswerStep `json:"scale"`
	}
	scaleAnswerStep struct {
		profile.StepSeconds
		// Own says that the profile changed it.
		Own bool `json:"own"`
	}
	scaleValue struct {
		Seconds *float64 `json:"seconds"`
	}
	namesAnswer struct {
		Names []profile.NamedPattern `json:"names"`
	}
	nameValue struct {
		Name string `json:"name"`
	}
)

// Ratings answers GET /api/v1/ratings.
func (s *Server) Ratings(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, ratingsAnswer{profile.RatingsOf(records.Ratings)})
	return nil
}

// PutRating answers PUT /api/v1/ratings/{oll}: it gives both steps.
func (s *Server) PutRating(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	return s.rate(w, r, p, func(given []profile.Rating) error {
		for step := range forecast.Step(forecast.Steps) {
			if int(step) >= len(given) || given[step].Step != step {
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
	return s.rate(w, r, p, func(given []profile.Rating) error {
		if len(given) == 0 {
			return profile.NothingRated()
		}
		return nil
	})
}

func (s *Server) rate(w http.ResponseWriter, r *http.Request, p profile.Profile, enough func([]profile.Rating) error) error {
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
	if err := s.store.Put(r.Context(), p.ID, profile.Records{Ratings: given}); err != nil {
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
	var gone []profile.Rating
	for step := range forecast.Step(forecast.Steps) {
		if only := chi.URLParam(r, "step"); only == "" || only == step.String() {
			gone = append(gone, profile.Rating{Pattern: pattern, Step: step})
		}
	}
	if len(gone) == 0 {
		return &problem.Problem{Status: http.StatusNotFound}
	}
	return s.remove(w, r, p, profile.Records{Ratings: gone})
}

// remove removes records and answers that they are gone.
func (s *Server) remove(w http.ResponseWriter, r *http.Request, p profile.Profile, gone profile.Records) error {
	if err := s.store.Remove(r.Context(), p.ID, gone); err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// Scale answers GET /api/v1/scale: what each rating stands for.
func (s *Server) Scale(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	own := map[profile.ScaleStep]bool{}
	for _, step := range records.Scale {
		own[profile.ScaleStep{Step: step.Step, Rating: step.Rating}] = true
	}
	scale := profile.ScaleOf(records.Scale)
	var answer scaleAnswer
	for step := range forecast.Step(forecast.Steps) {
		for n := 5; n >= 1; n-- {
			stands := scale[step][n]
			answer.Scale = append(answer.Scale, scaleAnswerStep{profile.StepSeconds{Step: step.String(), Rating: profile.WrittenRating(n), Seconds: profile.WrittenSeconds(stands)}, own[profile.ScaleStep{Step: step, Rating: n}]})
		}
	}
	problem.WriteJSON(w, http.StatusOK, answer)
	return nil
}

// pathStep is the step of the scale that the address names, with the seconds.
func pathStep(r *http.Request, stands *float64) (profile.ScaleStep, error) {
	text := chi.URLParam(r, "rating")
	if len(text) != 1 || text < "1" || text > "5" {
		return profile.ScaleStep{}, problem.BadRequest("rating", fmt.Sprintf("“%s” is no rating: it is 1 (weak) to 5 (strong)", problem.Shortened(text)))
	}
	n := int(text[0] - '0')
	return profile.StepSeconds{Step: chi.URLParam(r, "step"), Rating: &n, Seconds: stands}.Record()
}

// PutScale answers PUT /api/v1/scale/{step}/{rating}.
func (s *Server) PutScale(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	var value scaleValue
	if err := readBody(w, r, profile.MaxBody, &value); err != nil {
		return err
	}
	step, err := pathStep(r, value.Seconds)
	if err != nil {
		return err
	}
	if err := s.store.Put(r.Context(), p.ID, profile.Records{Scale: []profile.ScaleStep{step}}); err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, scaleAnswerStep{profile.StepSeconds{Step: step.Step.String(), Rating: &step.Rating, Seconds: profile.WrittenSeconds(step.Time)}, true})
	return nil
}

// DeleteScale answers DELETE /api/v1/scale/{step}/{rating}: the default counts
// again.
func (s *Server) DeleteScale(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	step, err := pathStep(r, profile.WrittenSeconds(time.Second)) // any: only the key counts
	if err != nil {
		return err
	}
	return s.remove(w, r, p, profile.Records{Scale: []profile.ScaleStep{step}})
}

// Names answers GET /api/v1/names.
func (s *Server) Names(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, namesAnswer{profile.NamesOf(records.Names)})
	return nil
}

// PutName answers PUT /api/v1/names/{oll}.
func (s *Server) PutName(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	pattern, err := query.Pattern(chi.URLParam(r, "oll"), 0)
	if err != nil {
		return err
	}
	var value nameValue
	if err := readBody(w, r, profile.MaxBody, &value); err != nil {
		return err
	}
	name, err := profile.CheckName(value.Name)
	if err != nil {
		return err
	}
	names := []profile.Name{{Pattern: pattern, Name: name}}
	if err := s.store.Put(r.Context(), p.ID, profile.Records{Names: names}); err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, profile.NamesOf(names)[0])
	return nil
}

// DeleteName answers DELETE /api/v1/names/{oll}.
func (s *Server) DeleteName(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	pattern, err := query.Pattern(chi.URLParam(r, "oll"), 0)
	if err != nil {
		return err
	}
	return s.remove(w, r, p, profile.Records{Names: []profile.Name{{Pattern: pattern}}})
}
