package page_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/go-chi/chi/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
	"slotcast/web/tap"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// samplePage is a page as tests show it.
type samplePage struct {
	// Name is its own in the list.
	Name string
	// Route is the page's, "" for an address that has none.
	Route, Address string
	// Then goes on to what the page shows only after something was done there.
	Then func(*webtest.Browser)
	// Over says that a sheet lies over the page then: one reads the sheet, not what is
	// under it.
	Over bool
}

// unfold opens all that is folded on a page.
func unfold(b *webtest.Browser) {
	b.Do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll("main details").forEach(d => { d.open = true; })`))
}

// samplePages are all pages that a visitor can see, with what they show when
// something is wrong. TestEveryPageHasASample says whether one is missing.
func samplePages(t testing.TB, s site.Service) []samplePage {
	t.Helper()
	sharer := s.NewKey(t)
	s.Fill(t, sharer)
	share := s.Ask("POST", "/api/v1/shares", sharer, "").Must(t)["share"].(string)
	token := s.Ask("POST", "/api/v1/device-links", sharer, "").Must(t)["token"].(string)
	code := s.SampleCode(t)
	sample, err := lastslot.ParseCode(code)
	require.NoError(t, err)
	hard := lastslot.CaseAt(54321).Code()
	sampleOther := (sample.Slot + 1) % lastslot.Slots
	filled := twoslots.CaseOf(sample.Cube(), twoslots.OpenOf(sample.Slot, sampleOther))
	return []samplePage{
		{Name: "lookup", Route: "/", Address: "/"},
		{Name: "lookup-wrong", Route: "/", Address: "/?scramble=" + url.QueryEscape("R U Q2 R'")},
		{Name: "lookup-no-last-slot", Route: "/", Address: "/?scramble=" + url.QueryEscape("R U R' F")},
		{Name: "lookup-no-cross", Route: "/", Address: "/?scramble=" + url.QueryEscape("R U F2 L' D B")},
		{Name: "lookup-four-open", Route: "/", Address: "/?scramble=" + url.QueryEscape("R U R' L' U' L U L U L' R' U R x2")},
		{Name: "lookup-filled", Route: "/", Address: "/?slot=BL&scramble=" + url.QueryEscape("R U R'")},
		{Name: "lookup-all-filled", Route: "/", Address: "/?scramble=" + url.QueryEscape("R U R' U R U2 R'")},
		{Name: "case", Route: "/case/{code}", Address: "/case/" + code + "?view=all"},
		{Name: "lookup-empty", Route: "/", Address: "/?mark=corner&slot=FR"},
		{Name: "lookup-two", Route: "/", Address: "/?mark=top&" + tap.OfTwo(filled).Values().Encode()},
		{Name: "lookup-two-back", Route: "/", Address: "/?mark=corner2&slot=FL&second=BR&corner=second.left&edge=UB.U"},
		{Name: "steps", Route: "/steps", Address: "/steps"},
		{Name: "lookup-unfolded", Route: "/", Address: "/", Then: unfold},
		{Name: "lookup-back-left", Route: "/", Address: "/?case=" + hard},
		{Name: "case-unfolded", Route: "/case/{code}", Address: "/case/" + code + "?view=all", Then: unfold},
		{Name: "case-share", Route: "/case/{code}", Address: "/case/" + code, Then: openShare, Over: true},
		{Name: "lookup-share", Route: "/", Address: "/?case=" + code, Then: func(b *webtest.Browser) { openShare(b); unfold(b) }, Over: true},
		{Name: "case-question", Route: "/case/{code}", Address: "/case/" + code + "?question=true"},
		{Name: "share", Route: "/case/{code}/share", Address: "/case/" + code + "/share"},
		{Name: "share-unfolded", Route: "/case/{code}/share", Address: "/case/" + code + "/share", Then: unfold},
		{Name: "case-back-left", Route: "/case/{code}", Address: "/case/" + lastslot.CaseAt(lastslot.Cases-8).Code() + "?view=all"},
		{Name: "option", Route: "/case/{code}/option", Address: "/case/" + code + "/option?turns=" + url.QueryEscape("R U R'")},
		{Name: "option-nothing", Route: "/case/{code}/option", Address: "/case/" + lastslot.Case{Slot: lastslot.BL, Corner: lastslot.InSlot, Edge: lastslot.InSlot}.Code() + "/option?turns="},
		{Name: "option-wrong-nothing", Route: "/case/{code}/option", Address: "/case/" + code + "/option?turns="},
		{Name: "option-long", Route: "/case/{code}/option", Address: "/case/" + hard + "/option?turns=" + url.QueryEscape(s.LongestWay(t, hard))},
		{Name: "option-unfolded", Route: "/case/{code}/option", Address: "/case/" + hard + "/option?turns=" + url.QueryEscape(s.LongestWay(t, hard)), Then: unfold},
		{Name: "option-wrong", Route: "/case/{code}/option", Address: "/case/" + code + "/option?turns=" + url.QueryEscape("R U2 R'")},
		{Name: "practice", Route: "/practice", Address: "/practice?seed=1"},
		{Name: "practice-item", Route: "/practice", Address: "/practice?items=27,26&seed=1", Then: func(b *webtest.Browser) { b.Do(chromedp.Click("#practice-go")) }},
		{Name: "practice-answers", Route: "/practice", Address: "/practice?items=27,26&seed=1", Then: func(b *webtest.Browser) {
			b.Do(chromedp.Click("#practice-go"))
			b.WaitUntil(`document.querySelector(".practice-item:not([hidden]) [data-runs]")`)
			b.Press(" ")
		}},
		{Name: "practice-execute", Route: "/practice", Address: "/practice?exercise=execute&items=27,3&seed=1", Then: func(b *webtest.Browser) { b.Do(chromedp.Click("#practice-go")) }},
		{Name: "practice-predict", Route: "/practice", Address: "/practice?exercise=predict&seed=1", Then: func(b *webtest.Browser) { b.Do(chromedp.Click("#practice-go")) }},
		{Name: "practice-choose", Route: "/practice", Address: "/practice?exercise=choose&items=" + code + "&seed=1", Then: func(b *webtest.Browser) { b.Do(chromedp.Click("#practice-go")) }},
		{Name: "practice-chosen", Route: "/practice", Address: "/practice?exercise=choose&items=" + code + "&seed=1", Then: func(b *webtest.Browser) {
			b.Do(chromedp.Click("#practice-go"))
			b.WaitUntil(`document.querySelector(".practice-item:not([hidden]) [data-runs]")`)
			b.Press("1")
		}},
		{Name: "practice-whole", Route: "/practice", Address: "/practice?exercise=whole&items=" + code + "&seed=1"},
		{Name: "practice-whole-item", Route: "/practice", Address: "/practice?exercise=whole&items=" + code + "&seed=1", Then: func(b *webtest.Browser) { b.Do(chromedp.Click("#practice-go")) }},
		{Name: "practice-whole-patterns", Route: "/practice", Address: "/practice?exercise=whole&items=" + code + "&seed=1", Then: func(b *webtest.Browser) {
			b.Do(chromedp.Click("#practice-inspect"), chromedp.Click("#practice-go"))
			b.Press(" ")
			b.WaitUntil(`document.querySelector(".practice-item:not([hidden]) [data-runs]")`)
			b.Press(" ")
			b.Click(".practice-item:not([hidden]) [data-more]")
		}},
		{Name: "practice-place", Route: "/practice", Address: "/practice?exercise=execute&set=place&place=" + sample.Place().String() + "&seed=1", Then: unfold},
		{Name: "practice-list", Route: "/practice/list", Address: "/practice/list?exercise=execute&items=27,FR+R+U2+R'"},
		{Name: "practice-list-cases", Route: "/practice/list", Address: "/practice/list?exercise=choose"},
		{Name: "practice-edges", Route: "/practice", Address: "/practice?exercise=predict&items=edges+FR+R+U+R'&seed=1", Then: func(b *webtest.Browser) {
			b.Do(chromedp.Click("#practice-go"))
			b.WaitUntil(`document.querySelector(".practice-item:not([hidden]) [data-runs]")`)
			b.Press(" ")
		}},
		{Name: "practice-results", Route: "/practice/results", Address: "/practice/results"},
		{Name: "practice-slots", Route: "/practice", Address: "/practice?exercise=slots&seed=1", Then: func(b *webtest.Browser) { b.Do(chromedp.Click("#practice-go")) }},
		{Name: "drill", Route: "/drills/{drill}", Address: newDrill(t, &surfer{Service: s})},
		{Name: "drill-of-ones-own", Route: "/practice", Address: "/practice?items=27,26&seed=1", Then: func(b *webtest.Browser) { b.Follow(func() { b.Click(`form[action="/drills"] button`) }) }},
		{Name: "scrambles", Route: "/practice/scrambles", Address: "/practice/scrambles?seed=1&count=5&place=FR-UFR.R-UB.U"},
		{Name: "scrambles-none", Route: "/practice/scrambles", Address: "/practice/scrambles?seed=1&set=kept"},
		{Name: "practice-nothing", Route: "/practice", Address: "/practice?set=unlearnt"},
		{Name: "routes", Route: "/routes", Address: "/routes?scramble=" + url.QueryEscape("R U R' L' U2 L z")},
		{Name: "case-routes", Route: "/routes/{code}", Address: "/routes/" + twoslots.CaseAt(12_345_678).Code()},
		{Name: "routes-known", Route: "/routes/{code}", Address: "/routes/" + twoslots.CaseAt(40_000_000).Code() + "?view=known"},
		{Name: "route", Route: "/routes/{code}/route", Address: "/routes/" + filled.Code() + "/route?fills=" + sampleOther.String() + "&turns="},
		{Name: "case-routes-share", Route: "/routes/{code}", Address: "/routes/" + twoslots.CaseAt(12_345_678).Code(), Then: openShare, Over: true},
		{Name: "routes-compared", Route: "/routes/{code}", Address: "/routes/" + twoslots.CaseAt(12_345_678).Code() + "?with=" + share},
		{Name: "routes-seen", Route: "/routes/{code}", Address: "/routes/" + twoslots.CaseAt(12_345_678).Code() + "?seen=pairs"},
		{Name: "routes-question", Route: "/routes/{code}", Address: "/routes/" + twoslots.CaseAt(40_000_000).Code() + "?question=true"},
		{Name: "routes-share", Route: "/routes/{code}/share", Address: "/routes/" + filled.Code() + "/share", Then: unfold},
		{Name: "print-routes", Route: "/print/routes/{code}", Address: "/print/routes/" + twoslots.CaseAt(12_345_678).Code()},
		{Name: "case-patterns", Route: "/case/{code}/patterns", Address: "/case/" + code + "/patterns"},
		{Name: "case-patterns-wish", Route: "/case/{code}/patterns", Address: "/case/" + hard + "/patterns?edges=cross"},
		{Name: "case-pattern", Route: "/case/{code}/patterns/{oll}", Address: "/case/" + code + "/patterns/27"},
		{Name: "case-pattern-unfolded", Route: "/case/{code}/patterns/{oll}", Address: "/case/" + code + "/patterns/27?view=all", Then: unfold},
		{Name: "case-pattern-0", Route: "/case/{code}/patterns/{oll}", Address: "/case/" + hard + "/patterns/0"},
		{Name: "comparison", Route: "/compare", Address: "/compare?case=" + code + "&with=" + share},
		{Name: "ratings", Route: "/ratings", Address: "/ratings"},
		{Name: "ratings-mine", Route: "/ratings", Address: "/ratings?show=mine"},
		{Name: "plls", Route: "/ratings/pll", Address: "/ratings/pll"},
		{Name: "lookup-solved", Route: "/", Address: "/?until=solved&scramble=" + url.QueryEscape("R U R' U' R' F R2 U' R' U' R U R' F' R U R'")},
		{Name: "deck", Route: "/ratings/deck", Address: "/ratings/deck?at=27"},
		{Name: "deck-first", Route: "/ratings/deck", Address: "/ratings/deck?show=next&patterns=57,0"},
		{Name: "deck-done", Route: "/ratings/deck", Address: "/ratings/deck?at=end"},
		{Name: "pattern", Route: "/patterns/{oll}", Address: "/patterns/27"},
		{Name: "pattern-0", Route: "/patterns/{oll}", Address: "/patterns/0"},
		{Name: "pattern-wrong", Route: "/patterns/{oll}", Address: "/patterns/26", Then: func(b *webtest.Browser) {
			b.Write("#turns", site.Orients27)
			b.Click(`form.stack[action="/patterns/26/sequences"] button`)
			b.WaitFor("#turns-problem", "orients pattern 27")
		}},
		{Name: "reach", Route: "/patterns/{oll}/reach", Address: "/patterns/26/reach"},
		{Name: "insertions", Route: "/insertions", Address: "/insertions"},
		{Name: "insertions-wrong", Route: "/insertions", Address: "/insertions", Then: func(b *webtest.Browser) {
			b.Write("#turns", "R U Q")
			b.Click(`form[action="/insertions"] button`)
			b.WaitFor("#turns-problem", "Q")
		}},
		{Name: "insertion", Route: "/insertions/one", Address: "/insertions/one?insertion=" + url.QueryEscape("FR R U R'")},
		{Name: "manual", Route: "/manual", Address: "/manual"},
		{Name: "learn", Route: "/learn", Address: "/learn"},
		{Name: "learn-steps", Route: "/learn/steps", Address: "/learn/steps"},
		{Name: "learn-steps-opposite", Route: "/learn/steps", Address: "/learn/steps?open=FL,BR", Then: unfold},
		{Name: "learn-met", Route: "/learn", Address: "/learn?count=met&slot=BL"},
		{Name: "learn-place", Route: "/learn/{place}", Address: "/learn/" + sample.Place().String()},
		{Name: "learn-place-unfolded", Route: "/learn/{place}", Address: "/learn/" + sample.Place().String(), Then: unfold},
		{Name: "pays", Route: "/pays", Address: "/pays"},
		{Name: "plan", Route: "/plan/{place}", Address: "/plan/" + sample.Place().String()},
		{Name: "plan-theirs", Route: "/plan/{place}", Address: "/plan/" + sample.Place().String() + "?with=" + share},
		{Name: "cases", Route: "/cases", Address: "/cases"},
		{Name: "cases-unfolded", Route: "/cases", Address: "/cases", Then: unfold},
		{Name: "cases-none", Route: "/cases", Address: "/cases?with=nowhere"},
		{Name: "offline", Route: "/offline", Address: "/offline"},
		{Name: "offline-missing", Route: "/offline", Address: "/offline", Then: func(b *webtest.Browser) {
			b.Do(chromedp.Evaluate[chromedp.Void](`document.documentElement.dataset.why = "missing"`))
		}},
		{Name: "print-patterns", Route: "/print/patterns", Address: "/print/patterns"},
		{Name: "print-place", Route: "/print/place/{code}", Address: "/print/place/" + code + "?view=all"},
		{Name: "print-case", Route: "/print/case/{code}", Address: "/print/case/" + code + "?view=all"},
		{Name: "profile", Route: "/profile", Address: "/profile"},
		{Name: "device", Route: "/device/{token}", Address: "/device/" + token},
		{Name: "help", Route: "/help", Address: "/help"},
		{Name: "not-found", Address: "/nowhere"},
		// The last, as it makes a profile for who has none.
		{Name: "profile-links", Route: "/profile", Address: "/profile", Over: true, Then: func(b *webtest.Browser) {
			b.Follow(func() { b.Click(`form[action="/profile/shares"] button`) })
			b.WaitUntil(`document.querySelector('[aria-label="Share link"]')`)
			b.Follow(func() { b.Click(`form[action="/profile/device-link"] button`) })
			b.WaitUntil(`document.querySelector("#device-link")`)
		}},
	}
}

// notPages are the routes that answer a file, or lead on to a page.
var notPages = []string{"/static/{name}", "/profile/export", "/case/{code}/picture.png", "/case/{code}/qr.png", "/routes/{code}/picture.png", "/routes/{code}/qr.png", "/manifest.webmanifest", "/worker.js", "/print/place", "/case/{code}/way"}

// Whoever adds a page adds a sample of it, so that all that is tested of pages is
// tested of it.
func TestEveryPageHasASample(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	var routes []string
	require.NoError(t, chi.Walk(s.Handler.(chi.Routes), func(method, route string, _ http.Handler, _ ...func(http.Handler) http.Handler) error {
		if method == http.MethodGet && !strings.HasPrefix(route, "/api/") && route != "/healthz" {
			routes = append(routes, route)
		}
		return nil
	}))
	sampled := map[string]bool{}
	names := map[string]bool{}
	for _, p := range samplePages(t, s) {
		assert.False(t, names[p.Name], "two samples named %s", p.Name)
		names[p.Name] = true
		if p.Route == "" {
			continue
		}
		sampled[p.Route] = true
		context := chi.NewRouteContext()
		path, _, _ := strings.Cut(p.Address, "?")
		require.True(t, s.Handler.(chi.Routes).Match(context, http.MethodGet, path), p.Address)
		assert.Equal(t, p.Route, context.RoutePattern(), p.Address)
	}
	for _, route := range notPages {
		sampled[route] = true
	}
	for _, route := range routes {
		assert.True(t, sampled[route], "%s has no sample in samplePages", route)
	}
	assert.Len(t, sampled, len(routes), "a sample is of a route that is gone")
}

// visitors are those for whom pages are shown.
var visitors = []struct {
	name string
	full bool
}{{"new", false}, {"full", true}}

// visit starts a browser for a visitor without profile, or for one whose profile
// has something of each kind.
func visit(t testing.TB, s site.Service, home string, full bool) *webtest.Browser {
	t.Helper()
	b := webtest.Browse(t, home)
	if full {
		key := s.NewKey(t)
		s.FillAll(t, key)
		token := s.Ask("POST", "/api/v1/device-links", key, "").Must(t)["token"].(string)
		b.Do(chromedp.Navigate(home + "/device/" + token))
		b.Follow(func() { b.Click("#answer form button") })
		b.WaitFor("#rated", "58")
	}
	return b
}

// open shows the sample.
// asTheDevice has the page bright or dark as the device is set, whatever its visitor chose.
func asTheDevice(b *webtest.Browser) {
	b.Do(chromedp.Evaluate[chromedp.Void](`delete document.documentElement.dataset.theme`))
}

func (p samplePage) open(b *webtest.Browser) {
	b.Do(chromedp.Navigate(b.Home + p.Address))
	b.WaitUntil(`document.readyState === "complete"`)
	if p.Then != nil {
		p.Then(b)
		b.WaitUntil(`document.readyState === "complete"`)
	}
}
