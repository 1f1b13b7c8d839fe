package api

import (
	"fmt"
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast"
	"slotcast/web/problem"
	"slotcast/web/profile"
)

type scaleAnswer struct {
	Scale []scaleAnswerStep `json:"scale"`
}

type scaleAnswerStep struct {
	profile.StepSeconds
	// Own says that the profile changed it.
	Own bool `json:"own"`
}

type scaleValue struct {
	Seconds *float64 `json:"seconds"`
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
