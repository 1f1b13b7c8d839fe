package page_test

import (
	"fmt"
	"html"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// learningSteps are what the interface says is to be learnt with the slots open.
func learningSteps(t testing.TB, get func(address string) site.Answer, open string) (average float64, steps []map[string]any) {
	t.Helper()
	told := get("/api/v1/learning/steps?open=" + open).Must(t)
	for _, step := range told["steps"].([]any) {
		steps = append(steps, step.(map[string]any))
	}
	return told["average"].(float64), steps
}

// What is to be learnt with two slots open leads to a route where it is done, which is marked
// there or in the list; then the next one is the first, and saves what was said.
func TestStepsToLearn(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	const open = "FR,BL"
	page := "/learn/steps?open=" + url.QueryEscape(open)
	average, steps := learningSteps(t, s.get, open)
	require.Len(t, steps, 10)
	body := html.UnescapeString(s.get(page).Body.String())
	var saves float64
	for _, step := range steps[:5] {
		saves += step["saves"].(float64)
	}
	assert.Regexp(t, fmt.Sprintf("^With front right and back left open you take %.1f\\d s on average until the top is oriented. Learn the first 5 and save %.2f\\d s.$", average, saves),
		site.Get(t, s.Handler, page).ByID(t, "status"))
	at := 0
	for _, step := range steps {
		id := step["open"].(string) + " " + step["turns"].(string)
		next := strings.Index(body[at:], `name="know" value="`+id+`"`)
		require.Positive(t, next, "in the same order")
		at += next
		example := step["example"].(map[string]any)
		route := "/routes/" + example["case"].(string) + "/route?" + url.Values{"fills": {example["fills"].(string)}, "turns": {example["turns"].(string)}}.Encode()
		assert.Contains(t, body, route)
		opened := s.get(route)
		require.Equal(t, http.StatusOK, opened.Code)
		assert.Contains(t, html.UnescapeString(opened.Body.String()), `name="know" value="`+id+`"`)
	}
	for _, leads := range []string{"/learn?slot=FR", "/routes/" + steps[0]["example"].(map[string]any)["case"].(string)} {
		assert.Contains(t, s.get(leads).Body.String(), `href="/learn/steps?open=FR%2C`)
	}

	first := steps[0]["open"].(string) + " " + steps[0]["turns"].(string)
	require.Equal(t, http.StatusSeeOther, s.post("/steps/marks", "know", first, "back", page).Code)
	after, rest := learningSteps(t, s.get, open)
	assert.InDelta(t, steps[0]["average"].(float64), after, 1e-9)
	assert.InDelta(t, average-steps[0]["saves"].(float64), after, 0.0011, "each is rounded")
	for i, step := range steps[1:] {
		assert.Equal(t, step["turns"], rest[i]["turns"])
		assert.InDelta(t, step["saves"].(float64), rest[i]["saves"].(float64), 1e-9)
	}
	assert.NotContains(t, html.UnescapeString(s.get(page).Body.String()), `value="`+first+`"`)
	require.Equal(t, http.StatusSeeOther, s.post("/steps/marks", "hide", rest[0]["open"].(string)+" "+rest[0]["turns"].(string)).Code)
	_, rest2 := learningSteps(t, s.get, open)
	for _, step := range rest2 {
		assert.NotEqual(t, rest[0]["turns"], step["turns"], "what is hidden is not offered")
	}

	assert.Equal(t, http.StatusBadRequest, s.get("/learn/steps?open=FR").Code)
	field, detail := s.Ask("GET", "/api/v1/learning/steps?open=FR,XX", "", "").Refused(t, http.StatusBadRequest)
	assert.Equal(t, "open", field)
	assert.Contains(t, detail, "two of FR FL BL BR")
}

// Who knows nothing is told what to do first.
func TestStepsToLearnOfNothingKnown(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	s.Ask("PUT", "/api/v1/preferences/usual", key, `{"value": "none"}`).Must(t)
	told := s.Ask("GET", "/api/v1/learning/steps?open=FR,FL", key, "").Must(t)
	assert.Empty(t, told["steps"])
	assert.InDelta(t, 1, told["places"], 0, "where both are filled")
}

// A step that is to be learnt is marked in place, and Undo puts it back.
func TestBrowserLearnsAStep(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	service, home := serve(t)
	_, steps := learningSteps(t, func(address string) site.Answer { return service.Ask("GET", address, "", "") }, "FR,FL")
	b := webtest.Browse(t, home)
	b.Do(chromedp.Navigate(b.Home + "/learn/steps"))
	button := func(name string) string {
		return `form[action="/steps/marks"] [name="` + name + `"][value="` + steps[0]["open"].(string) + " " + steps[0]["turns"].(string) + `"]`
	}
	script[bool](t, b, "(document.querySelector(`"+button("know")+"`).scrollIntoView({ block: \"center\" }), true)")
	b.Click(button("know"))
	b.WaitFor("#toast", "Saved.")
	b.WaitUntil("document.querySelector(`" + button("know") + "`) === null")
	b.Click("#toast button")
	b.WaitFor("#toast", "Undone.")
	b.WaitFor(button("know"), "")
	b.Quiet()
}
