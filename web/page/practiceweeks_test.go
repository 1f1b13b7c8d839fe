package page_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

// Over the weeks one sees the median of each, less the reaction, on how many days there was
// practice, and what a solve was expected to take; what was withdrawn is in none of it.
func TestPracticeWeekByWeek(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	s.save("/profile/preferences", "track", "5")
	page := func() string { return s.get("/practice/results").Body.String() }
	assert.NotContains(t, page(), "Week by week")

	monday := time.Now().UTC().Truncate(24 * time.Hour)
	for monday.Weekday() != time.Monday {
		monday = monday.AddDate(0, 0, -1)
	}
	id := 0
	done := func(at time.Time, exercise, item string, seconds float64, right bool) string {
		id++
		name := fmt.Sprintf("%022d", id)
		s.save("/practice/results", "id", name, "exercise", exercise, "item", item, "at", at.Format(time.RFC3339), "seconds", fmt.Sprint(seconds), "right", fmt.Sprint(right))
		return name
	}
	// Five weeks ago all took 2 s, and last week 1 s: by hand 1.75 and 0.75 without the usual
	// reaction of a quarter of a second.
	then, last := monday.AddDate(0, 0, -35), monday.AddDate(0, 0, -7)
	for n := range 4 {
		done(then.Add(time.Duration(n)*time.Hour), "recognise", "27", 2.025, true)
		done(last.AddDate(0, 0, n), "recognise", "26", 1.025, true)
	}
	wrong := done(last, "recognise", "26", 1, false)
	text := page()
	assert.Contains(t, text, "Week by week")
	assert.Contains(t, text, "5 days with practice in the last 26 weeks, 4 of them in the last four.")
	trend := fmt.Sprintf("Median 1.78 s in the week of %s, 0.78 s in the week of %s.", then.Format("2 Jan"), last.Format("2 Jan"))
	assert.Contains(t, text, "9 results, 88.8 % right. "+trend)
	assert.Equal(t, 2, strings.Count(text, `class="plot"`))
	assert.Contains(t, text, "Expected for a solve")
	s.post("/practice/results/withdraw", "result", wrong, "back", "/practice/results")
	assert.Contains(t, page(), "8 results, 100 % right. "+trend)

	done(last, "predict", "FR R U R'", 2, true)
	done(last, "predict", "FR R U R'", 3, false)
	assert.Contains(t, page(), "R U R&#39; predicted: 1 of 2 right, median 2.00 s")
	assert.Contains(t, page(), "Predicting")

	// What was expected as the day's practice began goes along in a file, once a day.
	expected := s.Export(t, s.cookie.Value)
	require.Equal(t, 1, strings.Count(expected, `"day":`))
	assert.Contains(t, expected, time.Now().UTC().Format(time.DateOnly))
}
