package page_test

import (
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

func regexpFind(t *testing.T, pattern, text string) string {
	t.Helper()
	found := regexp.MustCompile(pattern).FindStringSubmatch(text)
	require.NotNil(t, found, pattern)
	return found[1]
}

func regexpAll(pattern, text string) (all []string) {
	for _, found := range regexp.MustCompile(pattern).FindAllStringSubmatch(text, -1) {
		all = append(all, found[1])
	}
	return all
}

func decimal(t *testing.T, text string) float64 {
	t.Helper()
	n, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return n
}

func TestPreferencesAsAForm(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	page := s.get("/profile")
	assert.Contains(t, page.Body.String(), `<html lang="en">`)
	assert.Nil(t, s.cookie)
	// The whole form, as a browser sends it: only what was changed is kept.
	form := []string{
		"was-top", "", "top", "white", "was-colours", "", "colours", "", "was-theme", "", "theme", "dark", "was-text", "", "text", "big",
		"was-thumb", "", "thumb", "left", "was-notation", "", "notation", "Rw", "was-hands", "", "hands", "", "was-speed", "", "speed", "", "was-measured", "", "measured", "",
	}
	a := s.post("/profile/preferences", form...)
	require.Equal(t, http.StatusSeeOther, a.Code, "%s", a.Body)
	assert.Equal(t, "/profile#liking", a.Header().Get("Location"))
	kept := s.Ask("GET", "/api/v1/preferences", s.cookie.Value, "")
	assert.JSONEq(t, `{"preferences": [{"name": "notation", "value": "Rw"}, {"name": "text", "value": "big"}, {"name": "theme", "value": "dark"}, {"name": "thumb", "value": "left"}, {"name": "top", "value": "white"}]}`, kept.Body.String())
	body := s.get("/profile").Body.String()
	assert.Contains(t, body, `<html lang="en" data-theme="dark" data-text="big" data-thumb="left" data-top="white" `)
	assert.Contains(t, body, `name="theme" value="dark" checked`)

	// A tab that was opened before changes what was changed in it, and what is usual
	// is kept as nothing.
	require.Equal(t, http.StatusSeeOther, s.post("/profile/preferences", "was-theme", "dark", "theme", "", "was-hands", "", "hands", "left", "was-top", "", "top", "").Code)
	kept = s.Ask("GET", "/api/v1/preferences", s.cookie.Value, "")
	assert.JSONEq(t, `{"preferences": [{"name": "hands", "value": "left"}, {"name": "notation", "value": "Rw"}, {"name": "text", "value": "big"}, {"name": "thumb", "value": "left"}, {"name": "top", "value": "white"}]}`, kept.Body.String())

	before := s.exported(t)
	for field, value := range map[string]string{"theme": "grey", "text": "huge", "top": "yellow", "colours": "usual", "thumb": "right", "notation": "r", "hands": "both", "speed": "5", "measured": "0.1"} {
		s.save("/profile/preferences", field, value).Refused(t, http.StatusBadRequest)
		page := s.post("/profile/preferences", field, value)
		assert.Equal(t, http.StatusBadRequest, page.Code)
		assert.Contains(t, page.Body.String(), "Preferences", "the page says it")
		assert.Contains(t, page.Body.String(), `class="problem" data-fresh><p>`)
	}
	assert.Equal(t, before, s.exported(t))
}

// What was practised ranks until that is switched off, whatever else the form has.
func TestPractisedIsSwitchedOff(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	require.Equal(t, http.StatusNoContent, s.save("/profile/preferences", "practised", "off", "was-measured", "", "measured", "").Code)
	assert.Contains(t, s.exported(t), `"name": "practised"`)
	require.Equal(t, http.StatusNoContent, s.save("/profile/preferences", "practised", "").Code)
	assert.NotContains(t, s.exported(t), `"name": "practised"`)
}

// A speed is one of five, or worked out from a time that was measured: twice as
// long is 2.
func TestSpeed(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	speed := func() string { return s.Ask("GET", "/api/v1/preferences", s.cookie.Value, "").Body.String() }
	require.Equal(t, http.StatusNoContent, s.save("/profile/preferences", "speed", "1.2").Code)
	assert.JSONEq(t, `{"preferences": [{"name": "speed", "value": "1.2"}]}`, speed())
	assert.Contains(t, s.get("/profile").Body.String(), `name="speed" value="1.2" checked`)

	estimate := regexpFind(t, `a fast solver takes ([0-9.]+)`, s.get("/profile").Body.String())
	require.Equal(t, http.StatusNoContent, s.save("/profile/preferences", "measured", estimate).Code)
	assert.JSONEq(t, `{"preferences": [{"name": "speed", "value": "1"}]}`, speed(), "as fast as the prices")
	// Without script: the measured time counts before the unchanged choice.
	require.Equal(t, http.StatusSeeOther, s.post("/profile/preferences", "was-measured", estimate, "measured", "3,11").Code)
	found := regexpFind(t, `"value":"([0-9.]+)"`, speed())
	body := s.get("/profile").Body.String()
	shown := regexpFind(t, `name="measured" value="([0-9.]+)"`, body)
	assert.InDelta(t, 3.11, decimal(t, shown), 0.02, "to the hundredth of a speed: %s", found)
	assert.NotContains(t, body, `name="speed" value="" checked`)
	require.Equal(t, http.StatusSeeOther, s.post("/profile/preferences", "was-speed", found, "speed", "2", "was-measured", shown, "measured", shown).Code)
	assert.JSONEq(t, `{"preferences": [{"name": "speed", "value": "2"}]}`, speed())
	require.Equal(t, http.StatusSeeOther, s.post("/profile/preferences", "was-speed", "2", "speed", "", "was-measured", "", "measured", "").Code)
	assert.JSONEq(t, `{"preferences": []}`, speed())
}

// Who writes Rw reads Rw on every page, and can type either; the interface keeps r.
func TestNotation(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	require.Equal(t, http.StatusSeeOther, s.post("/patterns/5/sequences", "turns", "l' U2 L U L' U l").Code)
	require.Equal(t, http.StatusSeeOther, s.post("/insertions", "turns", "r U' r' U2 r U r'").Code)
	id := "FR r U' r' U2 r U r'"
	share := s.share(t)
	address := s.caseFor(t, id)
	reader := &surfer{Service: s.Service}
	pages := func(who *surfer) map[string]string {
		all := map[string]string{}
		for _, path := range []string{"/patterns/5", "/insertions", "/insertions/one?insertion=" + strings.ReplaceAll(id, " ", "+"), address, address + "?with=" + share} {
			a := who.get(path)
			require.Equal(t, http.StatusOK, a.Code, path)
			all[path] = a.Body.String()
		}
		return all
	}
	require.Equal(t, http.StatusSeeOther, reader.post("/profile/preferences", "notation", "Rw").Code)
	require.Equal(t, http.StatusNoContent, reader.save("/ratings/1", "recognise", "3").Code)
	for path, body := range pages(s) {
		// What is drawn at random, as the share is, may have any letters.
		_, content, _ := strings.Cut(body, "<body")
		assert.NotContains(t, strings.ReplaceAll(content, share, ""), "Rw", path)
	}
	require.Equal(t, http.StatusSeeOther, s.post("/profile/preferences", "notation", "Rw").Code)
	for path, body := range pages(s) {
		shown := regexpAll(`class="turns">([^<]*)<`, body)
		assert.NotEmpty(t, shown, path)
		if !strings.HasPrefix(path, "/case/") {
			shown = append(shown, regexpAll(`aria-label="(?:I know it: |Not known: |Time it: |Turn by turn: |Remove |Hide |Save the time of )([^"]*[UR][^"]*)"`, body)...)
			shown = append(shown, regexpAll(`<title>(.* U.*) –`, body)...)
		}
		for _, turns := range shown {
			assert.NotRegexp(t, `(^| )[udlrfb]`, turns, path)
		}
	}
	assert.Contains(t, s.get("/patterns/5").Body.String(), "Lw&#39; U2 L U L&#39; U Lw")
	assert.Contains(t, reader.get(address+"?with="+share).Body.String(), "They would do Rw U&#39; Rw&#39; U2 Rw U Rw&#39;, you ")
	assert.NotContains(t, s.exported(t), "Lw")
}

// What is chosen shows at once, is saved, and is there on the next page; at 320
// pixels with big text nothing scrolls sideways.
func TestBrowserPreferences(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Do(chromedp.EmulateViewport(320, 640), chromedp.Navigate(home+"/profile"))
	look := func() string {
		return script[string](t, b, `(({ owner, revision, ...look }) => JSON.stringify(look))(document.documentElement.dataset)`)
	}
	ground := func() string {
		return script[string](t, b, `getComputedStyle(document.body).backgroundColor`)
	}
	size := func() float64 {
		return script[float64](t, b, `parseFloat(getComputedStyle(document.body).fontSize)`)
	}
	for _, choice := range []string{"theme.dark", "text.big", "thumb.left", "top.blue", "colours.parted", "notation.Rw", "hands.right", "speed.1.2"} {
		name, value, _ := strings.Cut(choice, ".")
		b.Click(`[name="` + name + `"][value="` + value + `"]`)
		waitSaid(b, "[data-appearance]", "saved")
		assert.True(t, script[bool](t, b, `getComputedStyle(document.querySelector("[data-appearance] [data-without-script]")).display === "none"`), "no button is needed")
	}
	const chosen = `{"theme":"dark","text":"big","thumb":"left","top":"blue","colours":"parted"}`
	assert.JSONEq(t, chosen, look())
	assert.Equal(t, "rgb(13, 23, 20)", ground())
	assert.InDelta(t, 20, size(), 0.1)
	b.Follow(func() { b.Do(chromedp.Reload()) })
	b.WaitFor("h1", "Your profile")
	assert.JSONEq(t, chosen, look())
	assert.Equal(t, "rgb(13, 23, 20)", ground())
	assert.Equal(t, "#417dd3", script[string](t, b, `getComputedStyle(document.documentElement).getPropertyValue("--of-up").trim()`))
	for _, page := range []string{"/", "/ratings", "/patterns/27", "/insertions", "/cases", "/profile", "/insertions/one?insertion=FR+R+U+R'"} {
		b.Do(chromedp.Navigate(home + page))
		b.WaitFor("h1, main h2", "")
		wide := script[string](t, b, `document.documentElement.scrollWidth <= innerWidth ? "" : [...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > innerWidth + 0.5).map((e) => e.outerHTML.slice(0, 80)).slice(0, 5).join("\n")`)
		assert.Empty(t, wide, "%s scrolls sideways", page)
	}
	b.Do(chromedp.Navigate(home + "/profile"))
	b.WaitFor("h1", "Your profile")
	b.Click(`[name="theme"][value=""]`)
	waitSaid(b, "[data-appearance]", "saved")
	b.Write("#measured", "1.5")
	b.Click("#liking")
	waitSaid(b, "[data-appearance]", "saved")
	assert.Equal(t, 0, script[int](t, b, `document.querySelectorAll('[name="speed"]:checked').length`))
	b.Write("#measured", "90")
	b.Click("#liking")
	b.WaitFor("[data-appearance] .said", "not saved: 90 seconds")
	b.Forget400s()
	b.Quiet()
}

func TestBrowserPreferencesWithoutScript(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.WithoutScript()
	b.Do(chromedp.Navigate(home + "/profile"))
	b.WaitFor("#liking", "Preferences")
	b.Click(`[name="theme"][value="dark"]`)
	b.Follow(func() { b.Click(`[data-appearance] [data-without-script]`) })
	b.WaitUntil(`document.documentElement.dataset.theme === "dark"`)
	b.Quiet()
}
