package store

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/practice"
	"slotcast/web/profile"
	"slotcast/web/webtest"
)

var practiceDay = time.Date(2026, 3, 28, 23, 50, 0, 0, time.UTC)

// aResult is one of so many minutes after the first.
func aResult(id string, minutes int, item practice.Item, took time.Duration, right bool) profile.Result {
	return profile.Result{
		ID: id, Exercise: practice.Recognise, Item: item,
		Try: practice.Try{At: practiceDay.Add(time.Duration(minutes) * time.Minute), Took: took, Right: right},
	}
}

func resultsOf(t testing.TB, s *Store, id profile.ID, asked profile.ResultsAsked) []profile.Result {
	t.Helper()
	results, err := s.Results(t.Context(), id, asked)
	require.NoError(t, err)
	return results
}

// slowPractised is what results come to by definition: all that count, item by item, one
// after the other in the order in which they were done, by their ids where that is the same.
func slowPractised(results []profile.Result) (all []practice.Practised) {
	results = slices.Clone(results)
	slices.SortFunc(results, func(a, b profile.Result) int { return cmp.Or(a.At.Compare(b.At), strings.Compare(a.ID, b.ID)) })
	for _, r := range results {
		at := slices.IndexFunc(all, func(p practice.Practised) bool { return p.Exercise == r.Exercise && p.Item == r.Item })
		if at < 0 {
			at = len(all)
			all = append(all, practice.Practised{Exercise: r.Exercise, Item: r.Item})
		}
		if !r.Withdrawn {
			all[at].Add(r.Try, r.Grade)
		}
	}
	slices.SortFunc(all, func(a, b practice.Practised) int {
		return cmp.Or(strings.Compare(a.Exercise.String(), b.Exercise.String()), strings.Compare(string(a.Item), string(b.Item)))
	})
	return all
}

// slowProgress is what results come to over time by definition: week by week and day by day,
// as package time has these.
func slowProgress(results []profile.Result) profile.Progress {
	p := profile.Progress{Weeks: map[practice.Exercise]map[practice.Week]*practice.Tally{}}
	for _, r := range results {
		if r.Withdrawn {
			continue
		}
		day := practice.DayOf(r.At.Truncate(24 * time.Hour))
		if p.Weeks[r.Exercise] == nil {
			p.Weeks[r.Exercise] = map[practice.Week]*practice.Tally{}
		}
		if p.Weeks[r.Exercise][day.Week()] == nil {
			p.Weeks[r.Exercise][day.Week()] = &practice.Tally{}
		}
		p.Weeks[r.Exercise][day.Week()].Add(r.Bin(), 1)
		if !slices.Contains(p.Days, day) {
			p.Days = append(p.Days, day)
		}
	}
	slices.Sort(p.Days)
	return p
}

// progressOf is all that the store says of the profile's progress.
func progressOf(t testing.TB, s *Store, id profile.ID) profile.Progress {
	t.Helper()
	p, err := s.Progress(t.Context(), id, 0)
	require.NoError(t, err)
	return p
}

// Tables of before progress was kept are filled from the results that there are.
func testProgressOfEarlierResults(t *testing.T, address string) {
	ctx := t.Context()
	s := opened(t, address)
	_, id := newProfile(t, s)
	var results []profile.Result
	for n := range 200 {
		results = append(results, aResult(fmt.Sprint(n), n*60*5, "27", time.Duration(1+n*n*n)*time.Millisecond/4, n%7 > 0))
	}
	for i := range results {
		results[i].Took = min(max(results[i].Took.Truncate(time.Millisecond), time.Millisecond), practice.MostTook)
	}
	require.NoError(t, s.Put(ctx, id, profile.Records{Results: results}))
	require.NoError(t, s.Remove(ctx, id, profile.Records{Results: results[:3]}))
	want := progressOf(t, s, id)
	require.Equal(t, slowProgress(resultsOf(t, s, id, profile.ResultsAsked{})), want)
	file, err := migrations.ReadFile("migrations/00014_progress.sql")
	require.NoError(t, err)
	filled := 0
	for statement := range strings.SplitSeq(string(file), ";") {
		if table, ok := strings.CutPrefix(strings.TrimSpace(statement), "INSERT INTO "); ok {
			table, _, _ = strings.Cut(table, " ")
			_, err := s.write.ExecContext(ctx, "DELETE FROM "+table)
			require.NoError(t, err)
			_, err = s.write.ExecContext(ctx, statement)
			require.NoError(t, err)
			filled++
		}
	}
	require.Equal(t, 2, filled)
	assert.Equal(t, want, progressOf(t, s, id))
}

