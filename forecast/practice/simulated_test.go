package practice

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
)

// simulated is somebody with true seconds for each pattern, who rates themselves off by a
// step half the time and practises by what [Draw] says.
type simulated struct {
	book   *forecast.Book
	chance *rand.Rand
	truth  *forecast.Person
	rated  *forecast.Person
	// histories are by pattern, of recognising.
	histories [lastslot.Patterns]History
	drawn     [lastslot.Patterns]int
}

func newSimulated(book *forecast.Book, known []forecast.OwnInsertion, seed uint64) *simulated {
	s := &simulated{book: book, chance: rand.New(rand.NewPCG(seed, 1)), truth: forecast.Anyone(), rated: forecast.Anyone()}
	s.truth.Insertions, s.rated.Insertions = known, known
	levels := forecast.DefaultScale.Recognise
	// The oriented top is recognised as everybody does.
	for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
		// Evenly by the logarithm, from a fifth of a second to two.
		took := time.Duration(float64(200*ms) * math.Pow(10, s.chance.Float64())).Round(ms)
		s.truth.Ratings[p][forecast.Recognise].Time = &took
		nearest := 1
		for level := 2; level <= 5; level++ {
			if math.Abs(math.Log(float64(took)/float64(levels[level]))) < math.Abs(math.Log(float64(took)/float64(levels[nearest]))) {
				nearest = level
			}
		}
		if s.chance.IntN(2) == 0 {
			step := 2*s.chance.IntN(2) - 1
			if nearest+step < 1 || nearest+step > 5 {
				step = -step
			}
			nearest += step
		}
		s.rated.Ratings[p][forecast.Recognise].Level = nearest
	}
	return s
}

// quickest are the five quickest insertions of each place of a slot: with them one can
// choose what is left.
func quickest(book *forecast.Book, slot lastslot.Slot) (known []forecast.OwnInsertion) {
	f := book.For(forecast.Anyone())
	for _, p := range lastslot.Places(slot) {
		all := f.Candidates(p)
		slices.SortStableFunc(all, func(a, b forecast.Candidate) int { return cmp.Compare(a.Insert, b.Insert) })
		for _, c := range all[:min(5, len(all))] {
			known = append(known, forecast.OwnInsertion{Insertion: *c.Insertion, Known: forecast.Yes})
		}
	}
	return known
}

// measured is the person by their ratings and what they practised.
func (s *simulated) measured() *forecast.Person {
	p := *s.rated
	var all []Practised
	for pattern := range s.histories {
		all = append(all, Practised{Recognise, PatternItem(lastslot.Pattern(pattern)), s.histories[pattern]})
	}
	Measure(all).In(&p, s.book)
	return &p
}

// practise does sessions of ten items, one a day.
func (s *simulated) practise(sessions int) {
	for day := range Day(sessions) {
		person := s.measured()
		var candidates []Candidate
		for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
			candidates = append(candidates, Candidate{
				Item: PatternItem(p), Comes: float64(p.Ways()) / lastslot.Outcomes, Memory: s.histories[p].Memory,
				Takes: s.book.Takes(person, p, forecast.Recognise),
			})
		}
		for n, item := range Draw(candidates, day, 10, uint64(day)) {
			p, _ := item.Pattern()
			s.drawn[p]++
			h := &s.histories[p]
			// A fifth of noise, and the reaction of everybody.
			took := usualReaction + time.Duration(float64(*s.truth.Ratings[p][forecast.Recognise].Time)*(1+0.2*s.chance.NormFloat64())).Round(ms)
			t := Try{At: time.Unix(int64(day)*24*60*60+int64(n), 0), Took: max(LeastTook, took), Right: true}
			h.Add(t, h.GradeOf(t))
		}
	}
}

// judged is how well somebody's ranking does by another's clock.
type judged struct {
	// same is in how many cases the first option is the same.
	same int
	// lost are the seconds that taking the first one loses, in all.
	lost time.Duration
	// agree is how many of the pairs among the first ten options stand in the same order.
	agree, pairs int
}

