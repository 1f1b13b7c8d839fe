package page_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// A level is marked at once, at one place or at all places of a slot; what is marked is in
// the lists as known, and the usual ones can be taken back with it.
func TestLevelsAreMarkedAtOnce(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	known := func() (of map[string]int) {
		of = map[string]int{}
		for _, p := range s.Ask("GET", "/api/v1/learning/places?slot=FR", s.cookie.Value, "").Must(t)["places"].([]any) {
			place := p.(map[string]any)
			of[place["place"].(string)] = int(place["known_lessons"].(float64))
		}
		return of
	}
	require.Equal(t, http.StatusSeeOther, s.post("/learn/marks", "place", easyPlace, "level", "2", "mark", "know").Code)
	before := known()
	assert.Equal(t, 3, before[easyPlace], "the usual one and two more")
	for place, n := range before {
		if place != easyPlace && place != "FR-DFR.D-FR.F" {
			assert.Equal(t, 1, n, "%s: the usual one", place)
		}
	}

	marked := s.post("/learn/marks", "slot", "FR", "level", "2", "mark", "know")
	require.Equal(t, http.StatusSeeOther, marked.Code)
	assert.Equal(t, "/learn?slot=FR", marked.Header().Get("Location"))
	for place, n := range known() {
		assert.GreaterOrEqual(t, n, 3, place)
	}
	assert.Contains(t, s.get("/learn?slot=FR").Body.String(), "Level 2 of every place")
	assert.NotContains(t, s.get("/learn?slot=FR").Body.String(), "I know all of it: Level 2", "nothing is left to mark")

	require.Equal(t, http.StatusSeeOther, s.post("/learn/marks", "place", easyPlace, "level", "1", "mark", "forget").Code)
	assert.Less(t, known()[easyPlace], before[easyPlace]+1)
	assert.Contains(t, s.exported(t), `"known": false`)
	export := s.exported(t)
	require.Equal(t, http.StatusSeeOther, s.post("/learn/marks", "place", "FL-"+strings.TrimPrefix("FL-UFL.L-UF.F", "FL-"), "level", "4", "mark", "forget").Code)
	assert.Equal(t, export, s.exported(t), "nothing of it was known")
}

func TestBadMarksOfLevels(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	for _, bad := range []struct {
		fields []string
		says   string
	}{
		{[]string{"slot", "FR", "level", "0", "mark", "know"}, "1 to 4"},
		{[]string{"slot", "FR", "level", "x", "mark", "know"}, "1 to 4"},
		{[]string{"slot", "FR", "level", "1", "mark", "love"}, "know or forget"},
		{[]string{"level", "1", "mark", "know"}, "a slot is FR, FL, BL or BR"},
		{[]string{"place", "FR-nowhere", "level", "1", "mark", "know"}, "FR-nowhere"},
	} {
		answer := s.post("/learn/marks", bad.fields...)
		assert.Equal(t, http.StatusBadRequest, answer.Code, bad.fields)
		assert.Contains(t, answer.Body.String(), bad.says, fmt.Sprint(bad.fields))
	}
}

// One tap says how fast one is: it sets the speed and the seconds of recognising, and is
// asked no more.
func TestOneTapSaysThePace(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	const example = "/case/1T0WT"
	assert.Contains(t, s.get(example).Body.String(), "Your average")
	seconds := func() (insert, recognise float64) {
		o := s.Forecast(t, s.cookie.Value, "case=1T0WT&view=known").Options[0]
		return o.Seconds.Insert, o.Seconds.Recognise
	}
	for _, average := range []struct {
		value            string
		speed, recognise float64
	}{{"under-10", 1, 0.4}, {"10-to-15", 1.2, 0.47}, {"15-to-25", 1.5, 0.55}, {"over-25", 2.2, 0.8}} {
		answer := s.post("/profile/average", "average", average.value, "back", example)
		require.Equal(t, http.StatusSeeOther, answer.Code)
		require.Equal(t, example, answer.Header().Get("Location"))
		insert, recognise := seconds()
		assert.InDelta(t, average.speed*1.05, insert, 0.002, "1.05 s is the estimate for U F' U' F U F' U2 F, to the rounding of its parts")
		assert.Equal(t, average.recognise, recognise)
		assert.NotContains(t, s.get(example).Body.String(), "Your average")
	}
	refused := s.post("/profile/average", "average", "9")
	assert.Equal(t, http.StatusBadRequest, refused.Code)
	assert.Contains(t, refused.Body.String(), "under-10, 10-to-15, 15-to-25, over-25")
}
