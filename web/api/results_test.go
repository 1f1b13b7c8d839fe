package api_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/profile"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// resultJSON is a result as a device sends it, n minutes after noon.
func resultJSON(n int, exercise, item string, seconds float64, right bool) string {
	return fmt.Sprintf(`{"id": "%022d", "exercise": "%s", "item": "%s", "at": "%s", "seconds": %v, "right": %v}`,
		n, exercise, item, time.Date(2026, 3, 1, 12, n, 0, 0, time.UTC).Format(time.RFC3339), seconds, right)
}

func resultsJSON(results ...string) string {
	return `{"results": [` + strings.Join(results, ", ") + `]}`
}

func TestResultsAreCountedOnce(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	first := resultsJSON(resultJSON(1, "recognise", "27", 1, true), resultJSON(2, "recognise", "27", 1.6, true), resultJSON(3, "execute", "FR U (R U R')", 0.9, false))
	answer := s.Ask("POST", "/api/v1/results", key, first)
	assert.JSONEq(t, `{"counted": 3, "already": 0, "results": [
		{"id": "0000000000000000000001", "exercise": "recognise", "item": "27", "at": "2026-03-01T12:01:00Z", "seconds": 1, "right": true, "grade": 3},
		{"id": "0000000000000000000002", "exercise": "recognise", "item": "27", "at": "2026-03-01T12:02:00Z", "seconds": 1.6, "right": true, "grade": 2},
		{"id": "0000000000000000000003", "exercise": "execute", "item": "FR R U R'", "at": "2026-03-01T12:03:00Z", "seconds": 0.9, "right": false, "grade": 1}]}`, answer.Body.String())
	// The answer may be lost, and the same be sent again beside something new.
	again := s.Ask("POST", "/api/v1/results", key, resultsJSON(resultJSON(2, "recognise", "5", 9, false), resultJSON(4, "whole", "FR-UFR.R-UB.U", 4.5, true))).Must(t)
	assert.EqualValues(t, 1, again["counted"])
	assert.EqualValues(t, 1, again["already"])

	listed := s.Ask("GET", "/api/v1/results?exercise=recognise", key, "").Must(t)["results"].([]any)
	require.Len(t, listed, 2)
	assert.EqualValues(t, 1.6, listed[0].(map[string]any)["seconds"])
	assert.Len(t, s.Ask("GET", "/api/v1/results?item=27&before=0000000000000000000002", key, "").Must(t)["results"], 1)
	assert.Len(t, s.Ask("GET", "/api/v1/results?limit=3", key, "").Must(t)["results"], 3)

	// By hand: the median of 1 and 1.6, a quarter of the way in from both ends; right twice,
	// Good and then Hard on the same day, is due on the second or third day after.
	practised := func(exercise, item string) map[string]any {
		for _, one := range s.Ask("GET", "/api/v1/practised", key, "").Must(t)["practised"].([]any) {
			if one := one.(map[string]any); one["exercise"] == exercise && one["item"] == item {
				return one
			}
		}
		return nil
	}
	of := practised("recognise", "27")
	assert.EqualValues(t, 1.3, of["median"])
	assert.EqualValues(t, 1.15, of["from"])
	assert.EqualValues(t, 1.45, of["to"])
	assert.EqualValues(t, 2, of["counted"])
	assert.Contains(t, []string{"2026-03-03", "2026-03-04"}, of["due"])
	assert.Equal(t, "2026-03-02", practised("execute", "FR R U R'")["due"], "wrong: the next day")

	assert.Equal(t, http.StatusNoContent, s.Ask("DELETE", "/api/v1/results/0000000000000000000002", key, "").Code)
	assert.EqualValues(t, 1, practised("recognise", "27")["median"])
	withdrawn := func() any {
		return s.Ask("GET", "/api/v1/results?limit=2&exercise=recognise", key, "").Must(t)["results"].([]any)[0].(map[string]any)["withdrawn"]
	}
	assert.Equal(t, true, withdrawn())
	patch := func(body string) site.Answer {
		return s.Ask("PATCH", "/api/v1/results/0000000000000000000002", key, body)
	}
	for range 2 {
		assert.Equal(t, http.StatusNoContent, patch(`{"withdrawn": false}`).Code)
		assert.EqualValues(t, 1.3, practised("recognise", "27")["median"], "as before")
		assert.Nil(t, withdrawn())
	}
	for _, body := range []string{`{}`, `{"withdrawn": 1}`, `{"withdrawn": null}`} {
		assert.Equal(t, http.StatusBadRequest, patch(body).Code, body)
	}
	assert.Equal(t, http.StatusBadRequest, s.Ask("PATCH", "/api/v1/results/x", key, `{"withdrawn": false}`).Code)
	assert.Equal(t, http.StatusNoContent, patch(`{"withdrawn": true}`).Code)
	assert.Equal(t, true, withdrawn())

	// An export has all of it, and is the same in another profile.
	file := s.Export(t, key)
	other := s.NewKey(t)
	require.Equal(t, http.StatusNoContent, s.Ask("POST", "/api/v1/import", other, file).Code)
	assert.JSONEq(t, file, s.Export(t, other))
	assert.JSONEq(t, s.Ask("GET", "/api/v1/practised", key, "").Body.String(), s.Ask("GET", "/api/v1/practised", other, "").Body.String())
	require.Equal(t, http.StatusNoContent, s.Ask("POST", "/api/v1/import", key, file).Code)
	assert.JSONEq(t, file, s.Export(t, key), "read in again nothing counts twice")

	assert.Equal(t, http.StatusNoContent, s.Ask("DELETE", "/api/v1/results", key, "").Code)
	assert.Empty(t, s.Ask("GET", "/api/v1/practised", key, "").Must(t)["practised"])
	assert.Empty(t, s.Ask("GET", "/api/v1/results", key, "").Must(t)["results"])
}

