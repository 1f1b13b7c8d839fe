package routes

import (
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// Seen is how much of a case somebody knows who ranks its routes. What is not seen is
// counted by the mean over all that it can be, each case alike: exactly, as a step maps the
// cases that look the same one to one on last-slot cases.
type Seen uint8

const (
	// SeenAll is everything.
	SeenAll Seen = iota
	// SeenPairs is where both pairs are, and not how the rest is turned.
	SeenPairs
	// SeenPair is where the pair of one slot is, and nothing else. Only that slot is filled.
	SeenPair
)

// The numbers of last-slot cases that the mean is over.
const (
	UnseenOfPairs = lastslot.CornerTwists / 3 * lastslot.EdgeFlips / 2
	UnseenOfPair  = lastslot.CasesPerSlot
)

// Unseen is how many cases look the same, 1 where everything is seen.
func (s Seen) Unseen() int { return [...]int{1, UnseenOfPairs, UnseenOfPair}[s] }

// means has the mean values of last-slot cases by what is seen of them; a negative one
// where nothing is offered for some of them.
type means struct {
	places [lastslot.Slots * lastslot.PairPlaces]time.Duration
	slots  [lastslot.Slots]time.Duration
}

// pairPlace numbers a last-slot case's slot and its pair's place.
func pairPlace(c *lastslot.Case) int {
	return ((int(c.Slot)*lastslot.Spots+c.Corner)*3+c.Twists[c.Corner])*2*lastslot.Spots + c.Edge*2 + c.Flips[c.Edge]
}

func meansOf(values *forecast.Values) *means {
	m := &means{}
	missing := [len(m.places)]bool{}
	for i := range lastslot.Cases {
		c := lastslot.CaseAt(i)
		total, ok := values.Total(i)
		m.places[pairPlace(&c)] += total
		missing[pairPlace(&c)] = missing[pairPlace(&c)] || !ok
	}
	for slot := range m.slots {
		places := m.places[slot*lastslot.PairPlaces:][:lastslot.PairPlaces]
		for i := range places {
			m.slots[slot] += places[i]
		}
		m.slots[slot] = rounded(m.slots[slot], UnseenOfPair)
		for i := range places {
			places[i] = rounded(places[i], UnseenOfPairs)
			if missing[slot*lastslot.PairPlaces+i] {
				places[i], m.slots[slot] = -1, -1
			}
		}
	}
	return m
}

// rounded is a mean in whole milliseconds.
func rounded(sum time.Duration, n int) time.Duration {
	return (sum / time.Duration(n)).Round(time.Millisecond)
}

// of is the mean for what is seen where the case is left, and the number by which candidates
// that leave the same are told: of these the quickest counts. It is negative where all do.
func (m *means) of(seen Seen, left *lastslot.Case) (mean time.Duration, same int32) {
	if seen == SeenPairs {
		place := pairPlace(left)
		return m.places[place], int32(place)
	}
	return m.slots[left.Slot], -1
}
