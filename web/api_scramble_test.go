package web

import (
	"encoding/json"
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
)

// A practice scramble is turned on plain stickers, and its forecast is that of the
// case it was asked for; asked twice it is another.
func TestPracticeScramble(t *testing.T) {
	handler := newHandler(t)
	for index := 11; index < lastslot.Cases; index += 5_003 {
		c := lastslot.CaseAt(index)
		scrambles := map[string]bool{}
		for range 3 {
			got, body := ask(t, handler, http.MethodGet, "/api/v1/practice-scramble?case="+c.Code())
			require.Equal(t, http.StatusOK, got.StatusCode, body)
			assert.Equal(t, "no-store", got.Header.Get("Cache-Control"))
			var answer struct{ Scramble string }
			require.NoError(t, json.Unmarshal([]byte(body), &answer))
			scrambles[answer.Scramble] = true

			turns, err := cube.Parse(answer.Scramble)
			require.NoError(t, err)
			require.Equal(t, cubetest.Of(turns.Cube()), cubetest.Solved.Do(turns))
			got, body = ask(t, handler, http.MethodGet, "/api/v1/forecast?limit=1&slot="+c.Slot.String()+"&scramble="+url.QueryEscape(answer.Scramble))
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

func TestPracticeScrambleNeedsOneCase(t *testing.T) {
	handler := newHandler(t)
	for _, query := range []string{"", "?case=", "?case=11111", "?case=1T0WT&case=1T0WT"} {
		got, body := ask(t, handler, http.MethodGet, "/api/v1/practice-scramble"+query)
		assert.Equal(t, http.StatusBadRequest, got.StatusCode, query)
		assert.Contains(t, body, `"field":"case"`, query)
	}
}
