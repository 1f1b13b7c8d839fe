package store

import (
	"context"
	"crypto/rand"
	"fmt"
	"path/filepath"
	"reflect"
	"sync"
	"testing"
	"time"

	"github.com/pressly/goose/v3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
	"slotcast/server/store/storetest"
	"slotcast/web/profile"
)

var _ profile.Store = (*Store)(nil)

// TestStores has what both databases must do alike.
func TestStores(t *testing.T) {
	t.Parallel()
	postgres := storetest.StartPostgres(t, false)
	for _, kind := range []struct {
		name       string
		newAddress func(t *testing.T) string
	}{
		{"SQLite", func(t *testing.T) string { return filepath.Join(t.TempDir(), "slotcast.db") }},
		{"PostgreSQL", func(t *testing.T) string { return postgres.NewDatabase(t) }},
	} {
		t.Run(kind.name, func(t *testing.T) {
			step := 1
			if kind.name == "PostgreSQL" {
				step = cubetest.Stride(t, 3) // each has to make a database first
			}
			for n, part := range []struct {
				name string
				test func(t *testing.T, address string)
			}{
				{"profiles", testProfiles},
				{"records", testRecords},
				{"many records at once", testManyAtOnce},
				{"cases looked up", testLook},
				{"results", testResults},
				{"progress of earlier results", testProgressOfEarlierResults},
				{"drills", testDrills},
				{"results in any order", testResultsInAnyOrder},
				{"results at once", testResultsAtOnce},
				{"results are bounded", testResultsAreBounded},
				{"limits", testLimits},
				{"changes sent late", testChangesSentLate},
				{"changes sent twice", testChangesSentTwice},
				{"changes made from records", testChangesMadeFromRecords},
				{"deleting", testDeleting},
				{"device links", testDeviceLinks},
				{"shares", testShares},
				{"keys", testKeys},
				{"keys and links are bounded", testKeysAndLinksAreBounded},
				{"changes are bounded", testChangesAreBounded},
				{"age", testAge},
				{"all or nothing", testAllOrNothing},
				{"given up", testGivenUp},
				{"writers at once", testWritersAtOnce},
				{"one moment", testOneMoment},
				{"opened again", testOpenedAgain},
				{"opened at once", testOpenedAtOnce},
				{"an earlier program's tables", testEarlierTables},
				{"a later program's tables", testLaterTables},
				{"backup", testBackup},
			} {
				if n%step == 0 {
					t.Run(part.name, func(t *testing.T) { part.test(t, kind.newAddress(t)) })
				}
			}
		})
	}
}

func opened(t testing.TB, address string) *Store {
	t.Helper()
	// Nothing here is about how long it takes, on whatever machine.
	s, err := openWithin(t.Context(), address, time.Minute)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, s.Close()) })
	return s
}

func randomHash() (h profile.KeyHash) {
	_, _ = rand.Read(h[:]) // never fails
	return h
}

func newProfile(t testing.TB, s *Store) (profile.KeyHash, profile.ID) {
	t.Helper()
	key := randomHash()
	require.NoError(t, s.NewProfile(t.Context(), key))
	p, err := s.Profile(t.Context(), key)
	require.NoError(t, err)
	return key, p.ID
}

func recordsOf(t testing.TB, s *Store, id profile.ID) profile.Records {
	t.Helper()
	_, r, err := s.Records(t.Context(), id)
	require.NoError(t, err)
	return r
}

const second = time.Second

