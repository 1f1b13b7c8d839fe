package page_test

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

func serve(t testing.TB) (site.Service, string) {
	t.Helper()
	s := site.New(t)
	server := httptest.NewServer(s)
	t.Cleanup(server.Close)
	return s, server.URL
}

func script[T any](t testing.TB, b *webtest.Browser, code string) T {
	t.Helper()
	value, err := chromedp.Run(b.Context, chromedp.Evaluate[T](code))
	require.NoError(t, err)
	return value
}

// waitSaid waits until a form says of its last change so, and no more: "not saved"
// says something else than "saved".
func waitSaid(b *webtest.Browser, form, words string) {
	b.WaitUntil(fmt.Sprintf(`document.querySelector(%q)?.textContent === %q`, form+" .said", words))
}

// All patterns with keys alone: as fast as a person presses them, nothing is lost.
func TestBrowserRatesWithKeys(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Do(chromedp.EmulateViewport(1280, 800), chromedp.Navigate(home+"/ratings"))
	b.WaitFor("#rated", "0 of 58")
	// To the button with the tabulator, as without a mouse.
	for range 40 {
		b.Do(chromedp.KeyEvent(kb.Tab))
		if script[string](t, b, `document.activeElement.id`) == "rate-by-keys" {
			break
		}
	}
	require.Equal(t, "rate-by-keys", script[string](t, b, `document.activeElement.id`))
	b.Do(chromedp.KeyEvent(kb.Enter))
	for i := range 115 {
		b.Do(chromedp.KeyEvent(fmt.Sprint(i%5 + 1)))
	}
	b.WaitFor("#rated", "58 of 58 patterns rated")
	b.WaitUntil(`[...document.querySelectorAll(".said")].filter(s => s.textContent === "saved").length === 58`)
	b.Follow(func() { b.Do(chromedp.Reload()) })
	b.WaitFor("#rated", "58 of 58 patterns rated")

	// Arrows move and rate nothing; 0 takes a rating back.
	checked := func() string {
		return script[string](t, b, `[...document.querySelectorAll("[data-step] input:checked")].map(i => i.value).join("")`)
	}
	before := checked()
	b.Do(chromedp.Focus(chromedp.CSS(`#oll-1 input[name="recognise"]:checked`)))
	b.Do(chromedp.KeyEvent(kb.ArrowDown))
	assert.Equal(t, "execute", script[string](t, b, `document.activeElement.name`))
	b.Do(chromedp.KeyEvent(kb.ArrowRight))
	assert.Equal(t, "oll-2 recognise", script[string](t, b, `document.activeElement.form.id + " " + document.activeElement.name`))
	b.Do(chromedp.KeyEvent(kb.ArrowLeft), chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.ArrowUp))
	assert.Equal(t, "oll-1 recognise", script[string](t, b, `document.activeElement.form.id + " " + document.activeElement.name`))
	assert.Equal(t, before, checked())
	b.Do(chromedp.KeyEvent("0"))
	b.WaitFor("#rated", "57 of 58")
	waitSaid(b, "#oll-1", "saved")
	b.Follow(func() { b.Do(chromedp.Reload()) })
	b.WaitFor("#rated", "57 of 58")
	b.Quiet()
}

func TestBrowserRatesWithTaps(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch), chromedp.Navigate(home+"/ratings"))
	b.WaitFor("#rated", "0 of 58")
	smallest := script[float64](t, b, `Math.min(...[...document.querySelectorAll("[data-step] label")].flatMap(l => [l.offsetWidth, l.offsetHeight]))`)
	assert.GreaterOrEqual(t, smallest, 44.0, "for a thumb")
	assert.False(t, script[bool](t, b, `document.documentElement.scrollWidth > innerWidth`), "nothing to scroll sideways")
	b.Click(`#oll-33 [name="recognise"][value="5"]`)
	b.Click(`#oll-33 [name="execute"][value="2"]`)
	waitSaid(b, "#oll-33", "saved")
	b.Click(`#oll-33 summary`)
	b.Write(`#oll-33 [name="name"]`, "Shed")
	b.Click(`#oll-33 h3`)
	b.WaitFor("#oll-33 .own-name", "Shed")
	waitSaid(b, "#oll-33", "saved")
	b.Write(`#oll-33 [name="execute-seconds"]`, "99")
	b.Click(`#oll-33 h3`)
	b.WaitFor("#oll-33 .said", "not saved: 99 seconds")
	b.Forget400s()
	b.Write(`#oll-33 [name="execute-seconds"]`, "1.1")
	b.Click(`#oll-33 h3`)
	waitSaid(b, "#oll-33", "saved")
	b.Do(chromedp.Navigate(home + "/patterns/33"))
	b.WaitFor("h1", "Shed · OLL 33")
	assert.Equal(t, "1.1", script[string](t, b, `document.querySelector('[name="execute-seconds"]').value`))
	b.Quiet()
}

