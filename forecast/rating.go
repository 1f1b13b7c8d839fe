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
)

var stepNames = [Steps]string{Recognise: "recognise", Execute: "execute"}

// String is "recognise" or "execute".
func (s Step) String() string { return stepNames[s] }

// ParseStep is the inverse of [Step.String].
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

// Scale says how long each level from 1 to 5 of a step stands for; level 0 is unused.
type Scale [Steps][6]time.Duration

// DefaultScale is an estimate of this project's own.
var DefaultScale = Scale{
	Recognise: {5: 200 * ms, 4: 350 * ms, 3: 550 * ms, 2: 850 * ms, 1: 1300 * ms},
	Execute:   {5: 700 * ms, 4: 1000 * ms, 3: 1400 * ms, 2: 1900 * ms, 1: 2600 * ms},
}