// someRecords has one or more of each kind, in the order in which they are read.
var someRecords = profile.Records{
	Scale: []profile.ScaleStep{{Step: forecast.Execute, Rating: 1, Factor: 9.999}, {Step: forecast.Recognise, Rating: 5, Time: time.Millisecond}, {Step: forecast.Track, Time: 60 * second}},
	Ratings: []profile.Rating{
		{Pattern: 0, Step: forecast.Recognise, Rating: 5},
		{Pattern: 27, Step: forecast.Execute, Rating: 1, Time: 900 * time.Millisecond},
		{Pattern: 27, Step: forecast.Recognise, Time: 1234 * time.Millisecond},
		{Pattern: 57, Step: forecast.Execute, Rating: 3},
	},
	Learnt:       []profile.Learnt{{Pattern: 1}, {Pattern: 57, Learnt: true}},
	PLLRatings:   []profile.PLLRating{{PLL: 1, Rating: 5}, {PLL: 21, Rating: 1}},
	PLLSequences: []profile.PLLSequence{{PLL: 9, Turns: "M2 U M2 U2 M2 U M2"}, {PLL: 16, Turns: "R U R' U' R' F R2 U' R' U' R U R' F'"}},
	Expected:     []profile.Expected{{Day: 20_000, Total: 2345 * time.Millisecond}, {Day: 20_001, Total: time.Minute}},
	Names:        []profile.Name{{Pattern: 0, Name: "fertig"}, {Pattern: 27, Name: "Sünё “'); DROP TABLE names; --"}},
	Sequences:    []profile.OwnSequence{{Pattern: 26, Turns: "R U2 R' U' R U' R'"}, {Pattern: 27, Turns: "L' U2 L U L' U L"}, {Pattern: 27, Turns: "R U R' U R U2 R'"}},
	Insertions: []profile.OwnInsertion{
		{Slot: lastslot.BL, Turns: "L U L'", Hidden: true, Predict: forecast.No},
		{Slot: lastslot.FR, Turns: "R U R'", Known: forecast.No, Predict: forecast.Yes, Rating: 4},
		{Slot: lastslot.FR, Turns: "R U2 R'", Own: true, Known: forecast.Yes, Time: 700 * time.Millisecond},
	},
	Steps: []profile.OwnStep{
		{Open: twoslots.OpenOf(lastslot.FL, lastslot.BR), Turns: "L' U L", Hidden: true},
		{Open: twoslots.OpenOf(lastslot.FR, lastslot.FL), Turns: "D R U R' D'", Known: forecast.Yes, Time: 700 * time.Millisecond},
		{Open: twoslots.OpenOf(lastslot.FR, lastslot.FL), Turns: "M F M'", Known: forecast.No},
	},
	Preferences: []profile.Preference{{Name: "speed", Value: "0.8"}, {Name: "theme", Value: "dark"}},
	Kept: []profile.KeptCase{
		{Code: "25YYY", Note: "zuerst “links” schauen; Ё", Since: time.Date(2026, 3, 1, 12, 0, 1, 0, time.UTC)},
		{Code: "22222", Since: time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)},
	},
	Recent: []profile.RecentCase{
		{Code: "33333", Looked: time.Date(2026, 3, 2, 12, 0, 0, 2e6, time.UTC)},
		{Code: "25YYY", Looked: time.Date(2026, 3, 2, 12, 0, 0, 1e6, time.UTC)},
	},
}

func testProfiles(t *testing.T, address string) {
	s := opened(t, address)
	require.NoError(t, s.Ping(t.Context()))
	_, err := s.Profile(t.Context(), randomHash())
	require.ErrorIs(t, err, profile.ErrNotFound)
	key, id := newProfile(t, s)
	_, other := newProfile(t, s)
	assert.NotEqual(t, id, other)
	assert.Error(t, s.NewProfile(t.Context(), key), "a key opens one profile")
	p, r, err := s.Records(t.Context(), id)
	require.NoError(t, err)
	assert.Equal(t, id, p.ID)
	assert.Zero(t, r)
}

