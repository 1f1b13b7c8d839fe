package picture

import (
	"errors"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
)

// What is not before the last slot is drawn as plain stickers have it, from the front and,
// where something unsolved would be out of sight, from behind; open slots are marked, and
// the edges that the cross misses, wherever they are.
func TestPicturesOfTheUnsolvedAreThoseOfTheStickers(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(12, 2))
	// What opens a slot, with the cross down, and what breaks crosses.
	opens := []string{"R U R'", "L' U' L", "L U L'", "R' U' R", "F R' F' R", "D R D'", "R U2 L F2", "D' L2 U B"}
	all := allStickers()
	pictures := map[int]int{}
	for range 600 {
		turns := cube.Hold(random.IntN(cube.Holds)).Turns()
		for range 2 + random.IntN(3) {
			turns = cube.Join(turns, cubetest.Sequence(t, opens[random.IntN(len(opens))]), cube.Sequence{cube.TurnOf(cube.U, 1+random.IntN(3))})
		}
		var unsolved *lastslot.UnsolvedError
		if _, err := lastslot.Find(turns.Cube(), nil); !errors.As(err, &unsolved) {
			continue
		}
		// A reader with another colour on top has colours where they belong then.
		reader := cube.Hold(random.IntN(cube.Holds))
		u := Unsolved{Cube: unsolved.Cube, Cross: unsolved.Cross, Open: unsolved.Open}
		for f := range cube.Face(cube.Faces) {
			u.Colours[f] = reader.Face(f)
		}
		drawn := u.Pictures()
		pictures[len(drawn)]++
		sighted := map[string]bool{}
		for _, p := range drawn {
			stickers := cubetest.Solved.Do(cube.Join(turns, unsolved.Hold.Turns()))
			if p.Behind {
				stickers = stickers.Do(cubetest.Sequence(t, "y2"))
			}
			piece := func(place string) string { return cubetest.Cell(int(stickers[cubetest.Number(place)])) }
			centre := func(side string) string { return piece(side) }
			// solved says that each sticker of a place has the colour of its side's centre.
			solved := func(place string) bool {
				for i := range place {
					if piece(place[i:] + place[:i])[:1] != centre(place[i:i+1]) {
						return false
					}
				}
				return true
			}
			// missing are the pieces that belong where the cross is not solved, in any order
			// of their letters.
			var missing []string
			for _, place := range []string{"DF", "DL", "DB", "DR"} {
				if !solved(place) {
					missing = append(missing, centre("D")+centre(place[1:]), centre(place[1:])+centre("D"))
				}
			}
			shapes, count := p.shapesAt(), 0
			for name, s := range all {
				tile, seen := p.View.Tile(s)
				if !seen {
					continue
				}
				of := piece(name)
				last := strings.Contains(of, centre("U"))
				class := "seen-quiet "
				if last && of[:1] == centre("U") || !last && len(of) > 1 && !solved(name) {
					class = "seen-tile "
				}
				wanted := []string{class + colourClasses[reader.Face(cube.Face(strings.Index("UDLRFB", of[:1])))]}
				if slices.Contains(missing, of) {
					mark := "dot seen-hollow"
					if of[:1] == centre("D") {
						mark = "dot seen-solid"
					}
					wanted = append(wanted, mark)
					sighted["edge "+sorted(of)] = true
				}
				for _, slot := range []string{"FR", "FL", "BL", "BR"} {
					if in := sorted(name); (in == sorted(slot) || in == sorted("D"+slot)) && (!solved(slot) || !solved("D"+slot)) {
						wanted = append(wanted, "seen-open")
						sighted["slot "+sorted(centre(slot[:1])+centre(slot[1:]))] = true
					}
				}
				found := at(shapes, tile.middle())
				slices.Sort(found)
				slices.Sort(wanted)
				require.Equal(t, wanted, found, "%s: %s shows %s", turns, name, of)
				count += len(found)
			}
			drawnShapes := 0
			for _, s := range p.Shapes {
				if s.Class != bodyShape && s.Class != flapShape && s.Class != foldShape {
					drawnShapes++
				}
			}
			require.Equal(t, drawnShapes, count)
		}
		assert.Len(t, sighted, len(unsolved.Cross)+len(unsolved.Open), "%s: all that is unsolved is in sight", turns)
	}
	assert.Greater(t, pictures[1], 50)
	assert.Greater(t, pictures[2], 50)
}

// sorted has the letters in order.
func sorted(letters string) string {
	bytes := []byte(letters)
	slices.Sort(bytes)
	return string(bytes)
}

// From behind, the sides are named as they are from the front.
func TestSidesAreNamedFromBehind(t *testing.T) {
	t.Parallel()
	p := PositionOf(lastslot.Case{Slot: lastslot.FR, Corner: lastslot.InSlot, Edge: lastslot.InSlot}).Picture()
	names := func() (at []string) {
		for _, part := range strings.Split(p.Named(), "<text ")[1:] {
			_, name, _ := strings.Cut(part, ">")
			name, _, _ = strings.Cut(name, "<")
			at = append(at, name)
		}
		return at
	}
	assert.Equal(t, []string{"back", "left", "front", "right"}, names())
	p.Behind = true
	assert.Equal(t, []string{"front", "right", "back", "left"}, names())
}
