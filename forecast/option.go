package forecast

import (
	"cmp"
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
	left, err := lastslot.Leaves(c, turns)
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

// Option is how to fill the slot, what it leaves, and what to do next.
type Option struct {
	// Turns are the rotation (only y), the AUF and the insertion.
	Turns cube.Sequence
	// Leaves is how the top layer is turned after them, in the hold they end in.
	Leaves lastslot.Outcome
	// Then is the AUF to do next, in that hold, and Sequence what orients the top
	// after it.
	Then, Sequence cube.Sequence
	// Count is the number of turns of the insertion; see [cube.Sequence.Count].
	Count   int
	Seconds Seconds
	// Known says that the person knows the insertion. Of another, Gain is the time
	// that knowing it would gain here: by so much its total is less than that of
	// the best one known, where there is one.
	Known bool
	Gain  time.Duration
}

// Insertion is what is left of the turns after rotation and AUF, and where the
// slot then stands that was open in the case: by these two a person's book tells
// insertions apart.
func (o *Option) Insertion(open lastslot.Slot) (lastslot.Slot, cube.Sequence) {
	rotation, _, insertion := split(o.Turns)
	if len(rotation) > 0 {
		open = lastslot.Slot((int(open) + rotation[0].Quarters()) & 3)
	}
	return open, insertion
}

// split cuts an option's turns into rotation, AUF and insertion.
func split(turns cube.Sequence) (rotation, auf, insertion cube.Sequence) {
	first := 0
	if len(turns) > 0 && turns[0].Layer() == cube.Y {
		first = 1
	}
	second := first
	if len(turns) > first && turns[first].Layer() == cube.U {
		second++
	}
	return turns[:first], turns[first:second], turns[second:]
}

// Seconds are the parts that the time for an option is made of. All but
// Recognise are estimates as long as nothing was rated or measured. Each part is
// estimated by itself, with the hands at home when it begins, so parts add up.
type Seconds struct {
	Rotation, AUF, Insertion time.Duration
	Recognise                time.Duration
	ThenAUF, Sequence        time.Duration
}

// Insert is the time until the slot is filled.
func (s Seconds) Insert() time.Duration { return s.Rotation + s.AUF + s.Insertion }

// Execute is the time for orienting the top.
func (s Seconds) Execute() time.Duration { return s.ThenAUF + s.Sequence }

// Total is the time by which options are ranked.
func (s Seconds) Total() time.Duration { return s.Insert() + s.Recognise + s.Execute() }

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
	made, err := lastslot.NewInsertion(slot, insertion)
	if err != nil {
		return false
	}
	number, ok := f.book.numbers[made.SeenAt(lastslot.FR).Key()]
	return ok && f.hidden[slotInsertion{slot, number}]
}

// CompareInsert orders options by the time until the slot is filled, then by
// count and turns.
func CompareInsert(a, b Option) int {
	return cmp.Or(cmp.Compare(a.Seconds.Insert(), b.Seconds.Insert()), cmp.Compare(a.Count, b.Count), a.Turns.Compare(b.Turns))
}

// CompareCount orders options by count, then by the time until the slot is
// filled, then by turns.
func CompareCount(a, b Option) int { return cmp.Or(cmp.Compare(a.Count, b.Count), CompareInsert(a, b)) }