func testRecords(t *testing.T, address string) {
	s := opened(t, address)
	key, id := newProfile(t, s)
	_, other := newProfile(t, s)
	before, err := s.Profile(t.Context(), key)
	require.NoError(t, err)
	require.NoError(t, s.Put(t.Context(), id, someRecords))
	assert.Equal(t, someRecords, recordsOf(t, s, id))
	assert.Zero(t, recordsOf(t, s, other), "of another profile")
	after, err := s.Profile(t.Context(), key)
	require.NoError(t, err)
	assert.Greater(t, after.Revision, before.Revision)

	require.NoError(t, s.Put(t.Context(), id, someRecords))
	assert.Equal(t, someRecords, recordsOf(t, s, id), "the same again")

	// A record replaces the one with its key, and no other.
	require.NoError(t, s.Put(t.Context(), id, profile.Records{
		Scale:        []profile.ScaleStep{{Step: forecast.Execute, Rating: 1, Factor: 1.5}},
		Ratings:      []profile.Rating{{Pattern: 27, Step: forecast.Execute, Rating: 2}, {Pattern: 27, Step: forecast.Execute, Rating: 5}},
		PLLRatings:   []profile.PLLRating{{PLL: 21, Rating: 4}},
		PLLSequences: []profile.PLLSequence{{PLL: 9, Turns: "M2 U' M2 U2 M2 U' M2"}},
		Expected:     []profile.Expected{{Day: 20_001, Total: time.Second}},
		Names:        []profile.Name{{Pattern: 0, Name: "done"}},
		Insertions:   []profile.OwnInsertion{{Slot: lastslot.FR, Turns: "R U2 R'"}},
		Steps:        []profile.OwnStep{{Open: twoslots.OpenOf(lastslot.FR, lastslot.FL), Turns: "M F M'", Time: time.Minute}},
		Preferences:  []profile.Preference{{Name: "theme", Value: "light"}},
		Kept:         []profile.KeptCase{{Code: "22222", Note: "new", Since: time.Now()}},
		Recent:       []profile.RecentCase{{Code: "25YYY", Looked: someRecords.Recent[0].Looked.Add(-time.Hour)}},
	}))
	got := recordsOf(t, s, id)
	assert.Equal(t, []profile.ScaleStep{{Step: forecast.Execute, Rating: 1, Factor: 1.5}, someRecords.Scale[1], someRecords.Scale[2]}, got.Scale)
	assert.Equal(t, []profile.Rating{someRecords.Ratings[0], {Pattern: 27, Step: forecast.Execute, Rating: 5}, someRecords.Ratings[2], someRecords.Ratings[3]}, got.Ratings, "the later counts")
	assert.Equal(t, []profile.PLLRating{someRecords.PLLRatings[0], {PLL: 21, Rating: 4}}, got.PLLRatings)
	assert.Equal(t, []profile.PLLSequence{{PLL: 9, Turns: "M2 U' M2 U2 M2 U' M2"}, someRecords.PLLSequences[1]}, got.PLLSequences)
	assert.Equal(t, someRecords.Expected, got.Expected, "what was said first of a day stays")
	assert.Equal(t, []profile.Name{{Pattern: 0, Name: "done"}, someRecords.Names[1]}, got.Names)
	assert.Equal(t, someRecords.Sequences, got.Sequences)
	assert.Equal(t, []profile.OwnInsertion{someRecords.Insertions[0], someRecords.Insertions[1], {Slot: lastslot.FR, Turns: "R U2 R'"}}, got.Insertions)
	assert.Equal(t, []profile.OwnStep{someRecords.Steps[0], someRecords.Steps[1], {Open: twoslots.OpenOf(lastslot.FR, lastslot.FL), Turns: "M F M'", Time: time.Minute}}, got.Steps)

	assert.Equal(t, []profile.Preference{someRecords.Preferences[0], {Name: "theme", Value: "light"}}, got.Preferences)
	assert.Equal(t, []profile.KeptCase{someRecords.Kept[0], {Code: "22222", Note: "new", Since: someRecords.Kept[1].Since}}, got.Kept, "kept since the first time")
	assert.Equal(t, someRecords.Recent, got.Recent, "looked up before that, too")

	// Only the key says what is removed; what is not there is no error.
	require.NoError(t, s.Remove(t.Context(), other, someRecords))
	assert.Equal(t, got, recordsOf(t, s, id), "removed from another profile")
	require.NoError(t, s.Remove(t.Context(), id, profile.Records{
		Scale:        someRecords.Scale[:1],
		Ratings:      []profile.Rating{{Pattern: 27, Step: forecast.Recognise, Rating: 1}, {Pattern: 3, Step: forecast.Execute}},
		Learnt:       someRecords.Learnt[1:],
		PLLRatings:   someRecords.PLLRatings[:1],
		PLLSequences: []profile.PLLSequence{{PLL: 16}},
		Expected:     someRecords.Expected[:1],
		Names:        someRecords.Names[:1],
		Sequences:    someRecords.Sequences[1:2],
		Insertions:   someRecords.Insertions[1:],
		Steps:        someRecords.Steps[1:],
		Preferences:  []profile.Preference{{Name: "speed"}, {Name: "hands"}},
		Kept:         []profile.KeptCase{{Code: "25YYY"}},
		Recent:       []profile.RecentCase{{Code: "33333"}},
	}))
	assert.Equal(t, profile.Records{
		Scale:        someRecords.Scale[1:],
		Ratings:      []profile.Rating{got.Ratings[0], got.Ratings[1], got.Ratings[3]},
		Learnt:       someRecords.Learnt[:1],
		Expected:     someRecords.Expected[1:],
		PLLRatings:   got.PLLRatings[1:],
		PLLSequences: got.PLLSequences[:1],
		Names:        someRecords.Names[1:],
		Sequences:    []profile.OwnSequence{someRecords.Sequences[0], someRecords.Sequences[2]},
		Insertions:   someRecords.Insertions[:1],
		Steps:        someRecords.Steps[:1],
		Preferences:  got.Preferences[1:],
		Kept:         got.Kept[1:],
		Recent:       got.Recent[1:],
	}, recordsOf(t, s, id))
	require.NoError(t, s.Remove(t.Context(), id, someRecords))
	assert.Zero(t, recordsOf(t, s, id))
}

