package main

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
	"slotcast/server/store/storetest"
	"slotcast/web/webtest"
)

// The routes of 5,000 random positions with two slots open, every pair of slots, the cross of
// any colour and on any side, for somebody with uneven ratings, from one program on either
// database in turn: on stickers, each first step leaves the case that is named and each route
// orients the top. The definition is cubetest's stickers. Some positions are asked of both,
// which answer the same.
func TestRoutesOfRandomPositions(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	var programs []*started
	var people []*writer
	for _, address := range []string{filepath.Join(t.TempDir(), "slotcast.db"), storetest.StartPostgres(t, true).NewDatabase(t)} {
		program := start(t, binaryCommand(t, "-listen", "127.0.0.1:0", "-rate", "0", "-database", address))
		w := &writer{}
		said, err := w.call(t.Context(), "POST", program.url+"/api/v1/profiles", "")
		require.NoError(t, err)
		var made struct{ Key string }
		require.NoError(t, json.Unmarshal([]byte(said), &made))
		w.key = made.Key
		for oll := 1; oll < lastslot.Patterns; oll++ {
			_, err = w.call(t.Context(), "PUT", fmt.Sprintf("%s/api/v1/ratings/%d", program.url, oll), fmt.Sprintf(`{"recognise": %d, "execute": %d}`, 1+oll%5, 1+oll*7%5))
			require.NoError(t, err)
		}
		programs, people = append(programs, program), append(people, w)
	}
	cubetest.Each(t, 5000, 11, func(t *testing.T, i int) {
		random := rand.New(rand.NewPCG(51, uint64(i)))
		c := twoslots.CaseAt(random.IntN(twoslots.Cases))
		scramble := c.Scramble(cube.FaceD, random).In(lastslot.CrossHolds[i%len(lastslot.CrossHolds)].Inverse())
		asked := "/api/v1/routes?limit=5&view=" + []string{"all", "known"}[i/7%2] + "&scramble=" + url.QueryEscape(scramble.String())
		said, err := people[i%2].call(t.Context(), http.MethodGet, programs[i%2].url+asked, "")
		require.NoError(t, err)
		if i%53 == 0 {
			other, err := people[1-i%2].call(t.Context(), http.MethodGet, programs[1-i%2].url+asked, "")
			require.NoError(t, err)
			require.JSONEq(t, said, other, scramble)
		}
		var told struct {
			Hold   string
			Routes []struct {
				First      struct{ Turns string }
				Case, Slot string
				Last       struct{ Turns, Then, Sequence string }
			}
		}
		require.NoError(t, json.Unmarshal([]byte(said), &told), said)
		require.NotEmpty(t, told.Routes, scramble)
		// Seen so that the cross is of the bottom's colour.
		seen := cube.Join(cubetest.Sequence(t, told.Hold).Inverse(), scramble)
		start := cubetest.Solved.Do(seen)
		for _, r := range told.Routes {
			slot, err := lastslot.ParseSlot(r.Slot)
			require.NoError(t, err)
			left, err := lastslot.Find(scramble.Cube().Do(cubetest.Sequence(t, told.Hold+" "+r.First.Turns)), &slot)
			require.NoError(t, err, "%s: %s", scramble, r.First.Turns)
			require.Equal(t, cube.Hold(0), left.Hold)
			require.Equal(t, r.Case, left.Case.Code())
			whole := cubetest.Sequence(t, strings.Join([]string{told.Hold, r.First.Turns, r.Last.Turns, r.Last.Then, r.Last.Sequence}, " "))
			if end := start.Do(whole); !end.FirstTwoLayersAndTop(cube.Join(seen, whole).Cube().Hold()) {
				t.Fatalf("%s: %s does not orient the top", scramble, whole)
			}
		}
	})
	for _, program := range programs {
		program.stop(t)
	}
}
