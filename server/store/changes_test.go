package store

import (
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/profile"
)

// rated is the change of a rating.
func rated(p lastslot.Pattern, rating int) profile.Records {
	return profile.Records{Ratings: []profile.Rating{{Pattern: p, Step: forecast.Recognise, Rating: rating}}}
}

// late is a change that a device sends who had seen the revision.
func late(put profile.Records, device string, seen int64) profile.Change {
	return profile.Change{Put: put, Sent: profile.Sent{Device: device, Seen: &seen}}
}

// What another device changed after a device had seen it is not overwritten; what
// it changed before, what it changed of other records, and what the device itself
// changed is no hindrance.
func testChangesSentLate(t *testing.T, address string) {
	s := opened(t, address)
	_, id := newProfile(t, s)
	ratingOf := func(p lastslot.Pattern) int {
		for _, r := range recordsOf(t, s, id).Ratings {
			if r.Pattern == p {
				return r.Rating
			}
		}
		return 0
	}
	start, err := s.Change(t.Context(), id, late(rated(27, 3), "phone", 0))
	require.NoError(t, err)
	assert.EqualValues(t, 1, start.Revision)

	// The same device twice from one page: its own change is none of another's.
	_, err = s.Change(t.Context(), id, late(rated(27, 2), "phone", start.Revision))
	require.NoError(t, err)
	_, err = s.Change(t.Context(), id, late(rated(27, 1), "phone", start.Revision))
	require.NoError(t, err)
	assert.Equal(t, 1, ratingOf(27))

	// Another device, which had seen the first state only.
	before, _, err := s.Records(t.Context(), id)
	require.NoError(t, err)
	both := rated(27, 5)
	both.Ratings = append(both.Ratings, rated(26, 5).Ratings...)
	_, err = s.Change(t.Context(), id, late(both, "tablet", start.Revision))
	elsewhere := (*profile.ChangedElsewhereError)(nil)
	require.ErrorAs(t, err, &elsewhere)
	assert.Equal(t, []string{"rating 27 recognise"}, elsewhere.Keys)
	assert.Equal(t, 1, ratingOf(27))
	assert.Zero(t, ratingOf(26), "all of a change or nothing")
	after, _, err := s.Records(t.Context(), id)
	require.NoError(t, err)
	assert.Equal(t, before, after, "nothing was changed, so the revision stays")

	// Another record is free.
	_, err = s.Change(t.Context(), id, late(rated(26, 5), "tablet", start.Revision))
	require.NoError(t, err)
	assert.Equal(t, 5, ratingOf(26))

	// Having seen the present state, it may.
	_, err = s.Change(t.Context(), id, late(rated(27, 4), "tablet", after.Revision))
	require.NoError(t, err)
	assert.Equal(t, 4, ratingOf(27))

	// A record that was removed meanwhile counts as changed, and so does one that
	// was changed by somebody who does not tell who.
	now, _, err := s.Records(t.Context(), id)
	require.NoError(t, err)
	require.NoError(t, s.Remove(t.Context(), id, rated(27, 0)))
	_, err = s.Change(t.Context(), id, late(rated(27, 3), "tablet", now.Revision))
	require.ErrorAs(t, err, &elsewhere)
	_, err = s.Change(t.Context(), id, late(rated(27, 3), "", now.Revision))
	require.ErrorAs(t, err, &elsewhere, "two that do not tell are not the same")
	_, err = s.Change(t.Context(), id, profile.Change{Remove: rated(27, 0), Sent: profile.Sent{Device: "tablet", Seen: &now.Revision}})
	require.ErrorAs(t, err, &elsewhere, "removing, too")
	assert.Zero(t, ratingOf(27))

	// Other profiles are nothing to it.
	_, other := newProfile(t, s)
	_, err = s.Change(t.Context(), other, late(rated(27, 3), "tablet", 0))
	require.NoError(t, err)
}

