package cube_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// wholePuzzle is the published number of positions of the puzzle.
func wholePuzzle(t *testing.T) string {
	t.Helper()
	rows := published(t, "group_orders.tsv")
	require.Equal(t, "<U,L,F,R,B,D>", rows[0]["group"])
	return rows[0]["order"]
}

// Groups small enough are counted element by element.
func TestOrdersOfSmallGroups(t *testing.T) {
	small := 7 // digits: up to ten million elements
	if testing.Short() {
		small = 5
	}
	counted := 0
	for _, r := range published(t, "group_orders.tsv") {
		if !strings.Contains(r["group"], "<") || len(r["order"]) > small {
			continue
		}
		counted++
		t.Run(r["group"], func(t *testing.T) {
			t.Parallel()
			start := time.Now()
			elements := 0
			for _, n := range distances(motions(generators(t, r["group"])...), number(t, r["order"])) {
				elements += n
			}
			assert.Equal(t, number(t, r["order"]), elements)
			t.Logf("%d elements in %v", elements, time.Since(start).Round(time.Millisecond))
		})
	}
	if testing.Short() {
		assert.Positive(t, counted)
	} else {
		assert.Equal(t, 11, counted)
	}
}
