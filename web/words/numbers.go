package words

import (
	"fmt"
	"math"
	"strconv"
	"time"
)

// Seconds writes a duration to the hundredth: more would pretend to know. What takes an hour
// counts so for want of any time, and has none.
func Seconds(d time.Duration) string {
	if d >= time.Hour {
		return "—"
	}
	hundredths := (d.Milliseconds() + 5) / 10
	return fmt.Sprintf("%d.%02d", hundredths/100, hundredths%100)
}

// Milliseconds writes a duration in whole milliseconds.
func Milliseconds(d time.Duration) string { return strconv.FormatInt(d.Milliseconds(), 10) }

// Rated says how something is rated: by measured seconds where there are any.
func Rated(rating int, seconds string) string {
	if seconds != "" {
		return seconds + " s"
	}
	return strconv.Itoa(rating)
}

// Day writes a day as anybody can read it.
func Day(t time.Time) string { return t.UTC().Format("2 Jan 2006") }

// Thousandths writes a saving over all cases, which is small.
func Thousandths(d time.Duration) string { return fmt.Sprintf("%.3f", d.Seconds()) }

// Counted is a number of things, whose name is given as for one.
func Counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// Field writes a measured time as a form has it, "" for none.
func Field(d time.Duration) string {
	if d == 0 {
		return ""
	}
	return strconv.FormatFloat(d.Seconds(), 'f', -1, 64)
}

// Factor writes by what something is multiplied, to the thousandth at most.
func Factor(f float64) string { return strconv.FormatFloat(math.Round(f*1000)/1000, 'f', -1, 64) }

// Thousands writes a count with its thousands apart.
func Thousands(n int) string {
	if n < 1000 {
		return strconv.Itoa(n)
	}
	return Thousands(n/1000) + fmt.Sprintf(",%03d", n%1000)
}

// Percent writes a share so that neither none nor all is pretended.
func Percent(n, of int) string {
	switch tenths := n * 1000 / of; {
	case n == 0:
		return "0 %"
	case n == of:
		return "100 %"
	case tenths == 0:
		return "< 0.1 %"
	default:
		return fmt.Sprintf("%d.%d %%", tenths/10, tenths%10)
	}
}
