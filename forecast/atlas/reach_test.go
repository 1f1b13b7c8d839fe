package atlas

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
)

// In how many cases the top can be fully oriented in n turns, as DEVELOPERS.md has
// it from the complete search.
func TestReachOfTheOrientedTop(t *testing.T) {
	whole, _ := atlas().Reach(0)
	assert.Equal(t, Reach{1, 0, 0, 24, 8, 40, 212, 1108, 1500, 6724, 10950, 10496, 1329, 8}, whole)
	assert.Equal(t, 25+8, whole.Within(4))
	assert.Equal(t, lastslot.CasesPerSlot, whole.Cases())
}

// The counts are those of the shortest insertion looked up for every case.
func TestReachIsThatOfEveryCase(t *testing.T) {
	a := atlas()
	cubetest.Each(t, lastslot.Patterns, 7, func(t *testing.T, number int) {
		pattern := lastslot.Pattern(number)
		var want Reach
		from := map[lastslot.Place]*Reach{}
		for index := range lastslot.CasesPerSlot {
			c := lastslot.CaseAt(index)
			n := a.Shortest(c, pattern).Insertion.Count()
			want[n]++
			if from[c.Place()] == nil {
				from[c.Place()] = &Reach{}
			}
			from[c.Place()][n]++
		}
		whole, places := a.Reach(pattern)
		assert.Equal(t, want, whole, pattern)
		assert.Len(t, from, len(places))
		for _, p := range places {
			assert.Equal(t, *from[p.Place], p.Reach, "%d %+v", pattern, p.Place)
		}
	})
}

// Some pair of case and pattern needs the most.
func TestMostTurns(t *testing.T) {
	needed := 0
	for pattern := range lastslot.Pattern(lastslot.Patterns) {
		whole, _ := atlas().Reach(pattern)
		if whole[MostTurns] > 0 {
			needed++
		}
	}
	assert.Positive(t, needed)
}

func BenchmarkReach(b *testing.B) {
	a := atlas()
	a.Reach(0)
	for b.Loop() {
		a.Reach(27)
	}
}
