package routes

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/twoslots"
)

// knows is the person who knows these steps besides.
func knows(p *forecast.Person, steps ...twoslots.Step) *forecast.Person {
	q := *p
	for _, s := range steps {
		q.Steps = append(q.Steps[:len(q.Steps):len(q.Steps)], forecast.OwnStep{Step: s, Known: forecast.Yes})
	}
	return &q
}

// What a lesson saves is what the ranking says: the best known route of who sees both pairs,
// with the step known and without it. In some hundred places drawn at random; and
// over all of them for the steps that are found.
func TestLessonsAreThoseOfTheRanking(t *testing.T) {
	for name, p := range map[string]*forecast.Person{"anyone": forecast.Anyone(), "uneven": unevenPerson(), "marks": markedPerson()} {
		r := rankingFor(p)
		found, err := r.Lessons(t.Context(), 3)
		require.NoError(t, err)
		require.Len(t, found.Next, 3, name)
		best := func(r *Ranking, c twoslots.Case) (time.Duration, bool) {
			routes, all := r.Routes(Request{Case: c, View: forecast.Known, Seen: SeenPairs, Limit: 1})
			if all == 0 {
				return 0, false
			}
			return routes[0].Total, true
		}

		// The times are those of the lessons' own table, place by place.
		l := &lessons{Ranking: r}
		require.NoError(t, l.begin(t.Context()))
		random := rand.New(rand.NewPCG(31, 32))
		for range 300 / cubetest.Stride(t, 10) {
			open, which, place := twoslots.Open(random.IntN(twoslots.Opens)), random.IntN(2), random.IntN(pairPlaces)
			other := int(others[place][random.IntN(len(others[place]))])
			total, ok := best(r, caseOf(open, which, place, other))
			ms := l.known[open][both(which, place, other)]
			require.Equal(t, ok, ms != nothingKnown, name)
			if ok {
				require.Equal(t, total, time.Duration(ms)*time.Millisecond, "%s: %s", name, caseOf(open, which, place, other).Code())
			}
		}

		// And what they save, one after the other.
		known := []twoslots.Step{}
		for _, lesson := range found.Next {
			before := rankingFor(knows(p, known...))
			known = append(known, lesson.Step)
			after := rankingFor(knows(p, known...))
			was, ok := best(before, lesson.Case)
			require.True(t, ok)
			now, ok := best(after, lesson.Case)
			require.True(t, ok)
			assert.Equal(t, lesson.Most, was-now, "%s: %s in %s", name, lesson.Turns, lesson.Case.Code())
			assert.Positive(t, lesson.Most)
			with, without := &lessons{Ranking: after}, &lessons{Ranking: before}
			require.NoError(t, with.begin(t.Context()))
			require.NoError(t, without.begin(t.Context()))
			sum := int64(0)
			for open := range without.known {
				for at, ms := range without.known[open] {
					if ms != nothingKnown { // where a way was known before
						sum += int64(ms - with.known[open][at])
					}
				}
			}
			assert.Equal(t, time.Duration(sum)*time.Millisecond/time.Duration(found.Known), lesson.Saves, "%s: what %s saves", name, lesson.Turns)
			for _, other := range found.Next {
				assert.LessOrEqual(t, other.Saves, found.Next[0].Saves)
			}
		}

		// No other step saves more at first: none of some hundred in the table.
		queue, err := l.candidates(t.Context())
		require.NoError(t, err)
		for range 100 / cubetest.Stride(t, 10) {
			s := &queue[random.IntN(len(queue))]
			saves := l.saving(&s.study)
			assert.LessOrEqual(t, saves, s.saves)
			assert.LessOrEqual(t, time.Duration(saves)*time.Millisecond/time.Duration(found.Known), found.Next[0].Saves)
		}
	}
}

// Who knows nothing is told to begin elsewhere, and who goes away is not worked for.
func TestLessonsOfNobody(t *testing.T) {
	t.Parallel()
	p := forecast.Anyone()
	p.Usual = forecast.UsualNone
	found, err := rankingFor(p).Lessons(t.Context(), 5)
	require.NoError(t, err)
	assert.Equal(t, twoslots.Opens, found.Known, "both pairs are in their slots")
	assert.Empty(t, found.Next)
	gone, leave := context.WithCancel(t.Context())
	leave()
	_, err = anyone().Lessons(gone, 5)
	require.ErrorIs(t, err, context.Canceled)
}

// Five lessons, the values being there.
func BenchmarkLessons(b *testing.B) {
	r := anyone()
	r.values(forecast.Known)
	for b.Loop() {
		if found, err := r.Lessons(b.Context(), 5); err != nil || len(found.Next) < 5 {
			b.Fatal(found, err)
		}
	}
}