// The last one looked up is the first, whatever the clock says; 50 are known, and
// the revision says nothing of them.
func testLook(t *testing.T, address string) {
	s := opened(t, address)
	ctx := t.Context()
	key, id := newProfile(t, s)
	_, other := newProfile(t, s)
	now := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	codes := func(id profile.ID) (all []string) {
		for _, c := range recordsOf(t, s, id).Recent {
			all = append(all, c.Code)
		}
		return all
	}
	lately := func(id profile.ID) []profile.RecentCase {
		cases, err := s.Recent(ctx, id)
		require.NoError(t, err)
		assert.Equal(t, recordsOf(t, s, id).Recent, cases)
		return cases
	}
	assert.Empty(t, lately(id))
	for _, looked := range []struct {
		code string
		at   time.Time
	}{{"A", now}, {"B", now}, {"C", now.Add(-time.Hour)}, {"A", now.Add(time.Hour)}} {
		require.NoError(t, s.Visit(ctx, id, looked.code, looked.at))
	}
	assert.Equal(t, []string{"A", "C", "B"}, codes(id))
	assert.Equal(t, now.Add(time.Hour), recordsOf(t, s, id).Recent[0].Looked)
	for n := range 60 {
		require.NoError(t, s.Visit(ctx, id, fmt.Sprintf("N%02d", n), now.Add(2*time.Hour)))
	}
	found := codes(id)
	require.Len(t, found, profile.MaxRecent)
	assert.Equal(t, "N59", found[0])
	assert.Equal(t, "N10", found[49])
	assert.Len(t, lately(id), profile.MaxRecent)
	assert.Empty(t, lately(other))
	// So it is with those put in: the oldest go, and equal times keep their order.
	require.NoError(t, s.Put(ctx, id, profile.Records{Recent: []profile.RecentCase{{Code: "P", Looked: now.Add(3 * time.Hour)}, {Code: "Q", Looked: now.Add(3 * time.Hour)}, {Code: "old", Looked: now.Add(-time.Hour)}}}))
	found = codes(id)
	require.Len(t, found, profile.MaxRecent)
	assert.Equal(t, []string{"P", "Q", "N59"}, found[:3])
	assert.NotContains(t, found, "old")

	assert.Empty(t, codes(other))
	require.NoError(t, s.Visit(ctx, other, "A", now))
	assert.Equal(t, []string{"A"}, codes(other))
	p, err := s.Profile(ctx, key)
	require.NoError(t, err)
	assert.EqualValues(t, 1, p.Revision, "only of what was put in")
	require.ErrorIs(t, s.Visit(ctx, 12345, "A", now), profile.ErrNotFound)

	// Of many at once none is lost.
	var all sync.WaitGroup
	for n := range 16 {
		all.Go(func() { assert.NoError(t, s.Visit(ctx, other, fmt.Sprint(n), now)) })
	}
	all.Wait()
	assert.Len(t, codes(other), 17)
}

// A profile has no more of a kind than it may; what does not fit changes nothing.
func testLimits(t *testing.T, address string) {
	s := opened(t, address)
	ctx := t.Context()
	_, id := newProfile(t, s)
	most := profile.Records{}
	for n := range profile.MaxInsertions {
		most.Insertions = append(most.Insertions, profile.OwnInsertion{Turns: fmt.Sprint(n)})
	}
	for n := range profile.MaxSteps {
		most.Steps = append(most.Steps, profile.OwnStep{Turns: fmt.Sprint(n)})
	}
	for n := range profile.MaxKept {
		most.Kept = append(most.Kept, profile.KeptCase{Code: fmt.Sprint(n)})
	}
	for n := range profile.MaxSequences {
		most.Sequences = append(most.Sequences, profile.OwnSequence{Pattern: 1, Turns: fmt.Sprint(n)}, profile.OwnSequence{Pattern: 2, Turns: fmt.Sprint(n)})
	}
	require.NoError(t, s.Put(ctx, id, most))
	require.NoError(t, s.Put(ctx, id, profile.Records{Insertions: most.Insertions[:1], Kept: most.Kept[:1], Sequences: most.Sequences[:1]}), "those it has can change")
	before := recordsOf(t, s, id)
	for _, tt := range []struct {
		more profile.Records
		max  int
	}{
		{profile.Records{Insertions: []profile.OwnInsertion{{Turns: "more"}}}, profile.MaxInsertions},
		{profile.Records{Steps: []profile.OwnStep{{Turns: "more"}}}, profile.MaxSteps},
		{profile.Records{Kept: []profile.KeptCase{{Code: "more"}}}, profile.MaxKept},
		{profile.Records{Sequences: []profile.OwnSequence{{Pattern: 2, Turns: "more"}}}, profile.MaxSequences},
	} {
		tt.more.Names = []profile.Name{{Pattern: 1, Name: "not kept either"}}
		var full *profile.FullError
		require.ErrorAs(t, s.Put(ctx, id, tt.more), &full)
		assert.Equal(t, tt.max, full.Max)
	}
	after := recordsOf(t, s, id)
	assert.Empty(t, after.Names)
	assert.True(t, reflect.DeepEqual(before, after), "nothing changed")
	require.NoError(t, s.Put(ctx, id, profile.Records{Sequences: []profile.OwnSequence{{Pattern: 3, Turns: "more"}}}), "for another pattern there is room")
	require.NoError(t, s.Remove(ctx, id, profile.Records{Kept: most.Kept[:1]}))
	require.NoError(t, s.Put(ctx, id, profile.Records{Kept: []profile.KeptCase{{Code: "more"}}}))

	// What was kept before there was a limit can be changed and made less.
	_, old := newProfile(t, s)
	for n := range profile.MaxSequences + 3 {
		_, err := s.write.ExecContext(ctx, "INSERT INTO sequences (profile, pattern, turns) VALUES ($1, 1, $2)", old, fmt.Sprint(n))
		require.NoError(t, err)
	}
	require.NoError(t, s.Put(ctx, old, profile.Records{Sequences: []profile.OwnSequence{{Pattern: 1, Turns: "0"}}}))
	require.NoError(t, s.Remove(ctx, old, profile.Records{Sequences: []profile.OwnSequence{{Pattern: 1, Turns: "0"}}}))

	for n := range profile.MaxShares {
		require.NoError(t, s.NewShare(ctx, id, profile.ShareID(fmt.Sprint(n))))
	}
	var full *profile.FullError
	require.ErrorAs(t, s.NewShare(ctx, id, "more"), &full)
	assert.Equal(t, profile.MaxShares, full.Max)
}

