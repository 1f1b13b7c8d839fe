package forecast

import (
	"cmp"
	"slices"
	"time"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Option is one option of the case, told by its turns: rotation (only y), AUF and
// insertion. It is what [Forecaster.Forecast] says of them or, where it does not
// list them, the same worked out for them. An error says what the turns do not
// keep or fill.
func (f *Forecaster) Option(c lastslot.Case, turns cube.Sequence) (Option, error) {
	_, left, err := lastslot.LeavesTurned(c, turns)
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
		Turns: turns, Leaves: left, Then: lastslot.AUFs[a.quarters], Sequence: a.turns, Count: insertion.Count(),
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
func (o *Option) Begins(c lastslot.Case) lastslot.Case {
	rotation, before, _ := split(o.Turns)
	for _, t := range rotation {
		c = c.TurnedRound(t.Quarters())
	}
	for _, t := range before {
		c = c.Turned(t.Quarters())
	}
	return c
}

// Options are those that rows of AUF and insertion, without a rotation, make for
// the request's case, in the rows' order; what the person has hidden is left out.
func (f *Forecaster) Options(r Request, rows []cube.Sequence) ([]Option, error) {
	c := r.Case
	own := f.ownAt(c.Slot, c.PairPlace())
	var best *Option
	if known := f.Forecast(Request{Case: c, View: Known, Limit: 1}); len(known) > 0 {
		best = &known[0]
	}
	options := make([]Option, 0, len(rows))
	for _, turns := range rows {
		m, left, err := lastslot.LeavesTurned(c, turns)
		if err != nil {
			return nil, err
		}
		_, before, insertion := split(turns)
		a := &f.after[left]
		o := Option{
			Turns: turns, Leaves: left, Then: lastslot.AUFs[a.quarters], Sequence: a.turns, Count: insertion.Count(),
			Seconds: Seconds{
				AUF: f.estimate(before), Insertion: f.estimate(insertion),
				Recognise: a.recognise, ThenAUF: a.auf, Sequence: a.sequence,
			},
			Known: len(insertion) == 0,
		}
		if f.hides(c.Slot, insertion) {
			continue
		}
		corners, edges := m.Numbers()
		for i := range own {
			o.Known = o.Known || own[i].known && slices.Contains(own[i].maps[:], [2]uint16{uint16(corners), uint16(edges)})
		}
		if !o.Known && best != nil {
			o.Gain = max(0, best.Seconds.Total()-o.Seconds.Total())
		}
		options = append(options, o)
	}
	return options, nil
}

// estimate is how long the person takes for the turns.
func (f *Forecaster) estimate(turns cube.Sequence) time.Duration {
	p := Person{Speed: f.speed, Hands: f.book.hands}
	return p.Estimate(turns)
}

// hides says whether the person has hidden what does the same as the insertion.
func (f *Forecaster) hides(slot lastslot.Slot, insertion cube.Sequence) bool {
	if len(f.hidden) == 0 {
		return false
	}
	motion, _ := lastslot.Motion(insertion)
	number, ok := f.book.numbers[lastslot.MapOf(motion, slot).TurnedRound(lastslot.QuartersBetween(slot, lastslot.FR)).Key()]
	return ok && f.hidden[slotEntry{slot, number}]
}

// CompareInsert orders options by the time until the slot is filled, then by
// count and turns.
func CompareInsert(a, b Option) int {
	return cmp.Or(cmp.Compare(a.Seconds.Insert(), b.Seconds.Insert()), cmp.Compare(a.Count, b.Count), compareTexts(a.Turns, b.Turns))
}

// CompareCount orders options by count, then by the time until the slot is
// filled, then by turns.
func CompareCount(a, b Option) int { return cmp.Or(cmp.Compare(a.Count, b.Count), CompareInsert(a, b)) }
