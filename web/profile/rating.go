package profile

import (
	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
)

func (v PatternRating) records() ([]Rating, error) {
	pattern, err := CheckPattern(v.OLL, 0)
	if err != nil {
		return nil, err
	}
	records, err := v.RatingValues.Records(pattern)
	if err == nil && len(records) == 0 {
		err = NothingRated()
	}
	return records, err
}

// RatingValues are the two steps of a pattern; what is nil is not given.
type RatingValues struct {
	Recognise        *int     `json:"recognise,omitempty"`
	Execute          *int     `json:"execute,omitempty"`
	RecogniseSeconds *float64 `json:"recognise_seconds,omitempty"`
	ExecuteSeconds   *float64 `json:"execute_seconds,omitempty"`
}

type PatternRating struct {
	OLL *int `json:"oll"`
	RatingValues
}

// Records are the steps that the values give.
func (v RatingValues) Records(p lastslot.Pattern) ([]Rating, error) {
	var all []Rating
	for _, step := range []struct {
		step    Step
		rating  *int
		seconds *float64
	}{{Recognise, v.Recognise, v.RecogniseSeconds}, {Execute, v.Execute, v.ExecuteSeconds}} {
		rating, err := CheckRating(string(step.step), step.rating)
		if err != nil {
			return nil, err
		}
		measured, err := CheckSeconds(string(step.step)+"_seconds", step.seconds)
		if err != nil {
			return nil, err
		}
		if rating != 0 || measured != 0 {
			all = append(all, Rating{Pattern: p, Step: step.step, Rating: rating, Time: measured})
		}
	}
	return all, nil
}

// RatingsOf puts both steps of a pattern together.
func RatingsOf(records []Rating) []PatternRating {
	all := []PatternRating{}
	for _, r := range records {
		oll := int(r.Pattern)
		if len(all) == 0 || *all[len(all)-1].OLL != oll {
			all = append(all, PatternRating{OLL: &oll})
		}
		v := &all[len(all)-1].RatingValues
		if r.Step == Recognise {
			v.Recognise, v.RecogniseSeconds = WrittenRating(r.Rating), WrittenSeconds(r.Time)
		} else {
			v.Execute, v.ExecuteSeconds = WrittenRating(r.Rating), WrittenSeconds(r.Time)
		}
	}
	return all
}

func NothingRated() *problem.Problem {
	return problem.BadRequest("", "nothing to rate: give recognise, execute, recognise_seconds or execute_seconds")
}

// Steps are the parts of the time for a pattern, in the order of the pages.
var Steps = [...]Step{Recognise, Execute}

// RatedSteps are the steps of a pattern that can be rated: the oriented one has
// nothing to execute.
func RatedSteps(p lastslot.Pattern) []Step {
	if p == 0 {
		return Steps[:1]
	}
	return Steps[:]
}

func (r Records) Rating(p lastslot.Pattern, step Step) Rating {
	for _, rating := range r.Ratings {
		if rating.Pattern == p && rating.Step == step {
			return rating
		}
	}
	return Rating{Pattern: p, Step: step}
}

// Rated says whether every step of the pattern is rated or measured.
func (r Records) Rated(p lastslot.Pattern) bool {
	for _, step := range RatedSteps(p) {
		if rating := r.Rating(p, step); rating.Rating == 0 && rating.Time == 0 {
			return false
		}
	}
	return true
}

// Slow says whether a step of the pattern is rated 1 or 2, or measured at what a
// 2 stands for or more.
func (r Records) Slow(p lastslot.Pattern) bool {
	scale := ScaleOf(r.Scale)
	for _, step := range RatedSteps(p) {
		rating := r.Rating(p, step)
		limit := scale.Recognise[2]
		if step == Execute {
			limit = scale.Execute[2]
		}
		if rating.Time > 0 && rating.Time >= limit || rating.Time == 0 && rating.Rating > 0 && rating.Rating <= 2 {
			return true
		}
	}
	return false
}