func testDeleting(t *testing.T, address string) {
	s := opened(t, address)
	ctx := t.Context()
	key, id := newProfile(t, s)
	_, other := newProfile(t, s)
	token, share := randomHash(), profile.ShareID("one")
	for _, id := range []profile.ID{id, other} {
		require.NoError(t, s.Put(ctx, id, someRecords))
	}
	require.NoError(t, s.NewDeviceLink(ctx, id, token, time.Now().Add(time.Minute)))
	require.NoError(t, s.NewShare(ctx, id, share))
	require.NoError(t, s.NewDrill(ctx, id, aDrill("drill", 0)))
	drilled := aResult("a", 0, "27", time.Second, true)
	drilled.Drill = "drill"
	require.NoError(t, s.Put(ctx, id, profile.Records{Results: []profile.Result{drilled}}))
	_, err := s.Change(ctx, id, profile.Change{Put: someRecords, Sent: profile.Sent{ID: "sent"}})
	require.NoError(t, err)
	for table, rows := range rowsOf(t, s, id) {
		require.NotZero(t, rows, table)
	}
	require.NoError(t, s.DeleteProfile(ctx, id))

	_, err = s.Profile(ctx, key)
	require.ErrorIs(t, err, profile.ErrNotFound)
	_, err = s.Shared(ctx, share)
	require.ErrorIs(t, err, profile.ErrNotFound)
	require.ErrorIs(t, s.UseDeviceLink(ctx, token, randomHash()), profile.ErrNotFound)
	_, _, err = s.Records(ctx, id)
	require.ErrorIs(t, err, profile.ErrNotFound)
	_, err = s.Shares(ctx, id)
	require.ErrorIs(t, err, profile.ErrNotFound)
	require.ErrorIs(t, s.DeleteProfile(ctx, id), profile.ErrNotFound)
	require.ErrorIs(t, s.Put(ctx, id, someRecords), profile.ErrNotFound)
	require.ErrorIs(t, s.Remove(ctx, id, someRecords), profile.ErrNotFound)
	require.ErrorIs(t, s.Visit(ctx, id, "25YYY", time.Now()), profile.ErrNotFound)
	require.ErrorIs(t, s.NewDeviceLink(ctx, id, token, time.Now().Add(time.Minute)), profile.ErrNotFound)
	require.ErrorIs(t, s.NewShare(ctx, id, share), profile.ErrNotFound)
	require.ErrorIs(t, s.RevokeShare(ctx, id, share), profile.ErrNotFound)
	assert.Equal(t, someRecords, recordsOf(t, s, other))

	// Not a row of it is left, in whatever table there is.
	for table, rows := range rowsOf(t, s, id) {
		assert.Zero(t, rows, table)
	}
}