// What a whole solve came to and its parts are kept, exported, and read back.
func TestWholeResults(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	whole := strings.TrimSuffix(resultJSON(1, "whole", "FR-UFR.R-UB.U", 5, true), "}") + `, "left": 0, "insert": 2, "recognise": 0.5}`
	plain := resultJSON(2, "whole", "FR-UFR.R-UB.U", 4, false)
	s.Ask("POST", "/api/v1/results", key, resultsJSON(whole, plain)).Must(t)
	want := `{"results": [` + strings.TrimSuffix(plain, "}") + `, "grade": 1}, ` + strings.TrimSuffix(whole, "}") + `, "grade": 3}]}`
	assert.JSONEq(t, want, s.Ask("GET", "/api/v1/results", key, "").Body.String())
	other := s.NewKey(t)
	require.Equal(t, http.StatusNoContent, s.Ask("POST", "/api/v1/import", other, s.Export(t, key)).Code)
	assert.JSONEq(t, want, s.Ask("GET", "/api/v1/results", other, "").Body.String())
}

// What is absurd is refused with where and why, and nothing of what is sent with it counts.
func TestAbsurdResultsAreRefused(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	right := resultJSON(1, "recognise", "27", 1, true)
	whole := resultJSON(2, "whole", "FR-UFR.R-UB.U", 5, true)
	with := func(result, more string) string { return strings.TrimSuffix(result, "}") + ", " + more + "}" }
	many := make([]string, profile.MostGiven+1)
	for n := range many {
		many[n] = resultJSON(n%60, "recognise", "27", 1, true)
	}
	for _, tt := range []struct {
		body, field, says string
		status            int
	}{
		{resultsJSON(right, resultJSON(2, "recognise", "27", -1, true)), "results[1].seconds", "-1 seconds", 400},
		{resultsJSON(right, resultJSON(2, "recognise", "27", 0, true)), "results[1].seconds", "more than 0", 400},
		{resultsJSON(right, resultJSON(2, "recognise", "27", 0.0004, true)), "results[1].seconds", "more than 0", 400},
		{resultsJSON(right, resultJSON(2, "recognise", "27", 601, true)), "results[1].seconds", "at most 600", 400},
		{resultsJSON(right, resultJSON(2, "recognise", "58", 1, true)), "results[1].item", "0 to 57", 422},
		{resultsJSON(right, resultJSON(2, "execute", "FR R U R", 1, true)), "results[1].item", "keep", 422},
		{resultsJSON(right, resultJSON(2, "predict", "27", 1, true)), "results[1].item", "slot first", 422},
		{resultsJSON(right, resultJSON(2, "whole", "FR", 1, true)), "results[1].item", "place", 422},
		{resultsJSON(right, resultJSON(2, "recognise", strings.Repeat("1", 61), 1, true)), "results[1].item", "60", 422},
		{resultsJSON(right, resultJSON(2, "juggle", "27", 1, true)), "results[1].exercise", "recognise", 400},
		{resultsJSON(right, strings.Replace(resultJSON(2, "recognise", "27", 1, true), "2026", "2019", 1)), "results[1].at", "2020", 400},
		{resultsJSON(right, strings.Replace(resultJSON(2, "recognise", "27", 1, true), "2026", "2126", 1)), "results[1].at", "future", 400},
		{resultsJSON(right, strings.Replace(right, "000", "", 1)), "results[1].id", "", 400},
		{resultsJSON(right, `{}`), "results[1].id", "", 400},
		{resultsJSON(right, strings.Replace(right, `"right": true`, `"right": null`, 1)), "results[1].right", "missing", 400},
		{resultsJSON(right, with(right, `"left": 27`)), "results[1].left", "only a result of whole", 400},
		{resultsJSON(whole, with(whole, `"left": 58`)), "results[1].left", "0 to 57", 400},
		{resultsJSON(whole, with(whole, `"left": -1`)), "results[1].left", "0 to 57", 400},
		{resultsJSON(whole, with(whole, `"insert": 1`)), "results[1].recognise", "missing", 400},
		{resultsJSON(whole, with(whole, `"recognise": 1`)), "results[1].insert", "missing", 400},
		{resultsJSON(whole, with(whole, `"insert": 0, "recognise": 1`)), "results[1].insert", "more than 0", 400},
		{resultsJSON(whole, with(whole, `"insert": 1, "recognise": 1e9`)), "results[1].recognise", "less than the whole", 400},
		{resultsJSON(whole, with(whole, `"insert": 3, "recognise": 2`)), "results[1].recognise", "nothing for executing", 400},
		{resultsJSON(), "results", "missing", 400},
		{`{}`, "results", "missing", 400},
		{resultsJSON(many...), "results", "at most 1000", 400},
		{`{"results": [` + strings.Repeat(" ", profile.MaxResultsBody) + `]}`, "", "bytes", 413},
	} {
		field, detail := s.Ask("POST", "/api/v1/results", key, tt.body).Refused(t, tt.status)
		assert.Equal(t, tt.field, field, tt.says)
		assert.Contains(t, detail, tt.says)
	}
	assert.Empty(t, s.Ask("GET", "/api/v1/results", key, "").Must(t)["results"])
	// A thousand at once, forty of each: forty are counted.
	for n := range many {
		many[n] = resultJSON(n%40, "recognise", "27", 1, true)
	}
	answer := s.Ask("POST", "/api/v1/results", key, resultsJSON(many[:profile.MostGiven]...)).Must(t)
	assert.EqualValues(t, 40, answer["counted"])
	assert.EqualValues(t, profile.MostGiven-40, answer["already"])

	// A file's grade has to fit.
	for _, wrong := range []string{`"right": true, "grade": 1`, `"right": false, "grade": 3`, `"right": true, "grade": 5`} {
		file := `{"format": "slotcast", "version": 5, "results": [` + strings.Replace(resultJSON(50, "recognise", "27", 1, true), `"right": true`, wrong, 1) + `]}`
		field, _ := s.Ask("POST", "/api/v1/import", key, file).Refused(t, 400)
		assert.Equal(t, "results[0].grade", field)
	}
}

