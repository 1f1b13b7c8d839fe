package profile

import (
	"fmt"
	"math"
	"slices"
	"time"

	"slotcast/forecast"
	"slotcast/web/problem"
)

// StepValues is what a level of a step stands for: recognising and tracking have
// seconds, executing has a factor.
type StepValues struct {
	Step string `json:"step"`
	// Rating is nil for tracking, which is not rated.
	Rating  *int     `json:"rating,omitempty"`
	Seconds *float64 `json:"seconds,omitempty"`
	Factor  *float64 `json:"factor,omitempty"`
}

// The bounds of a factor, by which an estimate is multiplied. Beyond them a number is
// mistyped rather than meant.
const minFactor, maxFactor = 0.1, 10

// ScaleOf is the default scale with the profile's changes, in order.
func ScaleOf(changes []ScaleStep) forecast.Scale { return changedScale(changes).InOrder() }

// changedScale is the default scale with the changes as they are.
func changedScale(changes []ScaleStep) forecast.Scale {
	scale := forecast.DefaultScale
	for _, c := range changes {
		switch c.Step {
		case forecast.Recognise:
			scale.Recognise[c.Rating] = c.Time
		case forecast.Execute:
			scale.Execute[c.Rating] = c.Factor
		case forecast.Track:
			scale.Track = c.Time
		}
	}
	return scale
}

// ScaleWith is the records' changes of the scale with some put in and some removed.
func (r Records) ScaleWith(put, remove []ScaleStep) []ScaleStep {
	kept := slices.Clone(r.Scale)
	for _, gone := range remove {
		kept = slices.DeleteFunc(kept, func(s ScaleStep) bool { return s.Step == gone.Step && s.Rating == gone.Rating })
	}
	return append(kept, put...)
}

// CheckScale says what is out of order in the default scale with the changes. Of two
// changes of one step the last counts.
func CheckScale(changes []ScaleStep) error {
	scale := changedScale(changes)
	for weaker := 1; weaker < 5; weaker++ {
		step, better, than, unit := forecast.Recognise, scale.Recognise[weaker+1].Seconds(), scale.Recognise[weaker].Seconds(), "s"
		if better <= than {
			step, better, than, unit = forecast.Execute, scale.Execute[weaker+1], scale.Execute[weaker], "times the estimate"
		}
		if better > than {
			return &problem.Problem{
				Status: 422, Title: "Out of order", Field: "scale",
				Detail: fmt.Sprintf("%s: a %d would be slower than a %d, %.3g %s and %.3g; a better rating cannot stand for more", step, weaker+1, weaker, better, unit, than),
			}
		}
	}
	return nil
}

// StepValuesOf writes a record as JSON has it.
func StepValuesOf(s ScaleStep) StepValues {
	v := StepValues{Step: s.Step.String(), Rating: WrittenRating(s.Rating), Seconds: WrittenSeconds(s.Time)}
	if s.Step == forecast.Execute {
		v.Factor = &s.Factor
	}
	return v
}

// Record verifies it.
func (v StepValues) Record() (ScaleStep, error) {
	if v.Step == forecast.Track.String() {
		return v.trackRecord()
	}
	step, err := forecast.ParseStep(v.Step)
	if err != nil {
		return ScaleStep{}, problem.BadRequest("step", fmt.Sprintf("“%s” is unknown: use recognise, execute or track", problem.Shortened(v.Step)))
	}
	n, err := CheckRating("rating", v.Rating)
	if err != nil {
		return ScaleStep{}, err
	}
	if n == 0 {
		return ScaleStep{}, problem.BadRequest("rating", "missing: 1 to 5")
	}
	if step == forecast.Recognise {
		stands, err := v.time()
		return ScaleStep{Step: step, Rating: n, Time: stands}, err
	}
	switch {
	case v.Seconds != nil:
		return ScaleStep{}, problem.BadRequest("seconds", "a rating for executing stands for a factor on your estimate, not for seconds: give factor")
	case v.Factor == nil:
		return ScaleStep{}, problem.BadRequest("factor", "missing: the factor on your estimate")
	}
	factor := math.Round(*v.Factor*1000) / 1000
	if !(factor >= minFactor && factor <= maxFactor) {
		return ScaleStep{}, problem.BadRequest("factor", fmt.Sprintf("%.4g would multiply your estimate; use at least %v and at most %v", *v.Factor, minFactor, maxFactor))
	}
	return ScaleStep{Step: step, Rating: n, Factor: factor}, nil
}

func (v StepValues) trackRecord() (ScaleStep, error) {
	if v.Rating != nil {
		return ScaleStep{}, problem.BadRequest("rating", "tracking is not rated: leave it out")
	}
	stands, err := v.time()
	return ScaleStep{Step: forecast.Track, Time: stands}, err
}

// time is that of a step that takes seconds.
func (v StepValues) time() (time.Duration, error) {
	if v.Factor != nil {
		return 0, problem.BadRequest("factor", v.Step+" has seconds, no factor")
	}
	stands, err := CheckSeconds("seconds", v.Seconds)
	if err == nil && stands == 0 {
		err = problem.BadRequest("seconds", "missing: what it stands for")
	}
	return stands, err
}

// scaleOfVersion1 is what a file of the first version says of its scale. In it
// executing had seconds: each level becomes the factor of its seconds on those for 3.
func scaleOfVersion1(steps []StepValues) []StepValues {
	middle := 1.4 // the default for 3 of that version
	for _, s := range steps {
		if s.isExecute() && s.Rating != nil && *s.Rating == 3 && s.Seconds != nil && *s.Seconds > 0 {
			middle = *s.Seconds
		}
	}
	carried := make([]StepValues, 0, len(steps))
	for _, s := range steps {
		if s.isExecute() && s.Seconds != nil {
			factor := min(max(*s.Seconds/middle, minFactor), maxFactor)
			s.Seconds, s.Factor = nil, &factor
		}
		carried = append(carried, s)
	}
	return carried
}

func (v StepValues) isExecute() bool { return v.Step == forecast.Execute.String() }
