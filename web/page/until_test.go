package page_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// pastedTee is a scramble after which R U R' fills the slot and leaves a top that is oriented, and
// on which T is left (the sequence that undoes it from memory).
const pastedTee = "F R U' R' U R U R2 F' R U R U' R' R U' R'"

// pasted is the address of a page with the scramble.
func pasted(path string, parameters ...string) string {
	values := url.Values{"scramble": {pastedTee}}
	for i := 0; i < len(parameters); i += 2 {
		values.Set(parameters[i], parameters[i+1])
	}
	return path + "?" + values.Encode()
}

// With a position that was pasted somebody is asked how they do PLL; once it is said, there are
// two orders, and that until all is solved has each PLL with its turns.
func TestOrderUntilSolved(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	page := s.get(pasted("/")).Body.String()
	assert.Contains(t, page, "How well do you do PLL?")
	assert.NotContains(t, page, "Fastest until")
	for _, address := range []string{"/", "/case/" + site.CodeAt(7), "/?case=" + site.CodeAt(7)} {
		assert.NotContains(t, s.get(address).Body.String(), "How well do you do PLL?", "%s: where the pieces stand is not known", address)
	}
	require.Equal(t, http.StatusSeeOther, s.post("/profile/preferences", "pll", "4", "back", pasted("/")).Code)
	page = s.get(pasted("/")).Body.String()
	assert.NotContains(t, page, "How well do you do PLL?")
	assert.Contains(t, page, "Fastest until")
	assert.NotContains(t, page, "follows.")
	solved := html.EscapeString(pasted("/", "until", "solved"))
	assert.Contains(t, page, solved)

	// What the page says first is what the interface says.
	answer := s.Ask("GET", "/api/v1/forecast?until=solved&view=known&limit=1&scramble="+url.QueryEscape(pastedTee), s.cookie.Value, "")
	var f site.ForecastAnswer
	require.NoError(t, json.Unmarshal(answer.Body.Bytes(), &f))
	best := f.Options[0]
	page = s.get(pasted("/", "until", "solved")).Body.String()
	total, err := best.Seconds.Total.Float64()
	require.NoError(t, err)
	assert.Contains(t, page, fmt.Sprintf("%.2f s until all is solved.", total))
	assert.Contains(t, page, "PLL "+*best.PLL+" follows.")
	assert.Contains(t, page, html.EscapeString(*best.PLLTurns))
	assert.Contains(t, page, `data-part="pll"`)

	// An option says the same turn by turn, and leads back to the same order; so does the case's
	// own page, which is kept for when there is no network.
	own := pasted("/case/"+f.Case, "until", "solved")
	assert.Contains(t, page, html.EscapeString(own))
	option := s.get(pasted("/case/"+f.Case+"/option", "until", "solved", "turns", best.Turns)).Body.String()
	assert.Contains(t, option, solved)
	assert.Contains(t, option, "PLL "+*best.PLL+" follows.")
	assert.Contains(t, option, fmt.Sprintf("about %.2f s", total))
	oriented := s.get(pasted("/case/"+f.Case+"/option", "turns", best.Turns)).Body.String()
	assert.Contains(t, oriented, "PLL "+*best.PLL+" follows.")
	assert.NotContains(t, oriented, fmt.Sprintf("about %.2f s", total), "the time until the top is oriented")
	assert.Contains(t, s.get(own).Body.String(), fmt.Sprintf("%.2f s until all is solved.", total))

	for address, status := range map[string]int{
		"/?until=solved&case=" + f.Case:                                 http.StatusBadRequest,
		pasted("/", "until", "done"):                                    http.StatusBadRequest,
		pasted("/case/"+site.CodeAt(7), "until", "solved"):              http.StatusUnprocessableEntity,
		pasted("/case/"+f.Case, "until", "done"):                        http.StatusBadRequest,
		pasted("/case/"+f.Case+"/option", "until", "x", "turns", "R U"): http.StatusBadRequest,
	} {
		assert.Equal(t, status, s.get(address).Code, address)
	}
}

