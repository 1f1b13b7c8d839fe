package forecast

import (
	"fmt"
	"time"
)

// Step is a part of the time for a pattern that a person rates.
type Step uint8

// The steps, in the order in which they are done.
const (
	Recognise Step = iota
	Execute
	// Steps is the number of steps.
	Steps = 2
	// Track is to follow a piece through an insertion, in place of recognising. Nobody
	// rates it for a pattern, so it is none of the Steps; a scale has it beside them.
	Track Step = Steps
)

var stepNames = [...]string{Recognise: "recognise", Execute: "execute", Track: "track"}

// String is "recognise", "execute" or "track".
func (s Step) String() string { return stepNames[s] }

// ParseStep is the inverse of [Step.String] for what is rated.
func ParseStep(text string) (Step, error) {
	for s := range Step(Steps) {
		if s.String() == text {
			return s, nil
		}
	}
	return 0, fmt.Errorf("no step “%s”: it can be recognise or execute", text)
}

// MarshalText writes what [Step.String] says.
func (s Step) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText undoes MarshalText.
func (s *Step) UnmarshalText(text []byte) (err error) {
	*s, err = ParseStep(string(text))
	return err
}

// Rating is how a person rates a step of a pattern: Level from 1 (weak) to 5
// (strong), 0 if not rated; and Time how long it takes, the AUF not included, nil if
// not measured. What is measured counts before the level.
type Rating struct {
	Level int
	Time  *time.Duration
}

// Scale says what each level from 1 to 5 stands for; level 0 is unused. It is in order:
// a better level never stands for more. An unrated pattern counts as rated 3.
type Scale struct {
	// Recognise is how long it takes to recognise a pattern.
	Recognise [6]time.Duration
	// Execute is by what the estimate for this person's turns is multiplied.
	Execute [6]float64
	// Track is how long it takes to follow one piece through an insertion.
	Track time.Duration
}

// DefaultScale is an estimate of this project's own.
var DefaultScale = Scale{
	Recognise: [6]time.Duration{5: 200 * ms, 4: 350 * ms, 3: 550 * ms, 2: 850 * ms, 1: 1300 * ms},
	Execute:   [6]float64{5: 0.8, 4: 0.9, 3: 1, 2: 1.35, 1: 1.8},
	Track:     50 * ms,
}

// InOrder is the scale with each level that stands for more than a weaker one, seen
// from 3 outwards, brought back to that.
func (s Scale) InOrder() Scale {
	for level := 4; level <= 5; level++ {
		s.Recognise[level] = min(s.Recognise[level], s.Recognise[level-1])
		s.Execute[level] = min(s.Execute[level], s.Execute[level-1])
	}
	for level := 2; level >= 1; level-- {
		s.Recognise[level] = max(s.Recognise[level], s.Recognise[level+1])
		s.Execute[level] = max(s.Execute[level], s.Execute[level+1])
	}
	return s
}

// DefaultSpeed is [Person.Speed] unless told: the prices of package hands are a fast
// solver's. It is about six turns a second in R U R' U' (common practice, no source).
const DefaultSpeed = 1.5
