package practice

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What ts-fsrs makes of 3,000 random histories is made of them here too: see
// testdata/fsrs.mjs, which wrote the file.
func TestMemoryIsThatOfFSRS(t *testing.T) {
	t.Parallel()
	file, err := os.Open("testdata/fsrs.tsv")
	require.NoError(t, err)
	defer file.Close()
	histories, reviews := 0, 0
	lines := bufio.NewScanner(file)
	for lines.Scan() {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		histories++
		var m Memory
		var today Day
		for n, review := range strings.Split(lines.Text(), "\t") {
			var grade Grade
			var since, interval int
			var stability, difficulty float64
			_, err := fmt.Sscan(review, &grade, &since, &stability, &difficulty, &interval)
			require.NoError(t, err, review)
			today += Day(since)
			m = m.After(grade, today)
			// The last of eight decimals may be rounded otherwise where a power is.
			at := fmt.Sprintf("history %d, review %d: %s", histories, n+1, review)
			require.InDelta(t, stability, m.Stability, 2e-8*max(1, stability), at)
			require.InDelta(t, difficulty, m.Difficulty, 5e-8, at)
			require.Equal(t, interval, m.Interval, at)
			require.Equal(t, today, m.Last, at)
			reviews++
		}
	}
	require.NoError(t, lines.Err())
	assert.Equal(t, 3000, histories)
	assert.Greater(t, reviews, 15_000)
}

// Four patterns are practised on one day. By hand, from the published first stabilities
// 0.212, 1.2931, 2.3065 and 8.2956 days, each to the next whole day, and a better grade at
// least a day later: Again 1, Hard 2 (as the first is 1), Good 3 (likewise), Easy 8.
func TestDueOrderByHand(t *testing.T) {
	t.Parallel()
	today := DayOf(time.Date(2026, 3, 29, 23, 59, 0, 0, time.UTC))
	for grade, days := range map[Grade]int{Again: 1, Hard: 2, Good: 3, Easy: 8} {
		m := Memory{}.After(grade, today)
		assert.Equal(t, today+Day(days), m.Due(), "grade %d", grade)
	}
	// Wrong first, right but slow next, then right, quick last.
	var due []Day
	for g := Again; g <= Easy; g++ {
		due = append(due, Memory{}.After(g, today).Due())
	}
	assert.IsIncreasing(t, due)
}

// When the chance falls to 90 % is what stability says.
func TestChanceIsNineInTenAfterStability(t *testing.T) {
	t.Parallel()
	for _, s := range []float64{1, 7, 365} {
		m := Memory{Stability: s, Difficulty: 5}
		assert.InDelta(t, 0.9, m.Chance(Day(s)), 1e-6)
		last := 1.0
		for d := Day(1); d < 1000; d++ {
			require.Less(t, m.Chance(d), last)
			last = m.Chance(d)
		}
	}
}

// A clock that was set back, or a device whose clock is behind, makes no negative days.
func TestClockSetBack(t *testing.T) {
	t.Parallel()
	m := Memory{}.After(Good, 100)
	assert.Equal(t, m.After(Good, 100), m.After(Good, 90))
	assert.Equal(t, 1.0, m.Chance(90))
}

// Neither midnight of some time zone nor summer time changes the number of days: what is an
// hour more is a day more only over midnight in UTC.
func TestDaysAreInUTC(t *testing.T) {
	t.Parallel()
	berlin := time.FixedZone("+2", 2*60*60)
	assert.Equal(t, DayOf(time.Date(2026, 3, 28, 23, 30, 0, 0, time.UTC)), DayOf(time.Date(2026, 3, 29, 1, 30, 0, 0, berlin)))
	assert.EqualValues(t, 0, DayOf(time.Unix(0, 0)))
	assert.EqualValues(t, -1, DayOf(time.Unix(-1, 0)))
	assert.EqualValues(t, 20541, DayOf(time.Date(2026, 3, 29, 0, 0, 0, 0, time.UTC)))
}

// The slow definition of rounding, by decimal text.
func TestRoundedIsToEightDecimals(t *testing.T) {
	t.Parallel()
	for _, x := range []float64{0, 1.000000004, 1.000000006, 12345.123456784, math.Pi} {
		text, err := strconv.ParseFloat(strconv.FormatFloat(x, 'f', 8, 64), 64)
		require.NoError(t, err)
		assert.InDelta(t, text, rounded(x), 1e-9)
	}
}
