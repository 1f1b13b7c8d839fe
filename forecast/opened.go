package forecast

import (
	"slices"

	"slotcast/cube"
)

// Option is one option of the case, told by its turns: rotation (only y), AUF and
// insertion. It is what [Forecaster.Forecast] says of them or, where it does not
// list them, the same worked out for them. An error says what the turns do not
// keep or fill.
func (f *Forecaster) Option(c Case, turns cube.Sequence) (Option, error) {
	_, left, err := leaves(c, turns)
	if err != nil {
		return Option{}, err
	}
	for _, o := range f.Forecast(Request{Case: c}) {
		if slices.Equal(o.Turns, turns) {
			return o, nil
		}
	}
	rotation, before, insertion := split(turns)
	a := &f.after[left]
	return Option{
		Turns: turns, Leaves: left, Then: auf[a.quarters], Sequence: a.turns, Count: insertion.Count(),
		Seconds: Seconds{
			Rotation: f.estimate(rotation), AUF: f.estimate(before), Insertion: f.estimate(insertion),
			Recognise: a.recognise, ThenAUF: a.auf, Sequence: a.sequence,
		},
		Known: len(insertion) == 0,
	}, nil
}

// Split cuts the option's turns into rotation, AUF and insertion.
func (o *Option) Split() (rotation, auf, insertion cube.Sequence) { return split(o.Turns) }

// Begins is the case as it stands when the insertion begins, after rotation and
// AUF.
func (o *Option) Begins(c Case) Case {
	rotation, before, _ := split(o.Turns)
	for _, t := range rotation {
		c = c.TurnedRound(t.Quarters())
	}
	for _, t := range before {
		c = c.Turned(t.Quarters())
	}
	return c
}
