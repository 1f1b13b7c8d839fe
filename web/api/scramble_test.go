package api_test

import (
	"encoding/json"
	"math/rand/v2"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
	"slotcast/web/query"
	"slotcast/web/webtest/site"
)

// A practice scramble is turned on plain stickers, and its forecast is that of the
// case it was asked for; asked twice it is another.
func TestPracticeScramble(t *testing.T) {
	t.Parallel()
	handler := site.NewHandler(t)
	for index := 11; index < lastslot.Cases; index += 5_003 {
		c := lastslot.CaseAt(index)
		scrambles := map[string]bool{}
		for range 3 {
			got, body := site.Ask(t, handler, http.MethodGet, "/api/v1/practice-scramble?case="+c.Code())
			require.Equal(t, http.StatusOK, got.StatusCode, body)
			assert.Equal(t, "no-store", got.Header.Get("Cache-Control"))
			var answer struct{ Scramble string }
			require.NoError(t, json.Unmarshal([]byte(body), &answer))
			scrambles[answer.Scramble] = true

			turns, err := cube.Parse(answer.Scramble)
			require.NoError(t, err)
			require.Equal(t, cubetest.Of(turns.Cube()), cubetest.Solved.Do(turns))
			got, body = site.Ask(t, handler, http.MethodGet, "/api/v1/forecast?limit=1&slot="+c.Slot.String()+"&scramble="+url.QueryEscape(answer.Scramble))
			require.Equal(t, http.StatusOK, got.StatusCode, body)
			var found struct{ Case, Hold, Slot string }
			require.NoError(t, json.Unmarshal([]byte(body), &found))
			assert.Equal(t, c.Code(), found.Case)
			assert.Empty(t, found.Hold)
			assert.Equal(t, c.Slot.String(), found.Slot)
		}
		assert.Greater(t, len(scrambles), 1)
	}
}

// So it is with two slots open, of any pair, the cross of any colour; the routes are those of the
// case that was asked for.
func TestPracticeScrambleOfTwoSlots(t *testing.T) {
	t.Parallel()
	handler := site.NewHandler(t)
	random, step := rand.New(rand.NewPCG(91, 92)), cubetest.Stride(t, 4)
	for open := range twoslots.Opens {
		c := twoslots.CaseAt(open*twoslots.CasesPerOpen + random.IntN(twoslots.CasesPerOpen))
		for face, colour := range query.CrossColours {
			if face%step != 0 {
				continue
			}
			got, body := site.Ask(t, handler, http.MethodGet, "/api/v1/practice-scramble?case="+strings.ToLower(c.Code())+"&cross="+colour)
			require.Equal(t, http.StatusOK, got.StatusCode, body)
			var answer struct{ Scramble string }
			require.NoError(t, json.Unmarshal([]byte(body), &answer))
			turns, err := cube.Parse(answer.Scramble)
			require.NoError(t, err)
			assert.LessOrEqual(t, turns.Count(), 22)
			asked := "/api/v1/routes?limit=1&open=" + c.Open.String() + "&scramble=" + url.QueryEscape(answer.Scramble)
			// Pieces that are solved by chance may make another cross, and of several the one
			// that is down as the puzzle is held is taken.
			if hold := lastslot.CrossHold(cube.Face(face)).Turns(); len(hold) > 0 {
				asked += "&solution=" + url.QueryEscape(hold.String())
			}
			got, body = site.Ask(t, handler, http.MethodGet, asked)
			require.Equal(t, http.StatusOK, got.StatusCode, body)
			var found struct{ Case, Hold string }
			require.NoError(t, json.Unmarshal([]byte(body), &found))
			assert.Equal(t, c.Code(), found.Case, "%s cross: %s", colour, answer.Scramble)
			assert.Empty(t, found.Hold)
		}
	}
	for _, wrong := range []string{"0000001", "00000001"} {
		got, body := site.Ask(t, handler, http.MethodGet, "/api/v1/practice-scramble?case="+wrong)
		assert.Equal(t, http.StatusBadRequest, got.StatusCode)
		assert.Contains(t, body, `"field":"case"`)
	}
}

// The cross is on the face of the colour that is asked for, and the forecast finds the case
// after the rotation that brings it down.
func TestPracticeScrambleForEachCross(t *testing.T) {
	t.Parallel()
	handler := site.NewHandler(t)
	c := lastslot.CaseAt(54_321)
	// The rotations are those of the description of hold: the cross up is x2, in front x',
	// and so on, with white on top and green in front.
	for colour, hold := range map[string]string{"yellow": "", "white": "x2", "green": "x'", "blue": "x", "red": "z", "orange": "z'"} {
		got, body := site.Ask(t, handler, http.MethodGet, "/api/v1/practice-scramble?case="+c.Code()+"&cross="+colour)
		require.Equal(t, http.StatusOK, got.StatusCode, body)
		var answer struct{ Scramble string }
		require.NoError(t, json.Unmarshal([]byte(body), &answer))
		got, body = site.Ask(t, handler, http.MethodGet, "/api/v1/forecast?limit=1&scramble="+url.QueryEscape(answer.Scramble))
		require.Equal(t, http.StatusOK, got.StatusCode, body)
		var found struct{ Case, Hold string }
		require.NoError(t, json.Unmarshal([]byte(body), &found))
		assert.Equal(t, c.Code(), found.Case, colour)
		assert.Equal(t, hold, found.Hold, colour)
	}
	_, body := site.Ask(t, handler, http.MethodGet, "/api/v1/practice-scramble?case="+c.Code()+"&cross=pink")
	assert.Contains(t, body, `"field":"cross"`)
}

func TestPracticeScrambleNeedsOneCase(t *testing.T) {
	t.Parallel()
	handler := site.NewHandler(t)
	for _, query := range []string{"", "?case=", "?case=11111", "?case=1T0WT&case=1T0WT"} {
		got, body := site.Ask(t, handler, http.MethodGet, "/api/v1/practice-scramble"+query)
		assert.Equal(t, http.StatusBadRequest, got.StatusCode, query)
		assert.Contains(t, body, `"field":"case"`, query)
	}
}
