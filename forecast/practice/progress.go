package practice

import "time"

// Week is a week as ISO 8601 has it, from Monday to Sunday, by their number since that of
// 1 January 1970.
type Week int

// monday is how many days after a Monday the first of January 1970 is, a Thursday.
const monday = 3

// Week is the week in which the day is.
func (d Day) Week() Week {
	n := int(d) + monday
	if n < 0 {
		n -= 6
	}
	return Week(n / 7)
}

// First is the week's Monday.
func (w Week) First() Day { return Day(int(w)*7 - monday) }

// Time is when the day begins, in UTC.
func (d Day) Time() time.Time { return time.Unix(int64(d)*24*60*60, 0).UTC() }

// BinWidth is how wide the bins are in which a tally counts, and Bins how many there are:
// up to what a try takes at most that counts.
const (
	BinWidth = 50 * time.Millisecond
	Bins     = int(longestCounted / BinWidth)
)

// Bin is where a tally counts the try: from 0 to Bins-1 by how long it took, Bins where it
// took too long to count, and -1 where it was wrong.
func (t Try) Bin() int {
	if !t.Right {
		return -1
	}
	return min(int(t.Took/BinWidth), Bins)
}

// Tally is how many tries there were by how long they took: what a week's tries come to, so
// that no plot reads them all.
type Tally struct {
	Tries, Right int
	counts       [Bins]int
}

// Add counts so many tries in the bin.
func (t *Tally) Add(bin, tries int) {
	t.Tries += tries
	if bin >= 0 {
		t.Right += tries
	}
	if bin >= 0 && bin < Bins {
		t.counts[bin] += tries
	}
}

// Median is that of the right tries that count, taken in proportion within its bin, so at
// most a bin's width from the exact one; 0 where there are none.
func (t *Tally) Median() time.Duration {
	all := 0
	for _, n := range t.counts {
		all += n
	}
	before := 0
	for bin, n := range t.counts {
		if n > 0 && 2*(before+n) >= all {
			within := (float64(all)/2 - float64(before)) / float64(n)
			return (time.Duration(bin)*BinWidth + time.Duration(within*float64(BinWidth))).Round(time.Millisecond)
		}
		before += n
	}
	return 0
}
