package forecast

import (
	"time"

	"slotcast/cube"
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
	Case   Case
	Person *Person
	View   View
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
	Leaves Outcome
	// Then is the AUF to do next, in that hold, and Sequence what orients the top
	// after it.
	Then, Sequence cube.Sequence
	// Slot is where the open slot stands after the rotation, and Insertion the
	// turns that are left after rotation and AUF: by these two a person's book
	// tells insertions apart.
	Slot      Slot
	Insertion cube.Sequence
	// Count is the number of turns of the insertion; see [cube.Sequence.Count].
	Count   int
	Seconds Seconds
	// Known says that the person knows the insertion. Of another, Gain is the time
	// that knowing it would gain here: by so much its total is less than that of
	// the best one known, where there is one.
	Known bool
	Gain  time.Duration
}

// Seconds are the parts that the time for an option is made of. All but
// Recognise are estimates as long as nothing was rated or measured.
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

// aufCosts has the cost of each turn of U.
var aufCosts = func() (costs [4]time.Duration) {
	for quarters, turns := range auf {
		costs[quarters] = Cost(turns)
	}
	return costs
}()

// Forecast lists the ways to fill the slot, in order of the total, the lowest
// first, then of the count, then of the turns as text.
func (b *Book) Forecast(r Request) []Option { return b.For(r.Person).Forecast(r) }
