package learn

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/lastslot/lastslottest"
)

func listOf(t testing.TB, f *forecast.Forecaster, p lastslot.Place) List {
	t.Helper()
	list, err := Of(t.Context(), f, p)
	require.NoError(t, err)
	return list
}

// A list whose reader is gone is not made.
func TestACancelledListStops(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	list, err := Of(ctx, forecasttest.Book().For(forecast.Anyone()), lastslot.Places(lastslot.FR)[0])
	require.ErrorIs(t, err, context.Canceled)
	assert.Empty(t, list.Lessons)
}

// An insertion that a scale makes last of all is not worth learning.
func TestAScaleOutOfProportion(t *testing.T) {
	person := unmarked()
	person.Scale.Execute[3], person.Scale.Execute[1] = 0.001, 52.43
	insertion := lastslottest.Insertion(t, lastslot.FR, "R U R'")
	person.Insertions = []forecast.OwnInsertion{{Insertion: insertion, Execute: 1}}
	for _, l := range listOf(t, forecasttest.Book().For(person), insertion.Case().Place()).Lessons {
		assert.NotEqual(t, "R U R'", l.Insertion.String())
	}
}

// knowing is the person who knows these insertions too.
func knowing(t testing.TB, p *forecast.Person, lessons ...Lesson) *forecast.Person {
	t.Helper()
	return Knowing(p, lessons...)
}

// sumKnown is the sum of the totals of the best options that a person knows,
// over the cases: by the forecast, which is the definition of a total.
func sumKnown(p *forecast.Person, cases []lastslot.Case) (sum time.Duration) {
	f := forecasttest.Book().For(p)
	for _, c := range cases {
		sum += f.Forecast(forecast.Request{Case: c, View: forecast.Known, Limit: 1})[0].Seconds.Total()
	}
	return sum
}

// rated is a person who is quick with some patterns, slow with others, knows a
// few insertions, has timed some and hides one.
func rated(t testing.TB) *forecast.Person {
	t.Helper()
	p := forecast.Anyone()
	for pattern := range p.Ratings {
		p.Ratings[pattern] = [forecast.Steps]forecast.Rating{{Level: 1 + pattern*7%5}, {Level: 1 + pattern*3%5}}
	}
	add := func(slot lastslot.Slot, turns string, own forecast.OwnInsertion) {
		var err error
		own.Insertion, err = lastslot.NewInsertion(slot, cubetest.Sequence(t, turns))
		require.NoError(t, err)
		p.Insertions = append(p.Insertions, own)
	}
	quick, slow := 200*ms, 1500*ms
	add(lastslot.FR, "R U R'", forecast.OwnInsertion{Known: forecast.Yes})
	add(lastslot.FR, "F R' F' R", forecast.OwnInsertion{Known: forecast.Yes, Time: &slow})
	add(lastslot.FR, "R U' R'", forecast.OwnInsertion{Time: &quick})
	add(lastslot.FR, "R U2 R'", forecast.OwnInsertion{Hidden: true})
	add(lastslot.FR, "F' U' F", forecast.OwnInsertion{Execute: 5})
	add(lastslot.BL, "L U' L'", forecast.OwnInsertion{Known: forecast.Yes, Execute: 4})
	return p
}

// Every average and saving of a list is what the forecast says of a person who
// knows the lessons up to there: for several places, for nobody in particular and
// for a person with ratings, a book and times of their own.
func TestLearningListsAgreeWithTheForecast(t *testing.T) {
	t.Parallel()
	someOf := 17
	if testing.Short() {
		someOf = 31
	}
	for name, person := range map[string]*forecast.Person{"anyone": forecast.Anyone(), "rated": rated(t), "tracks two pieces": tracking(rated(t), 2)} {
		f := forecasttest.Book().For(person)
		for n, p := range slices.Concat(lastslot.Places(lastslot.FR), lastslot.Places(lastslot.BL)) {
			if testing.Short() && n%someOf != 0 {
				continue
			}
			list := listOf(t, f, p)
			require.NotEmpty(t, list.Lessons)
			require.LessOrEqual(t, len(list.Lessons), 20)
			// All of the places with known insertions, in a full run, and some of the others.
			if list.Known == 0 && n%someOf != 0 {
				continue
			}
			about := fmt.Sprintf("%s, %+v", name, p)
			cases := casesOf(p)
			before := time.Duration(-1)
			if p.Solved() {
				before = sumKnown(person, cases)
			}
			for i, lesson := range list.Lessons {
				if i > 2 && i < len(list.Lessons)-1 {
					continue
				}
				assert.Equal(t, i < list.Known, lesson.Known, about)
				sum := sumKnown(knowing(t, person, list.Lessons[:i+1]...), cases)
				if i < list.Known {
					// The person knows what comes later, too.
					sum = sumKnown(person, cases)
					assert.GreaterOrEqual(t, lesson.Average, sum/time.Duration(len(cases)), about)
					if i == list.Known-1 {
						assert.Equal(t, sum/time.Duration(len(cases)), lesson.Average, about)
					}
					before = sum
					continue
				}
				assert.Equal(t, sum/time.Duration(len(cases)), lesson.Average, "%s, lesson %d", about, i)
				if i <= 2 && before >= 0 {
					assert.Equal(t, (before-sum)/time.Duration(len(cases)), lesson.Saves, "%s, lesson %d", about, i)
				}
				if i == 0 && before < 0 {
					assert.Zero(t, lesson.Saves, about)
				}
				before = sum
			}
			switch {
			case list.Known > 0:
				assert.Equal(t, sumKnown(person, cases)/time.Duration(len(cases)), list.Average, about)
			case !p.Solved():
				assert.Equal(t, list.Lessons[0].Average, list.Average, about)
			}
		}
	}
}

