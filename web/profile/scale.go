package profile

import (
	"fmt"

	"slotcast/forecast"
	"slotcast/web/problem"
)

// StepSeconds is what a level of a step stands for.
type StepSeconds struct {
	Step    string   `json:"step"`
	Rating  *int     `json:"rating"`
	Seconds *float64 `json:"seconds"`
}

// ScaleOf is the default scale with the profile's changes.
func ScaleOf(changes []ScaleStep) forecast.Scale {
	scale := forecast.DefaultScale
	for _, c := range changes {
		scale[c.Step][c.Rating] = c.Time
	}
	return scale
}

// Record verifies it.
func (v StepSeconds) Record() (ScaleStep, error) {
	step, err := forecast.ParseStep(v.Step)
	if err != nil {
		return ScaleStep{}, problem.BadRequest("step", fmt.Sprintf("“%s” is unknown; it can be recognise or execute", problem.Shortened(v.Step)))
	}
	n, err := CheckRating("rating", v.Rating)
	if err != nil {
		return ScaleStep{}, err
	}
	if n == 0 {
		return ScaleStep{}, problem.BadRequest("rating", "missing: 1 to 5")
	}
	stands, err := CheckSeconds("seconds", v.Seconds)
	if err != nil {
		return ScaleStep{}, err
	}
	if stands == 0 {
		return ScaleStep{}, problem.BadRequest("seconds", "missing: what the rating stands for")
	}
	return ScaleStep{Step: step, Rating: n, Time: stands}, nil
}
