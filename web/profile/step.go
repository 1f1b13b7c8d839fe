package profile

import (
	"fmt"
	"strings"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/twoslots"
	"slotcast/web/problem"
)

// OwnStep is what a person says of a step with two slots open.
type OwnStep struct {
	Open  twoslots.Open // key; as the slots stand before the turns
	Turns string        // key
	// Known says whether the person has learnt it; see [forecast.OwnStep] for what counts
	// where nothing is said.
	Known forecast.Said
	// Hidden says that it is not to be offered.
	Hidden bool
	Time   time.Duration // measured; 0 for none
}

// OwnStepValues is what is said of a step, as JSON has it.
type OwnStepValues struct {
	Open  string `json:"open"`
	Turns string `json:"turns"`
	// Known is left out where nothing is said of it: then a usual one is known.
	Known   *bool    `json:"known,omitempty"`
	Hidden  bool     `json:"hidden"`
	Seconds *float64 `json:"seconds,omitempty"`
}

// Record verifies the step; what is kept has no AUF at its ends and no rotation at the
// front, and its slots are where they stand before these turns.
func (v OwnStepValues) Record() (OwnStep, error) {
	step, err := readStep("open", v.Open, v.Turns)
	if err != nil {
		return OwnStep{}, err
	}
	known := saidOf(v.Known)
	if known == forecast.Yes && v.Hidden {
		return OwnStep{}, problem.BadRequest("hidden", "known and hidden: choose one")
	}
	measured, err := CheckSeconds("seconds", v.Seconds)
	if err != nil {
		return OwnStep{}, err
	}
	return OwnStep{Open: step.Open, Turns: step.Turns.String(), Known: known, Hidden: v.Hidden, Time: measured}, nil
}

// OwnStepsOf writes the records as JSON has them.
func OwnStepsOf(records []OwnStep) []OwnStepValues {
	all := []OwnStepValues{}
	for _, s := range records {
		all = append(all, OwnStepValues{Open: s.Open.String(), Turns: s.Turns, Known: writtenSaid(s.Known), Hidden: s.Hidden, Seconds: WrittenSeconds(s.Time)})
	}
	return all
}

// readStep verifies a step; field is that of the open slots.
func readStep(field, open, turns string) (twoslots.Step, error) {
	slots, err := twoslots.ParseOpen(open)
	if err != nil {
		return twoslots.Step{}, problem.NoSlots(field, open)
	}
	parsed, err := CheckTurns(turns)
	if err != nil {
		return twoslots.Step{}, err
	}
	step, err := twoslots.CheckStep(slots, parsed)
	if err != nil {
		return twoslots.Step{}, problem.Unprocessable("turns", err)
	}
	return step, nil
}

// StepID tells steps apart in forms: the open slots before the turns, then the turns.
func StepID(open twoslots.Open, turns string) string { return open.String() + " " + turns }

// ReadStepID undoes [StepID]; the field is the one to blame.
func ReadStepID(field, id string) (twoslots.Step, error) {
	open, turns, _ := strings.Cut(id, " ")
	return readStep(field, open, turns)
}

// Step is what the records say of a step; nothing where they say nothing.
func (r Records) Step(s twoslots.Step) OwnStep {
	turns := s.Turns.String()
	for _, own := range r.Steps {
		if own.Open == s.Open && own.Turns == turns {
			return own
		}
	}
	return OwnStep{Open: s.Open, Turns: turns}
}

func (o OwnStep) key() string { return fmt.Sprintf("step %s %s", o.Open, o.Turns) }

// words are what is said of the step.
func (o OwnStep) words() string {
	return OwnInsertion{Known: o.Known, Hidden: o.Hidden, Time: o.Time}.words()
}
