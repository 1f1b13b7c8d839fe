package lastslot_test

import (
	"slotcast/cube/cubetest"

	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// Whoever reads the sentences about an insertion, and nothing else, knows what it
// leaves of every case that it fits: for every insertion in the book. Corners and
// edges do not depend on each other; for some insertions all 216 states of the
// top are looked at all the same. The judge is the puzzle, turned.
func TestSentencesTellWhatIsLeft(t *testing.T) {
	t.Parallel()
	stride := cubetest.Stride(t, 41)
	for slot := range lastslot.Slot(lastslot.Slots) {
		for number := 0; number < len(book().Insertions(slot)); number += stride {
			i := book().Insertions(slot)[number]
			seeing := i.Seeing()
			words, err := lastslot.Read(lastslot.ClausesOf(seeing.Words()), slot)
			require.NoError(t, err, "%s: %s", i.Turns, seeing.Words())
			motion := i.Turns.Cube()
			for _, c := range lastslot.StatesOf(i, number%500 == 0) {
				left := lastslot.OutcomeOf(c.Cube().Then(motion))
				if !words.Expects(c, left) || seeing.Leaves(c) != left {
					require.Fail(t, "not what is left", "%s of %s leaves %s, the facts say %s, the words %s", i.Turns, c.Code(), left.Facing(), seeing.Leaves(c).Facing(), seeing.Words())
				}
			}
		}
	}
}

// No clause can be left out: without it the reader expects something else of some
// case, or finds two pieces in one place. And with no other turn of U to refer to
// would there be fewer.
func TestNoClauseIsSuperfluous(t *testing.T) {
	t.Parallel()
	looked := 0
	for slot := range lastslot.Slot(lastslot.Slots) {
		for number := 0; number < len(book().Insertions(slot)); number += 37 {
			i := book().Insertions(slot)[number]
			seeing := i.Seeing()
			clauses := lastslot.ClausesOf(seeing.Words())
			for left := range clauses {
				looked++
				without := slices.Delete(slices.Clone(clauses), left, left+1)
				words, err := lastslot.Read(without, slot)
				if err != nil {
					continue
				}
				if lastslot.RestForm.MatchString(clauses[left]) && (seeing.U == 0 || strings.Contains(strings.Join(without, ";"), "with U")) {
					// What becomes of the rest is said even where it goes without saying.
					continue
				}
				wrong := slices.ContainsFunc(lastslot.StatesOf(i, false), func(c lastslot.Case) bool { return !words.Expects(c, seeing.Leaves(c)) })
				pieces := map[string]bool{}
				for to := range lastslot.InSlot {
					pieces[fmt.Sprint("corner", words.Corners[to].From)] = true
					pieces[fmt.Sprint("edge", words.Edges[to].From)] = true
				}
				require.True(t, wrong || len(pieces) < 2*lastslot.InSlot, "%s: %q can be left out of %q", i.Turns, clauses[left], clauses)
			}
			m := i.Map.Then(lastslot.AUFMaps[i.Turned])
			for u := range lastslot.AUFMaps {
				other := seeing
				other.U, other.Corners, other.Edges = u, lastslot.FactsOf(m.Corners, lastslot.AUFMaps[u].Corners, 3), lastslot.FactsOf(m.Edges, lastslot.AUFMaps[u].Edges, 2)
				require.GreaterOrEqual(t, len(other.Clauses()), len(seeing.Clauses()), i.Turns)
			}
		}
	}
	assert.Greater(t, looked, 10000)
}

// book is what all tests share: it does not change.
var book = sync.OnceValue(func() *forecast.Book {
	b, err := forecast.Load()
	if err != nil {
		panic(err)
	}
	return b
})
