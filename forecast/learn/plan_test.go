package learn

import (
	"context"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/lastslot/lastslottest"
	"slotcast/forecast/looks"
)

// evenly is a toy: it recognises and executes every pattern in a second, AUFs take nothing,
// and it knows these insertions at front right, each measured.
func evenly(t testing.TB, insertions map[string]time.Duration) *forecast.Person {
	p := forecast.Anyone()
	p.Usual, p.Speed = forecast.UsualNone, 1e-6
	for pattern := range p.Ratings {
		p.Ratings[pattern] = [forecast.Steps]forecast.Rating{{Time: new(time.Second)}, {Time: new(time.Second)}}
	}
	for turns, takes := range insertions {
		p.Insertions = append(p.Insertions, forecast.OwnInsertion{Insertion: lastslottest.Insertion(t, lastslot.FR, turns), Known: forecast.Yes, Time: new(takes)})
	}
	return p
}

func planOf(t testing.TB, f *forecast.Forecaster, p lastslot.Place) *Plan {
	t.Helper()
	plan, err := PlanOf(t.Context(), f, p, false)
	require.NoError(t, err)
	return plan
}

// Worked out by hand: R U R' has five pieces to track, a quarter of a second; that saves a
// second of recognising, and the other insertion is slower and leaves nothing better. Of the
// 216 ways one is oriented and takes no second to execute.
func TestAToyTracksTheQuicker(t *testing.T) {
	f := forecasttest.Book().For(evenly(t, map[string]time.Duration{"R U R'": 500 * ms, "R U R' F R U R' U' F'": 600 * ms}))
	place := lastslottest.Insertion(t, lastslot.FR, "R U R'").Case().Place()
	plan := planOf(t, f, place)
	require.NotNil(t, plan)
	assert.Equal(t, "R U R'", plan.Predict.Turns().String())
	assert.Equal(t, "R U R'", plan.Best.Turns().String())
	assert.Len(t, plan.Accept, lastslot.Patterns)
	assert.Equal(t, (216*2500-1000)*ms/216, plan.Alone)
	assert.Equal(t, (216*1750-1000)*ms/216, plan.Takes)
	assert.Equal(t, 750*ms, plan.Saves())
}

// Worked out by hand: the pair is in its slot, dots take three seconds to execute, and tracking
// pays nothing. One looks, and with a dot, 27 of 216 ways, does the half second of F R U R' U'
// F' first, after which there never is a dot, nor is all oriented.
func TestAToyLooksAndTurnsDotsIntoSomethingElse(t *testing.T) {
	person := evenly(t, map[string]time.Duration{"F R U R' U' F'": 500 * ms})
	person.Scale.Track = time.Second
	dots := 0
	for pattern := range lastslot.Pattern(lastslot.Patterns) {
		if pattern.Outcome().Edges() == lastslot.Dot {
			person.Ratings[pattern][forecast.Execute].Time = new(3 * time.Second)
			dots++
		}
	}
	solved := lastslot.Places(lastslot.FR)[lastslot.PlacesPerSlot-1]
	for _, p := range lastslot.Places(lastslot.FR) {
		if p.Solved() {
			solved = p
		}
	}
	plan := planOf(t, forecasttest.Book().For(person), solved)
	require.NotNil(t, plan)
	assert.Empty(t, plan.Predict.Turns())
	assert.Equal(t, "F R U R' U' F'", plan.Otherwise.Insertion.String())
	assert.Len(t, plan.Accept, lastslot.Patterns-dots)
	for _, pattern := range plan.Accept {
		assert.NotEqual(t, lastslot.Dot, pattern.Outcome().Edges())
	}
	assert.Equal(t, (216+188+27*3)*time.Second/216, plan.Alone)
	assert.Equal(t, ((216+188)*time.Second+27*2500*ms)/216, plan.Takes)
}

// With one insertion there is nothing to plan, and where another does the same neither.
func TestOneInsertionIsNoPlan(t *testing.T) {
	place := lastslottest.Insertion(t, lastslot.FR, "R U R'").Case().Place()
	assert.Nil(t, planOf(t, forecasttest.Book().For(evenly(t, map[string]time.Duration{"R U R'": 500 * ms})), place))
	assert.Nil(t, planOf(t, forecasttest.Book().For(evenly(t, nil)), place))
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := PlanOf(ctx, forecasttest.Book().For(evenly(t, map[string]time.Duration{"R U R'": 500 * ms, "R U R' F R U R' U' F'": 600 * ms})), place, false)
	require.ErrorIs(t, err, context.Canceled)
}

// planners are three profiles: one who knows what is worth learning next and tracks two
// pieces, one who has learnt ten algorithms, and one with ratings and a book of their own.
// What they have learnt takes many lists, so they are made once.
func planners(t testing.TB) map[string]*forecast.Person {
	t.Helper()
	planning.Do(func() { planning.people = newPlanners(t) })
	require.NotEmpty(t, planning.people)
	return maps.Clone(planning.people)
}

