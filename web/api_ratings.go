package web

import (
	"fmt"
	"net/http"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

type (
	// ratingValues are the two steps of a pattern; what is nil is not given.
	ratingValues struct {
		Recognise        *int     `json:"recognise,omitempty"`
		Execute          *int     `json:"execute,omitempty"`
		RecogniseSeconds *float64 `json:"recognise_seconds,omitempty"`
		ExecuteSeconds   *float64 `json:"execute_seconds,omitempty"`
	}
	patternRating struct {
		OLL *int `json:"oll"`
		ratingValues
	}
	ratingsAnswer struct {
		Ratings []patternRating `json:"ratings"`
	}
	stepSeconds struct {
		Step    Step     `json:"step"`
		Rating  *int     `json:"rating"`
		Seconds *float64 `json:"seconds"`
	}
	scaleAnswer struct {
		Scale []scaleAnswerStep `json:"scale"`
	}
	scaleAnswerStep struct {
		stepSeconds
		// Own says that the profile changed it.
		Own bool `json:"own"`
	}
	scaleValue struct {
		Seconds *float64 `json:"seconds"`
	}
	namedPattern struct {
		OLL  *int   `json:"oll"`
		Name string `json:"name"`
	}
	namesAnswer struct {
		Names []namedPattern `json:"names"`
	}
	nameValue struct {
		Name string `json:"name"`
	}
)

// records are the steps that the values give.
func (v ratingValues) records(p lastslot.Pattern) ([]Rating, error) {
	var all []Rating
	for _, step := range []struct {
		step    Step
		rating  *int
		seconds *float64
	}{{Recognise, v.Recognise, v.RecogniseSeconds}, {Execute, v.Execute, v.ExecuteSeconds}} {
		rating, err := checkRating(string(step.step), step.rating)
		if err != nil {
			return nil, err
		}
		measured, err := checkSeconds(string(step.step)+"_seconds", step.seconds)
		if err != nil {
			return nil, err
		}
		if rating != 0 || measured != 0 {
			all = append(all, Rating{Pattern: p, Step: step.step, Rating: rating, Time: measured})
		}
	}
	return all, nil
}

// ratingsOf puts both steps of a pattern together.
func ratingsOf(records []Rating) []patternRating {
	all := []patternRating{}
	for _, r := range records {
		oll := int(r.Pattern)
		if len(all) == 0 || *all[len(all)-1].OLL != oll {
			all = append(all, patternRating{OLL: &oll})
		}
		v := &all[len(all)-1].ratingValues
		if r.Step == Recognise {
			v.Recognise, v.RecogniseSeconds = writtenRating(r.Rating), writtenSeconds(r.Time)
		} else {
			v.Execute, v.ExecuteSeconds = writtenRating(r.Rating), writtenSeconds(r.Time)
		}
	}
	return all
}

// ratingsAPI answers GET /api/v1/ratings.
func (s *site) ratingsAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	_, records, err := s.Store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, ratingsAnswer{ratingsOf(records.Ratings)})
	return nil
}

// putRatingAPI answers PUT /api/v1/ratings/{oll}: it gives both steps.
func (s *site) putRatingAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	return s.rate(w, r, p, func(given []Rating) error {
		for i, step := range []Step{Recognise, Execute} {
			if i >= len(given) || given[i].Step != step {
				return unclear(string(step), fmt.Sprintf("missing: a rating from 1 to 5, or %s_seconds; with PATCH one step is enough", step))
			}
		}
		return nil
	})
}

// patchRatingAPI answers PATCH /api/v1/ratings/{oll}: a step that it does not
// give stays as it is, so that two pages that rate different steps of a pattern
// lose nothing.
func (s *site) patchRatingAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	return s.rate(w, r, p, func(given []Rating) error {
		if len(given) == 0 {
			return nothingRated()
		}
		return nil
	})
}

func nothingRated() *problem {
	return unclear("", "nothing to rate: give recognise, execute, recognise_seconds or execute_seconds")
}

func (s *site) rate(w http.ResponseWriter, r *http.Request, p Profile, enough func([]Rating) error) error {
	pattern, err := pathPattern(r, 0)
	if err != nil {
		return err
	}
	var values ratingValues
	if err := readBody(w, r, maxBody, &values); err != nil {
		return err
	}
	given, err := values.records(pattern)
	if err != nil {
		return err
	}
	if err := enough(given); err != nil {
		return err
	}
	if err := s.Store.Put(r.Context(), p.ID, Records{Ratings: given}); err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, ratingsOf(given)[0])
	return nil
}

// deleteRatingAPI answers DELETE /api/v1/ratings/{oll}, and with the step behind
// it for that step alone.
func (s *site) deleteRatingAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	pattern, err := pathPattern(r, 0)
	if err != nil {
		return err
	}
	var gone []Rating
	for _, step := range []Step{Recognise, Execute} {
		if only := chi.URLParam(r, "step"); only == "" || only == string(step) {
			gone = append(gone, Rating{Pattern: pattern, Step: step})
		}
	}
	if len(gone) == 0 {
		return &problem{Status: http.StatusNotFound}
	}
	return s.remove(w, r, p, Records{Ratings: gone})
}