// rowsOf counts the profile's rows in each table that has such.
func rowsOf(t *testing.T, s *Store, id profile.ID) map[string]int {
	t.Helper()
	query := "SELECT m.name FROM sqlite_master m JOIN pragma_table_info(m.name) c WHERE m.type = 'table' AND c.name = 'profile'"
	if s.write == s.read { // PostgreSQL
		query = "SELECT table_name FROM information_schema.columns WHERE table_schema = 'public' AND column_name = 'profile'"
	}
	found, err := s.read.QueryContext(t.Context(), query)
	require.NoError(t, err)
	var tables []string
	for found.Next() {
		var table string
		require.NoError(t, found.Scan(&table))
		tables = append(tables, table)
	}
	require.NoError(t, found.Err())
	require.NoError(t, found.Close())
	require.NotEmpty(t, tables)
	rows := map[string]int{}
	for _, table := range tables {
		var n int
		require.NoError(t, s.read.QueryRowContext(t.Context(), "SELECT COUNT(*) FROM "+table+" WHERE profile = $1", id).Scan(&n))
		rows[table] = n
	}
	return rows
}

func testDeviceLinks(t *testing.T, address string) {
	s := opened(t, address)
	ctx := t.Context()
	key, id := newProfile(t, s)
	token, second := randomHash(), randomHash()
	require.ErrorIs(t, s.UseDeviceLink(ctx, token, second), profile.ErrNotFound, "never made")
	require.NoError(t, s.NewDeviceLink(ctx, id, token, time.Now().Add(time.Minute)))
	require.NoError(t, s.UseDeviceLink(ctx, token, second))
	for _, key := range []profile.KeyHash{key, second} {
		p, err := s.Profile(ctx, key)
		require.NoError(t, err)
		assert.Equal(t, id, p.ID)
	}
	third := randomHash()
	require.ErrorIs(t, s.UseDeviceLink(ctx, token, third), profile.ErrNotFound, "used")
	expired := randomHash()
	require.NoError(t, s.NewDeviceLink(ctx, id, expired, time.Now().Add(-time.Second)))
	require.ErrorIs(t, s.UseDeviceLink(ctx, expired, third), profile.ErrNotFound, "expired")
	_, err := s.Profile(ctx, third)
	require.ErrorIs(t, err, profile.ErrNotFound)

	// The next link clears the old ones away.
	require.NoError(t, s.NewDeviceLink(ctx, id, randomHash(), time.Now().Add(time.Minute)))
	var links int
	require.NoError(t, s.read.QueryRowContext(ctx, "SELECT COUNT(*) FROM device_links").Scan(&links))
	assert.Equal(t, 1, links)

	// Of many who use one link at once, one is given a key.
	once := randomHash()
	require.NoError(t, s.NewDeviceLink(ctx, id, once, time.Now().Add(time.Minute)))
	var all sync.WaitGroup
	answers := make(chan error, 8)
	for range cap(answers) {
		all.Go(func() { answers <- s.UseDeviceLink(ctx, once, randomHash()) })
	}
	all.Wait()
	close(answers)
	given := 0
	for err := range answers {
		if err == nil {
			given++
		} else {
			assert.ErrorIs(t, err, profile.ErrNotFound)
		}
	}
	assert.Equal(t, 1, given)
}

func testShares(t *testing.T, address string) {
	s := opened(t, address)
	ctx := t.Context()
	_, id := newProfile(t, s)
	_, other := newProfile(t, s)
	shares, err := s.Shares(ctx, id)
	require.NoError(t, err)
	assert.Empty(t, shares)
	require.NoError(t, s.NewShare(ctx, id, "b"))
	require.NoError(t, s.NewShare(ctx, id, "a"))
	require.NoError(t, s.NewShare(ctx, other, "c"))
	shares, err = s.Shares(ctx, id)
	require.NoError(t, err)
	assert.Equal(t, []profile.ShareID{"a", "b"}, shares)
	p, err := s.Shared(ctx, "c")
	require.NoError(t, err)
	assert.Equal(t, other, p.ID)
	require.ErrorIs(t, s.RevokeShare(ctx, id, "c"), profile.ErrNotFound, "another's")
	require.NoError(t, s.RevokeShare(ctx, id, "a"))
	require.ErrorIs(t, s.RevokeShare(ctx, id, "a"), profile.ErrNotFound)
	_, err = s.Shared(ctx, "a")
	require.ErrorIs(t, err, profile.ErrNotFound)
	_, err = s.Shared(ctx, "b")
	require.NoError(t, err)
}

