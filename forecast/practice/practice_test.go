package practice

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
)

const ms = time.Millisecond

var noon = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

func tried(times ...time.Duration) (h History) {
	for i, took := range times {
		t := Try{At: noon.Add(time.Duration(i) * time.Minute), Took: took, Right: true}
		h.Add(t, h.GradeOf(t))
	}
	return h
}

// Every item reads back as it is written, whatever AUF an insertion was written with.
func TestItemsHaveOneSpelling(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ exercise, text, item string }{
		{"react", "signal", "signal"},
		{"recognise", "0", "0"}, {"recognise", "57", "57"}, {"recognise", "007", "7"},
		{"execute", "27", "27"}, {"execute", "FR R U R'", "FR R U R'"}, {"execute", "FR U (R U R')", "FR R U R'"},
		{"predict", "FL L' U' L", "FL L' U' L"}, {"predict", "edges FR U (R U R')", "edges FR R U R'"},
		{"choose", "FR-UFR.R-UB.U", "FR-UFR.R-UB.U"}, {"whole", "FR-UFR.R-UB.U", "FR-UFR.R-UB.U"},
	} {
		e, err := ParseExercise(tt.exercise)
		require.NoError(t, err)
		assert.Equal(t, tt.exercise, e.String())
		item, err := ParseItem(e, tt.text)
		require.NoError(t, err, tt.text)
		assert.EqualValues(t, tt.item, item)
		again, err := ParseItem(e, string(item))
		require.NoError(t, err)
		assert.Equal(t, item, again)
	}
	for _, tt := range []struct{ exercise, text string }{
		{"react", ""}, {"recognise", "58"}, {"recognise", "-1"}, {"recognise", "FR R U R'"}, {"recognise", ""},
		{"execute", "0"}, {"execute", "FR R U"}, {"execute", "XX R U R'"}, {"predict", "27"}, {"predict", "edges 27"}, {"execute", "edges FR R U R'"}, {"choose", "27"}, {"whole", "FR-UFR.R-UFR.U"},
	} {
		e, err := ParseExercise(tt.exercise)
		require.NoError(t, err)
		_, err = ParseItem(e, tt.text)
		assert.Error(t, err, "%s %s", tt.exercise, tt.text)
	}
	insertion, ok := Item("edges FR R U R'").Edges()
	require.True(t, ok)
	assert.EqualValues(t, "edges FR R U R'", EdgesItem(insertion))
	_, ok = Item("edges FR R U R'").Insertion()
	assert.False(t, ok, "it is another item")
	_, ok = Item("FR R U R'").Edges()
	assert.False(t, ok)
	_, err := ParseExercise("juggle")
	assert.ErrorContains(t, err, "recognise")
	for _, p := range lastslot.Places(lastslot.BL) {
		item, err := ParseItem(Whole, p.String())
		require.NoError(t, err)
		back, ok := item.Place()
		assert.True(t, ok)
		assert.Equal(t, p, back)
	}
}

// Wrong is Again; right, over 1.5 times one's median Hard, under 0.7 times Easy. At the
// bounds themselves it is Good.
func TestGrades(t *testing.T) {
	t.Parallel()
	h := tried(900*ms, 1000*ms, 1100*ms)
	for _, tt := range []struct {
		took  time.Duration
		right bool
		grade Grade
	}{
		{1000 * ms, false, Again}, {100 * ms, false, Again},
		{1501 * ms, true, Hard}, {20 * time.Second, true, Hard},
		{1500 * ms, true, Good}, {1000 * ms, true, Good}, {700 * ms, true, Good},
		{699 * ms, true, Easy},
	} {
		assert.Equal(t, tt.grade, h.GradeOf(Try{Took: tt.took, Right: tt.right}), "%v %v", tt.took, tt.right)
	}
	fresh := History{}
	assert.Equal(t, Good, fresh.GradeOf(Try{Took: time.Second, Right: true}), "there is no median yet")
}

