package practice

import (
	"slices"
	"time"
)

// Try is one go at an item.
type Try struct {
	// At is when it was done, by the clock of the device, to the millisecond.
	At time.Time
	// Took is how long it took, to the millisecond: until the person knew it, chose, or
	// put the puzzle down.
	Took  time.Duration
	Right bool
}

// Bounds of what a try can take. What is beyond is a mistake of a device or of whoever
// writes to the interface, not somebody's try.
const (
	LeastTook = time.Millisecond
	MostTook  = 10 * time.Minute
)

// keptTries is how many of an item's last tries are looked at for its seconds: older ones
// are of somebody who practised less.
const keptTries = 20

// History is what all tries of an item come to. It grows by one try at a time, and is
// never worked out anew but where a try is withdrawn or comes late.
type History struct {
	// Tries is how many there were, and Right how many of them right.
	Tries, Right int
	// Newest is when the newest was; zero for none.
	Newest time.Time
	// Recent are the last of them, the newest last: at most 20.
	Recent []Try
	Memory Memory
}

// Slow and quick are how much of one's median a right try takes that is graded Hard and
// Easy.
const (
	slow  = 1.5
	quick = 0.7
)

// GradeOf is the grade of a further try: Again where it is wrong; right, Hard where it took
// over 1.5 times the median of the last ones, Easy under 0.7 times, else Good. Without an
// earlier one that counts it is Good.
func (h *History) GradeOf(t Try) Grade {
	median := h.Seconds().Median
	switch {
	case !t.Right:
		return Again
	case median == 0:
		return Good
	case float64(t.Took) > slow*float64(median):
		return Hard
	case float64(t.Took) < quick*float64(median):
		return Easy
	}
	return Good
}

// Add counts a try with its grade. It is the newest: where it is not, all are to be added
// anew in their order.
func (h *History) Add(t Try, g Grade) {
	h.Tries++
	if t.Right {
		h.Right++
	}
	if t.At.After(h.Newest) {
		h.Newest = t.At
	}
	if len(h.Recent) >= keptTries {
		h.Recent = h.Recent[len(h.Recent)-keptTries+1:]
	}
	h.Recent = append(slices.Clone(h.Recent), t)
	h.Memory = h.Memory.After(g, DayOf(t.At))
}

// Seconds is how long somebody takes for an item, by their last right tries.
type Seconds struct {
	// Median is that of those that count; 0 for none. Between From and To lies their
	// middle half.
	Median, From, To time.Duration
	// Count is how many count.
	Count int
}

// Enough says whether so many results count that they rank: five.
func (s Seconds) Enough() bool { return s.Count >= 5 }

// Outliers are beyond what practice takes: the phone rang, or the clock was not stopped.
const (
	// longestCounted is the most that a try takes which counts.
	longestCounted = 10 * time.Second
	// farOut is how many times the median is too much.
	farOut = 3
)

// Outlier says whether a try of so long is one that is shown and not counted.
func (s Seconds) Outlier(took time.Duration) bool {
	return took > longestCounted || s.Median > 0 && took > farOut*s.Median
}

// Seconds are those of the item. A wrong try has none.
func (h *History) Seconds() Seconds {
	var all []time.Duration
	for _, t := range h.Recent {
		if t.Right && t.Took <= longestCounted {
			all = append(all, t.Took)
		}
	}
	s := secondsOf(all)
	return secondsOf(slices.DeleteFunc(all, s.Outlier))
}

// secondsOf sorts the times.
func secondsOf(times []time.Duration) Seconds {
	if len(times) == 0 {
		return Seconds{}
	}
	slices.Sort(times)
	return Seconds{Median: share(times, 2), From: share(times, 1), To: share(times, 3), Count: len(times)}
}

// share is what so many quarters of the sorted times are below, between two of them in
// proportion, to the millisecond.
func share(sorted []time.Duration, quarters int) time.Duration {
	at := quarters * (len(sorted) - 1)
	whole, rest := at/4, time.Duration(at%4)
	s := sorted[whole]
	if rest > 0 {
		s += (sorted[whole+1] - s) * rest / 4
	}
	return s.Round(time.Millisecond)
}