// From five results on what was measured ranks, until that is switched off; withdrawn, it
// does not.
func TestMeasuredSecondsRank(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	recognise := func() (seconds float64) {
		for _, one := range s.Ask("GET", "/api/v1/forecast?limit=500&case=1T0WT", key, "").Must(t)["options"].([]any) {
			if option := one.(map[string]any); option["leaves"].(map[string]any)["oll"] == 27.0 {
				return option["seconds"].(map[string]any)["recognise"].(float64)
			}
		}
		t.Fatal("no option leaves 27")
		return 0
	}
	before := recognise()
	var results []string
	for n := range 5 {
		results = append(results, resultJSON(n, "recognise", "27", 2.25, true))
	}
	s.Ask("POST", "/api/v1/results", key, resultsJSON(results[:4]...)).Must(t)
	assert.Equal(t, before, recognise(), "four are too few")
	s.Ask("POST", "/api/v1/results", key, resultsJSON(results...)).Must(t)
	assert.Equal(t, 2.0, recognise(), "less the reaction of a quarter of a second")
	s.Ask("PUT", "/api/v1/preferences/practised", key, `{"value": "off"}`).Must(t)
	assert.Equal(t, before, recognise())
	s.Ask("PUT", "/api/v1/preferences/practised", key, `{"value": "on"}`).Must(t)
	assert.Equal(t, 2.0, recognise())
	s.Ask("DELETE", "/api/v1/results/0000000000000000000003", key, "")
	assert.Equal(t, before, recognise())
}

