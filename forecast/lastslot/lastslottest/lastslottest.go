// Package lastslottest has what tests of several packages need of last slots:
// sequences checked as they are read, and all insertions that the search found.
package lastslottest

import (
	"bufio"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
)

// Insertion is the insertion for the slot that a test writes.
func Insertion(t testing.TB, slot lastslot.Slot, text string) lastslot.Insertion {
	t.Helper()
	i, err := lastslot.CheckInsertion(&slot, cubetest.Sequence(t, text))
	require.NoError(t, err, text)
	return i
}

// FollowUp is the sequence for the pattern that a test writes.
func FollowUp(t testing.TB, pattern lastslot.Pattern, text string) lastslot.FollowUp {
	t.Helper()
	s, err := lastslot.CheckSequence(pattern, cubetest.Sequence(t, text))
	require.NoError(t, err, text)
	return s
}

// Insertions are all that the search found for two hands, spelt for the slot
// without a rotation, in the order of the file.
func Insertions(t testing.TB, slot lastslot.Slot) (all []lastslot.Insertion) {
	t.Helper()
	file, err := os.Open(filepath.Join(module(t), "forecast", "insertions.txt"))
	require.NoError(t, err)
	defer file.Close()
	lines := bufio.NewScanner(file)
	for lines.Scan() {
		front, back, ok := strings.Cut(lines.Text(), "\t")
		if !ok { // a remark
			continue
		}
		text := front
		if slot == lastslot.BL || slot == lastslot.BR {
			text = back
		}
		turns := cubetest.Sequence(t, text)
		if slot == lastslot.FL || slot == lastslot.BL {
			turns = turns.Mirror(cube.MirrorLR)
		}
		i, err := lastslot.NewInsertion(slot, turns)
		require.NoError(t, err)
		all = append(all, i)
	}
	require.NoError(t, lines.Err())
	require.NotEmpty(t, all)
	return all
}

// module is the directory of the module, which a test runs within.
func module(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		above := filepath.Dir(dir)
		require.NotEqual(t, dir, above, "no go.mod above the test")
		dir = above
	}
}
