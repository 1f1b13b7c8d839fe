package forecast

import (
	"time"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// View says which insertions are offered.
type View uint8

// The views: every insertion, or only those that the person knows. Doing nothing
// where the pair is solved needs no knowing.
const (
	All View = iota
	Known
)

// Request says what is to be forecast, and for whom.
type Request struct {
	Case   lastslot.Case
	Person *Person
	View   View
	Filter Filter
	// Limit is the most options to give; 0 gives all.
	Limit int
	// PerPattern gives only the best option for each pattern.
	PerPattern bool
}

// Option is one way to fill the slot, what it leaves, and what to do next.
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

// split cuts a way's turns into rotation, AUF and insertion.
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

// Forecast lists the ways to fill the slot, in order of the total, the lowest
// first, then of the count, then of the turns as text.
func (b *Book) Forecast(r Request) []Option {
	f := Forecaster{book: b.With(r.Person.Hands)}
	f.fill(r.Person)
	return f.Forecast(r)
}
