package practice

import (
	"slices"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// Practised is an item of an exercise with its history.
type Practised struct {
	Exercise Exercise
	Item     Item
	History
}

// usualReaction counts until somebody's own is measured: that to a light is about a quarter
// of a second (common practice, no source).
const usualReaction = 250 * time.Millisecond

// plainTaps is of how many plain taps the reaction is the median.
const plainTaps = 10

// leastRecognised is what recognising takes at least: who taps before their reaction has
// guessed.
const leastRecognised = 10 * time.Millisecond

// predictWithin is how long a prediction may take that is of use: longer than an insertion
// takes nobody waits (own estimate).
const predictWithin = 4 * time.Second

// Measured is what somebody's results say of them.
type Measured struct {
	// Reaction is what is taken off what they recognise on a screen. It is their own where
	// OwnReaction says so: the median of their last ten plain taps.
	Reaction    time.Duration
	OwnReaction bool
	// Patterns has the seconds by pattern and step, without the reaction.
	Patterns [lastslot.Patterns][forecast.Steps]Seconds
	// Insertions has the seconds to execute them.
	Insertions map[Item]Seconds
	// Predicted is how predictions went, by how many pieces were to be tracked.
	Predicted [2*lastslot.InSlot + 1]Predictions
}

// Predictions is how many of the last ones there are, and how many of them were right and in
// time.
type Predictions struct{ Tries, Right int }

// Measure puts together what the histories say.
func Measure(all []Practised) *Measured {
	m := &Measured{Reaction: usualReaction, Insertions: map[Item]Seconds{}}
	for i := range all {
		if p := &all[i]; p.Exercise == React {
			var taps []time.Duration
			for _, t := range p.Recent[max(0, len(p.Recent)-plainTaps):] {
				taps = append(taps, t.Took)
			}
			if len(taps) == plainTaps {
				m.Reaction, m.OwnReaction = secondsOf(taps).Median, true
			}
		}
	}
	for i := range all {
		p := &all[i]
		switch p.Exercise {
		case Recognise:
			if pattern, ok := p.Item.Pattern(); ok {
				m.Patterns[pattern][forecast.Recognise] = p.Seconds().less(m.Reaction)
			}
		case Execute:
			if pattern, ok := p.Item.Pattern(); ok {
				m.Patterns[pattern][forecast.Execute] = p.Seconds()
			} else {
				m.Insertions[p.Item] = p.Seconds()
			}
		case Predict:
			if insertion, ok := p.Item.Insertion(); ok {
				of := &m.Predicted[insertion.Map().Track()]
				for _, t := range p.Recent {
					of.Tries++
					if t.Right && t.Took <= predictWithin {
						of.Right++
					}
				}
			}
		}
	}
	return m
}

// less are the seconds without the reaction.
func (s Seconds) less(reaction time.Duration) Seconds {
	if s.Count == 0 {
		return s
	}
	take := func(d time.Duration) time.Duration { return max(leastRecognised, d-reaction) }
	return Seconds{Median: take(s.Median), From: take(s.From), To: take(s.To), Count: s.Count}
}

// Track is how many pieces somebody tracks, by their predictions: going up from none, the
// last number of which at least four in five of the last predictions were right and in
// time, up to the first of which fewer were. Numbers with fewer than five predictions are
// passed over; it is false where there are no others.
func (m *Measured) Track() (pieces int, ok bool) {
	for n, p := range m.Predicted {
		if p.Tries < 5 {
			continue
		}
		ok = true
		if 5*p.Right < 4*p.Tries {
			break
		}
		pieces = n
	}
	return pieces, ok
}

// In puts the seconds into what is known of the person, before all that they rate and time
// themselves. What is rated and not measured is scaled by the median ratio of measured to
// rated, step by step: else what was practised would sink below what merely is rated too
// well. The book is the one for the person's hands.
func (m *Measured) In(p *forecast.Person, book *forecast.Book) {
	var ratios [forecast.Steps][]float64
	for pattern := range m.Patterns {
		for step, s := range m.Patterns[pattern] {
			if s.Enough() {
				rated := book.Takes(p, lastslot.Pattern(pattern), forecast.Step(step))
				if rated > 0 {
					ratios[step] = append(ratios[step], float64(s.Median)/float64(rated))
				}
			}
		}
	}
	recognise, execute := ratioOf(ratios[forecast.Recognise]), ratioOf(ratios[forecast.Execute])
	for level := 1; level < len(p.Scale.Recognise); level++ {
		p.Scale.Recognise[level] = scaled(p.Scale.Recognise[level], recognise)
		p.Scale.Execute[level] *= execute
	}
	for pattern := range m.Patterns {
		for step, s := range m.Patterns[pattern] {
			if s.Enough() {
				p.Ratings[pattern][step].Time = new(s.Median)
			}
		}
	}
	for i := range p.Insertions {
		own := &p.Insertions[i]
		if s := m.Insertions[InsertionItem(own.Insertion)]; s.Enough() {
			own.Time = new(s.Median)
		}
	}
	m.addInsertions(p)
}

// addInsertions adds those of which the person said nothing.
func (m *Measured) addInsertions(p *forecast.Person) {
	said := map[Item]bool{}
	for i := range p.Insertions {
		said[InsertionItem(p.Insertions[i].Insertion)] = true
	}
	var items []Item
	for item, s := range m.Insertions {
		if s.Enough() && !said[item] {
			items = append(items, item)
		}
	}
	slices.Sort(items)
	for _, item := range items {
		if insertion, ok := item.Insertion(); ok {
			p.Insertions = append(p.Insertions, forecast.OwnInsertion{Insertion: insertion, Time: new(m.Insertions[item].Median)})
		}
	}
}

// The bounds of a ratio: beyond them a scale is wrong, not a person.
const leastRatio, mostRatio = 0.25, 4

// ratioOf is the median ratio, 1 of none.
func ratioOf(ratios []float64) float64 {
	if len(ratios) == 0 {
		return 1
	}
	slices.Sort(ratios)
	n := len(ratios)
	return clamp((ratios[(n-1)/2]+ratios[n/2])/2, leastRatio, mostRatio)
}

func scaled(d time.Duration, ratio float64) time.Duration {
	return time.Duration(float64(d) * ratio).Round(time.Millisecond)
}
