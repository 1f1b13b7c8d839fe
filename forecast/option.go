package forecast

import (
	"cmp"
	"time"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/looks"
)

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
	// after it: of several looks all turns, with the AUFs between them.
	Then, Sequence cube.Sequence
	// Looks are those that Then and Sequence are made of, nil where one is enough.
	Looks []looks.Look
	// Gap says that nothing the person has learnt orients what is left: Sequence is the
	// pattern's own, to be looked up, and Seconds count [looks.Gap].
	Gap bool
	// Count is the number of turns of the insertion; see [cube.Sequence.Count].
	Count int
	// Track is how many last-layer pieces are to be followed for predicting what it
	// leaves; see [lastslot.Map.Track].
	Track int
	// Predicted says that the person predicts it; then Seconds.Recognise is the lesser of
	// recognising and tracking.
	Predicted bool
	Seconds   Seconds
	// Finish is what follows until all is solved; nil where that is not asked for.
	Finish *Finish
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
	// PLL is the time from the oriented top until all is solved, recognising and both AUFs
	// included; 0 where that is not asked for.
	PLL time.Duration
}

// scaled is the time until the slot is filled at the person's speed.
func (s Seconds) scaled(p *Person) Seconds {
	s.Rotation, s.AUF, s.Insertion = p.scaled(s.Rotation), p.scaled(s.AUF), p.scaled(s.Insertion)
	return s
}

// Insert is the time until the slot is filled.
func (s Seconds) Insert() time.Duration { return s.Rotation + s.AUF + s.Insertion }

// Execute is the time for orienting the top.
func (s Seconds) Execute() time.Duration { return s.ThenAUF + s.Sequence }

// Total is the time by which options are ranked.
func (s Seconds) Total() time.Duration { return s.Insert() + s.Recognise + s.Execute() + s.PLL }

// CompareInsert orders options by the time until the slot is filled, then by
// count and turns.
func CompareInsert(a, b Option) int {
	return cmp.Or(cmp.Compare(a.Seconds.Insert(), b.Seconds.Insert()), cmp.Compare(a.Count, b.Count), a.Turns.Compare(b.Turns))
}

// CompareCount orders options by count, then by the time until the slot is
// filled, then by turns.
func CompareCount(a, b Option) int { return cmp.Or(cmp.Compare(a.Count, b.Count), CompareInsert(a, b)) }
