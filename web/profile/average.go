package profile

import (
	"fmt"
	"strings"
	"time"

	"slotcast/forecast"
	"slotcast/web/problem"
)

// Average is how long somebody takes for a whole solve, and what that says of how fast
// they turn and recognise.
type Average struct {
	Value, Label string
	// Speed is what estimates are multiplied by.
	Speed float64
	// Recognise is how long the levels from 1 to 5 take; 0 is unused.
	Recognise [6]time.Duration
}

const ms = time.Millisecond

// Averages are an estimate of this project's own (common practice, no source). The third
// is what counts for who says nothing.
var Averages = []Average{
	{"under-10", "under 10 s", 1, [6]time.Duration{5: 150 * ms, 4: 250 * ms, 3: 400 * ms, 2: 600 * ms, 1: 900 * ms}},
	{"10-to-15", "10 to 15", 1.2, [6]time.Duration{5: 180 * ms, 4: 300 * ms, 3: 470 * ms, 2: 720 * ms, 1: 1100 * ms}},
	{"15-to-25", "15 to 25", forecast.DefaultSpeed, forecast.DefaultScale.Recognise},
	{"over-25", "more", 2.2, [6]time.Duration{5: 300 * ms, 4: 500 * ms, 3: 800 * ms, 2: 1300 * ms, 1: 2000 * ms}},
}

// CheckAverage reads one of the averages.
func CheckAverage(value string) (Average, error) {
	var known []string
	for _, a := range Averages {
		if a.Value == value {
			return a, nil
		}
		known = append(known, a.Value)
	}
	return Average{}, problem.BadRequest("average", fmt.Sprintf("“%s” is not an average: use %s", problem.Shortened(value), strings.Join(known, ", ")))
}

// Records are what the average puts in the place of what was said of speed and of
// recognising.
func (a Average) Records() (put Records) {
	speed, err := SpeedPreference("average", a.Speed)
	if err != nil {
		panic("profile: " + err.Error()) // the table above
	}
	put.Preferences = []Preference{speed}
	for rating := 1; rating <= 5; rating++ {
		put.Scale = append(put.Scale, ScaleStep{Step: forecast.Recognise, Rating: rating, Time: a.Recognise[rating]})
	}
	return put
}

// SaysPace says whether anything is said of how fast the person turns or recognises.
func (r Records) SaysPace() bool {
	return r.Preference("speed") != "" || len(r.Scale) > 0
}

// SaysKnown says whether anything is said of which insertions the person knows.
func (r Records) SaysKnown() bool {
	if r.Preference("usual") != "" {
		return true
	}
	for _, own := range r.Insertions {
		if own.Known != forecast.Unsaid {
			return true
		}
	}
	return false
}
