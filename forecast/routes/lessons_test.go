package routes

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
)

// knowing is the person who knows the steps too; what follows a step is the same for both.
func knowing(r *Ranking, p *forecast.Person, steps ...twoslots.Step) *Ranking {
	knows := *p
	knows.Steps = slices.Clone(p.Steps)
	for _, step := range steps {
		at := slices.IndexFunc(knows.Steps, func(own forecast.OwnStep) bool { return own.Open == step.Open && slices.Equal(own.Turns, step.Turns) })
		if at < 0 {
			at, knows.Steps = len(knows.Steps), append(knows.Steps, forecast.OwnStep{Step: step})
		}
		knows.Steps[at].Known = forecast.Yes
	}
	return For(forecasttest.Book().For(&knows), r.values)
}

// What the lessons take now is what the ranking says first of who sees where the pairs are
// and offers what they know; each saves what it lowers the mean over all joint places by, when
// the person says that they know it; and no other step saves more. Each is learnt in the
// ranking, place by place, of a part of the places.
func TestLessonsAreWhatTheRankingSays(t *testing.T) {
	t.Parallel()
	front := forecast.Anyone()
	front.Usual, front.Hands = forecast.UsualFront, hands.RightHand
	few := unevenPerson()
	few.Usual = forecast.UsualNone
	people := []func() *forecast.Person{
		forecast.Anyone, unevenPerson, markedPerson,
		func() *forecast.Person { return front }, func() *forecast.Person { return few },
	}
	for i, person := range people {
		if testing.Short() && i != 1 {
			continue
		}
		p := person()
		random := rand.New(rand.NewPCG(31, uint64(i)))
		r := rankingFor(p)
		open := twoslots.Open((i * 5) % twoslots.Opens)
		found, err := r.Lessons(t.Context(), open, 3)
		require.NoError(t, err)
		require.Len(t, found.Next, 3)
		mean, steps := found.Mean, []twoslots.Step{}
		// What counts are the places where something is known before.
		before := r.knownPlaces(open)
		sumOf := func(l *knownPlaces) (sum, places int64) {
			for joint, ms := range before.now {
				if ms == never {
					l.now[joint] = never
				}
			}
			return l.sum()
		}
		for n := range len(found.Next) + 1 {
			knows := knowing(r, p, steps...)
			places := &lessons{knownPlaces: knows.knownPlaces(open)}
			for range 25 {
				joint := [2]int{random.IntN(twoslots.PairPlaces), random.IntN(twoslots.PairPlaces)}
				c, ok := twoslots.AtPlaces(open, joint, random.IntN(twoslots.Rests))
				ms := places.now[joint[0]*twoslots.PairPlaces+joint[1]]
				if !ok {
					require.Equal(t, never, ms)
					continue
				}
				list, _ := knows.Routes(Request{Case: c, View: forecast.Known, Seen: SeenPairs, Limit: 1})
				if len(list) == 0 {
					require.Equal(t, never, ms)
				} else {
					require.Equal(t, list[0].Total, time.Duration(ms)*time.Millisecond, "%d: %s", i, c.Code())
				}
			}
			sum, counted := sumOf(places.knownPlaces)
			require.Equal(t, int64(twoslots.JointPlaces-found.Without), counted)
			require.Equal(t, mean, meanMs(sum, counted))
			if n == len(found.Next) {
				break
			}
			lesson := found.Next[n]
			// What others save, one by one.
			places.collect()
			for range 2 {
				other := &places.steps[random.IntN(len(places.steps))]
				saves := places.exactly(other, nil)
				assert.LessOrEqual(t, meanMs(saves, counted), lesson.Saves)
				assert.GreaterOrEqual(t, places.atMost(other), saves)
				with, _ := sumOf(knowing(r, p, append(slices.Clone(steps), other.of)...).knownPlaces(open))
				assert.Equal(t, sum-with, saves, "%v", other.of)
			}
			// It is used where its example says.
			route, ok := knows.Route(Request{Case: lesson.Example}, lesson.Fills, lesson.Turns)
			require.True(t, ok, "%v", lesson)
			assert.Equal(t, lesson.Takes, route.Step.Rest)
			assert.False(t, route.Step.Known)
			steps = append(steps, lesson.Step)
			known, _ := knowing(r, p, steps...).Routes(Request{Case: lesson.Example, View: forecast.Known, Seen: SeenPairs, Limit: 1})
			assert.Equal(t, lesson.Turns, known[0].Step.Turns)
			mean = lesson.Mean
		}
	}
}

// No step saves more than the lesson: all are learnt one by one.
func TestNoStepSavesMoreThanTheLesson(t *testing.T) {
	t.Parallel()
	r := uneven()
	for _, open := range []twoslots.Open{twoslots.OpenOf(lastslot.FR, lastslot.FL), twoslots.OpenOf(lastslot.FR, lastslot.BL)} {
		found, err := r.Lessons(t.Context(), open, 1)
		require.NoError(t, err)
		places := &lessons{knownPlaces: r.knownPlaces(open)}
		_, counted := places.sum()
		places.collect()
		each := 1
		if testing.Short() {
			each = 61
		}
		for i := 0; i < len(places.steps); i += each {
			if saves := meanMs(places.exactly(&places.steps[i], nil), counted); saves > found.Next[0].Saves {
				t.Fatalf("%v saves %v, %v only %v", places.steps[i].of, saves, found.Next[0].Step, found.Next[0].Saves)
			}
		}
	}
}

// Who knows nothing is told nothing, as no place has a way to be quicker than; but for the
// one where all is done.
func TestNoLessonsWhereNothingIsKnown(t *testing.T) {
	t.Parallel()
	p := forecast.Anyone()
	p.Usual = forecast.UsualNone
	found, err := rankingFor(p).Lessons(t.Context(), 2, 5)
	require.NoError(t, err)
	assert.Empty(t, found.Next)
	assert.Equal(t, twoslots.JointPlaces-1, found.Without)
}

// Who goes away ends it.
func TestLessonsEndWithTheContext(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := anyone().Lessons(ctx, 0, 5)
	assert.ErrorIs(t, err, context.Canceled)
}

// The lessons of anybody, the tables and the values being there.
func BenchmarkLessons(b *testing.B) {
	r := anyone()
	r.values(forecast.Known)
	for open := range twoslots.Open(2) {
		b.Run(open.String(), func(b *testing.B) {
			for b.Loop() {
				if _, err := r.Lessons(b.Context(), open, 10); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