// A change whose answer got lost is sent again and does nothing, whatever came
// between.
func testChangesSentTwice(t *testing.T, address string) {
	s := opened(t, address)
	_, id := newProfile(t, s)
	first := profile.Change{Put: rated(27, 2), Sent: profile.Sent{ID: "one", Device: "phone"}}
	_, err := s.Change(t.Context(), id, first)
	require.NoError(t, err)
	p, err := s.Change(t.Context(), id, profile.Change{Put: rated(27, 5), Sent: profile.Sent{ID: "two", Device: "phone"}})
	require.NoError(t, err)
	again, err := s.Change(t.Context(), id, first)
	require.NoError(t, err)
	assert.Equal(t, p, again, "the revision of now, which it does not change")
	assert.Equal(t, rated(27, 5), recordsOf(t, s, id))

	// Many at once: one of them does it.
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			_, err := s.Change(t.Context(), id, profile.Change{Put: rated(1, 1), Sent: profile.Sent{ID: "three"}})
			assert.NoError(t, err)
		})
	}
	wait.Wait()
	now, _, err := s.Records(t.Context(), id)
	require.NoError(t, err)
	assert.Equal(t, p.Revision+1, now.Revision)

	// A change that was refused was not done: it can be sent again.
	seen := int64(0)
	refused := profile.Change{Put: rated(1, 4), Sent: profile.Sent{ID: "four", Device: "tablet", Seen: &seen}}
	_, err = s.Change(t.Context(), id, refused)
	require.Error(t, err)
	refused.Sent.Seen = &now.Revision
	_, err = s.Change(t.Context(), id, refused)
	require.NoError(t, err)
	assert.Contains(t, recordsOf(t, s, id).Ratings, rated(1, 4).Ratings[0])

	// In another profile the same name is another's, and old ones are forgotten.
	_, other := newProfile(t, s)
	_, err = s.Change(t.Context(), other, first)
	require.NoError(t, err)
	assert.Equal(t, rated(27, 2), recordsOf(t, s, other))
	_, err = s.write.ExecContext(t.Context(), "UPDATE sent_changes SET made = $1", time.Now().Add(-sentLife-time.Minute).Unix())
	require.NoError(t, err)
	_, err = s.Change(t.Context(), other, profile.Change{Put: rated(2, 2), Sent: profile.Sent{ID: "five"}})
	require.NoError(t, err)
	require.NoError(t, s.Age(t.Context()))
	var left int
	require.NoError(t, s.read.QueryRowContext(t.Context(), "SELECT COUNT(*) FROM sent_changes WHERE profile = $1", other).Scan(&left))
	assert.Equal(t, 1, left)
}

// What is made from records is kept only where they are still what is kept; the
// same record twice in one change is no reason against it.
func testChangesMadeFromRecords(t *testing.T, address string) {
	s := opened(t, address)
	_, id := newProfile(t, s)
	require.NoError(t, s.Put(t.Context(), id, rated(27, 3)))
	read, _, err := s.Records(t.Context(), id)
	require.NoError(t, err)
	require.NoError(t, s.Put(t.Context(), id, rated(26, 3)))
	_, err = s.Change(t.Context(), id, profile.Change{Put: rated(27, 4), Read: &read.Revision})
	require.NoError(t, err, "another record was changed")
	_, err = s.Change(t.Context(), id, profile.Change{Put: rated(27, 5), Read: &read.Revision})
	require.ErrorIs(t, err, profile.ErrReadAgain)
	before := recordsOf(t, s, id)
	read, _, err = s.Records(t.Context(), id)
	require.NoError(t, err)
	twice := rated(27, 2)
	twice.Ratings = append(twice.Ratings, rated(27, 1).Ratings...)
	_, err = s.Change(t.Context(), id, profile.Change{Put: twice, Read: &read.Revision})
	require.NoError(t, err)
	assert.NotEqual(t, before, recordsOf(t, s, id))
}