func testResults(t *testing.T, address string) {
	s := opened(t, address)
	ctx := t.Context()
	_, id := newProfile(t, s)
	_, other := newProfile(t, s)
	assert.Empty(t, resultsOf(t, s, id, profile.ResultsAsked{}))
	put := func(results ...profile.Result) { require.NoError(t, s.Put(ctx, id, profile.Records{Results: results})) }
	counted, err := s.AddResults(ctx, id, []profile.Result{aResult("a", 0, "27", time.Second, true)})
	require.NoError(t, err)
	assert.Equal(t, resultsOf(t, s, id, profile.ResultsAsked{}), counted)
	counted, err = s.AddResults(ctx, id, []profile.Result{aResult("a", 0, "27", time.Second, true)})
	require.NoError(t, err)
	assert.Empty(t, counted)
	put(aResult("b", 1, "27", 2*time.Second, true), aResult("c", 2, "27", 3*time.Second, false), aResult("d", 3, "5", 600*time.Millisecond, true))
	// By hand: the first is Good, the second took over 1.5 times the median, the third is wrong.
	graded := func(r profile.Result, g practice.Grade) profile.Result {
		r.Grade = g
		return r
	}
	want := []profile.Result{
		graded(aResult("d", 3, "5", 600*time.Millisecond, true), practice.Good), graded(aResult("c", 2, "27", 3*time.Second, false), practice.Again),
		graded(aResult("b", 1, "27", 2*time.Second, true), practice.Hard), graded(aResult("a", 0, "27", time.Second, true), practice.Good),
	}
	assert.Equal(t, want, resultsOf(t, s, id, profile.ResultsAsked{}))
	assert.Equal(t, slowPractised(want), recordsOf(t, s, id).Practised)
	assert.Empty(t, resultsOf(t, s, other, profile.ResultsAsked{}))

	// Sent again, even as something else, it is counted once; given twice the first counts.
	put(aResult("a", 9, "1", time.Minute, false), aResult("b", 1, "27", 2*time.Second, true))
	assert.Equal(t, want, resultsOf(t, s, id, profile.ResultsAsked{}))
	require.NoError(t, s.Put(ctx, other, profile.Records{Results: []profile.Result{aResult("a", 0, "1", time.Second, true), aResult("a", 0, "2", time.Second, true)}}))
	require.Len(t, resultsOf(t, s, other, profile.ResultsAsked{}), 1, "of another profile it is another")
	assert.EqualValues(t, "1", resultsOf(t, s, other, profile.ResultsAsked{})[0].Item)

	// What is asked for.
	recognise, execute := practice.Recognise, practice.Execute
	assert.Equal(t, want[1:], resultsOf(t, s, id, profile.ResultsAsked{Exercise: &recognise, Item: "27"}))
	assert.Empty(t, resultsOf(t, s, id, profile.ResultsAsked{Exercise: &execute}))
	assert.Equal(t, want[:2], resultsOf(t, s, id, profile.ResultsAsked{Limit: 2}))
	assert.Equal(t, want[2:], resultsOf(t, s, id, profile.ResultsAsked{Before: want[1].ID}))
	assert.Empty(t, resultsOf(t, s, id, profile.ResultsAsked{Before: "unknown"}))

	// Withdrawn it stays, and counts no more; twice is as once, and unknown ones are no error.
	for range 2 {
		require.NoError(t, s.Remove(ctx, id, profile.Records{Results: []profile.Result{{ID: "b"}, {ID: "unknown"}}}))
		want[2].Withdrawn = true
		assert.Equal(t, want, resultsOf(t, s, id, profile.ResultsAsked{}))
		assert.Equal(t, slowPractised(want), recordsOf(t, s, id).Practised)
	}
	put(aResult("b", 1, "27", 2*time.Second, true))
	assert.Equal(t, want, resultsOf(t, s, id, profile.ResultsAsked{}), "sent again it does not count again")

	// Brought back it is as it was, with the grade that it had; twice is as once, and of another
	// profile it is another.
	for _, owner := range []profile.ID{other, id, id} {
		before := recordsOf(t, s, owner).Practised
		p, err := s.Change(ctx, owner, profile.Change{Restore: []string{"b", "unknown"}})
		require.NoError(t, err)
		assert.Equal(t, owner, p.ID)
		if owner == other {
			assert.Equal(t, before, recordsOf(t, s, other).Practised)
			assert.True(t, resultsOf(t, s, id, profile.ResultsAsked{})[2].Withdrawn)
		}
	}
	want[2].Withdrawn = false
	assert.Equal(t, want, resultsOf(t, s, id, profile.ResultsAsked{}))
	assert.Equal(t, slowPractised(want), recordsOf(t, s, id).Practised)

	require.NoError(t, s.ForgetResults(ctx, id))
	assert.Zero(t, recordsOf(t, s, id))
	assert.Equal(t, slowProgress(nil), progressOf(t, s, id))
	assert.Empty(t, resultsOf(t, s, id, profile.ResultsAsked{}))
	assert.Len(t, resultsOf(t, s, other, profile.ResultsAsked{}), 1)
	require.ErrorIs(t, s.ForgetResults(ctx, 12345), profile.ErrNotFound)
	_, err = s.Results(ctx, 12345, profile.ResultsAsked{})
	require.ErrorIs(t, err, profile.ErrNotFound)
}