// An algorithm of one's own that leaves another face on top is no hindrance to telling the PLL.
func TestThePLLAfterATurnedPuzzle(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	s.save("/ratings/27", "execute", "4")
	s.Ask("PUT", "/api/v1/own-sequences", s.cookie.Value, `{"oll": 27, "turns": "R U R' U R U2 R' x"}`).Must(t)
	// The inverses: a T, then 27's, then the insertion.
	scramble := site.MustParse(t, "R U R' "+site.Orients27+" R U R' U' R' F R2 U' R' U' R U R' F'").Inverse().String()
	code := s.Ask("GET", "/api/v1/forecast?scramble="+url.QueryEscape(scramble), "", "").Must(t)["case"].(string)
	page := s.get("/case/" + code + "/option?turns=" + url.QueryEscape("R U R'") + "&scramble=" + url.QueryEscape(scramble))
	require.Equal(t, http.StatusOK, page.Code)
	assert.Contains(t, page.Body.String(), "PLL T follows.")
	assert.Contains(t, page.Body.String(), `<span class="turns">x`, "first the top comes back up")
}

// All alike, by letter, and with an algorithm of one's choice; what is taken back counts as all.
func TestPLLsAreRated(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	assert.Contains(t, s.get("/ratings").Body.String(), `href="/ratings/pll"`)
	assert.Contains(t, s.get("/ratings/pll").Body.String(), "You have not said how you do PLL: each counts as 3.")
	require.Equal(t, http.StatusSeeOther, s.post("/profile/preferences", "pll", "2", "back", "/ratings/pll").Code)
	assert.Contains(t, s.get("/ratings/pll").Body.String(), "All 21 PLLs are rated 2.")
	require.Equal(t, http.StatusNoContent, s.save("/ratings/pll/Ua", "rating", "5").Code)
	page := site.PageOf(t, s.get("/ratings/pll").ResponseRecorder)
	assert.Contains(t, page.Body, "1 of 21 PLLs rated by themselves, the others 2.")
	options := page.Find(func(n *html.Node) bool {
		return n.Data == "option" && n.Parent.Parent.Parent == page.Find(func(n *html.Node) bool { return site.Attribute(n, "id") == "pll-Ua" })[0]
	})
	require.Greater(t, len(options), 2, "a few to choose among")
	assert.Empty(t, site.Attribute(options[0], "value"), "the easiest is no choice")
	chosen := site.Attribute(options[2], "value")
	require.Equal(t, http.StatusNoContent, s.save("/ratings/pll/Ua", "turns", chosen).Code)
	assert.JSONEq(t, `{"plls": [{"pll": "Ua", "rating": 5, "turns": "`+chosen+`"}]}`, s.Ask("GET", "/api/v1/plls", s.cookie.Value, "").Body.String())
	require.Equal(t, http.StatusNoContent, s.save("/ratings/pll/Ua", "rating", "", "turns", "").Code)
	assert.JSONEq(t, `{"plls": []}`, s.Ask("GET", "/api/v1/plls", s.cookie.Value, "").Body.String())
	// One of one's own that the list does not have is there too.
	s.Ask("PUT", "/api/v1/plls/T", s.cookie.Value, `{"turns": "U R U R' U' R' F R2 U' R' U' R U R' F' U2 y"}`).Must(t)
	assert.Contains(t, s.get("/ratings/pll").Body.String(), "(yours)")

	s.save("/ratings/pll/T", "rating", "6").Refused(t, http.StatusBadRequest)
	_, says := s.save("/ratings/pll/T", "turns", "M2 U M2 U2 M2 U M2").Refused(t, http.StatusUnprocessableEntity)
	assert.Contains(t, says, "it solves PLL H, not T")
	assert.Equal(t, http.StatusNotFound, s.save("/ratings/pll/X", "rating", "1").Code)
}

