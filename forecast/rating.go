package forecast

import "time"

// Rating is how well a person recognises and executes a pattern, each from 1
// (weak) to 5 (strong); 0 is not rated.
type Rating struct{ Recognise, Execute int }

// Scale says how long each rating from 1 to 5 stands for; index 0 is unused.
type Scale struct{ Recognise, Execute [6]time.Duration }

// DefaultScale is an estimate of this project's own.
var DefaultScale = Scale{
	Recognise: [6]time.Duration{5: 200 * ms, 4: 350 * ms, 3: 550 * ms, 2: 850 * ms, 1: 1300 * ms},
	Execute:   [6]time.Duration{5: 700 * ms, 4: 1000 * ms, 3: 1400 * ms, 2: 1900 * ms, 1: 2600 * ms},
}

// Person is whom a forecast is for: how the patterns are rated, by pattern, and
// what a rating stands for. The recognition of what was predicted in advance
// costs nothing.
type Person struct {
	Ratings   [Patterns]Rating
	Scale     Scale
	Predicted bool
}

// Anyone is a person of whom nothing is known.
func Anyone() *Person { return &Person{Scale: DefaultScale} }

// recognise is how long the person takes to recognise the pattern. Unrated, it
// is recognised as one rated 3, and the oriented one at once.
func (p *Person) recognise(pattern Pattern) time.Duration {
	rating := p.Ratings[pattern].Recognise
	switch {
	case p.Predicted:
		return 0
	case rating != 0:
		return p.Scale.Recognise[rating]
	case pattern == 0:
		return 200 * ms
	}
	return p.Scale.Recognise[3]
}

// execute is how long the person takes for the pattern's sequence, without AUF.
// Unrated, it is estimated from the sequence.
func (p *Person) execute(pattern Pattern, estimate time.Duration) time.Duration {
	rating := p.Ratings[pattern].Execute
	switch {
	case pattern == 0:
		return 0
	case rating != 0:
		return p.Scale.Execute[rating]
	}
	return estimate
}
