package profile

import (
	"fmt"
	"math"
	"time"

	"slotcast/forecast/practice"
	"slotcast/web/problem"
)

// Progress is what somebody's results come to over time, those withdrawn left out.
type Progress struct {
	// Weeks are the tries of each exercise by week.
	Weeks map[practice.Exercise]map[practice.Week]*practice.Tally
	// Days are those with results, the earliest first.
	Days []practice.Day
}

// Expected is what a solve was expected to take as the day's practice began: from the
// insertion until the top is oriented, by what the person knew, over all cases of the slot
// at the front right. What was said first of a day stays.
type Expected struct {
	Day   practice.Day // key
	Total time.Duration
}

// ExpectedValues is the same as a file has it.
type ExpectedValues struct {
	// Day is written as ISO 8601 has it, in UTC: 2026-11-27.
	Day     string  `json:"day"`
	Seconds float64 `json:"seconds"`
}

// ExpectedOf writes the records as JSON has them.
func ExpectedOf(records []Expected) []ExpectedValues {
	all := []ExpectedValues{}
	for _, e := range records {
		all = append(all, ExpectedValues{e.Day.Time().Format(time.DateOnly), *WrittenSeconds(e.Total)})
	}
	return all
}

// mostExpected is more than anybody takes whose scale is within its bounds.
const mostExpected = 10 * time.Minute

func (v ExpectedValues) record() (Expected, error) {
	day, err := time.Parse(time.DateOnly, v.Day)
	if err != nil {
		return Expected{}, problem.BadRequest("day", fmt.Sprintf("“%s” is not a day, such as 2026-11-27", problem.Shortened(v.Day)))
	}
	if err := checkTime("day", day); err != nil {
		return Expected{}, err
	}
	if !(v.Seconds > 0 && v.Seconds <= mostExpected.Seconds()) {
		return Expected{}, problem.BadRequest("seconds", fmt.Sprintf("%v seconds: use more than 0 and at most %v", v.Seconds, mostExpected.Seconds()))
	}
	return Expected{practice.DayOf(day), time.Duration(math.Round(v.Seconds*1000)) * ms}, nil
}
