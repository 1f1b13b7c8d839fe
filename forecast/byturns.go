package forecast

import (
	"slices"
	"time"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Option is the option of the case that has the turns: rotation (only y), AUF and
// insertion. It is what [Forecaster.Forecast] says of them or, where it does not
// list them, the same worked out for them. An error says what the turns do not
// keep or fill.
func (f *Forecaster) Option(c lastslot.Case, turns cube.Sequence) (Option, error) {
	m, left, err := lastslot.Fills(c, turns)
	if err != nil {
		return Option{}, err
	}
	for _, o := range f.Forecast(Request{Case: c}) {
		if slices.Equal(o.Turns, turns) {
			return o, nil
		}
	}
	return f.byTurns(c, turns, m, left), nil
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
		m, left, err := lastslot.Fills(c, turns)
		if err != nil {
			return nil, err
		}
		_, _, insertion := split(turns)
		if f.hides(c.Slot, insertion) {
			continue
		}
		o := f.byTurns(c, turns, m, left)
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

// byTurns is the option of the case that has the turns, which have the map and leave the
// outcome.
func (f *Forecaster) byTurns(c lastslot.Case, turns cube.Sequence, m lastslot.Map, left lastslot.Outcome) Option {
	rotation, before, insertion := split(turns)
	track := m.Track()
	followed := f.follows(track, Unsaid)
	o := Option{
		Turns: turns, Track: track, Leaves: left, Count: insertion.Count(),
		Seconds: Seconds{Rotation: f.estimate(rotation), AUF: f.estimate(before), Insertion: f.estimate(insertion)},
		Known:   len(insertion) == 0 || len(rotation) == 0 && f.knowsUsual(c, insertion),
	}
	f.finish(&o, followed)
	return o
}

// knowsUsual says whether an insertion without a rotation does what the usual one of the
// case's place does, which the person knows.
func (f *Forecaster) knowsUsual(c lastslot.Case, insertion cube.Sequence) bool {
	number, ok := f.numberOf(c.Slot, insertion)
	if !ok || f.usual.numbers[c.Slot][c.PairPlace()] != uint16(number) {
		return false
	}
	// The person may have taken it back.
	return slices.ContainsFunc(f.Forecast(Request{Case: c, View: Known}), func(o Option) bool {
		slot, turns := o.Insertion(c.Slot)
		known, ok := f.numberOf(slot, turns)
		return ok && known == number
	})
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
	number, ok := f.numberOf(slot, insertion)
	return ok && f.hidden[slotInsertion{slot, number}]
}

// numberOf is the book's number of what does the same as the insertion.
func (f *Forecaster) numberOf(slot lastslot.Slot, insertion cube.Sequence) (number int, ok bool) {
	made, err := lastslot.NewInsertion(slot, insertion)
	if err != nil {
		return 0, false
	}
	number, ok = f.book.numbers[made.SeenAt(lastslot.FR).Key()]
	return number, ok
}
