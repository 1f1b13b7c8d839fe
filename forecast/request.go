package forecast

import "slotcast/forecast/lastslot"

// Request says what is to be forecast.
type Request struct {
	Case   lastslot.Case
	View   View
	Filter Filter
	// Limit is the most options to give; 0 gives all.
	Limit int
	// PerPattern gives only the best option for each pattern.
	PerPattern bool
}