// However results come — late, at the same moment, twice, of a clock that was set back, some
// withdrawn in between — they come to what they are by definition.
func testResultsInAnyOrder(t *testing.T, address string) {
	s := opened(t, address)
	ctx := t.Context()
	for seed := range uint64(8) {
		chance := rand.New(rand.NewPCG(seed, 0))
		_, id := newProfile(t, s)
		var all []profile.Result
		for n := range 60 {
			r := aResult(fmt.Sprintf("%03d", n), chance.IntN(40)*60*7, practice.Item(fmt.Sprint(chance.IntN(4))), time.Duration(1+chance.IntN(3000))*time.Millisecond, chance.IntN(5) > 0)
			switch chance.IntN(4) {
			case 0:
				r.Exercise = practice.Execute
			case 1:
				r.Exercise, r.Left = practice.Whole, new(lastslot.Pattern(chance.IntN(lastslot.Patterns)))
				r.Insert, r.Recognise = time.Duration(n)*time.Millisecond, 300*time.Millisecond
			}
			all = append(all, r)
		}
		chance.Shuffle(len(all), func(a, b int) { all[a], all[b] = all[b], all[a] })
		for len(all) > 0 {
			n := 1 + chance.IntN(min(9, len(all)))
			some := all[:n]
			if chance.IntN(3) == 0 {
				some = append(slices.Clone(some), some...)
			}
			require.NoError(t, s.Put(ctx, id, profile.Records{Results: some}))
			if chance.IntN(3) == 0 {
				require.NoError(t, s.Remove(ctx, id, profile.Records{Results: []profile.Result{{ID: some[0].ID}}}))
			}
			if chance.IntN(6) == 0 {
				_, err := s.Change(ctx, id, profile.Change{Restore: []string{some[0].ID}})
				require.NoError(t, err)
			}
			all = all[n:]
			require.Equal(t, slowPractised(resultsOf(t, s, id, profile.ResultsAsked{})), recordsOf(t, s, id).Practised, "seed %d, %d left", seed, len(all))
			require.Equal(t, slowProgress(resultsOf(t, s, id, profile.ResultsAsked{})), progressOf(t, s, id))
		}
		// What was exported and is read into another profile is the same there.
		_, copied := newProfile(t, s)
		require.NoError(t, s.Put(ctx, copied, profile.Records{Results: resultsOf(t, s, id, profile.ResultsAsked{})}))
		assert.Equal(t, resultsOf(t, s, id, profile.ResultsAsked{}), resultsOf(t, s, copied, profile.ResultsAsked{}))
		assert.Equal(t, recordsOf(t, s, id).Practised, recordsOf(t, s, copied).Practised)
		assert.Equal(t, progressOf(t, s, id), progressOf(t, s, copied))
	}
}

// Two devices send at once, both of them everything: each result counts once.
func testResultsAtOnce(t *testing.T, address string) {
	s := opened(t, address)
	_, id := newProfile(t, s)
	var devices sync.WaitGroup
	for range 4 {
		devices.Go(func() {
			for n := range 25 {
				assert.NoError(t, s.Put(t.Context(), id, profile.Records{Results: []profile.Result{aResult(fmt.Sprintf("%03d", n), n, "27", time.Second, true)}}))
			}
		})
	}
	devices.Wait()
	results := resultsOf(t, s, id, profile.ResultsAsked{})
	assert.Len(t, results, 25)
	assert.Equal(t, slowPractised(results), recordsOf(t, s, id).Practised)
}

