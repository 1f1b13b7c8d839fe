package practice

import (
	"math/rand/v2"
	"time"
)

// Candidate is an item that could come next.
type Candidate struct {
	Item Item
	// Comes is in what share of the cases it comes for this person, 0 to 1.
	Comes float64
	// Takes are the seconds that it costs them each time.
	Takes  time.Duration
	Memory Memory
}

// The bounds of how overdue an item counts, with 1 for one that is due today: what was
// done today may come again in a long session, and what lies for years is no more than some
// others.
const (
	leastOverdue = 0.02
	mostOverdue  = 5
)

// Need is how much the item needs to be practised on the day: the product of
//
//   - how overdue it is: the chance of not having it any more, by that at which it is due.
//     It is 1 on the due day and rises from there, and 1 for what was never practised;
//   - how often it comes;
//   - the seconds that it costs.
//
// Only ratios of needs mean anything.
func (c *Candidate) Need(on Day) float64 {
	overdue := 1.0
	if c.Memory.Practised() {
		overdue = clamp((1-c.Memory.Chance(on))/(1-retention), leastOverdue, mostOverdue)
	}
	return overdue * c.Comes * c.Takes.Seconds()
}

// Draw draws so many items for a session on the day, each with a chance in proportion to its
// need, and none twice before all have come. The same seed draws the same in the same order.
// It draws nothing where nothing has a need.
func Draw(candidates []Candidate, on Day, items int, seed uint64) (drawn []Item) {
	chance := rand.New(rand.NewPCG(seed, 0)) // #nosec G404 -- no secret: a partner draws the same
	needs := make([]float64, len(candidates))
	open := 0
	for len(drawn) < items {
		if open == 0 {
			for i := range candidates {
				if needs[i] = candidates[i].Need(on); needs[i] > 0 {
					open++
				}
			}
			if open == 0 {
				return drawn
			}
		}
		at := drawOne(needs, chance)
		drawn = append(drawn, candidates[at].Item)
		needs[at] = 0
		open--
	}
	return drawn
}

// drawOne is the number of one with a chance in proportion to its need.
func drawOne(needs []float64, chance *rand.Rand) int {
	sum := 0.0
	for _, need := range needs {
		sum += need
	}
	left, last := sum*chance.Float64(), 0
	for i, need := range needs {
		if need <= 0 {
			continue
		}
		if left < need {
			return i
		}
		left -= need
		last = i // rounding may leave a little at the end
	}
	return last
}
