package atlas

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/forecast"
)

// puzzleOf is a puzzle that shows the case at front right. Which last-layer piece
// stands where is any, as it does not matter.
func puzzleOf(c forecast.Case) cube.Cube {
	p := cube.Solved
	others := []int{0, 1, 2, 3}
	for spot, next := 0, 0; spot < spots; spot++ {
		piece := forecast.FR.Corner()
		if spot != c.Corner {
			piece = cube.CornerPlace(others[next])
			next++
		}
		p.Corners[forecast.FR.CornerPlace(spot)] = cube.CornerAs(piece, c.Twists[spot])
	}
	for spot, next := 0, 0; spot < spots; spot++ {
		piece := forecast.FR.Edge()
		if spot != c.Edge {
			piece = cube.EdgePlace(others[next])
			next++
		}
		p.Edges[forecast.FR.EdgePlace(spot)] = cube.EdgeAs(piece, c.Flips[spot])
	}
	return p
}

// keepsAll says whether cross and slots are solved, the one at front right
// included where told.
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
// at most six face turns is tried, with each AUF before it, and the puzzle looked
// at.
func TestPlainSearchFindsTheSame(t *testing.T) {
	const limit = 6
	type try struct {
		does   cube.Cube
		length int
	}
	var tries []try
	var plain func(c cube.Cube, last, length int)
	plain = func(c cube.Cube, last, length int) {
		if keepsAll(c, false) {
			for quarters := range 4 {
				before := cube.Solved
				if quarters > 0 {
					before = cube.TurnOf(cube.U, quarters).Cube()
				}
				tries = append(tries, try{before.Then(c), length})
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

	found, err := searchTo(t.Context(), limit, func(Level) {})
	require.ErrorIs(t, err, errTooShort)
	classes := classOf()
	short := 0
	for index := range forecast.CasesPerSlot {
		puzzle := puzzleOf(forecast.CaseAt(index))
		var want [forecast.Patterns]int
		for _, try := range tries {
			if after := puzzle.Then(try.does); keepsAll(after, true) {
				pattern := forecast.OutcomeOf(after).Pattern()
				if want[pattern] == 0 || want[pattern] > try.length+1 {
					want[pattern] = try.length + 1
				}
			}
		}
		for pattern, lengthAndOne := range want {
			entry := found.Entries[int(classes[index])*forecast.Patterns+pattern]
			got := 0
			if entry != noEntry {
				got = len(found.Rows[entry]) + 1
				short++
			}
			if got != lengthAndOne {
				t.Fatalf("case %d, pattern %d: %d turns, by plain search %d", index, pattern, got-1, lengthAndOne-1)
			}
		}
	}
	assert.Greater(t, short, 32400)
}

// Of each length as many rows are found as plain counting finds.
func TestRowsOfEachLength(t *testing.T) {
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
	})
	require.ErrorIs(t, err, errTooShort)
}

func TestSearchStopsWhenCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	found, err := Search(ctx, func(l Level) {
		if l.Turns == 9 {
			cancel()
		}
	})
	require.ErrorIs(t, err, context.Canceled)
	assert.Nil(t, found)
}
