package atlas

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
)

// puzzleOf is a puzzle that shows the case at front right. Which last-layer piece
// stands where is any, as it does not matter.
func puzzleOf(c lastslot.Case) cube.Cube {
	p := cube.Solved
	others := []int{0, 1, 2, 3}
	for spot, next := 0, 0; spot < lastslot.Spots; spot++ {
		piece := lastslot.FR.Corner()
		if spot != c.Corner {
			piece = cube.CornerPlace(others[next])
			next++
		}
		p.Corners[lastslot.FR.CornerPlace(spot)] = cube.CornerAs(piece, c.Twists[spot])
	}
	for spot, next := 0, 0; spot < lastslot.Spots; spot++ {
		piece := lastslot.FR.Edge()
		if spot != c.Edge {
			piece = cube.EdgePlace(others[next])
			next++
		}
		p.Edges[lastslot.FR.EdgePlace(spot)] = cube.EdgeAs(piece, c.Flips[spot])
	}
	return p
}

// keepsAll says whether cross and slots are solved, the one at front right
// included where wanted.
func keepsAll(c cube.Cube, frontRight bool) bool {
	for p := cube.DFR; p <= cube.DBR; p++ {
		if (p != cube.DFR || frontRight) && c.Corners[p] != cube.Solved.Corners[p] {
			return false
		}
	}
	for p := cube.FR; p <= cube.DR; p++ {
		if (p != cube.FR || frontRight) && c.Edges[p] != cube.Solved.Edges[p] {
			return false
		}
	}
	return true
}

// From every case, plain search finds what the complete search does: every row of
// at most six face turns, in a short run five, is tried, with each AUF before it,
// and the puzzle looked at.
func TestPlainSearchFindsTheSame(t *testing.T) {
	limit := 6
	if testing.Short() {
		limit = 5
	}
	type try struct {
		does   cube.Cube
		length int
	}
	// By what they bring into the slot at front right.
	tries := map[[2]int][]try{}
	var plain func(c cube.Cube, last, length int)
	plain = func(c cube.Cube, last, length int) {
		if keepsAll(c, false) {
			for quarters := range 4 {
				before := cube.Solved
				if quarters > 0 {
					before = cube.TurnOf(cube.U, quarters).Cube()
				}
				does := before.Then(c)
				brings := [2]int{int(does.Corners[cube.DFR]), int(does.Edges[cube.FR])}
				tries[brings] = append(tries[brings], try{does, length})
			}
		}
		if length == limit {
			return
		}
		for turn := range cube.Turn(faceTurns) {
			if faceOf(turn) != last {
				plain(c.Turn(turn), faceOf(turn), length+1)
			}
		}
	}
	plain(cube.Solved, -1, 0)

	found, err := searchTo(t.Context(), limit, func(Level) {}, func(Progress) {})
	require.ErrorIs(t, err, errTooShort)
	classes := classOf()
	var short atomic.Int64
	cubetest.Each(t, lastslot.CasesPerSlot, 11, func(t *testing.T, index int) {
		puzzle := puzzleOf(lastslot.CaseAt(index))
		var want [lastslot.Patterns]int
		for _, alike := range tries {
			if !keepsAll(puzzle.Then(alike[0].does), true) {
				continue // nor do the others bring the pair into the slot
			}
			for _, try := range alike {
				after := puzzle.Then(try.does)
				require.True(t, keepsAll(after, true))
				pattern := lastslot.OutcomeOf(after).Pattern()
				if want[pattern] == 0 || want[pattern] > try.length+1 {
					want[pattern] = try.length + 1
				}
			}
		}
		for pattern, lengthAndOne := range want {
			entry := found.Entries[int(classes[index])*lastslot.Patterns+pattern]
			got := 0
			if entry != noEntry {
				got = len(found.Rows[entry]) + 1
				short.Add(1)
			}
			if got != lengthAndOne {
				t.Fatalf("case %d, pattern %d: %d turns, by plain search %d", index, pattern, got-1, lengthAndOne-1)
			}
		}
	})
	if !testing.Short() {
		assert.Greater(t, short.Load(), int64(32400))
	}
}

