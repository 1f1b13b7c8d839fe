package learn

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/lastslot/lastslottest"
)

// way is one row of turns that a person knows for a place as it stands.
type way struct {
	turns    cubetest.Stickers
	insert   time.Duration
	followed int
}

// The average of what is known at every place of every slot is the mean of the best
// total over all its cases, each known insertion done with plain stickers after every AUF
// in every case: in a full run all 129,600 cases, four times for each insertion that the
// person knows for their place. Persons: a fresh visitor, one who does slots at the back from
// the front and tracks two pieces, and one with a book of their own.
func TestAveragesAreThoseOfTheStickers(t *testing.T) {
	t.Parallel()
	front := tracking(forecast.Anyone(), 2)
	front.Usual = forecast.UsualFront
	everyone := map[string]*forecast.Person{"fresh visitor": forecast.Anyone(), "from the front, tracks two": front, "own book": rated(t)}
	byPlace := map[lastslot.Place][]lastslot.Case{}
	for i := range lastslot.Cases {
		c := lastslot.CaseAt(i)
		byPlace[c.Place()] = append(byPlace[c.Place()], c)
	}
	var places []lastslot.Place
	for slot := range lastslot.Slot(lastslot.Slots) {
		places = append(places, lastslot.Places(slot)...)
	}
	for name, person := range everyone {
		f := forecasttest.Book().For(person)
		tops := lastslottest.NewTops()
		cubetest.Each(t, len(places), 37, func(t *testing.T, n int) {
			p := places[n]
			list, err := Of(t.Context(), f, p)
			require.NoError(t, err)
			cases := byPlace[p]
			require.Len(t, cases, p.Cases())
			var ways []way
			if p.Solved() {
				ways = append(ways, way{turns: cubetest.Solved})
			}
			for _, l := range list.Lessons[:max(list.Known, list.Counted())] {
				spelled, err := lastslot.NewInsertion(l.Slot, l.Insertion)
				require.NoError(t, err)
				followed := 0
				if track := spelled.Map().Track(); track <= person.Track {
					followed = track
				}
				for quarters, auf := range lastslot.AUFs {
					ways = append(ways, way{cubetest.Solved.Do(cube.Join(l.Rotation, auf, l.Insertion)), l.Insert + f.AUF(quarters), followed})
				}
			}
			var sum time.Duration
			oriented, crosses := 0, 0
			for _, c := range cases {
				start, best := cubetest.Of(c.Cube()), time.Duration(1<<62)
				for _, way := range ways {
					var after cubetest.Stickers
					for i, from := range way.turns {
						after[i] = start[from]
					}
					if !firstTwoLayers(&after) {
						continue // it fits after another AUF
					}
					left := tops.Left(t, &after)
					best = min(best, way.insert+f.After(left, way.followed))
					if left.Pattern() == 0 {
						oriented++
					}
					if left.Edges() == lastslot.Cross {
						crosses++
					}
				}
				require.Less(t, best, time.Hour, "nothing fits %s", c.Code())
				sum += best
			}
			assert.Equal(t, sum/time.Duration(len(cases)), list.Average, "%s: %s", name, p)
			// By luck alone, where nothing is chosen: all oriented in 1 of 216, edges in 1 of 8
			// (testdata/published/pattern_counts.tsv has the published counts).
			if list.Known == 1 && len(p.AUFs()) > 1 {
				assert.Equal(t, len(cases)/216, oriented, "%s", p)
				assert.Equal(t, len(cases)/8, crosses, "%s", p)
			}
		})
	}
}

// below has each sticker of the two layers beneath the top, with the centre of its face.
var below = func() (pairs [][2]int) {
	for i := range 54 {
		if cell := cubetest.Cell(i); len(cell) > 1 && !strings.Contains(cell, "U") {
			pairs = append(pairs, [2]int{i, cubetest.Number(cell[:1])})
		}
	}
	return pairs
}()

// firstTwoLayers says whether what is below the top is solved, in whatever hold by y.
func firstTwoLayers(after *cubetest.Stickers) bool {
	for _, pair := range below {
		if cubetest.Cell(int(after[pair[0]]))[0] != cubetest.Cell(int(after[pair[1]]))[0] {
			return false
		}
	}
	return true
}
