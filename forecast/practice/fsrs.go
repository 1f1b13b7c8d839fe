package practice

import (
	"math"
	"time"
)

// Grade is how well an item was done, by FSRS's numbers.
type Grade uint8

// The grades. What each means here is at [GradeOf].
const (
	Again Grade = 1 + iota
	Hard
	Good
	Easy
)

// Day is a day in UTC, counted from 1 January 1970: neither a time zone nor summer time
// makes one longer than another.
type Day int

// DayOf is the day in which the time is.
func DayOf(t time.Time) Day { return Day(math.Floor(float64(t.Unix()) / (24 * 60 * 60))) }

// Memory is how well an item is kept in mind, as FSRS tells from its grades. The zero
// Memory is that of an item that was never practised.
type Memory struct {
	// Stability is after how many days without practice the chance of still having it has
	// fallen to 90 %, 0.001 to 36,500.
	Stability float64
	// Difficulty is from 1 (easy) to 10.
	Difficulty float64
	// Last is the day of the last try, Interval how many days after that it is due.
	Last     Day
	Interval int
}

// weights are the 21 parameters of FSRS-6 at their defaults, which were fitted to some
// hundred million reviews by others (open-spaced-repetition, fsrs4anki wiki, “The
// Algorithm”; the same in the npm package ts-fsrs 5.4.2).
var weights = [21]float64{
	0.212, 1.2931, 2.3065, 8.2956, // stability after a first Again, Hard, Good, Easy
	6.4133, 0.8334, // difficulty after the first grade
	3.0194, 0.001, // how a grade changes it, and how far it goes back to the start
	1.8722, 0.1666, 0.796, // how recalling changes stability
	1.4835, 0.0614, 0.2629, 1.6483, // how forgetting does
	0.6014, 1.8729, // Hard and Easy
	0.5425, 0.0912, 0.0658, // within a day: unused, see After
	0.1542, // how chance falls with time
}

// The bounds that FSRS sets, in days.
const (
	leastStability = 0.001
	mostStability  = 36500
)

// retention is the chance of still having an item at which it is due.
const retention = 0.9

// decay and decayFactor make the curve of forgetting, so that the chance is 90 % when
// as many days have gone by as the stability says.
var (
	decay       = -weights[20]
	decayFactor = rounded(math.Pow(0.9, 1/decay) - 1)
)

// rounded is to eight decimals, as the published programs keep all states.
func rounded(x float64) float64 { return math.Round(x*1e8) / 1e8 }

// Practised says whether there was a try at all.
func (m Memory) Practised() bool { return m.Stability > 0 }

// Due is the day from which the item is due.
func (m Memory) Due() Day { return m.Last + Day(m.Interval) }

// Chance is that of still having the item on the day, 0 to 1. It is 0 for one that was
// never practised.
func (m Memory) Chance(on Day) float64 {
	if !m.Practised() {
		return 0
	}
	return rounded(math.Pow(1+decayFactor*float64(m.elapsed(on))/m.Stability, decay))
}

// elapsed is how many days have gone by. A clock that was set back makes none.
func (m Memory) elapsed(on Day) int { return max(0, int(on-m.Last)) }

// After is the memory after a try of that grade on the day. A day before that of the
// last try counts as the same.
//
// FSRS's steps within a day are off: what comes again within a session is decided by
// [Draw], and the person is shown days, not minutes. So a second try on a day changes
// how difficult the item is held to be, and a wrong one how well it is kept in mind.
func (m Memory) After(grade Grade, on Day) Memory {
	chance, next := m.Chance(on), [Easy + 1]Memory{}
	days := [Easy + 1]int{}
	for g := Again; g <= Easy; g++ {
		next[g] = m.graded(g, chance)
		days[g] = next[g].days()
	}
	// A better grade waits at least a day longer.
	days[Again] = min(days[Again], days[Hard])
	for g := Hard; g <= Easy; g++ {
		days[g] = max(days[g], days[g-1]+1)
	}
	after := next[grade]
	after.Interval = days[grade]
	after.Last = on
	if m.Practised() {
		after.Last = max(on, m.Last)
	}
	return after
}

// graded are stability and difficulty after a grade.
func (m Memory) graded(g Grade, chance float64) (next Memory) {
	w := &weights
	if !m.Practised() {
		return Memory{Stability: max(w[g-1], 0.1), Difficulty: clamp(firstDifficulty(g), 1, 10)}
	}
	if g == Again {
		forgotten := w[11] * math.Pow(m.Difficulty, -w[12]) * (math.Pow(m.Stability+1, w[13]) - 1) * math.Exp((1-chance)*w[14])
		next.Stability = max(leastStability, min(m.Stability, rounded(clamp(forgotten, leastStability, mostStability))))
	} else {
		growth := math.Exp(w[8]) * (11 - m.Difficulty) * math.Pow(m.Stability, -w[9]) * (math.Exp((1-chance)*w[10]) - 1)
		switch g {
		case Hard:
			growth *= w[15]
		case Easy:
			growth *= w[16]
		}
		next.Stability = rounded(clamp(m.Stability*(1+growth), leastStability, mostStability))
	}
	change := rounded(-w[6] * (float64(g) - 3) * (10 - m.Difficulty) / 9)
	next.Difficulty = clamp(rounded(w[7]*firstDifficulty(Easy)+(1-w[7])*(m.Difficulty+change)), 1, 10)
	return next
}

// firstDifficulty is that after a first grade, before it is brought within 1 to 10.
func firstDifficulty(g Grade) float64 {
	return rounded(weights[4] - math.Exp(float64(g-1)*weights[5]) + 1)
}

// days is after how many the chance falls to what is wanted: at least one.
func (m Memory) days() int {
	modifier := rounded((math.Pow(retention, 1/decay) - 1) / decayFactor)
	return int(clamp(math.Round(m.Stability*modifier), 1, mostStability))
}

func clamp(x, least, most float64) float64 { return max(least, min(most, x)) }

// Date is when the day begins.
func (d Day) Date() time.Time { return time.Unix(int64(d)*24*60*60, 0).UTC() }