// The median and the middle half, by hand.
func TestSecondsAreTheMedianOfWhatCounts(t *testing.T) {
	t.Parallel()
	h := tried(1000*ms, 1200*ms, 800*ms, 1100*ms)
	assert.Equal(t, Seconds{Median: 1050 * ms, From: 950 * ms, To: 1125 * ms, Count: 4}, h.Seconds())
	assert.False(t, h.Seconds().Enough())
	// Over ten seconds, and over three times the median: neither counts.
	h = tried(1000*ms, 1200*ms, 800*ms, 1100*ms, 11*time.Second, 3600*ms)
	s := h.Seconds()
	assert.Equal(t, Seconds{Median: 1050 * ms, From: 950 * ms, To: 1125 * ms, Count: 4}, s)
	assert.True(t, s.Outlier(11*time.Second))
	assert.True(t, s.Outlier(3600*ms))
	assert.False(t, s.Outlier(3*1050*ms))
	// What is wrong has no seconds.
	wrong := Try{At: noon.Add(time.Hour), Took: 100 * ms}
	h.Add(wrong, h.GradeOf(wrong))
	assert.Equal(t, s, h.Seconds())
	assert.Equal(t, 7, h.Tries)
	assert.Equal(t, 6, h.Right)
	assert.Equal(t, noon.Add(time.Hour), h.Newest)
	// Only the last twenty are looked at.
	many := make([]time.Duration, 100)
	for i := range many {
		many[i] = time.Duration(100-i) * 10 * ms
	}
	h = tried(many...)
	assert.Len(t, h.Recent, keptTries)
	assert.Equal(t, 105*ms, h.Seconds().Median)
	assert.Equal(t, 100, h.Tries)
	empty := tried()
	assert.Zero(t, empty.Seconds())
}

func history(e Exercise, item Item, times ...time.Duration) Practised {
	return Practised{e, item, tried(times...)}
}

func five(d time.Duration) []time.Duration { return []time.Duration{d, d, d, d, d} }

// The reaction is taken off what was recognised and off nothing else; only ten taps make one.
func TestReactionIsTakenOff(t *testing.T) {
	t.Parallel()
	taps := []time.Duration{200 * ms, 300 * ms, 310 * ms, 290 * ms, 305 * ms, 295 * ms, 300 * ms, 300 * ms, 900 * ms}
	m := Measure([]Practised{history(React, Signal, taps...), history(Recognise, "27", five(time.Second)...)})
	assert.Equal(t, usualReaction, m.Reaction)
	assert.False(t, m.OwnReaction)
	m = Measure([]Practised{history(Recognise, "27", five(time.Second)...), history(Execute, "27", five(time.Second)...), history(React, Signal, append(taps, 300*ms)...), history(Recognise, "1", five(200*ms)...)})
	assert.Equal(t, 300*ms, m.Reaction)
	assert.True(t, m.OwnReaction)
	assert.Equal(t, Seconds{700 * ms, 700 * ms, 700 * ms, 5}, m.Patterns[27][forecast.Recognise])
	assert.Equal(t, Seconds{time.Second, time.Second, time.Second, 5}, m.Patterns[27][forecast.Execute])
	assert.Equal(t, leastRecognised, m.Patterns[1][forecast.Recognise].Median, "quicker than the plain tap")
}

