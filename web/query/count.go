package query

import (
	"fmt"
	"net/url"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/routes"
	"slotcast/web/problem"
)

// CountParameter says how often each place is taken to come.
const CountParameter = "count"

// Counts are its values, the usual one first.
var Counts = []string{"cases", "met"}

// Count is how often each place of the pair is taken to come.
type Count struct {
	// Met says that it is as often as solves met it, otherwise all cases are alike.
	Met bool
}

// ReadCount reads it; what is not given is the usual one.
func ReadCount(values url.Values) (Count, error) {
	if n := len(values[CountParameter]); n > 1 {
		return Count{}, problem.Repeated(CountParameter, n)
	}
	given := values.Get(CountParameter)
	switch {
	case !values.Has(CountParameter) || given == Counts[0]:
		return Count{}, nil
	case given == Counts[1]:
		return Count{Met: true}, nil
	}
	return Count{}, problem.BadSyntax(CountParameter, 0, fmt.Sprintf("“%s” is unknown: use %s or %s", problem.Shortened(given), Counts[0], Counts[1]))
}

// Weight is how often a place comes, beside others of its slot.
func (c Count) Weight(place lastslot.Place) int {
	if c.Met {
		return routes.Met(place)
	}
	return place.Cases()
}

// OfSlot is the weight of all places of a slot.
func (c Count) OfSlot(slot lastslot.Slot) (sum int) {
	for _, place := range lastslot.Places(slot) {
		sum += c.Weight(place)
	}
	return sum
}
