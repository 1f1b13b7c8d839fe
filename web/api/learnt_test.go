package api_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/web/webtest/site"
)

// Who has learnt ten algorithms gets all looks that each pattern takes: after then and
// sequence the whole top is oriented, the looks make both up, and no total is less than that
// of who has learnt all. Pattern by pattern it comes to the same.
func TestAForecastForTenAlgorithms(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	all, ten, own := s.NewKey(t), s.NewKey(t), s.NewKey(t)
	s.Ask("PUT", "/api/v1/preferences/learnt", ten, `{"value": "ten"}`).Must(t)
	s.Ask("PUT", "/api/v1/preferences/learnt", own, `{"value": "own"}`).Must(t)
	for _, oll := range []string{"2", "44", "45", "21", "22", "23", "24", "25", "26", "27"} {
		answer := s.Ask("PATCH", "/api/v1/ratings/"+oll, own, `{"learnt": true}`)
		assert.Equal(t, true, answer.Must(t)["learnt"])
	}
	looked, step := 0, 9973*cubetest.Stride(t, 3)
	for i := 0; i < lastslot.Cases; i += step {
		c := lastslot.CaseAt(i)
		address := "/api/v1/forecast?limit=500&case=" + c.Code()
		answer := s.Ask("GET", address, ten, "")
		assert.JSONEq(t, answer.Body.String(), s.Ask("GET", address, own, "").Body.String())
		less := map[string]float64{}
		total := func(o map[string]any) float64 { return o["seconds"].(map[string]any)["total"].(float64) }
		for _, o := range s.Ask("GET", address, all, "").Must(t)["options"].([]any) {
			o := o.(map[string]any)
			less[o["turns"].(string)] = total(o)
			assert.NotContains(t, o, "looks")
		}
		start := cubetest.Of(c.Cube())
		for _, o := range answer.Must(t)["options"].([]any) {
			o := o.(map[string]any)
			turns := cube.Join(site.MustParse(t, o["turns"].(string)), site.MustParse(t, o["then"].(string)), site.MustParse(t, o["sequence"].(string)))
			require.True(t, start.Do(turns).FirstTwoLayersAndTop(turns.Cube().Hold()), "%v", o)
			if least, ok := less[o["turns"].(string)]; ok {
				require.GreaterOrEqual(t, total(o), least)
			}
			if looks, ok := o["looks"].([]any); ok {
				looked++
				var made cube.Sequence
				for _, look := range looks {
					look := look.(map[string]any)
					made = cube.Join(made, site.MustParse(t, look["then"].(string)), site.MustParse(t, look["sequence"].(string)))
				}
				require.Equal(t, cube.Join(site.MustParse(t, o["then"].(string)), site.MustParse(t, o["sequence"].(string))), made)
			}
		}
	}
	assert.Positive(t, looked)
}

// What nothing learnt solves is said, and comes last.
func TestGapsComeLast(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	s.Ask("PUT", "/api/v1/preferences/learnt", key, `{"value": "own"}`).Must(t)
	s.Ask("PATCH", "/api/v1/ratings/27", key, `{"learnt": true}`).Must(t)
	options := s.Ask("GET", "/api/v1/forecast?limit=500&case="+lastslot.CaseAt(7).Code(), key, "").Must(t)["options"].([]any)
	gaps := 0
	for i, o := range options {
		o := o.(map[string]any)
		edges := o["leaves"].(map[string]any)["edges"]
		assert.Equal(t, edges != "cross", o["gap"] == true, "sunes solve every cross")
		if o["gap"] == true {
			gaps++
			assert.Greater(t, o["seconds"].(map[string]any)["total"], 3600.0)
		} else {
			assert.Equal(t, 0, gaps, "%d", i)
		}
	}
	assert.Positive(t, gaps)
}

// What is learnt is exported and read again, taken back with what was given for a pattern, and
// refused where there is nothing to learn.
func TestLearntIsKept(t *testing.T) {
	t.Parallel()
	for name, database := range databases(t) {
		t.Run(name, func(t *testing.T) {
			s := site.At(t, database, "")
			key, other := s.NewKey(t), s.NewKey(t)
			s.Ask("PATCH", "/api/v1/ratings/27", key, `{"learnt": true, "execute": 4}`).Must(t)
			s.Ask("PATCH", "/api/v1/ratings/1", key, `{"learnt": false}`).Must(t)
			const given = `{"ratings": [{"oll": 1, "learnt": false}, {"oll": 27, "execute": 4, "learnt": true}]}`
			assert.JSONEq(t, given, s.Ask("GET", "/api/v1/ratings", key, "").Body.String())
			require.Equal(t, http.StatusNoContent, s.Ask("POST", "/api/v1/import", other, s.Export(t, key)).Code)
			assert.JSONEq(t, given, s.Ask("GET", "/api/v1/ratings", other, "").Body.String())
			assert.Equal(t, http.StatusNoContent, s.Ask("DELETE", "/api/v1/ratings/27/execute", key, "").Code)
			assert.Equal(t, http.StatusNoContent, s.Ask("DELETE", "/api/v1/ratings/1", key, "").Code)
			assert.JSONEq(t, `{"ratings": [{"oll": 27, "learnt": true}]}`, s.Ask("GET", "/api/v1/ratings", key, "").Body.String())
			field, _ := s.Ask("PATCH", "/api/v1/ratings/0", key, `{"learnt": true}`).Refused(t, http.StatusBadRequest)
			assert.Equal(t, "learnt", field)
			s.Ask("PUT", "/api/v1/preferences/learnt", key, `{"value": "eleven"}`).Refused(t, http.StatusBadRequest)
			s.Ask("POST", "/api/v1/import", key, `{"format": "slotcast", "version": 5, "ratings": [{"oll": 58, "learnt": true}]}`).Refused(t, http.StatusBadRequest)
		})
	}
}