// From five results on seconds rank, and what was not measured is scaled by the median ratio,
// so that what was practised keeps its rank among what is rated alike.
func TestMeasuredSecondsRank(t *testing.T) {
	t.Parallel()
	book := forecasttest.Book()
	measured := func(items ...Practised) *forecast.Person {
		p := forecast.Anyone()
		p.Ratings[1][forecast.Recognise].Level = 1
		p.Ratings[3][forecast.Recognise].Time = new(444 * ms)
		Measure(items).In(p, book)
		return p
	}
	takes := func(p *forecast.Person, pattern lastslot.Pattern) time.Duration {
		return book.Takes(p, pattern, forecast.Recognise)
	}

	p := measured(history(Recognise, "27", five(time.Second)[:4]...))
	assert.Equal(t, forecast.DefaultScale, p.Scale, "four are too few")
	assert.Nil(t, p.Ratings[27][forecast.Recognise].Time)

	// 27 is rated at 0.55 s, and takes 1.35 - 0.25 = 1.1 s: twice as long.
	p = measured(history(Recognise, "27", five(1350*ms)...))
	assert.Equal(t, 1100*ms, takes(p, 27))
	assert.Equal(t, 1100*ms, takes(p, 28), "rated alike, it ranks alike")
	assert.Equal(t, 2600*ms, takes(p, 1), "1 is rated at 1.3 s")
	assert.Equal(t, 444*ms, takes(p, 3), "the person timed it")
	assert.Equal(t, 400*ms, takes(p, 0))
	assert.Equal(t, book.Takes(forecast.Anyone(), 27, forecast.Execute), book.Takes(p, 27, forecast.Execute), "the other step")

	// What was timed by hand and then practised is what practice says.
	p = measured(history(Recognise, "3", five(1350*ms)...))
	assert.Equal(t, 1100*ms, takes(p, 3))

	// Executing: likewise, by the estimate of the pattern's own sequence.
	estimate := book.Takes(forecast.Anyone(), 27, forecast.Execute)
	p = measured(history(Execute, "27", five(estimate*3/2)...))
	assert.InDelta(t, 1.5, p.Scale.Execute[3], 0.002)
	assert.Equal(t, forecast.DefaultScale.Recognise, p.Scale.Recognise)

	// An insertion of which nothing was said, and one of which something was.
	p = measured(history(Execute, "FR R U R'", five(700*ms)...), history(Execute, "FR R U' R'", five(time.Minute)...))
	require.Len(t, p.Insertions, 1, "minutes are outliers")
	assert.Equal(t, 700*ms, *p.Insertions[0].Time)
	assert.Equal(t, forecast.Unsaid, p.Insertions[0].Known)
	option := func(p *forecast.Person) forecast.Option {
		f := book.For(p)
		o, err := f.Option(p.Insertions[0].Case(), p.Insertions[0].Turns)
		require.NoError(t, err)
		return o
	}
	assert.Equal(t, 700*ms, option(p).Seconds.Insert())
	own := p.Insertions[0]
	own.Time = nil
	own.Hidden = true
	said := forecast.Anyone()
	said.Insertions = []forecast.OwnInsertion{own}
	Measure([]Practised{history(Execute, "FR R U R'", five(800*ms)...)}).In(said, book)
	require.Len(t, said.Insertions, 1)
	assert.Equal(t, 800*ms, *said.Insertions[0].Time)
	assert.True(t, said.Insertions[0].Hidden)
}

// A ratio is the median, and never beyond all reason.
func TestRatio(t *testing.T) {
	t.Parallel()
	assert.Equal(t, 1.0, ratioOf(nil))
	assert.Equal(t, 1.5, ratioOf([]float64{9, 1.5, 1}))
	assert.Equal(t, 1.25, ratioOf([]float64{1.5, 1}))
	assert.Equal(t, 4.0, ratioOf([]float64{100}))
	assert.Equal(t, 0.25, ratioOf([]float64{0.01}))
}

// R U R' has five pieces to track, M U' R U M' U' R' two (the rules of tracking).
func TestPredictionsProposeHowManyPiecesAreTracked(t *testing.T) {
	t.Parallel()
	predictions := func(item Item, right, late, wrong int) Practised {
		p := Practised{Exercise: Predict, Item: item}
		add := func(n int, took time.Duration, right bool) {
			for range n {
				try := Try{At: noon, Took: took, Right: right}
				p.Add(try, p.GradeOf(try))
			}
		}
		add(right, time.Second, true)
		add(late, predictWithin+ms, true)
		add(wrong, time.Second, false)
		return p
	}
	const two, five Item = "FR M U' R U M' U' R'", "FR R U R'"
	for item, pieces := range map[Item]int{two: 2, five: 5} {
		i, ok := item.Insertion()
		require.True(t, ok)
		require.Equal(t, pieces, i.Map().Track())
	}
	for name, tt := range map[string]struct {
		all    []Practised
		pieces int
		ok     bool
	}{
		"nothing":       {nil, 0, false},
		"too few":       {[]Practised{predictions(two, 4, 0, 0)}, 0, false},
		"well":          {[]Practised{predictions(two, 4, 0, 1)}, 2, true},
		"late":          {[]Practised{predictions(two, 3, 2, 0)}, 0, true},
		"wrong":         {[]Practised{predictions(two, 3, 0, 2)}, 0, true},
		"both":          {[]Practised{predictions(two, 5, 0, 0), predictions(five, 5, 0, 0)}, 5, true},
		"only the less": {[]Practised{predictions(two, 5, 0, 0), predictions(five, 2, 0, 9)}, 2, true},
		"edges only":    {[]Practised{predictions("edges "+two, 9, 0, 0)}, 0, false},
		"not the less":  {[]Practised{predictions(two, 0, 0, 5), predictions(five, 5, 0, 0)}, 0, true},
	} {
		pieces, ok := Measure(tt.all).Track()
		assert.Equal(t, tt.ok, ok, name)
		assert.Equal(t, tt.pieces, pieces, name)
	}
}