var planning struct {
	sync.Once
	people map[string]*forecast.Person
}

func newPlanners(t testing.TB) map[string]*forecast.Person {
	t.Helper()
	ten := forecast.Anyone()
	for pattern := range lastslot.Pattern(lastslot.Patterns) {
		ten.Unlearnt[pattern] = pattern != 0
	}
	for _, pattern := range looks.Ten {
		ten.Unlearnt[pattern] = false
	}
	return map[string]*forecast.Person{"tracks two": learner(t, tracking(forecast.Anyone(), 2), 2), "ten": learner(t, ten, 1), "own book": learner(t, rated(t), 3)}
}

// learner is the person who has learnt the next lessons of each place at front right too.
func learner(t testing.TB, p *forecast.Person, lessons int) *forecast.Person {
	f := forecasttest.Book().For(p)
	for _, place := range lastslot.Places(lastslot.FR) {
		list := listOf(t, f, place)
		have := min(len(list.Lessons), max(list.Known, list.Counted()))
		p = knowing(t, p, list.Lessons[have:min(len(list.Lessons), have+lessons)]...)
	}
	return p
}

// simulated is an insertion, after an AUF where that makes a difference, done with stickers in
// every case of a place.
type simulated struct {
	turns        string
	unseen, done []time.Duration
	leaves       []lastslot.Pattern
	watch        []time.Duration
	track        int
}

func simulate(t testing.TB, tops *lastslottest.Tops, f *forecast.Forecaster, p lastslot.Place, cases []lastslot.Case) (all []simulated) {
	if p.Solved() {
		var nothing simulated
		for _, c := range cases {
			start := cubetest.Of(c.Cube())
			left := tops.Left(t, &start)
			first, seen := f.FirstLook(left)
			nothing.unseen, nothing.done = append(nothing.unseen, first+seen), append(nothing.done, seen)
			nothing.watch, nothing.leaves = append(nothing.watch, first), append(nothing.leaves, left.Pattern())
		}
		all = append(all, nothing)
	}
	for _, known := range f.Candidates(p) {
		if !known.Known {
			continue
		}
		// Where a piece of the pair is on top the case says which AUF it takes.
		byAUF := map[int]*simulated{}
		for quarters, auf := range lastslot.AUFs {
			turns := cube.Join(known.Rotation, auf, known.Insertion.Turns)
			done := cubetest.Solved.Do(turns)
			for n, c := range cases {
				start := cubetest.Of(c.Cube())
				after := start
				for i, from := range done {
					after[i] = start[from]
				}
				if !firstTwoLayers(&after) {
					continue
				}
				key := 0
				if len(p.AUFs()) == 1 {
					key = quarters
				}
				if byAUF[key] == nil {
					byAUF[key] = &simulated{turns: turns.String(), track: known.Insertion.Map().Track(), unseen: make([]time.Duration, len(cases)), done: make([]time.Duration, len(cases)), watch: make([]time.Duration, len(cases)), leaves: make([]lastslot.Pattern, len(cases))}
				}
				s := byAUF[key]
				left := tops.Left(t, &after)
				insert := known.Insert + f.AUF(quarters)
				s.unseen[n], s.done[n], s.leaves[n] = insert+f.After(left, 0), insert+f.Foreseen(left), left.Pattern()
				s.watch[n] = f.Tracking(s.track)
			}
		}
		for quarters := range 4 {
			if byAUF[quarters] != nil {
				all = append(all, *byAUF[quarters])
			}
		}
	}
	return all
}

// The best plan of every place at front right is the best of all pairs of insertions, each
// done with plain stickers in every case of the place, and each pattern accepted or not by
// what that gives.
func TestPlansAreTheBestByStickers(t *testing.T) {
	t.Parallel()
	tops, found := lastslottest.NewTops(), 0
	for name, person := range planners(t) {
		f := forecasttest.Book().For(person)
		places := lastslot.Places(lastslot.FR)
		step := cubetest.Stride(t, 7)
		for n := 0; n < len(places); n += step {
			p := places[n]
			about := fmt.Sprintf("%s, %s", name, p)
			cases := casesOf(p)
			all := simulate(t, tops, f, p, cases)
			least, alone := time.Duration(1<<62), time.Duration(1<<62)
			for i := range all {
				a := &all[i]
				sum := time.Duration(0)
				for _, takes := range a.unseen {
					sum += takes
				}
				alone = min(alone, sum)
				for j := range all {
					if i == j {
						continue
					}
					var accepted, otherwise [lastslot.Patterns]time.Duration
					sum := time.Duration(0)
					for c := range cases {
						sum += a.watch[c]
						accepted[a.leaves[c]] += a.done[c]
						otherwise[a.leaves[c]] += all[j].unseen[c]
					}
					for pattern := range accepted {
						sum += min(accepted[pattern], otherwise[pattern])
					}
					least = min(least, sum)
				}
			}
			plan := planOf(t, f, p)
			if len(all) < 2 {
				require.Nil(t, plan, about)
				continue
			}
			require.NotNil(t, plan, about)
			found++
			require.Equal(t, least/time.Duration(len(cases)), plan.Takes, about)
			require.Equal(t, alone/time.Duration(len(cases)), plan.Alone, about)
		}
	}
	assert.Greater(t, found, 10)
}

