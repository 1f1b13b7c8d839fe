package cube_test

import (
	"cmp"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
)

// packed is a position in 16 bytes, so that millions can be sorted: five bits a
// corner and an edge, three a centre.
type packed struct{ corners, edges uint64 }

func pack(c cube.Cube) (p packed) {
	for _, f := range c.Centres {
		p.corners = p.corners<<3 | uint64(f)
	}
	for _, at := range c.Corners {
		p.corners = p.corners<<5 | uint64(at)
	}
	for _, at := range c.Edges {
		p.edges = p.edges<<5 | uint64(at)
	}
	return p
}

func (p packed) cube() (c cube.Cube) {
	corners, edges := p.corners, p.edges
	for i := range c.Edges {
		c.Edges[len(c.Edges)-1-i] = cube.Edge(edges & 31)
		edges >>= 5
	}
	for i := range c.Corners {
		c.Corners[len(c.Corners)-1-i] = cube.Corner(corners & 31)
		corners >>= 5
	}
	for i := range c.Centres {
		c.Centres[len(c.Centres)-1-i] = cube.Face(corners & 7)
		corners >>= 3
	}
	return c
}

func (p packed) compare(q packed) int {
	if c := cmp.Compare(p.corners, q.corners); c != 0 {
		return c
	}
	return cmp.Compare(p.edges, q.edges)
}

// distances counts the positions at each distance from solved, in steps of the
// generators, from 0 to most or until there are no more. The generators must
// contain the inverse of each, so that a position's neighbours are no more than
// one step nearer or farther than itself.
func distances(generators []cube.Cube, most int) []int {
	var before []packed
	layer := []packed{pack(cube.Solved)}
	counts := []int{1}
	for len(counts) <= most {
		next := make([]packed, 0, len(layer)*len(generators))
		for _, p := range layer {
			c := p.cube()
			for _, g := range generators {
				next = append(next, pack(c.Then(g)))
			}
		}
		slices.SortFunc(next, packed.compare)
		next = without(without(slices.Compact(next), layer), before)
		if len(next) == 0 {
			break
		}
		before, layer = layer, next
		counts = append(counts, len(layer))
	}
	return counts
}

// without is the sorted row a without what is in the sorted row b; it reuses a.
func without(a, b []packed) []packed {
	kept := a[:0]
	for _, p := range a {
		for len(b) > 0 && b[0].compare(p) < 0 {
			b = b[1:]
		}
		if len(b) == 0 || b[0] != p {
			kept = append(kept, p)
		}
	}
	return kept
}

func TestPackedPositions(t *testing.T) {
	for turn := range cube.Turn(cube.Turns) {
		assert.Equal(t, turn.Cube(), pack(turn.Cube()).cube(), turn.String())
	}
}

// Positions by distance, counted with the project's own turns, are those of the
// integer sequences; the table names each one's source.
func TestPositionsByDistance(t *testing.T) {
	half := []string{"U2", "D2", "L2", "R2", "F2", "B2"}
	for _, s := range []struct {
		id         string
		generators []string
		// most is how far to count where counting all would take too long, and short
		// how far in a short run.
		most, short int
	}{
		{"A080601", append([]string{"U", "D", "L", "R", "F", "B"}, half...), 5, 5},
		{"A080602", []string{"U", "D", "L", "R", "F", "B"}, 6, 5},
		{"A080618", []string{"F", "U", "L", "R", "D"}, 6, 6},
		{"A080628", []string{"U", "R"}, 17, 14},
		{"A080627", half, 15, 9},
		{"A080614", []string{"U2", "D2", "F2"}, 10, 10},
		{"A080615", []string{"U2", "D2", "F2", "B2"}, 8, 8},
		{"A080616", []string{"U2", "F2", "R2"}, 14, 14},
		{"A080617", []string{"U", "M"}, 23, 23},
		{"A080619", []string{"R L'", "U D'", "F B'"}, 6, 6},
		{"A080620", []string{"R L", "U D", "F B"}, 9, 9},
	} {
		if testing.Short() {
			s.most = s.short
		}
		t.Run(s.id, func(t *testing.T) {
			t.Parallel()
			start := time.Now()
			var want []int
			for _, r := range published(t, "distances.tsv") {
				if r["id"] == s.id && len(want) <= s.most {
					require.Equal(t, strconv.Itoa(len(want)), r["n"])
					want = append(want, number(t, r["value"]))
				}
			}
			require.Len(t, want, s.most+1)
			var generators []cube.Sequence
			for _, g := range s.generators {
				generators = append(generators, parsed(t, g))
			}
			assert.Equal(t, want, distances(motions(generators...), s.most))
			t.Logf("up to %d in %v", s.most, time.Since(start).Round(time.Millisecond))
		})
	}
}