// remove removes records and answers that they are gone.
func (s *site) remove(w http.ResponseWriter, r *http.Request, p Profile, gone Records) error {
	if err := s.Store.Remove(r.Context(), p.ID, gone); err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// scaleAPI answers GET /api/v1/scale: what each rating stands for.
func (s *site) scaleAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	_, records, err := s.Store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	own := map[ScaleStep]bool{}
	for _, step := range records.Scale {
		own[ScaleStep{Step: step.Step, Rating: step.Rating}] = true
	}
	scale := scaleOf(records.Scale)
	var answer scaleAnswer
	for _, step := range []Step{Recognise, Execute} {
		for n := 5; n >= 1; n-- {
			stands := scale.Recognise[n]
			if step == Execute {
				stands = scale.Execute[n]
			}
			answer.Scale = append(answer.Scale, scaleAnswerStep{stepSeconds{step, writtenRating(n), writtenSeconds(stands)}, own[ScaleStep{Step: step, Rating: n}]})
		}
	}
	writeJSON(w, http.StatusOK, answer)
	return nil
}

// scaleOf is the default scale with the profile's changes.
func scaleOf(changes []ScaleStep) forecast.Scale {
	scale := forecast.DefaultScale
	for _, c := range changes {
		if c.Step == Recognise {
			scale.Recognise[c.Rating] = c.Time
		} else {
			scale.Execute[c.Rating] = c.Time
		}
	}
	return scale
}

func (v stepSeconds) record() (ScaleStep, error) {
	if v.Step != Recognise && v.Step != Execute {
		return ScaleStep{}, unclear("step", fmt.Sprintf("“%s” is unknown; it can be recognise or execute", shortened(string(v.Step))))
	}
	n, err := checkRating("rating", v.Rating)
	if err != nil {
		return ScaleStep{}, err
	}
	if n == 0 {
		return ScaleStep{}, unclear("rating", "missing: 1 to 5")
	}
	stands, err := checkSeconds("seconds", v.Seconds)
	if err != nil {
		return ScaleStep{}, err
	}
	if stands == 0 {
		return ScaleStep{}, unclear("seconds", "missing: what the rating stands for")
	}
	return ScaleStep{Step: v.Step, Rating: n, Time: stands}, nil
}

// pathStep is the step of the scale that the address names, with the seconds.
func pathStep(r *http.Request, stands *float64) (ScaleStep, error) {
	text := chi.URLParam(r, "rating")
	if len(text) != 1 || text < "1" || text > "5" {
		return ScaleStep{}, unclear("rating", fmt.Sprintf("“%s” is no rating: it is 1 (weak) to 5 (strong)", shortened(text)))
	}
	n := int(text[0] - '0')
	return stepSeconds{Step(chi.URLParam(r, "step")), &n, stands}.record()
}

// putScaleAPI answers PUT /api/v1/scale/{step}/{rating}.
func (s *site) putScaleAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	var value scaleValue
	if err := readBody(w, r, maxBody, &value); err != nil {
		return err
	}
	step, err := pathStep(r, value.Seconds)
	if err != nil {
		return err
	}
	if err := s.Store.Put(r.Context(), p.ID, Records{Scale: []ScaleStep{step}}); err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, scaleAnswerStep{stepSeconds{step.Step, &step.Rating, writtenSeconds(step.Time)}, true})
	return nil
}

// deleteScaleAPI answers DELETE /api/v1/scale/{step}/{rating}: the default counts
// again.
func (s *site) deleteScaleAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	step, err := pathStep(r, writtenSeconds(time.Second)) // any: only the key counts
	if err != nil {
		return err
	}
	return s.remove(w, r, p, Records{Scale: []ScaleStep{step}})
}

// longestName is how long a pattern's name may be, in characters.
const longestName = 60

// checkName is the name without white space around it.
func checkName(name string) (string, error) {
	name = strings.TrimSpace(name)
	switch n := utf8.RuneCountInString(name); {
	case n == 0:
		return "", unclear("name", "missing: a name of at least one character")
	case n > longestName:
		return "", unclear("name", fmt.Sprintf("%d characters; a name has at most %d", n, longestName))
	case strings.ContainsFunc(name, unicode.IsControl):
		return "", unclear("name", "a name has no line breaks and no other control characters")
	}
	return name, nil
}

func namesOf(records []Name) []namedPattern {
	all := []namedPattern{}
	for _, n := range records {
		oll := int(n.Pattern)
		all = append(all, namedPattern{&oll, n.Name})
	}
	return all
}

// namesAPI answers GET /api/v1/names.
func (s *site) namesAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	_, records, err := s.Store.Records(r.Context(), p.ID)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, namesAnswer{namesOf(records.Names)})
	return nil
}

// putNameAPI answers PUT /api/v1/names/{oll}.
func (s *site) putNameAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	pattern, err := pathPattern(r, 0)
	if err != nil {
		return err
	}
	var value nameValue
	if err := readBody(w, r, maxBody, &value); err != nil {
		return err
	}
	name, err := checkName(value.Name)
	if err != nil {
		return err
	}
	names := []Name{{pattern, name}}
	if err := s.Store.Put(r.Context(), p.ID, Records{Names: names}); err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, namesOf(names)[0])
	return nil
}

// deleteNameAPI answers DELETE /api/v1/names/{oll}.
func (s *site) deleteNameAPI(w http.ResponseWriter, r *http.Request, p Profile) error {
	pattern, err := pathPattern(r, 0)
	if err != nil {
		return err
	}
	return s.remove(w, r, p, Records{Names: []Name{{Pattern: pattern}}})
}