// The next insertion is the one of all that saves most: found by marking each in
// turn as known, in a place with both pieces on top, and in two with both in the
// slot: there several AUFs fit.
func TestLearningListsAreGreedy(t *testing.T) {
	person := rated(t)
	f := forecasttest.Book().For(person)
	for _, p := range slices.Concat(lastslot.Places(lastslot.FR)[5:6], lastslot.Places(lastslot.FR)[lastslot.PlacesPerSlot-6:lastslot.PlacesPerSlot-4]) {
		list := listOf(t, f, p)
		cases := casesOf(p)
		learnt := 2
		if p.Solved() {
			learnt = 1
		}
		have := knowing(t, person, list.Lessons[:learnt]...)
		best := sumKnown(knowing(t, have, list.Lessons[learnt]), cases)
		assert.Equal(t, best/time.Duration(len(cases)), list.Lessons[learnt].Average, "%+v", p)
		others := f.Candidates(p)
		require.Greater(t, len(others), 50)
		cubetest.Each(t, len(others), 29, func(t *testing.T, i int) {
			sum := sumKnown(knowing(t, have, Lesson{Slot: others[i].Insertion.Slot, Insertion: others[i].Insertion.Turns}), cases)
			require.GreaterOrEqual(t, sum, best, "%+v: %s", p, others[i].Insertion.Turns)
		})
	}
}

// What the next lessons of all places save is what the forecast says over all cases
// of the slot, and no other lesson saves more than the last of them.
func TestLearnNextOverAllPlaces(t *testing.T) {
	t.Parallel()
	person := rated(t)
	f := forecasttest.Book().For(person)
	var lists []List
	var firsts []Lesson
	var cases []lastslot.Case
	for _, p := range lastslot.Places(lastslot.FR) {
		list := listOf(t, f, p)
		lists = append(lists, list)
		firsts = append(firsts, list.Lessons[:list.Counted()]...)
		cases = append(cases, casesOf(p)...)
	}
	require.Len(t, cases, lastslot.CasesPerSlot)
	next := NextOf(lists, 7)
	require.Len(t, next, 7)
	uses := knowing(t, person, firsts...)
	var learnt []Lesson
	var saves time.Duration
	for _, n := range next {
		learnt = append(learnt, lists[n.List].Lessons[n.Lesson])
		saves += n.Saves
	}
	before, after := sumKnown(uses, cases), sumKnown(knowing(t, uses, learnt...), cases)
	assert.InDelta(t, ((before - after) / lastslot.CasesPerSlot).Seconds(), saves.Seconds(), 1e-7)

	taken := map[[2]int]bool{}
	for _, n := range next {
		taken[[2]int{n.List, n.Lesson}] = true
	}
	for i, list := range lists {
		for n := max(list.Known, list.Counted()); n < len(list.Lessons); n++ {
			if !taken[[2]int{i, n}] {
				assert.LessOrEqual(t, list.Lessons[n].Saves*time.Duration(list.Place.Cases())/lastslot.CasesPerSlot, next[6].Saves)
				break
			}
		}
	}
	assert.Less(t, len(NextOf(lists[:1], 100)), 21)
}

// A list is in levels of 1, 3, 8 and 20, and the next is the first that is not
// known whole.
func TestNextLevel(t *testing.T) {
	lessons := make([]Lesson, 10)
	for i := range lessons {
		lessons[i].Saves = time.Duration(10-i) * ms
	}
	lessons[0].Saves = 0
	place := lastslot.Places(lastslot.FR)[0]
	for known, want := range map[int]struct {
		upTo  int
		saves time.Duration
	}{0: {3, 17 * ms}, 1: {3, 17 * ms}, 2: {3, 8 * ms}, 3: {8, 25 * ms}, 8: {10, 3 * ms}, 9: {10, 1 * ms}, 10: {10, 0}} {
		upTo, saves := (&List{Place: place, Lessons: lessons, Known: known}).NextLevel()
		assert.Equal(t, want.upTo, upTo, known)
		assert.Equal(t, want.saves, saves, known)
	}
}