// A profile has no more results than it may, and what does not fit changes nothing.
func testResultsAreBounded(t *testing.T, address string) {
	webtest.Long(t)
	s := opened(t, address)
	ctx := t.Context()
	_, id := newProfile(t, s)
	most := make([]profile.Result, profile.MaxResults)
	for n := range most {
		most[n] = aResult(fmt.Sprintf("%022d", n), n, practice.Item(fmt.Sprint(n%58)), time.Second, true)
		most[n].Grade = practice.Good // as a file has them
	}
	begun := time.Now()
	for some := range slices.Chunk(most, profile.ResultsAtOnce) {
		require.NoError(t, s.Put(ctx, id, profile.Records{Results: some}))
	}
	t.Logf("%d results counted in %v", len(most), time.Since(begun).Round(time.Millisecond))
	before := recordsOf(t, s, id).Practised
	require.Len(t, before, 58)
	more := profile.Records{Results: []profile.Result{aResult("more", 1, "27", time.Second, true)}, Names: []profile.Name{{Pattern: 1, Name: "not kept either"}}}
	var full *profile.FullError
	require.ErrorAs(t, s.Put(ctx, id, more), &full)
	assert.Equal(t, profile.MaxResults, full.Max)
	assert.Equal(t, before, recordsOf(t, s, id).Practised)
	assert.Empty(t, recordsOf(t, s, id).Names)
	require.NoError(t, s.Put(ctx, id, profile.Records{Results: most[:3]}), "sent again they take no room")

	_, id = newProfile(t, s)
	items := make([]profile.Result, profile.MaxPractised+1)
	for n := range items {
		items[n] = aResult(fmt.Sprint(n), n, practice.Item(fmt.Sprint(n)), time.Second, true)
	}
	require.NoError(t, s.Put(ctx, id, profile.Records{Results: items[1:]}))
	require.ErrorAs(t, s.Put(ctx, id, profile.Records{Results: items}), &full)
	assert.Equal(t, profile.MaxPractised, full.Max)
}

func TestTriesReadBack(t *testing.T) {
	t.Parallel()
	tries := []practice.Try{
		{At: practiceDay, Took: time.Millisecond, Right: true},
		{At: time.UnixMilli(-5).UTC(), Took: practice.MostTook},
		{At: practiceDay.Add(time.Millisecond), Took: 1234 * time.Millisecond, Right: true},
	}
	for n := range len(tries) + 1 {
		text := writeTries(tries[:n])
		back, err := readTries(text)
		require.NoError(t, err)
		assert.Equal(t, append([]practice.Try(nil), tries[:n]...), back)
	}
	for _, wrong := range []string{"1", "x+1", "1+x"} {
		_, err := readTries(wrong)
		assert.Error(t, err)
	}
}

// One more result for who has 100,000, one more for who has few, and reading what there is.
func BenchmarkResults(b *testing.B) {
	for _, many := range []int{100, profile.MaxResults - 20_000} {
		s := opened(b, b.TempDir()+"/slotcast.db")
		_, id := newProfile(b, s)
		results := make([]profile.Result, many)
		for n := range results {
			results[n] = aResult(fmt.Sprintf("%022d", n), n, practice.Item(fmt.Sprint(n%58)), time.Second, true)
		}
		for some := range slices.Chunk(results, profile.ResultsAtOnce) {
			require.NoError(b, s.Put(b.Context(), id, profile.Records{Results: some}))
		}
		b.Run(fmt.Sprintf("one more of %d", many), func(b *testing.B) {
			for n := 0; b.Loop(); n++ {
				many++
				require.NoError(b, s.Put(b.Context(), id, profile.Records{Results: []profile.Result{aResult(fmt.Sprintf("%022d", many), many, practice.Item(fmt.Sprint(n%58)), time.Second, true)}}))
			}
		})
		b.Run(fmt.Sprintf("records of %d", many), func(b *testing.B) {
			for b.Loop() {
				recordsOf(b, s, id)
			}
		})
		b.Run(fmt.Sprintf("fifty of %d", many), func(b *testing.B) {
			for b.Loop() {
				resultsOf(b, s, id, profile.ResultsAsked{Limit: 50})
			}
		})
		b.Run(fmt.Sprintf("withdrawn of %d", many), func(b *testing.B) {
			for n := 0; b.Loop(); n++ {
				require.NoError(b, s.Remove(b.Context(), id, profile.Records{Results: []profile.Result{{ID: fmt.Sprintf("%022d", n)}}}))
			}
		})
	}
}
