package page_test

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"

	"slotcast/web/webtest"
)

// From a first visit to a ranking of one's own in few taps: one says how fast one is, one
// which insertions one knows, and two mark another.
func TestBrowserOwnRankingInFewTaps(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	const (
		mine   = `#answer .patterns:nth-of-type(1)`
		first  = mine + ` .option:first-child .line`
		others = `[data-pattern^="gains"]:first-child`
	)
	for _, visit := range []struct {
		name     string
		scripted bool
		press    func(b *webtest.Browser, selector, name string)
	}{
		{"taps", true, func(b *webtest.Browser, selector, _ string) { b.Click(selector) }},
		{"keys", true, func(b *webtest.Browser, selector, name string) {
			b.Do(chromedp.Evaluate[chromedp.Void](`document.activeElement.blur()`))
			b.TabTo("button", name)
			b.Press(kb.Enter)
		}},
		{"without script", false, func(b *webtest.Browser, selector, _ string) { b.Follow(func() { b.Click(selector) }) }},
	} {
		t.Run(visit.name, func(t *testing.T) {
			t.Parallel()
			b := webtest.Browse(t, home)
			if !visit.scripted {
				b.WithoutScript()
			}
			b.Do(chromedp.Navigate(home + "/case/1T0WT"))
			b.WaitFor(".patterns-head", "Yours")
			before := b.Text(first)
			taps := 0
			press := func(selector, name string) {
				taps++
				visit.press(b, selector, name)
			}
			press(`[name="average"][value="under-10"]`, "under 10 s")
			b.WaitUntil(`!document.querySelector('[name="average"]')`)
			assert.NotEqual(t, before, b.Text(first), "the total is one's own")
			press(`[name="usual"][value="front"]`, "Only from the front")
			b.WaitUntil(`!document.querySelector('[name="usual"]')`)
			// Its fold and "I know it": two taps.
			taps++
			learnt := b.Text(others + " .turns")
			if visit.name == "keys" {
				b.Do(chromedp.Evaluate[chromedp.Void](`document.querySelector('` + others + ` summary').focus()`))
				b.Press(kb.Enter)
			} else {
				b.Click(others + " summary")
			}
			press(others+` [name="know"]`, "I know it: "+learnt)
			b.WaitUntil(`document.querySelector('` + first + ` .turns').textContent.trim() === "` + learnt + `"`)
			assert.LessOrEqual(t, taps, 6)
			b.Quiet()
		})
	}
}

// Turns are timed against a button, whose second press is the time.
func TestBrowserTimesTurns(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Do(chromedp.Navigate(home + "/profile"))
	b.WaitFor("h1", "Your profile")
	b.TabTo("button", "Start")
	b.Press(" ")
	b.WaitFor(`[data-stopwatch]`, "Stop")
	// It runs for as long as a fast solver takes at least.
	b.WaitUntil(`(window.began ??= performance.now()) + 1500 < performance.now()`)
	b.Press(" ")
	b.WaitFor(`[data-stopwatch]`, "Start")
	assert.GreaterOrEqual(t, script[float64](t, b, `Number(document.getElementById("measured").value)`), 1.5)
	b.WaitFor("[data-appearance] .said", "saved")
	b.Quiet()
}