// What one recognises and executes quickly changes what is worth learning.
func TestRatingsChangeTheList(t *testing.T) {
	place := lastslot.Places(lastslot.FR)[0]
	usual := listOf(t, forecasttest.Book().For(forecast.Anyone()), place)
	// Slow at all that the second lesson is for.
	person := forecast.Anyone()
	for _, pattern := range usual.Lessons[1].Leaves {
		if pattern != 0 {
			person.Ratings[pattern] = [forecast.Steps]forecast.Rating{{Level: 1}, {Level: 1}}
		}
	}
	changed := listOf(t, forecasttest.Book().For(person), place)
	turns := func(list List) (turns []string) {
		for _, l := range list.Lessons {
			turns = append(turns, l.Turns().String())
		}
		return turns
	}
	assert.NotEqual(t, turns(usual), turns(changed))
}

// unmarked knows no insertion, not even a usual one.
func unmarked() *forecast.Person {
	p := forecast.Anyone()
	p.Usual = forecast.UsualNone
	return p
}

// tracking is the person who tracks so many pieces.
func tracking(p *forecast.Person, pieces int) *forecast.Person {
	tracks := *p
	tracks.Track = pieces
	return &tracks
}

// Where the corner is placed and its edge on top, who tracks two pieces does best alone
// with a slice and just two pieces to track, and who tracks none without a slice
// (common practice, no source). At the front slots, for both flips.
func TestWhoTracksTwoPiecesSlicesThePlacedCorner(t *testing.T) {
	t.Parallel()
	slices := func(l Lesson) bool {
		return strings.ContainsAny(l.Insertion.String(), "MES")
	}
	none, two := forecasttest.Book().For(unmarked()), forecasttest.Book().For(tracking(unmarked(), 2))
	checked := 0
	for _, slot := range []lastslot.Slot{lastslot.FR, lastslot.FL} {
		for _, place := range lastslot.Places(slot) {
			if place.Corner != lastslot.InSlot || place.Twist != 0 || place.Edge == lastslot.InSlot {
				continue
			}
			checked++
			alone := listOf(t, none, place).Lessons[0]
			assert.False(t, slices(alone), "%s: %s", place, alone.Turns())
			alone = listOf(t, two, place).Lessons[0]
			assert.True(t, slices(alone), "%s: %s", place, alone.Turns())
			spelled, err := lastslot.NewInsertion(alone.Slot, alone.Insertion)
			require.NoError(t, err)
			assert.Equal(t, 2, spelled.Map().Track(), "%s: %s", place, alone.Turns())
			t.Log(place, alone.Turns())
		}
	}
	assert.Equal(t, 4, checked)
}

// The list goes on with what is worth most, and hidden insertions are not in it.
func TestLearningListOrder(t *testing.T) {
	person := rated(t)
	f := forecasttest.Book().For(person)
	for slot := range lastslot.Slot(lastslot.Slots) {
		places := lastslot.Places(slot)
		cubetest.Each(t, len(places), 11, func(t *testing.T, i int) {
			p := places[i]
			list := listOf(t, f, p)
			seen := map[string]bool{}
			for i, l := range list.Lessons {
				key := l.Slot.String() + l.Insertion.String()
				assert.False(t, seen[key], "%s twice", l.Turns())
				seen[key] = true
				assert.NotEqual(t, "R U2 R'", l.Insertion.String(), "it is hidden")
				if i >= max(list.Known, 1) {
					assert.Positive(t, l.Saves, "%+v lesson %d", p, i)
					assert.Positive(t, l.Best)
					assert.NotEmpty(t, l.Leaves)
				}
				if i > max(list.Known, 1) {
					assert.LessOrEqual(t, l.Saves, list.Lessons[i-1].Saves, "%+v lesson %d", p, i)
				}
				// It fits the place.
				fitted, err := lastslot.NewInsertion(l.Slot, l.Insertion)
				require.NoError(t, err)
				assert.Equal(t, p, fitted.Case().TurnedRound(lastslot.Quarters(l.Slot, slot)).Place(), l.Turns())
			}
		})
	}
}

func TestLevels(t *testing.T) {
	for number, level := range map[int]int{1: 1, 2: 2, 3: 2, 4: 3, 8: 3, 9: 4, 20: 4, 21: 4} {
		assert.Equal(t, level, LevelOf(number), number)
	}
}

func BenchmarkLearningList(b *testing.B) {
	f := forecasttest.Book().For(forecast.Anyone())
	places := lastslot.Places(lastslot.FR)
	b.Run("one place", func(b *testing.B) {
		n := 0
		for b.Loop() {
			listOf(b, f, places[n%len(places)])
			n++
		}
	})
	b.Run("a slot", func(b *testing.B) {
		for b.Loop() {
			for _, p := range places {
				listOf(b, f, p)
			}
		}
	})
}

// casesOf lists the cases of a place by looking at all.
func casesOf(p lastslot.Place) (cases []lastslot.Case) {
	for index := range lastslot.CasesPerSlot {
		if c := lastslot.CaseAt(int(p.Slot)*lastslot.CasesPerSlot + index); c.Place() == p {
			cases = append(cases, c)
		}
	}
	return cases
}
