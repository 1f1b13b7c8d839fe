package main

import (
	"bufio"
	"bytes"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
)

// The table has every place of every slot and enough positions, and counting again with
// fewer gives nearly the same shares: no place is off by more than five standard
// deviations.
func TestTheTableOfPlacesIsMadeAgain(t *testing.T) {
	t.Parallel()
	file, err := os.ReadFile("places.tsv")
	require.NoError(t, err)
	committed, sum := map[lastslot.Place]int{}, 0
	lines := bufio.NewScanner(bytes.NewReader(file))
	for lines.Scan() {
		name, count, ok := strings.Cut(lines.Text(), "\t")
		if !ok {
			continue // the remark
		}
		place, err := lastslot.ParsePlace(name)
		require.NoError(t, err)
		committed[place], err = strconv.Atoi(count)
		require.NoError(t, err)
		sum += committed[place]
	}
	assert.Equal(t, positions, sum)
	assert.GreaterOrEqual(t, positions, 200_000)
	assert.Len(t, committed, lastslot.Slots*lastslot.PlacesPerSlot)
	assert.Equal(t, string(file), string(table(committed)))

	book := forecasttest.Book()
	const fewer = 20_000
	counts := newSolver(book).count(fewer)
	for place, count := range committed {
		share := float64(count) / positions
		deviation := math.Sqrt(fewer*share*(1-share)) + 1
		assert.InDelta(t, fewer*share, counts[place], 5*deviation, place.String())
	}
}