// By thumb: a scramble is pasted, PLL rated in one tap, and the order until all is solved is
// another tap away; the option opened has the turns. Then the same by keys.
func TestBrowserOrderUntilSolved(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Do(chromedp.EmulateViewport(390, 664, chromedp.EmulateMobile, chromedp.EmulateTouch), chromedp.Navigate(home+pasted("/")))
	b.WaitFor("#status", "Case ")
	assert.True(t, script[bool](t, b, `[...document.querySelectorAll(".one-tap button[name=pll]")].every(b => b.getBoundingClientRect().height >= 44)`), "for a thumb")
	b.Click(`button[name="pll"][value="4"]`)
	b.WaitUntil(`document.querySelector(".until")`)
	oriented := b.Text("#answer .patterns .total")
	b.Click(`.until a[href*="until=solved"]`)
	b.WaitFor("#status", "until all is solved.")
	assert.NotEqual(t, oriented, b.Text("#answer .patterns .total"))
	b.Click("#answer .patterns summary")
	assert.Regexp(t, `PLL \w+ follows\.|No PLL follows`, b.Text("#answer .patterns .follows"))
	// The dock lies over what is at the bottom.
	b.Do(chromedp.Evaluate[chromedp.Void](`document.querySelector("#answer .patterns .line").scrollIntoView({block: "center", behavior: "instant"})`))
	b.Follow(func() { b.Click("#answer .patterns .line") })
	assert.Regexp(t, `PLL \w+ follows\.|No PLL follows`, b.Text(".opened-left .follows"))
	b.Follow(func() { b.Click(".opened-back a") })
	b.WaitFor("#status", "until all is solved.")

	b.Show(1280, 800, false)
	b.TabTo("link", "oriented")
	b.Press(kb.Enter)
	b.WaitUntil(`!document.querySelector("#status").textContent.includes("until all is solved")`)
	b.TabTo("link", "solved")
	b.Press(kb.Enter)
	b.WaitFor("#status", "until all is solved.")
	b.Do(chromedp.Navigate(home + "/ratings/pll"))
	b.TabTo("radio", "PLL Aa")
	b.Press("5", "1")
	waitSaid(b, "#pll-Aa", "saved")
	waitSaid(b, "#pll-Ab", "saved")
	b.Do(chromedp.SetValue(chromedp.CSS("#pll-Ua select"), "M2 U M' U2 M U M2"), chromedp.Evaluate[chromedp.Void](`document.querySelector("#pll-Ua select").dispatchEvent(new Event("change", {bubbles: true}))`))
	waitSaid(b, "#pll-Ua", "saved")
	b.Follow(func() { b.Do(chromedp.Reload()) })
	assert.Equal(t, "5 1 M2 U M' U2 M U M2", script[string](t, b, `["Aa", "Ab"].map(l => document.querySelector("#pll-" + l + " input:checked").value).join(" ") + " " + document.querySelector("#pll-Ua select").value`))
	b.Quiet()
}

// Without a script each answer is a page.
func TestBrowserOrderUntilSolvedWithoutScript(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Show(390, 844, false)
	b.WithoutScript()
	b.Do(chromedp.Navigate(home + "/ratings/pll"))
	b.Follow(func() { b.Click(`button[name="pll"][value="2"]`) })
	b.WaitFor("#status", "All 21 PLLs are rated 2.")
	b.Click(`#pll-T input[value="5"] + span`)
	b.Follow(func() { b.Click(`#pll-T [type="submit"]`) })
	b.WaitFor("#status", "1 of 21 PLLs rated by themselves")
	b.Do(chromedp.Navigate(home + pasted("/")))
	b.Follow(func() { b.Click(`.until a[href*="until=solved"]`) })
	b.WaitFor("#status", "until all is solved.")
	b.Click("#answer .patterns summary")
	assert.Regexp(t, `PLL \w+ follows\.|No PLL follows`, b.Text("#answer .patterns .follows"))
	b.Quiet()
}

// Without a network the order until all is solved is there where it was seen, and PLLs are rated:
// what was said is sent once there is a network.
func TestOfflineOrderUntilSolved(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	key := s.NewKey(t)
	s.Ask("PUT", "/api/v1/preferences/pll", key, `{"value": "4"}`).Must(t)
	theirs(t, s.Service, s.Browser, key)
	s.Do(chromedp.Navigate(s.Home + pasted("/")))
	s.readyForCuts(t, "/")
	s.Click(`.until a[href*="until=solved"]`)
	s.WaitFor("#status", "until all is solved.")
	own := script[string](t, s.Browser, `document.querySelector("#answer .code").getAttribute("href")`)
	require.True(t, strings.HasPrefix(own, "/case/"))
	s.until(t, fmt.Sprintf(`await caches.match(%q)`, own), "looked at for a while, it is kept")
	s.Do(chromedp.Navigate(s.Home + "/ratings/pll"))
	s.readyForCuts(t, "/ratings/pll")
	s.cut(true)
	s.Do(chromedp.Navigate(s.Home + own))
	s.WaitFor("#network-status", "Offline.")
	assert.Contains(t, s.Text("#answer"), "Fastest until")
	assert.NotEmpty(t, s.Text("#answer .patterns .follows"))
	s.Do(chromedp.Navigate(s.Home + "/ratings/pll"))
	s.Click(`#pll-T input[value="5"] + span`)
	s.WaitFor("#pll-T .said", "waiting to be sent")
	s.cut(false)
	waitSaid(s.Browser, "#pll-T", "saved")
	assert.Contains(t, s.Ask("GET", "/api/v1/plls", key, "").Body.String(), `{"pll":"T","rating":5}`)
	s.QuietButForCuts()
}
