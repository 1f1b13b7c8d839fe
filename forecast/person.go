package forecast

import (
	"cmp"
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
)

// Seconds of execution are kept as whole milliseconds, so that sums are exact
// and the order of a ranking does not depend on rounding.
const ms = time.Millisecond

// Person is whom a forecast is for. All times count as whole milliseconds. What
// is rated and measured replaces an estimate; what is measured counts before what is
// rated.
type Person struct {
	// Ratings has what is rated and measured, by pattern and step.
	Ratings [lastslot.Patterns][Steps]Rating
	// Scale is what a rating stands for.
	Scale Scale
	// Sequences has the person's own for a pattern, in place of the book's: of
	// several the one that costs least with its AUF is taken.
	Sequences [lastslot.Patterns][]lastslot.FollowUp
	// Unlearnt says of which patterns the person has learnt no sequence: these take several
	// looks; see package looks.
	Unlearnt [lastslot.Patterns]bool
	// PLL is how the person does PLL, for the time until all is solved.
	PLL PLLs
	// Insertions has those of which the person's book says anything.
	Insertions []OwnInsertion
	// Steps has the steps with two slots open of which the person says anything.
	Steps []OwnStep
	// Usual says which of the other insertions the person is taken to know.
	Usual Usual
	// Speed is how long the person takes in shares of what is estimated: 1, or 0, as
	// estimated, 0.8 a fifth less. Use 0.25 to 4.
	Speed float64
	// Track is how many last-layer pieces the person follows through an insertion, 0 to 8:
	// what an insertion with no more of them leaves is predicted, and recognising it takes
	// no longer than following them.
	Track int
	// Hands are those that the person turns with. What is estimated is estimated for
	// them, and what is offered is spelt for them.
	Hands hands.Handed
}

// Anyone is a person of whom nothing is known.
func Anyone() *Person { return &Person{Scale: DefaultScale, Speed: DefaultSpeed} }

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

// recognise is how long the person takes to recognise the pattern. Unrated, it is
// recognised as one rated 3, and the oriented one as one rated 5.
func (p *Person) recognise(pattern lastslot.Pattern) time.Duration {
	rating := p.Ratings[pattern][Recognise]
	switch {
	case rating.Time != nil:
		return *rating.Time
	case rating.Level != 0:
		return p.Scale.Recognise[rating.Level]
	case pattern == 0:
		return p.Scale.Recognise[5]
	}
	return p.Scale.Recognise[3]
}

// execute is how long the person takes for the pattern's sequence, without AUF, which
// is estimated to take so long for this person.
func (p *Person) execute(pattern lastslot.Pattern, estimate time.Duration) time.Duration {
	if pattern == 0 {
		return 0
	}
	rating := p.Ratings[pattern][Execute]
	if rating.Time != nil {
		return *rating.Time
	}
	return wholeMs(time.Duration(float64(estimate) * p.Scale.Execute[cmp.Or(rating.Level, 3)]))
}

// Takes is how long the person takes for a step of the pattern, without AUF: by what they
// rate and time, and where they say nothing, by what is assumed. Of their own sequences the
// quickest counts. The book is the one for their hands.
func (b *Book) Takes(p *Person, pattern lastslot.Pattern, step Step) time.Duration {
	if step == Recognise {
		return wholeMs(p.recognise(pattern))
	}
	sequences := p.Sequences[pattern]
	if len(sequences) == 0 {
		return wholeMs(p.execute(pattern, p.Estimate(b.followUps[pattern].Turns)))
	}
	quickest := longestInsertion
	for i := range sequences {
		quickest = min(quickest, wholeMs(p.execute(pattern, p.Estimate(sequences[i].Turns))))
	}
	return quickest
}

// longestInsertion bounds what an insertion takes: a scale out of all proportion
// would make more of a rating than a sum of milliseconds has room for.
const longestInsertion = time.Hour

// insert is how long the person takes for an insertion, without rotation and
// AUF. Rated 3 it is as estimated, and rated otherwise quicker or slower by as much as a
// pattern's sequence is.
func (p *Person) insert(i *OwnInsertion, estimate time.Duration) time.Duration {
	middle := p.Scale.Execute[3]
	switch {
	case i.Time != nil:
		return *i.Time
	case i.Execute != 0 && middle > 0:
		return min(longestInsertion, wholeMs(time.Duration(float64(estimate)*p.Scale.Execute[i.Execute]/middle)))
	}
	return estimate
}

// OwnInsertion is what a person's book says of an insertion, be it among the
// [Book]'s or not. It is offered as it is written here in every case of its slot
// that it fits.
type OwnInsertion struct {
	lastslot.Insertion
	// Known says whether the person knows it. Unsaid, it is known where it is a usual one
	// or not in the Book.
	Known Said
	// Predict says whether the person predicts what it leaves. Unsaid, it goes by how many
	// pieces are to be tracked.
	Predict Said
	// Hidden ones are offered to the person in no forecast.
	Hidden bool
	// Execute is its rating from 1 to 5, 0 if not rated, 3 for as quick as it is
	// estimated; Time is measured, nil if it was not.
	Execute int
	Time    *time.Duration
}

// Said is what a person says of something that is assumed of those who say nothing.
type Said int8

// What can be said.
const (
	No     Said = -1
	Unsaid Said = 0
	Yes    Said = 1
)

// wholeMs rounds a time, as all sums are of whole milliseconds.
func wholeMs(d time.Duration) time.Duration { return (d + ms/2) / ms * ms }
