package atlas

import (
	"sync"

	"slotcast/forecast/lastslot"
)

// MostTurns is the most turns that any case needs for any pattern; that all need
// no more is tested.
const MostTurns = 13

// Reach has in how many cases of a slot a pattern takes how many turns at the
// fewest: Reach[n] cases take n. AUF is free at either end.
type Reach [MostTurns + 1]int

// Within is the number of cases in which at most n turns are needed.
func (r Reach) Within(n int) (cases int) {
	for _, exactly := range r[:n+1] {
		cases += exactly
	}
	return cases
}

// Cases is the number of all of them.
func (r Reach) Cases() int { return r.Within(MostTurns) }

// PlaceReach is the reach of a pattern from one place of the pair.
type PlaceReach struct {
	Place lastslot.Place
	Reach
}

// classPlaces has, for each class, how many cases it has and the number of its
// place in [lastslot.Places]: worked out once.
var classPlaces = sync.OnceValue(func() (table [Classes]struct{ cases, place int }) {
	numbers := map[lastslot.Place]int{}
	for i, p := range lastslot.Places(lastslot.FR) {
		numbers[p] = i
	}
	for index, class := range classes() {
		table[class].cases++
		table[class].place = numbers[lastslot.CaseAt(index).Place()]
	}
	return table
})

// Reach is the pattern's reach over all cases of a slot, and from each place of
// the pair, seen with the slot at front right.
func (a *Atlas) Reach(pattern lastslot.Pattern) (whole Reach, places []PlaceReach) {
	places = make([]PlaceReach, lastslot.PlacesPerSlot)
	for i, p := range lastslot.Places(lastslot.FR) {
		places[i].Place = p
	}
	for class, in := range classPlaces() {
		n := len(a.rows[a.entries[class*lastslot.Patterns+int(pattern)]])
		whole[n] += in.cases
		places[in.place].Reach[n] += in.cases
	}
	return whole, places
}
