package forecast

import (
	"time"

	"slotcast/forecast/twoslots"
)

// OwnStep is what a person says of a step with two slots open, for package routes.
type OwnStep struct {
	twoslots.Step
	// Known says whether the person has learnt it; where nothing is said, a usual one is
	// known.
	Known Said
	// Hidden says that it is not to be offered.
	Hidden bool
	// Time is measured, without rotation and AUF; nil for none.
	Time *time.Duration
}

// Steps are those of which the person says anything.
func (f *Forecaster) Steps() []OwnStep { return f.steps }
