package forecast

import "slotcast/forecast/lastslot"

// Request says what is to be forecast, and for whom.
type Request struct {
	Case   lastslot.Case
	Person *Person
	View   View
	Filter Filter
	// Limit is the most options to give; 0 gives all.
	Limit int
	// PerPattern gives only the best option for each pattern.
	PerPattern bool
}

// Forecast lists the options to fill the slot, in order of the total, the lowest
// first, then of the count, then of the turns as text.
func (b *Book) Forecast(r Request) []Option {
	f := Forecaster{book: b.With(r.Person.Hands)}
	f.fill(r.Person)
	return f.Forecast(r)
}
