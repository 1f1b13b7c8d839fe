package profile

import (
	"slices"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
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

// PatternRating is how a pattern is rated.
type PatternRating struct {
	OLL *int `json:"oll"`
	RatingValues
}

// step has the values of a step.
func (v *RatingValues) step(s forecast.Step) (level **int, seconds **float64) {
	if s == forecast.Recognise {
		return &v.Recognise, &v.RecogniseSeconds
	}
	return &v.Execute, &v.ExecuteSeconds
}

// Records are the steps that the values give.
func (v RatingValues) Records(p lastslot.Pattern) ([]Rating, error) {
	var all []Rating
	for step := range forecast.Step(forecast.Steps) {
		level, seconds := v.step(step)
		rating, err := CheckRating(step.String(), *level)
		if err != nil {
			return nil, err
		}
		measured, err := CheckSeconds(step.String()+"_seconds", *seconds)
		if err != nil {
			return nil, err
		}
		if rating != 0 || measured != 0 {
			all = append(all, Rating{Pattern: p, Step: step, Rating: rating, Time: measured})
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
		level, seconds := all[len(all)-1].step(r.Step)
		*level, *seconds = WrittenRating(r.Rating), WrittenSeconds(r.Time)
	}
	return all
}

// NothingRated is the problem of a rating that gives neither level nor seconds.
func NothingRated() *problem.Problem {
	return problem.BadRequest("", "nothing to rate: give recognise, execute, recognise_seconds or execute_seconds")
}

// RatedSteps are the steps of a pattern that can be rated: the oriented one has
// nothing to execute.
func RatedSteps(p lastslot.Pattern) []forecast.Step {
	if p == 0 {
		return []forecast.Step{forecast.Recognise}
	}
	return []forecast.Step{forecast.Recognise, forecast.Execute}
}

// Rating is what is recorded of a step of the pattern, without a level and a time where
// nothing is.
func (r Records) Rating(p lastslot.Pattern, step forecast.Step) Rating {
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

// Slow says whether a step of the pattern is rated 1 or 2, or measured at what a 2
// stands for or more; the book is the one for the person's hands.
func (r Records) Slow(p lastslot.Pattern, book *forecast.Book) bool {
	scale := ScaleOf(r.Scale)
	limits := [forecast.Steps]time.Duration{
		forecast.Recognise: scale.Recognise[2],
		forecast.Execute:   time.Duration(float64(r.estimate(p, book)) * scale.Execute[2]),
	}
	for _, step := range RatedSteps(p) {
		rating := r.Rating(p, step)
		if rating.Time > 0 && rating.Time >= limits[step] || rating.Time == 0 && rating.Rating > 0 && rating.Rating <= 2 {
			return true
		}
	}
	return false
}

// estimate is how long the pattern's sequence is estimated to take: of several of
// one's own the quickest.
func (r Records) estimate(p lastslot.Pattern, book *forecast.Book) time.Duration {
	speed, handed := Turning(r)
	person := forecast.Person{Speed: speed, Hands: handed}
	var own []time.Duration
	for _, s := range r.Sequences {
		if s.Pattern == p {
			if turns, err := cube.Parse(s.Turns); err == nil {
				own = append(own, person.Estimate(turns))
			}
		}
	}
	if len(own) > 0 {
		return slices.Min(own)
	}
	return person.Estimate(book.FollowUp(p))
}
