package lastslot

import (
	"bufio"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
)

// testdata/patterns.tsv: the trade's numbers, common practice, from memory.
func TestPatternsHaveTheTradesNumbers(t *testing.T) {
	file, err := os.Open("../../testdata/patterns.tsv")
	require.NoError(t, err)
	defer file.Close()
	rows := 0
	for scanner := bufio.NewScanner(file); scanner.Scan(); {
		row := strings.Split(scanner.Text(), "\t")
		if strings.HasPrefix(row[0], "#") || row[0] == "oll" {
			continue
		}
		rows++
		number, err := strconv.Atoi(row[0])
		require.NoError(t, err)
		o := Pattern(number).Outcome()
		assert.Equal(t, row[1], string(o.Edges()), row[0])
		assert.Equal(t, row[2], strconv.Itoa(o.CornersOriented()), row[0])
		assert.Equal(t, row[3], o.Facing(), row[0])
		assert.Equal(t, Pattern(number), o.Pattern())
	}
	assert.Equal(t, 57, rows)
}

// testdata/published/pattern_counts.tsv (GAP): 216 outcomes in 58 classes of
// sizes 1,1 / 2 x 5 / 4 x 51; edge types 8, 15, 27, 8 classes; 41 with mirrors.
func TestPatternCounts(t *testing.T) {
	sizes := map[Pattern]int{}
	for o := range Outcome(Outcomes) {
		sizes[o.Pattern()]++
	}
	bySize := map[int]int{}
	for p, size := range sizes {
		bySize[size]++
		assert.Equal(t, size, p.Ways(), "pattern %d", p)
	}
	assert.Equal(t, map[int]int{1: 2, 2: 5, 4: 51}, bySize)

	byEdges := map[Edges]int{}
	withMirrors := map[Pattern]bool{}
	for p := range Pattern(Patterns) {
		byEdges[p.Outcome().Edges()]++
		mirrored := mirroredOutcome(p.Outcome()).Pattern()
		withMirrors[min(p, mirrored)] = true
	}
	assert.Equal(t, map[Edges]int{Dot: 8, Line: 15, L: 27, Cross: 8}, byEdges)
	assert.Len(t, withMirrors, 41)
}

// mirroredOutcome swaps left and right, on the written facings.
func mirroredOutcome(o Outcome) Outcome {
	f := o.Facing()
	swap := strings.NewReplacer("L", "R", "R", "L")
	// UBL UB UBR / UL UR / UFL UF UFR, each row backwards.
	return outcomeFacing(swap.Replace(string([]byte{f[2], f[1], f[0], f[4], f[3], f[7], f[6], f[5]})))
}

// Outcomes turn as the puzzle does.
func TestOutcomesTurnAsTheTopDoes(t *testing.T) {
	t.Parallel()
	for o := range Outcome(Outcomes) {
		c := cube.Solved
		twists, flips := o.Twists(), o.Flips()
		for i := range 4 {
			c.Corners[i] = cube.CornerAs(cube.CornerPlace(i), twists[i])
			c.Edges[i] = cube.EdgeAs(cube.EdgePlace(i), flips[i])
		}
		require.Equal(t, o, OutcomeOf(c))
		for quarters, turns := range AUFs {
			require.Equal(t, OutcomeOf(c.Do(turns)), o.Turned(quarters))
		}
	}
}