func judge(t *testing.T, truth, by *forecast.Forecaster, cases []lastslot.Case) (j judged) {
	t.Helper()
	for _, c := range cases {
		best := truth.Forecast(forecast.Request{Case: c, View: forecast.Known, Limit: 10, PerPattern: true})
		rows := by.Forecast(forecast.Request{Case: c, View: forecast.Known, Limit: 1})
		chosen, err := truth.Option(c, rows[0].Turns)
		require.NoError(t, err)
		lost := chosen.Seconds.Total() - best[0].Seconds.Total()
		require.GreaterOrEqual(t, lost, time.Duration(0))
		j.lost += lost
		if slices.Equal(rows[0].Turns, best[0].Turns) {
			j.same++
		}
		var totals []time.Duration
		for i := range best {
			o, err := by.Option(c, best[i].Turns)
			require.NoError(t, err)
			totals = append(totals, o.Seconds.Total())
		}
		for a := range totals {
			for b := range a {
				j.pairs++
				if totals[b] <= totals[a] {
					j.agree++
				}
			}
		}
	}
	return j
}

// After 300 items the ranking by what was measured agrees with the ranking by the true
// seconds better than the one by ratings does; and what was practised is what costs most:
// of the patterns in order of their cost, each quarter more than the next.
func TestMeasuredRankingAgreesBetter(t *testing.T) {
	t.Parallel()
	const people, casesEach = 5, 60
	book := forecasttest.Book()
	known := quickest(book, lastslot.FR)
	var rated, measured judged
	var quarters [4]int
	enough := 0
	for seed := range uint64(people) {
		s := newSimulated(book, known, seed)
		s.practise(30)
		var cases []lastslot.Case
		for range casesEach {
			cases = append(cases, lastslot.CaseAt(int(lastslot.FR)*lastslot.CasesPerSlot+s.chance.IntN(lastslot.CasesPerSlot)))
		}
		truth := book.For(s.truth)
		rated = rated.plus(judge(t, truth, book.For(s.rated), cases))
		measured = measured.plus(judge(t, truth, book.For(s.measured()), cases))
		for i, p := range s.byCost() {
			quarters[i*4/(lastslot.Patterns-1)] += s.drawn[p]
			if s.histories[p].Seconds().Enough() {
				enough++
			}
		}
	}
	for _, j := range []struct {
		name string
		judged
	}{{"rated", rated}, {"measured", measured}} {
		t.Logf("%s: the same first line in %d of %d cases; %d ms lost a case; %.1f %% of pairs in the same order", j.name,
			j.same, people*casesEach, j.lost.Milliseconds()/(people*casesEach), 100*j.share())
	}
	t.Logf("practised by quarters of cost: %v; of 57 patterns %.1f measured", quarters, float64(enough)/people)
	assert.Greater(t, measured.share(), rated.share()+0.02)
	assert.Greater(t, measured.same, rated.same)
	assert.Less(t, measured.lost, rated.lost)
	assert.Equal(t, 300*people, quarters[0]+quarters[1]+quarters[2]+quarters[3])
	assert.IsDecreasing(t, quarters[:])
	assert.Greater(t, quarters[0], quarters[3]*3/2)
}

// byCost are the patterns to recognise, those that cost most by the true clock first.
func (s *simulated) byCost() (patterns []lastslot.Pattern) {
	for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
		patterns = append(patterns, p)
	}
	cost := func(p lastslot.Pattern) time.Duration {
		return time.Duration(p.Ways()) * *s.truth.Ratings[p][forecast.Recognise].Time
	}
	slices.SortStableFunc(patterns, func(a, b lastslot.Pattern) int { return cmp.Compare(cost(b), cost(a)) })
	return patterns
}

// share is how many of the pairs stand in the same order.
func (j judged) share() float64 { return float64(j.agree) / float64(j.pairs) }

func (j judged) plus(k judged) judged {
	return judged{j.same + k.same, j.lost + k.lost, j.agree + k.agree, j.pairs + k.pairs}
}
