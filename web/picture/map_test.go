package picture

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/facts"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/web/words"
)

var (
	mapShape = regexp.MustCompile(`<rect class="(tile|hollow|tab)" x="(-?\d+)" y="(-?\d+)" width="(\d+)" height="(\d+)"`)
	mapGoes  = regexp.MustCompile(`^(the slot|[A-Z]+) (?:to ([A-Z]+)|stays), up comes what faces (\w+)$`)
	mapArrow = regexp.MustCompile(`<path class="map-arrow`)
)

// readMap reads a map back from its shapes: for each spot with a last-layer piece,
// the side where the sticker is that comes up.
func readMap(t *testing.T, picture string, s facts.Facts, corners bool) map[int]cube.Face {
	t.Helper()
	number := func(text string) int {
		n, err := strconv.Atoi(text)
		require.NoError(t, err)
		return n
	}
	grid := mapGrid{s.Slot}
	type tab struct{ x, y int }
	var tabs []tab
	sides := map[int]cube.Face{}
	var hollow []int
	for _, shape := range mapShape.FindAllStringSubmatch(picture, -1) {
		x, y := number(shape[2])+number(shape[4])/2, number(shape[3])+number(shape[5])/2
		if shape[1] == "tab" {
			tabs = append(tabs, tab{x, y})
			continue
		}
		for spot := range lastslot.Spots {
			atX, atY := grid.at(spot, corners)
			if atX != x || atY != y {
				continue
			}
			if shape[1] == "tile" {
				sides[spot] = cube.FaceU
			} else {
				hollow = append(hollow, spot)
			}
		}
	}
	require.Len(t, tabs, len(hollow))
	for i, spot := range hollow {
		x, y := grid.at(spot, corners)
		dx, dy := tabs[i].x-x, tabs[i].y-y
		switch {
		case dx == 0 && dy == 0:
			sides[spot] = cube.FaceD
		case dx > 0:
			sides[spot] = cube.FaceR
		case dx < 0:
			sides[spot] = cube.FaceL
		case dy > 0:
			sides[spot] = cube.FaceF
		default:
			sides[spot] = cube.FaceB
		}
	}
	return sides
}

// Picture and words of a map say what plain stickers do: which sticker of each
// last-layer piece comes up, and where.
func TestMapsAreThoseOfTheStickers(t *testing.T) {
	t.Parallel()
	book := forecasttest.Book()
	random := rand.New(rand.NewPCG(3, 5))
	face := func(letter string) cube.Face { return cube.Face(strings.Index("UDLRFB", letter)) }
	for range 300 / cubetest.Stride(t, 10) {
		c := lastslot.CaseAt(random.IntN(lastslot.Cases))
		options := book.For(forecast.Anyone()).Forecast(forecast.Request{Case: c})
		o := options[random.IntN(len(options))]
		slot, turns := o.Insertion(c.Slot)
		if len(turns) == 0 {
			continue
		}
		i, err := lastslot.NewInsertion(slot, turns)
		require.NoError(t, err)
		s := facts.Of(i)
		after := cubetest.Solved.Do(turns)
		for _, corners := range []bool{true, false} {
			places := map[string]string{}
			up := map[string]string{} // sides of the stickers that come up, by where they were
			for spot := range lastslot.InSlot {
				to := cube.EdgePlace(spot).String()
				if corners {
					to = cube.CornerPlace(spot).String()
				}
				from := cubetest.Cell(int(after[cubetest.Number(to)]))
				name := "the slot"
				for _, known := range append(words.CornerSpots[:4], words.EdgeSpots[:4]...) {
					if len(known) == len(from) && strings.Trim(from, known) == "" {
						name = known
					}
				}
				places[name], up[name] = to, face(from[:1]).Words()
			}
			said := strings.Split(strings.SplitN(mapWords(s, corners), ": ", 2)[1], "; ")
			arrows := 0
			if spot := map[bool]int{true: s.Corner, false: s.Edge}[corners]; spot != lastslot.InSlot {
				arrows++
				assert.Contains(t, said[0], " to the slot")
			}
			read := map[string]string{}
			for _, part := range said[1:] {
				found := mapGoes.FindStringSubmatch(part)
				require.NotNil(t, found, part)
				to := found[2]
				if to == "" {
					to = found[1]
				} else {
					arrows++
				}
				require.Equal(t, places[found[1]], to, "%s: %s", turns, part)
				read[found[1]] = found[3]
			}
			require.Equal(t, up, read, "%s", turns)

			picture := Map(s, corners)
			assert.Len(t, mapArrow.FindAllString(picture, -1), arrows)
			sides := map[string]string{}
			for spot, side := range readMap(t, picture, s, corners) {
				name := "the slot"
				if spot != lastslot.InSlot {
					name = words.EdgeSpots[spot]
					if corners {
						name = words.CornerSpots[spot]
					}
				}
				sides[name] = side.Words()
			}
			require.Equal(t, up, sides, "%s", turns)
		}
	}
}

// A map lies within its picture, wherever the slot is.
func TestMapsStayInside(t *testing.T) {
	t.Parallel()
	for slot := range lastslot.Slot(lastslot.Slots) {
		for spot := range lastslot.Spots {
			for _, corners := range []bool{true, false} {
				x, y := mapGrid{slot}.at(spot, corners)
				reach := mapTile/2 + 8
				assert.True(t, x >= reach && y >= reach && x <= mapSide-reach && y <= mapSide-reach, fmt.Sprint(slot, spot, corners))
			}
		}
	}
}
