package lastslot

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"slotcast/cube/cubetest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
)

// mixed is a puzzle with the cross down in which these edges of the cross and these slots
// are not solved, and all else below the top is.
func mixed(random *rand.Rand, cross []cube.EdgePlace, open []Slot) cube.Cube {
	corners := []cube.CornerPlace{cube.UBL, cube.UBR, cube.UFL, cube.UFR}
	edges := append([]cube.EdgePlace{cube.UB, cube.UL, cube.UR, cube.UF}, cross...)
	for _, s := range open {
		corners, edges = append(corners, s.Corner()), append(edges, s.Edge())
	}
	for {
		r := cube.Solved
		swaps, twist, flip := 0, 0, 0
		shuffled := func(n int) []int {
			order := random.Perm(n)
			for i := range order {
				for j := range i {
					if order[j] > order[i] {
						swaps++
					}
				}
			}
			return order
		}
		for i, from := range shuffled(len(corners)) {
			r.Corners[corners[i]] = cube.CornerAs(corners[from], random.IntN(3))
			twist += r.Corners[corners[i]].Twist()
		}
		for i, from := range shuffled(len(edges)) {
			r.Edges[edges[i]] = cube.EdgeAs(edges[from], random.IntN(2))
			flip += r.Edges[edges[i]].Flip()
		}
		state := Look(r)
		if swaps%2 == 0 && twist%3 == 0 && flip%2 == 0 && slices.Equal(state.Cross, cross) && slices.Equal(state.Open, open) {
			return r
		}
	}
}

// unsolvedByStickers says what is unsolved with the cross down, from the stickers alone:
// where cross edges are missing, and the slots that are open.
func unsolvedByStickers(s cubetest.Stickers) (cross, open []string) {
	// solved says that a sticker has the colour of its side's centre.
	solved := func(piece string) bool {
		for i := range piece {
			name := piece[i:] + piece[:i]
			centre := cubetest.Cell(int(s[cubetest.Number(name[:1])]))
			if cubetest.Cell(int(s[cubetest.Number(name)]))[:1] != centre {
				return false
			}
		}
		return true
	}
	for _, edge := range []string{"DF", "DL", "DB", "DR"} {
		if !solved(edge) {
			cross = append(cross, edge)
		}
	}
	for _, slot := range []string{"FR", "FL", "BL", "BR"} {
		if !solved(slot) || !solved("D"+slot) {
			open = append(open, slot)
		}
	}
	return cross, open
}

// The rotations that bring each face down, in the order of the interface.
var holdNames = []string{"", "x2", "x'", "x", "z", "z'"}

// What is unsolved is what the stickers show, whatever is, on whatever face the cross was
// and however the puzzle is held: it is seen in the hold in which most of a cross is down.
func TestUnsolvedIsWhatTheStickersShow(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(12, 1))
	letters := strings.NewReplacer("white", "U", "yellow", "D", "orange", "L", "red", "R", "green", "F", "blue", "B", "-", "")
	bottoms, kinds, none := map[string]int{}, map[[2]int]int{}, 0
	for lacking := range 5 {
		for opened := range Slots + 1 {
			if lacking == 0 && opened < 2 {
				continue
			}
			for range 60 {
				var cross []cube.EdgePlace
				var open []Slot
				for _, i := range slices.Sorted(slices.Values(random.Perm(4)[:lacking])) {
					cross = append(cross, cube.DF+cube.EdgePlace(i))
				}
				for _, i := range slices.Sorted(slices.Values(random.Perm(Slots)[:opened])) {
					open = append(open, Slot(i))
				}
				// With another colour at the bottom, and then laid on any side.
				c := cube.Hold(random.IntN(cube.Holds)).Cube().Then(mixed(random, cross, open)).Then(cube.Hold(random.IntN(cube.Holds)).Cube())
				_, err := Find(c, nil)
				stickers := cubetest.Of(c)
				var best struct {
					hold        string
					cross, open []string
				}
				for i, hold := range holdNames {
					cross, open := unsolvedByStickers(stickers.Do(cubetest.Sequence(t, hold)))
					if len(cross) == 0 && len(open) < 2 {
						require.NoError(t, err)
						best.open = nil
						break
					}
					if n, m := len(cross), len(best.cross); i == 0 || n < m || n == m && len(open) < len(best.open) {
						best.hold, best.cross, best.open = hold, cross, open
					}
				}
				if err == nil {
					continue
				}
				var unsolved *UnsolvedError
				require.True(t, errors.As(err, &unsolved))
				require.Equal(t, best.hold, unsolved.Hold.Turns().String())
				held := stickers.Do(cubetest.Sequence(t, best.hold))
				require.Equal(t, held, cubetest.Of(unsolved.Cube))
				require.Equal(t, best.cross, texts(unsolved.Cross))
				require.Equal(t, best.open, texts(unsolved.Open))
				said := err.Error()
				bottom := cubetest.Cell(int(held[cubetest.Number("D")]))
				require.Equal(t, bottom, letters.Replace(unsolved.Bottom()))
				for i, edge := range unsolved.Edges() {
					at, facing := edge.At.String(), edge.Facing.String()
					other := strings.Replace(at, facing, "", 1)
					piece := cubetest.Cell(int(held[cubetest.Number(facing+other)]))
					colours := edge.Colours(unsolved.Bottom())
					require.Equal(t, piece, letters.Replace(colours), "%s: %s at %s", said, colours, at)
					// It is the one that is missing at the place.
					require.Equal(t, cubetest.Cell(int(held[cubetest.Number(best.cross[i][1:])])), piece[1:])
					if len(best.cross) < 4 {
						require.Contains(t, said, colours)
					}
				}
				if len(best.cross) == 4 {
					none++
					require.Contains(t, said, "no face has a cross edge in its place")
				} else {
					for _, s := range []string{"FR", "FL", "BL", "BR"} {
						if len(best.open) < Slots {
							require.Equal(t, slices.Contains(best.open, s), strings.Contains(said, s), said)
						}
					}
				}
				bottoms[bottom]++
				kinds[[2]int{len(best.cross), len(best.open)}]++
			}
		}
	}
	assert.Len(t, bottoms, cube.Faces, "the cross was of every colour")
	// Without two edges of one cross, another has as many where its slots are filled.
	for _, kind := range [][2]int{{0, 2}, {0, 3}, {0, 4}, {1, 0}, {1, 1}, {1, 2}, {1, 3}, {1, 4}, {2, 2}, {2, 3}, {2, 4}, {3, 4}} {
		assert.Greater(t, kinds[kind], 10, "%d edges of the cross, %d slots", kind[0], kind[1])
	}
	assert.Positive(t, none, "no cross at all")
}

func texts[T fmt.Stringer](things []T) (names []string) {
	for _, thing := range things {
		names = append(names, thing.String())
	}
	return names
}