// Plans that the person can do are of what they track, and take no less than any.
func TestPlansOfWhatIsTracked(t *testing.T) {
	f := forecasttest.Book().For(planners(t)["tracks two"])
	found := 0
	for _, p := range lastslot.Places(lastslot.FR) {
		tracked, err := PlanOf(t.Context(), f, p, true)
		require.NoError(t, err)
		if tracked == nil {
			continue
		}
		found++
		assert.LessOrEqual(t, tracked.Predict.Track, 2)
		assert.GreaterOrEqual(t, tracked.Takes, planOf(t, f, p).Takes)
	}
	assert.Positive(t, found)
}

// The groups of a plan lose no more than they say, and that is at most a hundredth of a second;
// and there is no way with fewer of them: by trying for each kind of edges nothing, all and
// every number of the worthiest.
func TestGroupsAreTheFewest(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(13, 3))
	place := lastslot.Places(lastslot.FR)[0]
	var plans []*Plan
	for _, person := range planners(t) {
		f := forecasttest.Book().For(person)
		for _, p := range lastslot.Places(lastslot.FR) {
			if plan := planOf(t, f, p); plan != nil {
				plans = append(plans, plan)
			}
		}
	}
	for range 300 {
		plan := &Plan{Place: place}
		spread := int64(1) << random.IntN(16)
		for pattern := range plan.worth {
			plan.worth[pattern] = random.Int64N(2*spread) - spread*random.Int64N(3)/2
		}
		plans = append(plans, plan)
	}
	sizes := map[int]int{}
	for _, plan := range plans {
		groups, loses := plan.Groups()
		sizes[len(groups)]++
		sum := int64(0)
		for pattern := range lastslot.Pattern(lastslot.Patterns) {
			accepts := slices.ContainsFunc(groups, func(g Group) bool { return g.Accepts(pattern) })
			if accepts != (plan.worth[pattern] > 0) {
				sum += max(plan.worth[pattern], -plan.worth[pattern])
			}
		}
		require.Equal(t, time.Duration(sum)*ms/time.Duration(plan.Place.Cases()), loses)
		require.LessOrEqual(t, loses, 10*ms)
		// To leave a kind of edges out loses all that is worth accepting in it.
		var left []int64
		for _, kind := range []lastslot.Edges{lastslot.Dot, lastslot.Line, lastslot.L, lastslot.Cross} {
			sum := int64(0)
			for pattern := range lastslot.Pattern(lastslot.Patterns) {
				if pattern.Outcome().Edges() == kind {
					sum += max(0, plan.worth[pattern])
				}
			}
			left = append(left, sum)
		}
		slices.Sort(left)
		fewest, sum := 4, int64(0)
		for _, loses := range left {
			if sum += loses; sum <= 10*int64(plan.Place.Cases()) {
				fewest--
			}
		}
		if fewest > 1 && len(groups) == 1 {
			require.Empty(t, groups[0].Edges, "one for any edges")
			continue
		}
		require.Len(t, groups, fewest)
	}
	t.Log(sizes)
	assert.Greater(t, len(sizes), 2)
}

// The aim: all 42 places in under 100 ms; with 2,000 insertions of one's own at one place
// under a second and a half.
func BenchmarkPlans(b *testing.B) {
	for name, person := range map[string]*forecast.Person{"anyone": forecast.Anyone(), "three more at each place": learner(b, forecast.Anyone(), 3)} {
		f := forecasttest.Book().For(person)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				for _, p := range lastslot.Places(lastslot.FR) {
					planOf(b, f, p)
				}
			}
		})
	}
	// So many, and each of another map.
	place := lastslottest.Insertion(b, lastslot.FR, "R U R'").Case().Place()
	many := forecast.Anyone()
	for _, c := range forecasttest.Book().For(forecast.Anyone()).Candidates(place) {
		if len(many.Insertions) < 2000 {
			many.Insertions = append(many.Insertions, forecast.OwnInsertion{Insertion: *c.Insertion, Known: forecast.Yes})
		}
	}
	f := forecasttest.Book().For(many)
	b.Run("2,000 at one place", func(b *testing.B) {
		for b.Loop() {
			planOf(b, f, place)
		}
	})
}
