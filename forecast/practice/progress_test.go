package practice

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Weeks are those that package time knows as ISO 8601's, over a hundred years, days before
// 1970 included.
func TestWeeks(t *testing.T) {
	for d := Day(-3_000); d < 36_525; d++ {
		year, week := d.Time().ISOWeek()
		first := d.Week().First()
		require.Equal(t, time.Monday, first.Time().Weekday())
		firstYear, firstWeek := first.Time().ISOWeek()
		require.Equal(t, [2]int{year, week}, [2]int{firstYear, firstWeek}, "%s", d.Time())
		require.Equal(t, d, DayOf(d.Time().Add(23*time.Hour)))
	}
}

// A tally's median is the median of the right tries of at most 10 s, but for a bin's width.
func TestMedianOfATally(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for n := 1; n < 400; n++ {
		var tally Tally
		var counted []time.Duration
		right := 0
		for range n {
			try := Try{Took: time.Duration(1+random.IntN(1+random.IntN(12_000))) * time.Millisecond, Right: random.IntN(5) > 0}
			tally.Add(try.Bin(), 1)
			if try.Right {
				right++
				if try.Took < longestCounted {
					counted = append(counted, try.Took)
				}
			}
		}
		assert.Equal(t, n, tally.Tries)
		assert.Equal(t, right, tally.Right)
		if len(counted) == 0 {
			assert.Zero(t, tally.Median())
			continue
		}
		// Between two in the middle any is a median.
		s := secondsOf(counted)
		low, high := counted[(len(counted)-1)/2], counted[len(counted)/2]
		assert.GreaterOrEqual(t, tally.Median(), low-BinWidth, "%v", s)
		assert.LessOrEqual(t, tally.Median(), high+BinWidth, "%v", s)
	}
	// What was taken away again was never there.
	var tally Tally
	tally.Add(4, 2)
	tally.Add(4, -2)
	assert.Equal(t, Tally{}, tally)
}