// A file with as many results as a profile may have is written out and read back.
func TestFullResultsAreReadBack(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	file := profile.ExportOf(profile.Records{})
	for n := range profile.MaxResults {
		file.Results = append(file.Results, profile.ResultValues{ResultGiven: profile.ResultGiven{
			ID: fmt.Sprintf("%022d", n), Exercise: "recognise", Item: fmt.Sprint(n % 58), At: time.Date(2026, 3, 1, 12, 0, n, 1e6, time.UTC), Seconds: new(1.234), Right: new(true),
		}, Grade: 3})
	}
	written, err := json.Marshal(file)
	require.NoError(t, err)
	require.Less(t, len(written), profile.MaxImport)
	begun := time.Now()
	require.Equal(t, http.StatusNoContent, s.Ask("POST", "/api/v1/import", key, string(written)).Code)
	t.Logf("%d MiB read in %v", len(written)>>20, time.Since(begun).Round(time.Millisecond))
	assert.Len(t, s.Export(t, key), len(written)+len("\n"))
	field, detail := s.Ask("POST", "/api/v1/results", key, resultsJSON(resultJSON(59, "recognise", "27", 1, true), fmt.Sprintf(`{"id": "%022d", "exercise": "recognise", "item": "27", "at": "2026-03-01T12:00:00Z", "seconds": 1, "right": true}`, 1<<40))).Refused(t, 422)
	assert.Empty(t, field)
	assert.Contains(t, detail, "100000 results")
}

// Files of every earlier version are read; the first four have no results, the fifth and sixth plain
// ones here.
func TestEarlierFilesAreRead(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	for version := 1; version < profile.ExportVersion; version++ {
		key := s.NewKey(t)
		results := ""
		if version >= 5 {
			results = `, "results": [` + resultJSON(1, "whole", "FR-UFR.R-UB.U", 4, true) + `]`
		}
		require.Equal(t, http.StatusNoContent, s.Ask("POST", "/api/v1/import", key, fmt.Sprintf(`{"format": "slotcast", "version": %d, "names": [{"oll": 27, "name": "x"}]%s}`, version, results)).Code)
		var file profile.Export
		require.NoError(t, json.Unmarshal([]byte(s.Export(t, key)), &file))
		assert.Equal(t, profile.ExportVersion, file.Version)
		assert.Len(t, file.Names, 1)
		if version < 5 {
			assert.Empty(t, file.Results)
			continue
		}
		require.Len(t, file.Results, 1)
		assert.Nil(t, file.Results[0].Left)
	}
}