// What one record of many makes impossible leaves nothing of the others.
func testAllOrNothing(t *testing.T, address string) {
	s := opened(t, address)
	_, id := newProfile(t, s)
	bad := someRecords
	bad.Insertions = append(bad.Insertions[:len(bad.Insertions):len(bad.Insertions)], profile.OwnInsertion{Slot: lastslot.FR, Turns: "U", Rating: 6})
	require.Error(t, s.Put(t.Context(), id, bad))
	p, r, err := s.Records(t.Context(), id)
	require.NoError(t, err)
	assert.Zero(t, r)
	assert.Zero(t, p.Revision)

	// So does whoever goes away before the answer.
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	require.Error(t, s.Put(gone, id, someRecords))
	assert.Zero(t, recordsOf(t, s, id))
}

// 32 writers of one profile and of several through two programs: nobody is
// refused, nothing is lost.
func testWritersAtOnce(t *testing.T, address string) {
	programs := []*Store{opened(t, address), opened(t, address)}
	_, shared := newProfile(t, programs[0])
	var writers sync.WaitGroup
	for w := range 32 {
		_, own := newProfile(t, programs[0])
		writers.Go(func() {
			for n := range 8 {
				name := []profile.Name{{Pattern: lastslot.Pattern(w), Name: fmt.Sprint(n)}}
				assert.NoError(t, programs[w%2].Put(t.Context(), shared, profile.Records{Names: name}))
				assert.NoError(t, programs[w%2].Put(t.Context(), own, profile.Records{Names: name}))
			}
			assert.Len(t, recordsOf(t, programs[0], own).Names, 1)
		})
	}
	writers.Wait()
	names := recordsOf(t, programs[1], shared).Names
	require.Len(t, names, 32)
	for _, name := range names {
		assert.Equal(t, "7", name.Name)
	}
}

// Records are of one moment: what was put together is read together.
func testOneMoment(t *testing.T, address string) {
	s := opened(t, address)
	_, id := newProfile(t, s)
	ctx, cancel := context.WithCancel(t.Context())
	put := func(n int) profile.Records {
		return profile.Records{
			Names:      []profile.Name{{Pattern: 1, Name: fmt.Sprint(n)}},
			Insertions: []profile.OwnInsertion{{Slot: lastslot.FR, Turns: "U", Time: time.Duration(n+1) * time.Millisecond}},
		}
	}
	require.NoError(t, s.Put(ctx, id, put(0)))
	var writer sync.WaitGroup
	writer.Go(func() {
		for n := 1; ctx.Err() == nil; n++ {
			_ = s.Put(ctx, id, put(n%1000)) // the last one is cut off
		}
	})
	for range 200 {
		r := recordsOf(t, s, id)
		assert.Equal(t, r.Names[0].Name, fmt.Sprint(r.Insertions[0].Time.Milliseconds()-1))
	}
	cancel()
	writer.Wait()
}

func testOpenedAgain(t *testing.T, address string) {
	s, err := Open(t.Context(), address)
	require.NoError(t, err)
	key, id := newProfile(t, s)
	require.NoError(t, s.Put(t.Context(), id, someRecords))
	require.NoError(t, s.Close())
	again := opened(t, address)
	p, err := again.Profile(t.Context(), key)
	require.NoError(t, err)
	assert.Equal(t, id, p.ID)
	assert.Equal(t, someRecords, recordsOf(t, again, id))
}

// Programs that start at once on an empty database all get to work, each step of
// the tables done once.
func testOpenedAtOnce(t *testing.T, address string) {
	var all sync.WaitGroup
	for range 6 {
		all.Go(func() {
			s, err := Open(t.Context(), address)
			if assert.NoError(t, err) {
				assert.NoError(t, s.Close())
			}
		})
	}
	all.Wait()
	s := opened(t, address)
	var steps, different int
	require.NoError(t, s.read.QueryRowContext(t.Context(), "SELECT COUNT(*), COUNT(DISTINCT version_id) FROM goose_db_version").Scan(&steps, &different))
	assert.Equal(t, different, steps)
}