// Of each length as many rows are found as plain counting finds.
func TestRowsOfEachLength(t *testing.T) {
	t.Parallel()
	const limit = 6
	var want [limit + 1]int
	var plain func(c cube.Cube, row cube.Sequence)
	plain = func(c cube.Cube, row cube.Sequence) {
		if len(row) > 0 && keepsAll(c, false) && !turnsTopAtEnd(row) {
			want[len(row)]++
		}
		if len(row) == limit {
			return
		}
		for turn := range cube.Turn(faceTurns) {
			if len(row) == 0 && turn.Layer() == cube.U || len(row) > 0 && !mayFollow(row[len(row)-1], turn) {
				continue
			}
			plain(c.Turn(turn), append(row[:len(row):len(row)], turn))
		}
	}
	plain(cube.Solved, nil)
	_, err := searchTo(t.Context(), limit, func(l Level) {
		if l.Turns > 0 {
			assert.Equal(t, want[l.Turns], l.Rows, "%d turns", l.Turns)
		}
	}, func(Progress) {})
	require.ErrorIs(t, err, errTooShort)
}

func TestSearchStopsWhenCancelled(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	found, err := Search(ctx, func(l Level) {
		if l.Turns == 9 {
			cancel()
		}
	}, func(Progress) {})
	require.ErrorIs(t, err, context.Canceled)
	assert.Nil(t, found)
}

func TestSearchedSaysHowFarAllAreKept(t *testing.T) {
	assert.Contains(t, Searched, fmt.Sprintf("all that differ of at most %d turns", completeTo))
}

// Of the rows that begin with a turn as many are counted as are walked.
func TestRowCount(t *testing.T) {
	for length := range 5 {
		for _, starts := range [][]cube.Turn{allTurns, allTurns[2:5]} {
			walked := 0
			require.NoError(t, walk(t.Context(), length, starts, func(*places, packedRow, cube.Turn) { walked++ }))
			assert.Equal(t, walked, rowCount(length, starts))
		}
	}
}

// Progress is reported within a length: more and more of it is done, of ever more
// pairs, and by the last length all are filled.
func TestProgressWithinALength(t *testing.T) {
	pairs := 0
	var all []Progress
	p := &pace{report: func(p Progress) { all = append(all, p) }, pairs: &pairs}
	p.begin(7)
	p.at(0.1)
	assert.Empty(t, all, "not so soon")
	p.start = p.start.Add(-10 * time.Second)
	p.last = p.last.Add(-2 * tellInterval)
	pairs = 42
	p.at(0.25)
	p.at(0.5)
	require.Len(t, all, 1, "not again so soon")
	assert.Equal(t, 7, all[0].Turns)
	assert.Equal(t, 42, all[0].Pairs)
	assert.InDelta(t, 30, all[0].Left.Seconds(), 0.5, "a quarter took ten seconds")
}

// A part of the search: pairs filled a second, and the memory that it needs.
func BenchmarkSearch(b *testing.B) {
	const limit = 10
	pairs := 0
	for b.Loop() {
		pairs = 0
		_, err := searchTo(b.Context(), limit, func(l Level) { pairs += l.Pairs }, func(Progress) {})
		if !errors.Is(err, errTooShort) {
			b.Fatal(err)
		}
	}
	var memory runtime.MemStats
	runtime.ReadMemStats(&memory)
	b.ReportMetric(float64(pairs)*float64(b.N)/b.Elapsed().Seconds(), "pairs/s")
	b.ReportMetric(float64(memory.HeapSys)/(1<<20), "MiB-at-most")
}

// A part of the committed file is made again and is the same: all rows of at most so
// many turns, in order, written out.
func TestAPartOfTheAtlasIsMadeAgain(t *testing.T) {
	t.Parallel()
	limit := 9
	if testing.Short() {
		limit = 7
	}
	found, err := searchTo(t.Context(), limit, func(Level) {}, func(Progress) {})
	require.ErrorIs(t, err, errTooShort)
	written := func(rows []cube.Sequence) string {
		var b strings.Builder
		for _, row := range rows {
			if len(row) <= limit {
				b.WriteString(row.String() + "\n")
			}
		}
		return b.String()
	}
	again := written(found.Rows)
	assert.True(t, written(atlas().rows) == again, "go generate ./forecast/atlas makes another file")
	assert.Greater(t, strings.Count(again, "\n"), 300)
}
