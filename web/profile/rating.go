package profile

import (
	"slices"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
)

// record verifies what a document says of a pattern.
func (v PatternRating) record() (Records, error) {
	pattern, err := CheckPattern(v.OLL, 0)
	if err != nil {
		return Records{}, err
	}
	r, err := v.RatingValues.Records(pattern)
	if err == nil && r.Empty() {
		err = NothingRated()
	}
	return r, err
}

// RatingValues are the two steps of a pattern and whether it is learnt; what is nil is not
// given.
type RatingValues struct {
	Recognise        *int     `json:"recognise,omitempty"`
	Execute          *int     `json:"execute,omitempty"`
	RecogniseSeconds *float64 `json:"recognise_seconds,omitempty"`
	ExecuteSeconds   *float64 `json:"execute_seconds,omitempty"`
	Learnt           *bool    `json:"learnt,omitempty"`
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

// Records are what the values give.
func (v RatingValues) Records(p lastslot.Pattern) (all Records, err error) {
	if v.Learnt != nil {
		if p == 0 {
			return Records{}, problem.BadRequest("learnt", "pattern 0 is oriented already: there is nothing to learn")
		}
		all.Learnt = []Learnt{{p, *v.Learnt}}
	}
	for step := range forecast.Step(forecast.Steps) {
		level, seconds := v.step(step)
		rating, err := CheckRating(step.String(), *level)
		if err != nil {
			return Records{}, err
		}
		measured, err := CheckSeconds(step.String()+"_seconds", *seconds)
		if err != nil {
			return Records{}, err
		}
		if rating != 0 || measured != 0 {
			all.Ratings = append(all.Ratings, Rating{Pattern: p, Step: step, Rating: rating, Time: measured})
		}
	}
	return all, nil
}

// RatingsOf puts all together that the records say of each pattern, in order of its number.
func RatingsOf(records Records) []PatternRating {
	all := []PatternRating{}
	for p := range lastslot.Patterns {
		one := PatternRating{OLL: &p}
		given := false
		for _, r := range records.Ratings {
			if int(r.Pattern) == p {
				level, seconds := one.step(r.Step)
				*level, *seconds = WrittenRating(r.Rating), WrittenSeconds(r.Time)
				given = true
			}
		}
		for _, l := range records.Learnt {
			if int(l.Pattern) == p {
				one.Learnt, given = new(l.Learnt), true
			}
		}
		if given {
			all = append(all, one)
		}
	}
	return all
}

// NothingRated is the problem of a rating that gives neither level nor seconds.
func NothingRated() *problem.Problem {
	return problem.BadRequest("", "nothing to rate: give recognise, execute, recognise_seconds, execute_seconds or learnt")
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
