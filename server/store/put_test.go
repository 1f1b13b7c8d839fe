package store

import (
	"context"
	"database/sql"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/server/store/storetest"
	"slotcast/web/profile"
)

// manyRecords are so many of each kind, some with the same key as others of them.
func manyRecords(random *rand.Rand, n int) (r profile.Records) {
	few := func() int { return random.IntN(n) }
	some := func() time.Duration { return time.Duration(random.IntN(60_000)) * time.Millisecond }
	for range n {
		r.Scale = append(r.Scale, profile.ScaleStep{Step: forecast.Recognise, Rating: 1 + random.IntN(5), Time: time.Millisecond + some()/2})
		r.Ratings = append(r.Ratings, profile.Rating{Pattern: lastslot.Pattern(few() % lastslot.Patterns), Step: forecast.Execute, Rating: random.IntN(6), Time: some()})
		r.Names = append(r.Names, profile.Name{Pattern: lastslot.Pattern(few() % lastslot.Patterns), Name: fmt.Sprint("“name” ", few())})
		r.Sequences = append(r.Sequences, profile.OwnSequence{Pattern: lastslot.Pattern(1 + few()%57), Turns: fmt.Sprint(random.IntN(10))})
		r.Insertions = append(r.Insertions, profile.OwnInsertion{Slot: lastslot.Slot(random.IntN(4)), Turns: fmt.Sprint(few()), Own: few()%2 == 0, Known: forecast.Said(random.IntN(3) - 1), Rating: random.IntN(6), Time: some()})
		r.Preferences = append(r.Preferences, profile.Preference{Name: fmt.Sprint(few()), Value: fmt.Sprint(few())})
		r.Kept = append(r.Kept, profile.KeptCase{Code: fmt.Sprint(few()), Note: fmt.Sprint(few()), Since: time.Unix(1_700_000_000, 0)})
		r.Recent = append(r.Recent, profile.RecentCase{Code: fmt.Sprint(few()), Looked: time.UnixMilli(1_700_000_000_000 + int64(random.IntN(2*n)))})
	}
	return r
}

// oneByOne are changes that put in one record each, in the order in which they count.
func oneByOne(r profile.Records) (changes []profile.Records) {
	for n := range r.Ratings {
		last := len(r.Recent) - 1 - n
		changes = append(changes, profile.Records{
			Scale: r.Scale[n : n+1], Ratings: r.Ratings[n : n+1], Names: r.Names[n : n+1], Sequences: r.Sequences[n : n+1],
			Insertions: r.Insertions[n : n+1], Preferences: r.Preferences[n : n+1], Kept: r.Kept[n : n+1], Recent: r.Recent[last : last+1],
		})
	}
	return changes
}

// What is put in at once is what one record after the other leaves, however many
// there are: fewer than one statement takes, as many, more; in a profile that is empty
// and in one that has some.
func testManyAtOnce(t *testing.T, address string) {
	s := opened(t, address)
	random := rand.New(rand.NewPCG(10, 8))
	_, whole := newProfile(t, s)
	_, single := newProfile(t, s)
	for _, n := range []int{1, 7, 8, 9, 63, 64, 65, 200} {
		all := manyRecords(random, n)
		require.NoError(t, s.Put(t.Context(), whole, all))
		for _, one := range oneByOne(all) {
			require.NoError(t, s.Put(t.Context(), single, one))
		}
		require.Equal(t, recordsOf(t, s, single), recordsOf(t, s, whole), n)
	}
	assert.Len(t, recordsOf(t, s, whole).Recent, profile.MaxRecent)

	// Of many that others changed meanwhile each is told.
	p, _, err := s.Records(t.Context(), whole)
	require.NoError(t, err)
	theirs := manyRecords(random, 150)
	theirs.Recent = nil
	_, err = s.Change(t.Context(), whole, late(theirs, "tablet", p.Revision))
	require.NoError(t, err)
	mine := theirs
	mine.Names = nil
	mine.Kept = append(mine.Kept[:len(mine.Kept):len(mine.Kept)], profile.KeptCase{Code: "mine alone"})
	_, err = s.Change(t.Context(), whole, late(mine, "phone", p.Revision))
	elsewhere := (*profile.ChangedElsewhereError)(nil)
	require.ErrorAs(t, err, &elsewhere)
	theirs.Names = nil
	assert.Equal(t, theirs.Keys(), elsewhere.Keys)
	_, err = s.Change(t.Context(), whole, late(mine, "tablet", p.Revision))
	require.NoError(t, err, "the device’s own")
	_, err = s.Change(t.Context(), whole, profile.Change{Put: mine, Read: &p.Revision})
	require.ErrorIs(t, err, profile.ErrReadAgain)
}

// BenchmarkPut puts in as many insertions as a profile may have, in one transaction:
// row by row, and many in a statement.
func BenchmarkPut(b *testing.B) {
	postgres := storetest.StartPostgres(b, false)
	insertions := kinds[4]
	for _, at := range []struct{ name, address string }{
		{"SQLite", filepath.Join(b.TempDir(), "slotcast.db")},
		{"PostgreSQL", postgres.NewDatabase(b)},
	} {
		s := opened(b, at.address)
		_, id := newProfile(b, s)
		var all profile.Records
		for n := range profile.MaxInsertions {
			all.Insertions = append(all.Insertions, profile.OwnInsertion{Slot: lastslot.FR, Turns: fmt.Sprintf("%060d", n)})
		}
		rows := insertions.rows(all)
		for _, way := range []struct {
			name string
			put  func(ctx context.Context, tx *sql.Tx) error
		}{
			{"row by row", func(ctx context.Context, tx *sql.Tx) error {
				for n := range rows {
					if err := insertions.put(ctx, tx, id, rows[n:n+1]); err != nil {
						return err
					}
				}
				return nil
			}},
			{"together", func(ctx context.Context, tx *sql.Tx) error { return insertions.put(ctx, tx, id, rows) }},
		} {
			b.Run(at.name+"/"+way.name, func(b *testing.B) {
				for b.Loop() {
					require.NoError(b, s.writing(b.Context(), way.put))
				}
			})
		}
		b.Run(at.name+"/change", func(b *testing.B) {
			for b.Loop() {
				require.NoError(b, s.Put(b.Context(), id, all))
			}
		})
	}
}

// What ends with the request that asked for it says that the request was given up.
func testGivenUp(t *testing.T, address string) {
	s := opened(t, address)
	_, id := newProfile(t, s)
	for _, transaction := range []func(context.Context, func(context.Context, *sql.Tx) error) error{s.writing, s.reading} {
		ctx, giveUp := context.WithCancel(t.Context())
		require.ErrorIs(t, transaction(ctx, func(_ context.Context, tx *sql.Tx) error {
			giveUp()
			for {
				if _, err := profileWith(t.Context(), tx, id); err != nil {
					return err
				}
			}
		}), context.Canceled)
	}
}