// Each earlier state of the tables is brought up to date with all that is in it:
// what a profile had in the first is there in the last.
func testEarlierTables(t *testing.T, address string) {
	require.NoError(t, withMigrations(address, exclusivePragmasOf(address), nil, func(p *goose.Provider) error {
		_, err := p.UpTo(t.Context(), 1)
		return err
	}))
	db, err := open(address, exclusivePragmasOf(address))
	require.NoError(t, err)
	db.SetMaxOpenConns(1)
	key := randomHash()
	for _, row := range []struct {
		into   string
		values []any
	}{
		{"INSERT INTO profiles (id, revision) VALUES (7, 1)", nil},
		{"INSERT INTO keys (hash, profile) VALUES ($1, 7)", []any{hexOf(key)}},
		{"INSERT INTO ratings (profile, pattern, step, rating, seconds) VALUES (7, 27, 'execute', 4, 0)", nil},
		{"INSERT INTO names (profile, pattern, name) VALUES (7, 27, $1)", []any{"mine"}},
		// One that changed what 3 stands for, and one that did not.
		{"INSERT INTO profiles (id, revision) VALUES (8, 1)", nil},
		{"INSERT INTO scale (profile, step, rating, seconds) VALUES (7, 'execute', 3, 2000), (7, 'execute', 5, 1500), (7, 'execute', 1, 60000), (7, 'recognise', 1, 1500), (8, 'execute', 5, 700), (8, 'execute', 4, 1)", nil},
	} {
		_, err := db.ExecContext(t.Context(), row.into, row.values...)
		require.NoError(t, err, row.into)
	}
	var version int
	require.NoError(t, db.QueryRowContext(t.Context(), "SELECT MAX(version_id) FROM goose_db_version").Scan(&version))
	require.Equal(t, 1, version)
	require.NoError(t, db.Close())

	s := opened(t, address)
	require.NoError(t, s.read.QueryRowContext(t.Context(), "SELECT MAX(version_id) FROM goose_db_version").Scan(&version))
	assert.Greater(t, version, 1)
	p, err := s.Profile(t.Context(), key)
	require.NoError(t, err)
	records := recordsOf(t, s, p.ID)
	assert.Len(t, records.Ratings, 1)
	require.Len(t, records.Names, 1)
	assert.Equal(t, "mine", records.Names[0].Name)
	assert.Equal(t, []profile.ScaleStep{
		{Step: forecast.Execute, Rating: 1, Factor: 10}, {Step: forecast.Execute, Rating: 3, Factor: 1}, {Step: forecast.Execute, Rating: 5, Factor: 0.75},
		{Step: forecast.Recognise, Rating: 1, Time: 1500 * time.Millisecond},
	}, records.Scale, "shares of what 3 stood for, 10 at most")
	assert.Equal(t, []profile.ScaleStep{{Step: forecast.Execute, Rating: 4, Factor: 0.1}, {Step: forecast.Execute, Rating: 5, Factor: 0.5}}, recordsOf(t, s, 8).Scale, "3 stood for 1.4 s")
}

// exclusivePragmasOf is how a program that changes the tables opens them.
func exclusivePragmasOf(address string) string {
	if isPostgres(address) {
		return ""
	}
	return exclusivePragmas
}

// A database that a later program has changed is left as it is.
func testLaterTables(t *testing.T, address string) {
	s, err := Open(t.Context(), address)
	require.NoError(t, err)
	_, err = s.write.ExecContext(t.Context(), "INSERT INTO goose_db_version (version_id, is_applied) VALUES ($1, $2)", 99, true)
	require.NoError(t, err)
	require.NoError(t, s.Close())
	_, err = Open(t.Context(), address)
	files, err2 := migrations.ReadDir("migrations")
	require.NoError(t, err2)
	var last int
	_, err2 = fmt.Sscanf(files[len(files)-1].Name(), "%d_", &last)
	require.NoError(t, err2)
	require.ErrorContains(t, err, fmt.Sprintf("later Slotcast: version 99, and this program knows up to %d", last))
}

// A backup is made while somebody writes, and restored: it has all that was
// answered before, and whole records of what came after.
func testBackup(t *testing.T, address string) {
	s := opened(t, address)
	_, id := newProfile(t, s)
	require.NoError(t, s.Put(t.Context(), id, someRecords))
	_, busy := newProfile(t, s)
	ctx, cancel := context.WithCancel(t.Context())
	var writer sync.WaitGroup
	writer.Go(func() {
		for ctx.Err() == nil {
			_ = s.Put(ctx, busy, someRecords) // the last one is cut off
		}
	})
	var restored string
	if isPostgres(address) {
		dump := storetest.Run(t, nil, "pg_dump", address)
		restored = storetest.NewDatabaseBeside(t, address)
		storetest.Run(t, dump, "psql", "-v", "ON_ERROR_STOP=1", restored)
	} else {
		restored = filepath.Join(t.TempDir(), "backup.db")
		other, err := open(address, filePragmas)
		require.NoError(t, err)
		_, err = other.ExecContext(t.Context(), "VACUUM INTO $1", restored)
		require.NoError(t, err)
		require.NoError(t, other.Close())
	}
	cancel()
	writer.Wait()
	copied := opened(t, restored)
	assert.Equal(t, someRecords, recordsOf(t, copied, id))
	if r := recordsOf(t, copied, busy); len(r.Names) > 0 {
		assert.Equal(t, someRecords, r)
	}
}
