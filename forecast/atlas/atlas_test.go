package atlas

import (
	"bytes"
	"slices"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
)

// atlas is loaded once for all tests; it does not change.
var atlas = sync.OnceValue(func() *Atlas {
	a, err := Load()
	if err != nil {
		panic(err)
	}
	return a
})

// Every row, turned on plain stickers, does what its map says.
func TestEveryRowOnStickers(t *testing.T) {
	a := atlas()
	require.Greater(t, len(a.rows), 14_000)
	cubetest.Each(t, len(a.rows), 7, func(t *testing.T, i int) {
		row := a.rows[i]
		if cubetest.Solved.Do(row) != cubetest.Of(row.Cube()) {
			t.Fatalf("%s: stickers and pieces differ", row)
		}
		c := row.Cube()
		if !keepsAll(c, false) || lastslot.MapOf(c, lastslot.FR) != a.maps[i] {
			t.Fatalf("%s does something else than %v", row, a.maps[i])
		}
	})
}

// For every case and pattern, what the atlas gives fills the slot and leaves the
// pattern: turned on the puzzle.
func TestEveryPair(t *testing.T) {
	a := atlas()
	cubetest.Each(t, lastslot.CasesPerSlot, 31, func(t *testing.T, index int) {
		c := lastslot.CaseAt(index)
		puzzle := puzzleOf(c)
		for pattern := range lastslot.Pattern(lastslot.Patterns) {
			turns := a.Shortest(c, pattern).Turns()
			after := puzzle.Do(turns)
			if !keepsAll(after, true) || lastslot.OutcomeOf(after).Pattern() != pattern {
				t.Fatalf("case %s, pattern %d: %s leaves %d", c.Code(), pattern, turns, lastslot.OutcomeOf(after).Pattern())
			}
		}
	})
}

// In the mirror across the slot's diagonal every case needs as many turns for
// the mirrored pattern.
func TestMirrorOverTheWholeTable(t *testing.T) {
	a := atlas()
	// The diagonal goes through UBL and UFR; UBR and UFL change places, and so do
	// UB and UL, UF and UR.
	cornerTo, edgeTo := [lastslot.Spots]int{0, 2, 1, 3, 4}, [lastslot.Spots]int{1, 0, 3, 2, 4}
	mirror := func(c lastslot.Case) (r lastslot.Case) {
		r.Corner, r.Edge = cornerTo[c.Corner], edgeTo[c.Edge]
		for spot := range lastslot.Spots {
			r.Twists[cornerTo[spot]] = (3 - c.Twists[spot]) % 3
			r.Flips[edgeTo[spot]] = c.Flips[spot]
		}
		// The slot's edge is judged by its front side, which the mirror makes the
		// right one; and so is what stands in the slot.
		r.Flips[r.Edge] ^= 1
		r.Flips[lastslot.InSlot] ^= 1
		return r
	}
	var patterns [lastslot.Patterns]lastslot.Pattern
	for p := range patterns {
		o := lastslot.Pattern(p).Outcome()
		twists, flips := o.Twists(), o.Flips()
		var t, f [4]int
		for spot := range 4 {
			t[cornerTo[spot]], f[edgeTo[spot]] = (3-twists[spot])%3, flips[spot]
		}
		patterns[p] = lastslot.OutcomeAs(t, f).Pattern()
	}
	cubetest.Each(t, lastslot.CasesPerSlot, 31, func(t *testing.T, index int) {
		c := lastslot.CaseAt(index)
		m := mirror(c)
		for p := range patterns {
			here, there := a.Shortest(c, lastslot.Pattern(p)), a.Shortest(m, patterns[p])
			if len(here.Insertion) != len(there.Insertion) {
				t.Fatalf("case %s, pattern %d: %s, but in the mirror %s", c.Code(), p, here.Insertion, there.Insertion)
			}
		}
	})
}

