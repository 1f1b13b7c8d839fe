package learn

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
)

// alike are so many insertions that do the same, each in other turns, and all of
// them known or none.
func alike(t testing.TB, many int, known forecast.Said) (all []forecast.OwnInsertion) {
	t.Helper()
	for n := range many {
		turns := []string{"R U R'"}
		for digit := 1; digit <= many; digit *= 2 {
			turns = append(turns, map[bool]string{true: "R R'", false: "L L'"}[n&digit > 0])
		}
		own := forecast.OwnInsertion{Known: known}
		var err error
		own.Insertion, err = lastslot.NewInsertion(lastslot.FR, cubetest.Sequence(t, strings.Join(turns, " ")))
		require.NoError(t, err)
		all = append(all, own)
	}
	return all
}

// Of insertions that do the same the quickest stands in the list alone: however many
// there are, the list is that of who has this one.
func TestOneInsertionForEachMap(t *testing.T) {
	for _, known := range []forecast.Said{forecast.Yes, forecast.No} {
		person := rated(t)
		person.Insertions, person.Usual = nil, forecast.UsualNone
		all := alike(t, 20, known)
		quick := 100 * ms
		all[7].Time = &quick
		place := all[0].Insertion.Case().Place()
		person.Insertions = all[7:8]
		want := listOf(t, forecasttest.Book().For(person), place)
		person.Insertions = all
		got := listOf(t, forecasttest.Book().For(person), place)
		assert.Equal(t, want, got)
		if known == forecast.Yes {
			assert.Equal(t, 1, got.Known)
		}
	}
}

// Known insertions that save nothing more stand after those that do, each as the
// definition has it.
func TestKnownInsertionsThatSaveNothing(t *testing.T) {
	person := rated(t)
	place := person.Insertions[0].Insertion.Case().Place()
	f := forecasttest.Book().For(person)
	var slow time.Duration = time.Minute
	for i, c := range f.Candidates(place) {
		if i%40 == 0 && !c.Known && c.Insertion.Slot == place.Slot {
			person.Insertions = append(person.Insertions, forecast.OwnInsertion{Insertion: *c.Insertion, Known: forecast.Yes, Time: &slow})
		}
	}
	list := listOf(t, forecasttest.Book().For(person), place)
	require.Greater(t, list.Known, 3)
	last := list.Lessons[list.Known-1]
	assert.Zero(t, last.Saves)
	assert.Zero(t, last.Best)
	assert.Equal(t, list.Average, last.Average)
	for i := 1; i < list.Known; i++ {
		before, one := list.Lessons[i-1], list.Lessons[i]
		if before.Saves == 0 && i > 1 {
			assert.Zero(t, one.Saves)
			assert.True(t, (&learnable{Lesson: before}).before(&learnable{Lesson: one}), "%s before %s", before.Turns(), one.Turns())
		}
	}
}

// counting is a context that is done once it was asked so often.
type counting struct {
	context.Context
	left int
}

func (c *counting) Err() error {
	if c.left--; c.left < 0 {
		return context.Canceled
	}
	return nil
}

// A list that is being made stops within a few insertions of the reader's leaving,
// wherever it is.
func TestAListStopsWhereverItIs(t *testing.T) {
	f := forecasttest.Book().For(rated(t))
	place := lastslot.Places(lastslot.FR)[5]
	whole := &counting{t.Context(), 1 << 40}
	_, err := Of(whole, f, place)
	require.NoError(t, err)
	asked := 1<<40 - whole.left
	require.Greater(t, asked, 200, "it is asked within the steps, too")
	for _, after := range []int{0, 1, asked / 3, asked / 2, asked - 1} {
		ctx := &counting{t.Context(), after}
		list, err := Of(ctx, f, place)
		require.ErrorIs(t, err, context.Canceled, after)
		assert.Empty(t, list.Lessons)
		assert.Greater(t, ctx.left, -20, "it went on without asking")
	}
}

// BenchmarkListOfMany is for who has as many insertions as a profile may have, all
// known and all for one place: of one map, and of many.
func BenchmarkListOfMany(b *testing.B) {
	person := forecast.Anyone()
	person.Insertions = alike(b, 2000, forecast.Yes)
	place := person.Insertions[0].Insertion.Case().Place()
	b.Run("one map", func(b *testing.B) {
		f := forecasttest.Book().For(person)
		for b.Loop() {
			listOf(b, f, place)
		}
	})
	many := forecast.Anyone()
	for _, c := range forecasttest.Book().For(many).Candidates(place) {
		if len(many.Insertions) < 2000 {
			many.Insertions = append(many.Insertions, forecast.OwnInsertion{Insertion: *c.Insertion, Known: forecast.Yes})
		}
	}
	b.Run("many maps", func(b *testing.B) {
		f := forecasttest.Book().For(many)
		for b.Loop() {
			listOf(b, f, place)
		}
	})
}
