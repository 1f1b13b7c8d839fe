package store

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/practice"
	"slotcast/web/profile"
)

// aDrill was made so many minutes after the first.
func aDrill(id profile.DrillID, minutes int) profile.Drill {
	return profile.Drill{ID: id, Exercise: practice.Recognise, Items: "27,5", Seed: 1<<53 - 1, Made: practiceDay.Add(time.Duration(minutes) * time.Minute)}
}

// Two people see each other's results of a drill, and nobody else sees any.
func testDrills(t *testing.T, address string) {
	s := opened(t, address)
	ctx := t.Context()
	_, owner := newProfile(t, s)
	_, partner := newProfile(t, s)
	_, third := newProfile(t, s)
	_, err := s.Drill(ctx, "one", owner)
	require.ErrorIs(t, err, profile.ErrNotFound)
	require.ErrorIs(t, s.NewDrill(ctx, 12345, aDrill("one", 0)), profile.ErrNotFound)
	require.NoError(t, s.NewDrill(ctx, owner, aDrill("one", 0)))
	seen := func(by profile.ID) profile.DrillSeen {
		t.Helper()
		d, err := s.Drill(ctx, "one", by)
		require.NoError(t, err)
		assert.Equal(t, aDrill("one", 0), d.Drill)
		return d
	}
	does := func(by profile.ID, id string, minutes int, item practice.Item) {
		t.Helper()
		r := aResult(id, minutes, item, time.Second, true)
		r.Drill = "one"
		require.NoError(t, s.Put(ctx, by, profile.Records{Results: []profile.Result{r}}))
	}
	ids := func(results []profile.Result) (ids []string) {
		for _, r := range results {
			ids = append(ids, r.ID)
		}
		return ids
	}
	assert.True(t, seen(owner).Mine)
	assert.False(t, seen(partner).Mine || seen(0).Mine || seen(partner).Taken)
	does(owner, "b", 1, "5")
	does(owner, "a", 0, "27")
	does(owner, "a", 0, "27")
	assert.Equal(t, []string{"a", "b"}, ids(seen(owner).Own))
	assert.False(t, seen(owner).Taken)
	assert.Empty(t, seen(partner).Theirs, "who does not take part sees nothing")
	does(partner, "a", 2, "27")
	does(third, "a", 3, "27")
	require.NoError(t, s.Put(ctx, partner, profile.Records{Results: []profile.Result{aResult("of no drill", 9, "27", time.Second, true)}}))
	for by, want := range map[profile.ID][2][]string{owner: {{"a", "b"}, {"a"}}, partner: {{"a"}, {"a", "b"}}} {
		d := seen(by)
		assert.True(t, d.Mine && d.Taken)
		assert.Equal(t, want, [2][]string{ids(d.Own), ids(d.Theirs)})
	}
	for _, other := range []profile.ID{third, 0} {
		d := seen(other)
		assert.True(t, !d.Mine && d.Taken)
		assert.Empty(t, d.Own)
		assert.Empty(t, d.Theirs)
	}
	assert.Len(t, resultsOf(t, s, third, profile.ResultsAsked{}), 1, "their own it is all the same")

	require.NoError(t, s.Remove(ctx, owner, profile.Records{Results: []profile.Result{{ID: "b"}}}))
	assert.Equal(t, []string{"a"}, ids(seen(partner).Theirs), "what was withdrawn is left out")
	require.NoError(t, s.ForgetResults(ctx, owner))
	assert.Empty(t, seen(partner).Theirs)
	require.NoError(t, s.DeleteProfile(ctx, partner))
	assert.Empty(t, seen(owner).Theirs)
	assert.False(t, seen(owner).Taken)
	require.NoError(t, s.DeleteProfile(ctx, owner))
	_, err = s.Drill(ctx, "one", third)
	require.ErrorIs(t, err, profile.ErrNotFound)

	// Only the newest stay.
	for n := range profile.MaxDrills + 2 {
		require.NoError(t, s.NewDrill(ctx, third, aDrill(profile.DrillID(fmt.Sprint(n)), n)))
	}
	for n, there := range []bool{false, false, true} {
		_, err := s.Drill(ctx, profile.DrillID(fmt.Sprint(n)), third)
		assert.Equal(t, there, err == nil, n)
	}

	// Of many who come at once one is the partner.
	var wait sync.WaitGroup
	var all []profile.ID
	for range 8 {
		_, id := newProfile(t, s)
		all = append(all, id)
		wait.Go(func() {
			r := aResult("once", 0, "27", time.Second, true)
			r.Drill = "50"
			assert.NoError(t, s.Put(ctx, id, profile.Records{Results: []profile.Result{r}}))
		})
	}
	wait.Wait()
	partners := 0
	for _, id := range all {
		d, err := s.Drill(ctx, "50", id)
		require.NoError(t, err)
		if d.Mine {
			partners++
			assert.Len(t, d.Own, 1)
		}
	}
	assert.Equal(t, 1, partners)
}