// Done backwards, a row is a row of as many turns: no undone row makes an outcome
// from a case in fewer turns than the atlas gives.
func TestInversesOverTheWholeTable(t *testing.T) {
	a, cases := atlas(), newFilling().cases
	var reached, rows atomic.Int64
	cubetest.Each(t, len(a.rows), 7, func(t *testing.T, i int) {
		row := a.rows[i]
		rows.Add(1)
		back := mapOf(row.Inverse())
		for _, c := range cases[back.PairPlace()] {
			left := back.Leaves(&c)
			if got := a.Shortest(c, left.Pattern()); len(got.Insertion) > len(row) {
				t.Fatalf("case %s, pattern %d: %s, but %s does it", c.Code(), left.Pattern(), got.Insertion, row.Inverse())
			}
			reached.Add(1)
		}
	})
	assert.Equal(t, 216*rows.Load(), reached.Load())
}

// Wherever the slot is, the atlas's options fill it and leave a pattern that is
// wanted, in order, the shortest first, none twice.
func TestOptionsFromAllSlots(t *testing.T) {
	t.Parallel()
	a := atlas()
	for index := 0; index < lastslot.Cases; index += 97 {
		c := lastslot.CaseAt(index)
		pattern := lastslot.Pattern(index % lastslot.Patterns)
		options := a.Options(c, func(p lastslot.Pattern) bool { return p == pattern })
		require.NotEmpty(t, options)
		assert.Len(t, a.Shortest(c, pattern).Insertion, len(options[0].Insertion))
		seen := map[string]bool{}
		for i, w := range options {
			if i > 0 {
				require.LessOrEqual(t, len(options[i-1].Insertion), len(w.Insertion))
			}
			left, err := lastslot.Leaves(c, w.Turns())
			require.NoError(t, err)
			require.Equal(t, pattern, left.Pattern())
			require.False(t, seen[w.Turns().String()], "%s twice", w.Turns())
			seen[w.Turns().String()] = true
		}
	}
}

// No insertion for a placed and oriented corner with its edge on top takes under
// seven turns (common practice, no source).
func TestEdgeOnlyTakesSevenTurns(t *testing.T) {
	a := atlas()
	for index := range lastslot.CasesPerSlot {
		c := lastslot.CaseAt(index)
		if c.Corner != lastslot.InSlot || c.Twists[c.Corner] != 0 || c.Edge == lastslot.InSlot {
			continue
		}
		for pattern := range lastslot.Pattern(lastslot.Patterns) {
			require.GreaterOrEqual(t, len(a.Shortest(c, pattern).Insertion), 7)
		}
	}
}

// Every damaged byte is noticed, a file that ends too soon, and one that is none.
func TestDamagedFileIsNoticed(t *testing.T) {
	assert.Less(t, len(embedded), 12<<20)
	for _, at := range []int{0, 20, 47, 60, len(embedded) / 2, len(embedded) - 2} {
		damaged := bytes.Clone(embedded)
		damaged[at] ^= 0x10
		_, err := Read(damaged)
		assert.Error(t, err, "byte %d", at)
	}
	for _, length := range []int{0, 5, len(fileWords), 40, len(embedded) / 2, len(embedded) - 1} {
		_, err := Read(embedded[:length])
		assert.Error(t, err, "the first %d bytes", length)
	}
	other := bytes.Clone(embedded)
	other[len(fileWords)]++
	_, err := Read(other)
	assert.ErrorIs(t, err, ErrVersion)
}

// What is written is read again.
func TestEncodeAndDecode(t *testing.T) {
	rows, entries, err := decode(embedded)
	require.NoError(t, err)
	f := Found{Rows: rows}
	for _, e := range entries {
		f.Entries = append(f.Entries, uint32(e))
	}
	file, err := f.Encode()
	require.NoError(t, err)
	again, entriesAgain, err := decode(file)
	require.NoError(t, err)
	assert.True(t, slices.EqualFunc(rows, again, slices.Equal[cube.Sequence]))
	assert.Equal(t, entries, entriesAgain)
}

func BenchmarkLoad(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Load(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkShortest(b *testing.B) {
	a, i := atlas(), 0
	for b.Loop() {
		i = (i + 7919) % lastslot.CasesPerSlot
		a.Shortest(lastslot.CaseAt(i), lastslot.Pattern(i%lastslot.Patterns))
	}
}

func BenchmarkOptions(b *testing.B) {
	a, i := atlas(), 0
	for b.Loop() {
		i = (i + 7919) % lastslot.CasesPerSlot
		a.Options(lastslot.CaseAt(i), func(p lastslot.Pattern) bool { return p == 27 })
	}
}
