package api_test

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/web/webtest/site"
)

// A plan is asked for by a place or by one of its cases; who knows one insertion has none.
func TestPlan(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	c, err := lastslot.CheckInsertion(new(lastslot.FR), site.MustParse(t, "R U R'"))
	require.NoError(t, err)
	place := c.Case().Place()
	address := "/api/v1/plan?place=" + url.QueryEscape(place.String())
	s.Ask("GET", address, key, "").Refused(t, http.StatusNotFound)
	s.Ask("PUT", "/api/v1/own-insertions", key, `{"slot": "FR", "turns": "R U R' F R U R' U' F'", "known": true}`).Must(t)
	plan := s.Ask("GET", address, key, "").Must(t)
	assert.Equal(t, place.String(), plan["place"])
	assert.Equal(t, "R U R'", plan["predict"].(map[string]any)["turns"])
	assert.Equal(t, 5.0, plan["predict"].(map[string]any)["track"])
	assert.Equal(t, "R U R' F R U R' U' F'", plan["otherwise"].(map[string]any)["turns"])
	assert.NotEmpty(t, plan["accept"])
	seconds := plan["seconds"].(map[string]any)
	assert.Less(t, seconds["plan"], seconds["alone"])
	learning := s.Ask("GET", "/api/v1/learning?place="+url.QueryEscape(place.String()), key, "").Must(t)
	assert.GreaterOrEqual(t, seconds["alone"], learning["average"], "chosen among two by what they leave")
	assert.Equal(t, plan, s.Ask("GET", "/api/v1/plan?case="+c.Case().Turned(2).Code(), key, "").Must(t))

	for _, wrong := range []struct{ address, field string }{
		{"/api/v1/plan", "place"}, {"/api/v1/plan?place=FR", "place"}, {"/api/v1/plan?case=ZZZ", "case"},
		{address + "&case=" + c.Case().Code(), "case"}, {address + "&place=x", "place"}, {address + "&places=x", "places"},
	} {
		field, _ := s.Ask("GET", wrong.address, key, "").Refused(t, http.StatusBadRequest)
		assert.Equal(t, wrong.field, field, wrong.address)
	}
}
