package cube_test

import (
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
)

// row is a row of a published table by its column headings.
type row map[string]string

// published reads a table of testdata/published; its README says what each is.
func published(t *testing.T, file string) []row {
	t.Helper()
	text, err := os.ReadFile("../testdata/published/" + file)
	require.NoError(t, err)
	lines := strings.Split(strings.TrimRight(string(text), "\n"), "\n")
	heading := strings.Split(lines[0], "\t")
	var rows []row
	for _, line := range lines[1:] {
		r := row{}
		for i, cell := range strings.Split(line, "\t") {
			r[heading[i]] = cell
		}
		rows = append(rows, r)
	}
	require.NotEmpty(t, rows, file)
	return rows
}

// parsed is a sequence that must be one.
func parsed(t testing.TB, text string) cube.Sequence {
	t.Helper()
	s, err := cube.Parse(text)
	require.NoError(t, err, text)
	return s
}

// number reads a whole number.
func number(t *testing.T, text string) int {
	t.Helper()
	n, err := strconv.Atoi(text)
	require.NoError(t, err)
	return n
}

// cycles writes a motion as the published tables do: each sticker's number, from
// 1, goes to the one after it; the smallest of a cycle is first.
func cycles(s cubetest.Stickers) string {
	var to [len(s)]int
	for at, sticker := range s {
		to[sticker] = at
	}
	var b strings.Builder
	var seen [len(s)]bool
	for first := range to {
		if seen[first] || to[first] == first {
			continue
		}
		for i, separator := first, "("; !seen[i]; i, separator = to[i], "," {
			seen[i] = true
			b.WriteString(separator + strconv.Itoa(i+1))
		}
		b.WriteString(")")
	}
	if b.Len() == 0 {
		return "()"
	}
	return b.String()
}

// generators reads the sequences between the angle brackets of a group's name,
// such as "slice <RL',UD',FB'>".
func generators(t *testing.T, name string) []cube.Sequence {
	t.Helper()
	inside := regexp.MustCompile(`<([^<>]+)>`).FindStringSubmatch(name)
	require.NotNil(t, inside, name)
	var s []cube.Sequence
	for text := range strings.SplitSeq(inside[1], ",") {
		s = append(s, parsed(t, text))
	}
	return s
}

// motions has what each sequence does and what its inverse does, each once.
func motions(sequences ...cube.Sequence) []cube.Cube {
	var all []cube.Cube
	for _, s := range sequences {
		for _, c := range []cube.Cube{s.Cube(), s.Inverse().Cube()} {
			if !slices.Contains(all, c) {
				all = append(all, c)
			}
		}
	}
	return all
}

// faceTurns are the turns of the six faces.
func faceTurns() (turns []cube.Turn) {
	for t := range cube.Turn(cube.Turns) {
		if t.Kind() == cube.FaceTurn {
			turns = append(turns, t)
		}
	}
	return turns
}
