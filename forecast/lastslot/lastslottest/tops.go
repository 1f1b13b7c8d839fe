package lastslottest

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
)

// Tops reads what stickers show on top: for each place, in the order of an outcome's
// facing, the stickers there.
type Tops struct {
	places   [8][]int
	outcomes map[string]lastslot.Outcome
	letters  [54]byte
}

// NewTops makes one.
func NewTops() *Tops {
	s := &Tops{outcomes: map[string]lastslot.Outcome{}}
	for at, name := range []string{"UBL", "UB", "UBR", "UL", "UR", "UFL", "UF", "UFR"} {
		for i := range 54 {
			if cell := cubetest.Cell(i); len(cell) == len(name) && strings.Trim(cell, name) == "" {
				s.places[at] = append(s.places[at], i)
			}
		}
	}
	for i := range 54 {
		s.letters[i] = cubetest.Cell(i)[0]
	}
	for o := range lastslot.Outcome(lastslot.Outcomes) {
		s.outcomes[o.Facing()] = o
	}
	return s
}

// Left is what the stickers leave on top.
func (s *Tops) Left(t testing.TB, after *cubetest.Stickers) lastslot.Outcome {
	var facing [8]byte
	for at, stickers := range s.places {
		for _, i := range stickers {
			if s.letters[after[i]] == 'U' {
				facing[at] = s.letters[i]
			}
		}
	}
	o, ok := s.outcomes[string(facing[:])]
	require.True(t, ok, "%s", facing[:])
	return o
}
