package profile

import (
	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
)

// SequenceValues is a sequence of the person’s own, as JSON has it.
type SequenceValues struct {
	OLL   *int   `json:"oll"`
	Turns string `json:"turns"`
}

// Record verifies the sequence; what is kept has no AUF at its ends.
func (o SequenceValues) Record() (OwnSequence, error) {
	pattern, err := CheckPattern(o.OLL, 1)
	if err != nil {
		return OwnSequence{}, err
	}
	turns, err := CheckTurns(o.Turns)
	if err != nil {
		return OwnSequence{}, err
	}
	sequence, err := lastslot.CheckSequence(pattern, turns)
	if err != nil {
		return OwnSequence{}, problem.Unprocessable("turns", err)
	}
	return OwnSequence{Pattern: pattern, Turns: sequence.Turns.String()}, nil
}

// SequencesOf writes the records as JSON has them.
func SequencesOf(records []OwnSequence) []SequenceValues {
	all := []SequenceValues{}
	for _, r := range records {
		oll := int(r.Pattern)
		all = append(all, SequenceValues{&oll, r.Turns})
	}
	return all
}
