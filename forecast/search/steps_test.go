package search

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
)

// New motions by face turns that keep the cross and two slots, AUF at both ends aside: own
// count by meeting in the middle, made once before with another program
// (testdata/two_slots.tsv).
func TestNumbersOfStepMotions(t *testing.T) {
	file, err := os.ReadFile("testdata/two_slots.tsv")
	require.NoError(t, err)
	var want []string
	for line := range strings.Lines(string(file)) {
		if !strings.HasPrefix(line, "#") {
			want = append(want, strings.TrimSpace(line))
		}
	}
	most := 9
	if testing.Short() {
		most = 7
	}
	for kind, name := range []string{"adjacent", "opposite"} {
		searched := &searchedOpen[kind]
		f := &stepFindings{open: searched.open, shortest: map[uint64]int{}}
		seen := map[string]bool{}
		require.NoError(t, meet(t.Context(), searched.kept, (most+1)/2, false, func(m motion) {
			text := string(m.bytes())
			if turns := m.faceTurns(); turns <= most && !seen[text] {
				seen[text] = true
				f.count(m, turns)
			}
		}))
		counts := make([]int, most+1)
		for _, turns := range f.shortest {
			counts[turns]++
		}
		for turns := 1; turns <= most; turns++ {
			if turns < 3 {
				assert.Zero(t, counts[turns])
				continue
			}
			assert.Contains(t, want, fmt.Sprintf("%s\t%d\t%d", name, turns, counts[turns]))
		}
	}
}

// A part of what "go generate ./forecast/routes" searches is made again and is the same as
// when it was committed.
func TestAPartOfTheStepsIsMadeAgain(t *testing.T) {
	t.Parallel()
	found, err := FindSteps(t.Context(), StepLimits{FaceTurns: 5, HalfTokens: 2, Few: []Few{{[]cube.Layer{cube.R, cube.U}, 7}}}, func(string) {})
	require.NoError(t, err)
	var again bytes.Buffer
	for handed := range found.For {
		for open, steps := range found.For[handed] {
			for _, s := range steps {
				turns := cube.Join(lastslot.Rotations[s.Rotation], s.Turns)
				effect, _ := lastslot.Effect(turns)
				require.Empty(t, twoslots.Breaks(effect, twoslots.Open(open)))
				require.Equal(t, hands.Estimate(s.Turns, hands.Handed(handed)), s.Takes)
				fmt.Fprintf(&again, "%s\t%s\t%s\n", hands.Handed(handed), twoslots.Open(open), turns)
			}
		}
	}
	const file = "testdata/steps_of_five.txt"
	committed, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, strings.Split(string(committed), "\n"), strings.Split(again.String(), "\n"), "where that is meant, generate the steps again, and write this into %s", file)
}

// A search that is cancelled ends.
func TestACancelledSearchForStepsEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := FindSteps(ctx, StepLimits{FaceTurns: 9, HalfTokens: 4, Few: StepLayers}, func(string) {})
	require.ErrorIs(t, err, context.Canceled)
}
