package store

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/profile"
)

// A profile's keys are told apart, named and revoked, by nobody but those who have
// the profile; the last one stays.
func testKeys(t *testing.T, address string) {
	s := opened(t, address)
	ctx := t.Context()
	first, id := newProfile(t, s)
	second, token := randomHash(), randomHash()
	require.NoError(t, s.NewDeviceLink(ctx, id, token, time.Now().Add(time.Minute)))
	require.NoError(t, s.UseDeviceLink(ctx, token, second))
	_, other := newProfile(t, s)

	keys, err := s.Keys(ctx, id)
	require.NoError(t, err)
	require.Len(t, keys, 2)
	var ids []profile.KeyID
	for _, k := range keys {
		ids = append(ids, k.ID)
		assert.WithinDuration(t, time.Now(), k.Made, time.Minute)
		assert.WithinDuration(t, time.Now(), k.Used, time.Minute)
		assert.Empty(t, k.Name)
	}
	assert.ElementsMatch(t, []profile.KeyID{first.ID(), second.ID()}, ids)

	require.NoError(t, s.NameKey(ctx, id, second.ID(), "phone"))
	require.ErrorIs(t, s.NameKey(ctx, other, second.ID(), "mine"), profile.ErrNotFound)
	require.ErrorIs(t, s.RevokeKey(ctx, other, second.ID()), profile.ErrNotFound)

	// Used again after a day it says so; within one it writes nothing.
	long := time.Now().Add(-40 * time.Hour).Truncate(time.Second).UTC()
	_, err = s.write.ExecContext(ctx, "UPDATE keys SET made = $1, used = $1 WHERE hash = $2", long.Unix(), hexOf(second))
	require.NoError(t, err)
	_, err = s.write.ExecContext(ctx, "UPDATE keys SET made = 0, used = $1 WHERE hash = $2", time.Now().Add(-20*time.Hour).Unix(), hexOf(first))
	require.NoError(t, err)
	for _, key := range []profile.KeyHash{first, second} {
		_, err = s.Profile(ctx, key)
		require.NoError(t, err)
	}
	keys, err = s.Keys(ctx, id)
	require.NoError(t, err)
	require.Equal(t, first.ID(), keys[0].ID, "the oldest first")
	assert.Zero(t, keys[0].Made)
	assert.WithinDuration(t, time.Now().Add(-20*time.Hour), keys[0].Used, time.Minute)
	assert.Equal(t, "phone", keys[1].Name)
	assert.Equal(t, long, keys[1].Made)
	assert.WithinDuration(t, time.Now(), keys[1].Used, time.Minute)

	// With a key go the links that it may have made.
	require.NoError(t, s.NewDeviceLink(ctx, id, token, time.Now().Add(time.Minute)))
	require.NoError(t, s.RevokeKey(ctx, id, second.ID()))
	_, err = s.Profile(ctx, second)
	require.ErrorIs(t, err, profile.ErrNotFound)
	require.ErrorIs(t, s.UseDeviceLink(ctx, token, randomHash()), profile.ErrNotFound)
	require.ErrorIs(t, s.RevokeKey(ctx, id, first.ID()), profile.ErrLastKey)
	_, err = s.Profile(ctx, first)
	require.NoError(t, err)
	_, err = s.Keys(ctx, 0)
	require.ErrorIs(t, err, profile.ErrNotFound)
}

// A profile has so many keys and device links, and no more.
func testKeysAndLinksAreBounded(t *testing.T, address string) {
	s := opened(t, address)
	ctx := t.Context()
	_, id := newProfile(t, s)
	soon := time.Now().Add(time.Minute)
	for range profile.MaxKeys - 1 {
		token := randomHash()
		require.NoError(t, s.NewDeviceLink(ctx, id, token, soon))
		require.NoError(t, s.UseDeviceLink(ctx, token, randomHash()))
	}
	token := randomHash()
	require.NoError(t, s.NewDeviceLink(ctx, id, token, soon))
	var full *profile.FullError
	require.ErrorAs(t, s.UseDeviceLink(ctx, token, randomHash()), &full)
	assert.Equal(t, profile.MaxKeys, full.Max)
	keys, err := s.Keys(ctx, id)
	require.NoError(t, err)
	assert.Len(t, keys, profile.MaxKeys)
	require.NoError(t, s.RevokeKey(ctx, id, keys[0].ID))

	for range profile.MaxDeviceLinks {
		require.NoError(t, s.NewDeviceLink(ctx, id, randomHash(), soon))
	}
	require.ErrorAs(t, s.NewDeviceLink(ctx, id, randomHash(), soon), &full)
	assert.Equal(t, profile.MaxDeviceLinks, full.Max)
}

