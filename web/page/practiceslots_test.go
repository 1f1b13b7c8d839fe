package page_test

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/practice"
	"slotcast/forecast/twoslots"
	"slotcast/web/webtest/site"
)

// Which slot to fill first: what is right is what the interface ranks first, or as good, and
// each answer fills its slot as it says.
func TestPracticeWhichSlotFirst(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	for address, adjacent := range map[string][]bool{"/practice?exercise=slots&seed=4": {true, false}, "/practice?exercise=slots&set=opposite&seed=4": {false}} {
		page := s.Ask("GET", address, "", "")
		require.Equal(t, http.StatusOK, page.Code)
		cards := cardsOf(site.PageOf(t, page.ResponseRecorder))
		codes := linkedItems(t, page.Body.String())
		require.Len(t, cards, 10)
		require.Len(t, codes, 10)
		for n, card := range cards {
			c, err := twoslots.ParseCode(codes[n])
			require.NoError(t, err)
			assert.Contains(t, adjacent, c.Open.Adjacent())
			assert.Equal(t, string(practice.OpenItem(c.Open)), site.Attribute(card, "data-item"))
			answers := answersOf(card)
			require.GreaterOrEqual(t, len(answers), 2)
			require.LessOrEqual(t, len(answers), 4)
			ranked := s.Ask("GET", "/api/v1/routes?limit=100&view=known&case="+codes[n], "", "").Must(t)["routes"].([]any)
			if len(ranked) == 0 {
				continue // from everything, then
			}
			best := ranked[0].(map[string]any)
			first := best["first"].(map[string]any)["turns"].(string)
			right, named := 0, false
			for _, a := range answers {
				if isRight(a) {
					right++
				}
				named = named || strings.Contains(site.Words(a), ": "+first) || first == "" && strings.Contains(site.Words(a), ": nothing")
			}
			assert.GreaterOrEqual(t, right, 1)
			assert.True(t, named, "%s is to be chosen in %s", first, codes[n])
			assert.Contains(t, site.Attribute(card, "data-answer"), ": ")
		}
	}
	assert.Equal(t, http.StatusBadRequest, s.Ask("GET", "/practice?exercise=slots&items=11111", "", "").Code)

	// A result is of the pair of slots; others are refused.
	key := s.NewKey(t)
	result := func(item string) site.Answer {
		return s.Ask("POST", "/api/v1/results", key, `{"results": [{"id": "AAAAAAAAAAAAAAAAAAAAAA", "exercise": "slots", "item": "`+item+`", "at": "2026-03-01T12:00:00Z", "seconds": 2, "right": true}]}`)
	}
	result("FR,FR").Refused(t, http.StatusUnprocessableEntity)
	result("FR").Refused(t, http.StatusUnprocessableEntity)
	result("bl,fr").Must(t)
	assert.Contains(t, s.Export(t, key), `"item":"FR,BL"`)
	assert.Contains(t, s.Ask("GET", "/practice?exercise=slots", key, "").Body.String(), "You chose right in 1 of 1 cases.")
	assert.Contains(t, s.Ask("GET", "/practice/results", key, "").Body.String(), "Front right and back left first slot chosen")
}
