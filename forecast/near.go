package forecast

import "time"

// Nearly is by how much two totals may differ whose order says nothing: the prices of turns
// are in steps of ten milliseconds, and their estimate no better than some of these (own
// estimate).
const Nearly = 50 * time.Millisecond

// Near says whether a total is tied with the best or nearly so.
func Near(total, best time.Duration) bool { return total-best <= Nearly }