func TestBrowserRatesWithoutScript(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.WithoutScript()
	b.Do(chromedp.Navigate(home + "/ratings"))
	b.WaitFor("#rated", "0 of 58")
	b.Click(`#oll-1 [name="recognise"][value="3"]`)
	b.Click(`#oll-1 [name="execute"][value="4"]`)
	b.Follow(func() { b.Click(`#oll-1 button[type="submit"]`) })
	b.WaitFor("#rated", "1 of 58")
	b.Click(`#oll-1 summary`)
	b.Follow(func() { b.Click(`#oll-1 a`) })
	b.WaitFor("h1", "OLL 1")
	b.Do(chromedp.SendKeys(chromedp.CSS("#turns"), site.Orients27))
	b.Follow(func() { b.Click(`form.stack[action="/patterns/1/sequences"] button`) })
	b.WaitFor("#turns-problem", "orients pattern 27, not 1")
	b.Forget400s()
	b.Do(chromedp.Navigate(home + "/"))
	b.WaitFor("#status", "An example")
	learnt := b.Text(`[data-pattern^="gains"] .turns`)
	b.Click(`[data-pattern^="gains"] summary`)
	b.Follow(func() { b.Click(`[data-pattern^="gains"] .marks [name="know"]`) })
	b.WaitFor(`[data-pattern^="known"] .turns`, learnt)
	b.Quiet()
}

// A second browser gets the profile by the device link; a third compares by the
// share link, and copies.
func TestBrowserDeviceAndShare(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	first := webtest.Browse(t, home)
	first.Do(chromedp.Navigate(home + "/"))
	first.WaitFor("#status", "An example")
	code := first.Text("#answer a.code")
	learnt := first.Text(`[data-pattern^="gains"] .turns`)
	first.Click(`[data-pattern^="gains"] summary`)
	first.Click(`[data-pattern^="gains"] .marks [name="know"]`)
	first.WaitFor("#toast", "Saved.")
	first.WaitFor(`[data-pattern^="known"] .turns`, learnt)
	turns := first.Text(".option:first-child .turns")
	first.Do(chromedp.Navigate(home + "/case/" + code + "?view=all"))
	first.Click(`.option:nth-child(2) summary`)
	first.Click(`.option:nth-child(2) .marks [name="hide"]`)
	first.WaitFor("#toast", "Hidden")
	first.Do(chromedp.Navigate(home + "/profile"))
	first.Follow(func() { first.Click(`form[action="/profile/device-link"] button`) })
	first.WaitFor("#device-sheet", "Use your profile on another device")
	link, err := chromedp.Run(first.Context, chromedp.Value(chromedp.CSS("#device-link")))
	require.NoError(t, err)
	first.Click(`#device-sheet form[method="dialog"] button`)
	first.Follow(func() { first.Click(`form[action="/profile/shares"] button`) })
	first.Do(chromedp.WaitVisible(chromedp.CSS(`[aria-label="Share link"]`)))
	first.Do(chromedp.Navigate(home + "/case/" + code))
	share, err := chromedp.Run(first.Context, chromedp.Value(chromedp.CSS("#with-me")))
	require.NoError(t, err)
	first.Quiet()

	second := webtest.Browse(t, home)
	second.Do(chromedp.Navigate(link))
	second.Follow(func() { second.Click(`#answer form button`) })
	second.WaitFor("#rated", "58")
	second.Do(chromedp.Navigate(home + "/insertions"))
	second.WaitFor("h2 + .own-cards", "known")
	assert.Empty(t, script[string](t, second, `document.cookie`), "no script can read the key")
	second.Quiet()

	third := webtest.Browse(t, home)
	third.Do(chromedp.Navigate(share))
	third.WaitFor("#comparison-summary", turns)
	third.Click(`.compared li:first-child .marks button`)
	third.WaitUntil(`document.querySelector(".compared") && !document.querySelector(".compared .marks")`)
	third.WaitFor("#comparison-summary", turns)
	third.Do(chromedp.Navigate(home + "/insertions"))
	third.WaitFor(".own-cards", "known")
	assert.Contains(t, strings.Join(strings.Fields(turns), " "), third.Text(".own-cards .turns"))
	third.Quiet()
}
