package page_test

import (
	"html"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/twoslots"
	"slotcast/web/profile"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// steppedCase is a case with two slots open, and the first of its routes whose step uses
// the other open slot and is not known.
func steppedCase(t testing.TB, s site.Service) (c twoslots.Case, id, path string) {
	t.Helper()
	c = twoslots.CaseAt(12_345_678)
	for _, route := range listedRoutes(t, func(address string) site.Answer { return s.Ask("GET", address, "", "") }, c, "all") {
		first := route["first"].(map[string]any)
		turns := first["turns"].(string)
		if step, err := twoslots.CheckStep(c.Open, site.MustParse(t, turns)); err == nil && !first["known"].(bool) {
			return c, profile.StepID(step.Open, step.Turns.String()), "/routes/" + c.Code() + "/route?fills=" + route["fills"].(string) + "&turns=" + url.QueryEscape(turns)
		}
	}
	t.Fatal("no route uses the other slot")
	return c, "", ""
}

func listedRoutes(t testing.TB, get func(address string) site.Answer, c twoslots.Case, view string) (list []map[string]any) {
	t.Helper()
	for _, route := range get("/api/v1/routes?limit=100&view=" + view + "&case=" + c.Code()).Must(t)["routes"].([]any) {
		list = append(list, route.(map[string]any))
	}
	return list
}

// A step is marked where it stands, without a script: what is known counts as known, what
// is hidden is offered no more but shown where one is, and a time counts.
func TestStepsAreMarked(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	c, id, path := steppedCase(t, s.Service)
	step, err := profile.ReadStepID("step", id)
	require.NoError(t, err)
	is := func(route map[string]any) bool {
		same, err := twoslots.CheckStep(c.Open, site.MustParse(t, route["first"].(map[string]any)["turns"].(string)))
		return err == nil && profile.StepID(same.Open, same.Turns.String()) == id
	}
	offered := func(view string) bool { return slices.ContainsFunc(listedRoutes(t, s.get, c, view), is) }
	page := s.get(path)
	require.Equal(t, http.StatusOK, page.Code)
	assert.Contains(t, page.Body.String(), `>I know it</button>`)
	assert.False(t, offered("known"))
	assert.Contains(t, s.get("/steps").Body.String(), "Nothing yet")

	require.Equal(t, http.StatusSeeOther, s.post("/steps/marks", "know", id, "back", path).Code)
	assert.True(t, offered("known"))
	assert.Contains(t, s.get(path).Body.String(), `>Not known</button>`)
	assert.Contains(t, s.get("/steps").Body.String(), html.EscapeString(step.Turns.String()))

	takes := func() float64 {
		list := listedRoutes(t, s.get, c, "known")
		return list[slices.IndexFunc(list, is)]["seconds"].(map[string]any)["first"].(float64)
	}
	require.Equal(t, http.StatusSeeOther, s.post("/steps/time", "step", id, "seconds", "0.75").Code)
	slower := takes()
	require.Equal(t, http.StatusSeeOther, s.post("/steps/time", "step", id, "seconds", "0,25").Code)
	assert.InDelta(t, 0.5, slower-takes(), 1e-9)
	assert.Contains(t, s.get("/steps").Body.String(), `value="0.25"`)
	assert.Equal(t, http.StatusBadRequest, s.post("/steps/time", "step", id, "seconds", "quick").Code)

	require.Equal(t, http.StatusSeeOther, s.post("/steps/marks", "hide", id, "back", path).Code)
	assert.False(t, offered("known"))
	assert.False(t, offered("all"))
	hidden := s.get(path)
	require.Equal(t, http.StatusOK, hidden.Code, "a page that is open can be loaded again")
	assert.Contains(t, hidden.Body.String(), `>Offer again</button>`)
	require.Equal(t, http.StatusSeeOther, s.post("/steps/marks", "show", id).Code)
	assert.True(t, offered("all"))

	require.Equal(t, http.StatusSeeOther, s.post("/steps/marks", "forget", id).Code)
	assert.Contains(t, s.get("/steps").Body.String(), "not known")
	require.Equal(t, http.StatusSeeOther, s.post("/steps/remove", "step", id).Code)
	assert.Contains(t, s.get("/steps").Body.String(), "Nothing yet")
	assert.Equal(t, http.StatusUnprocessableEntity, s.post("/steps/marks", "know", "FR,FL R U R'").Code)
	assert.Equal(t, http.StatusBadRequest, s.post("/steps/marks", "know", "FR R U R'").Code)
}

// Who says something of many steps has them on several pages.
func TestManySteps(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	var steps []string
	for n := range profile.MaxSteps {
		turns := "D R U R' D'"
		for digit := 1; digit <= profile.MaxSteps; digit *= 2 {
			turns = map[bool]string{true: "R R' ", false: "L L' "}[n&digit > 0] + turns
		}
		steps = append(steps, `{"open": "FR,FL", "turns": "`+turns+`", "hidden": true}`)
	}
	key := s.NewKey(t)
	s.Ask("POST", "/api/v1/import", key, `{"format": "slotcast", "version": 7, "steps": [`+strings.Join(steps, ",")+`]}`).Must(t)
	for page, cards := range map[string]int{"": 100, "?page=10": 100, "?page=11": 100, "?page=x": 100} {
		shown := s.Ask("GET", "/steps"+page, key, "")
		require.Equal(t, http.StatusOK, shown.Code)
		assert.Equal(t, cards, strings.Count(shown.Body.String(), `action="/steps/remove"`), page)
		assert.Contains(t, shown.Body.String(), `<a href="/steps?page=10"`)
		assert.Less(t, shown.Body.Len(), 300<<10)
	}
	assert.Equal(t, http.StatusUnprocessableEntity, s.Ask("PUT", "/api/v1/own-steps", key, `{"open": "FR,FL", "turns": "D R U R' D'"}`).Code, "there is no room")
}

// The marks of a step are saved where they stand, said, and taken back by Undo.
func TestBrowserMarksAStep(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	service, home := serve(t)
	_, id, path := steppedCase(t, service)
	b := webtest.Browse(t, home)
	for _, address := range []string{path, "/steps"} {
		b.Do(chromedp.Navigate(b.Home + address))
		for _, step := range []struct{ button, after string }{
			{`[name="know"]`, `[name="forget"]`},
			{`[name="hide"]`, `[name="show"]`},
		} {
			at := func(button string) string { return `form[action="/steps/marks"] ` + button + `[value="` + id + `"]` }
			script[bool](t, b, `(document.querySelector('form[action="/steps/marks"]').scrollIntoView({ block: "center" }), true)`)
			b.Click(at(step.button))
			b.WaitFor(at(step.after), "")
			b.WaitUntil(`document.querySelector("#toast button") !== null`)
			if step.button == `[name="hide"]` {
				assert.Contains(t, b.Text("#toast"), "Your steps")
			}
			b.Click("#toast button")
			b.WaitFor("#toast", "Undone.")
			b.WaitFor(at(step.button), "")
		}
		b.Do(chromedp.SetValue(chromedp.CSS(`form[action="/steps/time"] [name="seconds"]`), "0.8"))
		b.Click(`form[action="/steps/time"] button`)
		b.WaitFor("#toast", "Undo")
		b.WaitUntil(`document.querySelector('form[action="/steps/time"] [name="seconds"]').defaultValue === "0.8"`)
		b.Click("#toast button")
		b.WaitUntil(`document.querySelector('form[action="/steps/time"] [name="seconds"]').defaultValue === ""`)
	}
	b.Quiet()
}
