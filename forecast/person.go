package forecast

import (
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
)

// Seconds of execution are kept as whole milliseconds, so that sums are exact
// and the order of a ranking does not depend on rounding.
const ms = time.Millisecond

// Person is whom a forecast is for. All times count as whole milliseconds. What
// is rated replaces an estimate, and what is measured replaces a rating.
type Person struct {
	// Ratings has what is rated and measured, by pattern and step.
	Ratings [lastslot.Patterns][Steps]Rating
	// Scale is what a rating stands for.
	Scale Scale
	// Sequences has the person's own for a pattern, in place of the book's: of
	// several the one that costs least with its AUF is taken.
	Sequences [lastslot.Patterns][]lastslot.FollowUp
	// Insertions has those of which the person's book says anything.
	Insertions []OwnInsertion
	// Speed is how long the person takes in shares of what is estimated: 1, or 0, as
	// estimated, 0.8 a fifth less. Use 0.25 to 4.
	Speed float64
	// Hands are those that the person turns with. What is estimated is estimated for
	// them, and what is offered is spelt for them.
	Hands hands.Handed
}

// Anyone is a person of whom nothing is known.
func Anyone() *Person { return &Person{Scale: DefaultScale} }

// Estimate is how long the person takes for the turns, so far as nothing was
// measured; see package hands.
func (p *Person) Estimate(turns cube.Sequence) time.Duration {
	return p.scaled(hands.Estimate(turns, p.Hands))
}

// scaled is an estimate at the person's speed.
func (p *Person) scaled(estimate time.Duration) time.Duration {
	if p.Speed == 0 || p.Speed == 1 {
		return estimate
	}
	return wholeMs(time.Duration(float64(estimate) * p.Speed))
}

// recognise is how long the person takes to recognise the pattern. Unrated, it
// is recognised as one rated 3, and the oriented one at once.
func (p *Person) recognise(pattern lastslot.Pattern) time.Duration {
	rating := p.Ratings[pattern][Recognise]
	switch {
	case rating.Time != nil:
		return *rating.Time
	case rating.Level != 0:
		return p.Scale[Recognise][rating.Level]
	case pattern == 0:
		return 200 * ms
	}
	return p.Scale[Recognise][3]
}

// execute is how long the person takes for the pattern's sequence, without AUF.
// Neither measured nor rated, it is as estimated from the sequence.
func (p *Person) execute(pattern lastslot.Pattern, estimate time.Duration) time.Duration {
	if pattern == 0 {
		return 0
	}
	rating := p.Ratings[pattern][Execute]
	switch {
	case rating.Time != nil:
		return *rating.Time
	case rating.Level != 0:
		return p.Scale[Execute][rating.Level]
	}
	return estimate
}

// longestInsertion bounds what an insertion takes: a scale out of all proportion
// would make more of a rating than a sum of milliseconds has room for.
const longestInsertion = time.Hour

// insert is how long the person takes for an insertion, without rotation and
// AUF. The scale is that of sequences, which are longer, so a rating stands for a
// share of the estimate: rated 3 it is as estimated, and rated 4 quicker by as
// much as a sequence rated 4 is quicker than one rated 3.
func (p *Person) insert(i *OwnInsertion, estimate time.Duration) time.Duration {
	middle := p.Scale[Execute][3]
	switch {
	case i.Time != nil:
		return *i.Time
	case i.Execute != 0 && middle > 0:
		share := float64(p.Scale[Execute][i.Execute]) / float64(middle)
		return min(longestInsertion, wholeMs(time.Duration(float64(estimate)*share)))
	}
	return estimate
}

// OwnInsertion is what a person's book says of an insertion, be it among the
// [Book]'s or not. It is offered as it is written here in every case of its slot
// that it fits.
type OwnInsertion struct {
	lastslot.Insertion
	// Known says that the person knows it; one that is not in the Book is known.
	Known bool
	// Hidden ones are offered to the person in no forecast.
	Hidden bool
	// Execute is its rating from 1 to 5, 0 if not rated, 3 for as quick as it is
	// estimated; Time is measured, nil if it was not.
	Execute int
	Time    *time.Duration
}

// wholeMs rounds a time, as all sums are of whole milliseconds.
func wholeMs(d time.Duration) time.Duration { return (d + ms/2) / ms * ms }