// However much is changed, and however many names changes have, what is remembered of
// them is bounded; the newest stays.
func testChangesAreBounded(t *testing.T, address string) {
	s := opened(t, address)
	ctx := t.Context()
	_, id := newProfile(t, s)
	for n := range 4 {
		var r profile.Records
		for k := range maxChanges/3 - 100 {
			r.Insertions = append(r.Insertions, profile.OwnInsertion{Turns: fmt.Sprint(n, " ", k)})
		}
		_, err := s.Change(ctx, id, profile.Change{Remove: r})
		require.NoError(t, err)
	}
	count := func(table string) (n int) {
		require.NoError(t, s.read.QueryRowContext(ctx, "SELECT COUNT(*) FROM "+table+" WHERE profile = $1", id).Scan(&n))
		return n
	}
	assert.Greater(t, count("changes"), maxChanges)
	fill := "INSERT INTO sent_changes (profile, id, made) WITH RECURSIVE numbers (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM numbers WHERE n < $1) SELECT $2, CAST(n AS TEXT), $3 FROM numbers"
	_, err := s.write.ExecContext(ctx, fill, maxSent+10, id, time.Now().Unix()-10)
	require.NoError(t, err)
	for range pruneEvery {
		_, err = s.Change(ctx, id, profile.Change{Put: rated(1, 1), Sent: profile.Sent{ID: profile.NewSecret()}})
		require.NoError(t, err)
	}
	assert.LessOrEqual(t, count("changes"), maxChanges+1)
	assert.LessOrEqual(t, count("sent_changes"), maxSent+pruneEvery)
	zero := int64(0)
	var elsewhere *profile.ChangedElsewhereError
	_, err = s.Change(ctx, id, profile.Change{Put: rated(1, 2), Sent: profile.Sent{Seen: &zero, Device: "another"}})
	require.ErrorAs(t, err, &elsewhere, "the newest is remembered")
}

// What is of no use any more goes in time: changes of long ago, links that have
// expired, profiles that never had anything. Whoever comes back loses nothing.
func testAge(t *testing.T, address string) {
	s := opened(t, address)
	ctx := t.Context()
	long, ago := time.Now().Add(-emptyLife-time.Hour).Unix(), time.Now().Add(-sentLife-time.Hour).Unix()
	usedAt := func(key profile.KeyHash, at int64) {
		_, err := s.write.ExecContext(ctx, "UPDATE keys SET used = $1 WHERE hash = $2", at, hexOf(key))
		require.NoError(t, err)
	}
	empty, _ := newProfile(t, s)
	usedAt(empty, long)
	fresh, _ := newProfile(t, s)
	old, _ := newProfile(t, s) // of before it was written down when keys are used
	usedAt(old, 0)
	full, id := newProfile(t, s)
	_, err := s.Change(ctx, id, profile.Change{Put: rated(27, 3), Sent: profile.Sent{ID: "one"}})
	require.NoError(t, err)
	usedAt(full, long)
	require.NoError(t, s.NewDeviceLink(ctx, id, randomHash(), time.Now().Add(time.Minute)))
	for _, query := range []string{"UPDATE changes SET made = $1", "UPDATE sent_changes SET made = $1", "UPDATE device_links SET expires = $1"} {
		_, err := s.write.ExecContext(ctx, query, ago)
		require.NoError(t, err)
	}
	_, err = s.Change(ctx, id, profile.Change{Put: rated(26, 3), Sent: profile.Sent{ID: "two"}})
	require.NoError(t, err)
	before, _, err := s.Records(ctx, id)
	require.NoError(t, err)

	require.NoError(t, s.Age(ctx))
	for table, want := range map[string]int{"changes": 1, "sent_changes": 1, "device_links": 0, "profiles": 3} {
		var n int
		require.NoError(t, s.read.QueryRowContext(ctx, "SELECT COUNT(*) FROM "+table).Scan(&n))
		assert.Equal(t, want, n, table)
	}
	_, err = s.Profile(ctx, empty)
	require.ErrorIs(t, err, profile.ErrNotFound)
	for _, key := range []profile.KeyHash{fresh, old, full} {
		_, err = s.Profile(ctx, key)
		require.NoError(t, err)
	}
	after, _, err := s.Records(ctx, id)
	require.NoError(t, err)
	assert.Equal(t, before, after, "nobody makes a forecaster anew")
	assert.Len(t, recordsOf(t, s, id).Ratings, 2)
}
