package api

import (
	"fmt"
	"net/http"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast"
	"slotcast/web/problem"
	"slotcast/web/profile"
)

type scaleAnswer struct {
	Scale []scaleAnswerStep `json:"scale"`
}

type scaleAnswerStep struct {
	profile.StepValues
	// Own says that the profile changed it.
	Own bool `json:"own"`
}

type secondsValue struct {
	Seconds *float64 `json:"seconds"`
}

type factorValue struct {
	Factor *float64 `json:"factor"`
}

// Scale answers GET /api/v1/scale: what each rating stands for.
func (s *Server) Scale(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
	_, records, err := s.store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	own := map[[2]int]bool{}
	for _, step := range records.Scale {
		own[[2]int{int(step.Step), step.Rating}] = true
	}
	scale := profile.ScaleOf(records.Scale)
	var all []profile.ScaleStep
	for n := 5; n >= 1; n-- {
		all = append(all, profile.ScaleStep{Step: forecast.Recognise, Rating: n, Time: scale.Recognise[n]})
	}
	for n := 5; n >= 1; n-- {
		all = append(all, profile.ScaleStep{Step: forecast.Execute, Rating: n, Factor: scale.Execute[n]})
	}
	all = append(all, profile.ScaleStep{Step: forecast.Track, Time: scale.Track})
	var answer scaleAnswer
	for _, step := range all {
		answer.Scale = append(answer.Scale, scaleAnswerStep{profile.StepValuesOf(step), own[[2]int{int(step.Step), step.Rating}]})
	}
	problem.WriteJSON(w, http.StatusOK, answer)
	return nil
}

// pathStep is the step of the scale with the rating that the address names; tracking has
// none.
func pathStep(r *http.Request, step forecast.Step) (profile.StepValues, error) {
	given := profile.StepValues{Step: step.String()}
	if step == forecast.Track {
		return given, nil
	}
	text := chi.URLParam(r, "rating")
	if len(text) != 1 || text < "1" || text > "5" {
		return given, problem.BadRequest("rating", fmt.Sprintf("“%s” is not a rating: use 1 (weak) to 5 (strong)", problem.Shortened(text)))
	}
	given.Rating = new(int(text[0] - '0'))
	return given, nil
}

// PutScale answers PUT /api/v1/scale/recognise/{rating}, /scale/execute/{rating} and
// /scale/track.
func (s *Server) PutScale(step forecast.Step) ownHandler {
	return func(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
		given, err := pathStep(r, step)
		if err != nil {
			return err
		}
		if step == forecast.Execute {
			var value factorValue
			err = readBody(w, r, profile.MaxBody, &value)
			given.Factor = value.Factor
		} else {
			var value secondsValue
			err = readBody(w, r, profile.MaxBody, &value)
			given.Seconds = value.Seconds
		}
		if err != nil {
			return err
		}
		record, err := given.Record()
		if err != nil {
			return err
		}
		_, records, err := s.store.Records(r.Context(), p.ID)
		if err != nil {
			return err
		}
		put := []profile.ScaleStep{record}
		if err := profile.CheckScale(records.ScaleWith(put, nil)); err != nil {
			return err
		}
		if err := s.store.Put(r.Context(), p.ID, profile.Records{Scale: put}); err != nil {
			return err
		}
		problem.WriteJSON(w, http.StatusOK, scaleAnswerStep{profile.StepValuesOf(record), true})
		return nil
	}
}

// DeleteScale answers DELETE of the same: the default counts again.
func (s *Server) DeleteScale(step forecast.Step) ownHandler {
	return func(w http.ResponseWriter, r *http.Request, p profile.Profile) error {
		given, err := pathStep(r, step)
		if err != nil {
			return err
		}
		_, records, err := s.store.Records(r.Context(), p.ID)
		if err != nil {
			return err
		}
		gone := []profile.ScaleStep{{Step: step}}
		if given.Rating != nil {
			gone[0].Rating = *given.Rating
		}
		if err := profile.CheckScale(records.ScaleWith(nil, gone)); err != nil {
			return err
		}
		return s.remove(w, r, p, profile.Records{Scale: gone})
	}
}
