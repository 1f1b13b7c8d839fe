package page_test

import (
	"fmt"
	"strings"
	"testing"

	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/profile"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// shareWith gives the pages a way to share of the test's own: Chromium has none
// on every system. It keeps what it is given, and fails as the device would.
// The shape of the call: W3C Web Share API, 2.1.2.
const shareWith = `navigator.share = async (data) => {
	window.handedOn = JSON.stringify(data);
	if (window.failAs) throw new DOMException("", window.failAs);
};`

// openShare opens the sheet.
func openShare(b *webtest.Browser) {
	b.Click(`[popovertarget="share-sheet"]:not([popovertargetaction])`)
	b.WaitUntil(`document.querySelector("#share-sheet:popover-open")`)
}

// onEveryPage runs a script before those of each page that is opened.
func onEveryPage(t testing.TB, b *webtest.Browser, source string) {
	t.Helper()
	_, err := chromedp.Call(b.Context, cdppage.AddScriptToEvaluateOnNewDocument, cdppage.AddScriptToEvaluateOnNewDocumentParams{Source: source})
	require.NoError(t, err)
}

// clipboard takes what is copied: not every Chromium lets a test at its own.
const clipboard = `Object.defineProperty(navigator, "clipboard", {value: {writeText: async (text) => { window.copied = text; }}});`

func TestShareByTheDevice(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	b := browse(t)
	onEveryPage(t, b, shareWith)
	address := b.Home + "/case/" + site.TappedCode(t)
	b.Do(chromedp.Navigate(address))
	openShare(b)
	b.Click("#way-link .native-share")
	assert.JSONEq(t, `{"title":"Case `+site.TappedCode(t)+`: last slot front right","url":"`+address+`"}`, script[string](t, b, `window.handedOn`))
	b.Click("#way-question .native-share")
	assert.JSONEq(t, `{"title":"Which would you do? Case `+site.TappedCode(t)+`: last slot front right","url":"`+address+`?question=true"}`, script[string](t, b, `window.handedOn`))

	// Closing the device's sheet is no failure; anything else is said.
	b.Do(chromedp.Evaluate[chromedp.Void](`window.failAs = "AbortError"`))
	b.Click("#way-link .native-share")
	assert.Equal(t, "Send", b.Text("#way-link .native-share"))
	b.Do(chromedp.Evaluate[chromedp.Void](`window.failAs = "NotAllowedError"`))
	b.Click("#way-link .native-share")
	b.WaitFor("#way-link .native-share", "Not shared: copy the link")
	b.WaitFor("#share-sheet .said", "Not shared")
	b.Quiet()
}

func TestShareWithoutTheDevice(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	b := browse(t)
	onEveryPage(t, b, `navigator.share = undefined`)
	b.Do(chromedp.Navigate(b.Home + "/case/" + site.TappedCode(t)))
	b.WaitFor("h1", "Last slot front right")
	shown := func(selector string) bool {
		return script[bool](t, b, `document.querySelector("`+selector+`").checkVisibility()`)
	}
	assert.False(t, shown("#share-sheet"))
	openShare(b)
	assert.False(t, shown(".native-share"), "a button that can do nothing")
	assert.True(t, shown("#way-link .copy"))
	assert.False(t, shown("#way-link .qr"), "folded at first")
	b.Click("#way-link summary")
	assert.True(t, shown("#way-link .qr"))
	assert.True(t, shown("#link"))
	b.WaitUntil(`document.querySelector("#way-link .qr").naturalWidth > 0`)
	b.Press(kb.Escape)
	assert.False(t, shown("#share-sheet"))
	b.Quiet()
}

// answerShown says whether anything of an answer is on the page.
const answerShown = `!!document.querySelector(".patterns, .best li, .turns, .bar")`

// The job: a case is shared as a question from the first page, in at most three taps to
// the copied link; its reader sees no answer until they tap, with a script and without.
func TestBrowserSharesAQuestion(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	b := browse(t)
	onEveryPage(t, b, clipboard)
	b.Show(390, 664, false)
	b.Do(chromedp.Navigate(b.Home + "/?case=" + site.TappedCode(t)))
	b.WaitFor("#status", "Case "+site.TappedCode(t))
	taps := 0
	tap := func(selector string) {
		b.Click(selector)
		taps++
	}
	tap(`[popovertarget="share-sheet"]:not([popovertargetaction])`)
	tap("#way-question .copy")
	b.WaitFor("#way-question .copy", "Copied")
	b.WaitFor("#share-sheet .said", "Link copied")
	assert.LessOrEqual(t, taps, 3)
	t.Logf("%d taps from the first page to the copied link", taps)
	link := script[string](t, b, `window.copied`)
	assert.Equal(t, b.Home+"/case/"+site.TappedCode(t)+"?question=true", link)
	b.Quiet()

	for _, scripts := range []bool{true, false} {
		reader := webtest.Browse(t, b.Home)
		if !scripts {
			reader.WithoutScript()
		}
		reader.Do(chromedp.Navigate(link))
		reader.WaitFor("h1", "Which would you do?")
		assert.False(t, script[bool](t, reader, answerShown))
		assert.True(t, script[bool](t, reader, `document.querySelector("main svg.seen").checkVisibility()`), "the position is seen")
		reader.Follow(func() { reader.Click("main .question a.button") })
		reader.WaitFor("#status", "Case "+site.TappedCode(t))
		assert.True(t, script[bool](t, reader, answerShown))
		reader.Quiet()
	}
}

// With a ranking: the link is made where it is wanted, and whoever opens it and has rated
// nothing is told what to do.
func TestBrowserSharesARanking(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	onEveryPage(t, b, clipboard)
	b.Do(chromedp.Navigate(b.Home + "/?case=" + site.TappedCode(t)))
	openShare(b)
	b.Click("#way-with-me form button")
	b.WaitFor("#share-sheet .said", "The link is there")
	assert.Equal(t, "Copy link", b.Focused().Name)
	b.Press(kb.Enter)
	b.WaitFor("#way-with-me .copy", "Copied")
	link := script[string](t, b, `window.copied`)
	assert.Regexp(t, "/case/"+site.TappedCode(t)+`\?with=[\w-]{22}$`, link)

	// Another case has the same share, at once.
	b.Do(chromedp.Navigate(b.Home + "/case/00000"))
	openShare(b)
	b.Click("#way-with-me .copy")
	b.WaitFor("#way-with-me .copy", "Copied")
	assert.Equal(t, strings.Replace(link, site.TappedCode(t), "00000", 1), script[string](t, b, `window.copied`))
	b.Quiet()

	partner := webtest.Browse(t, b.Home)
	partner.Do(chromedp.Navigate(link))
	partner.WaitFor("#rate-first", "Rate ten patterns and your order stands beside theirs")
	partner.WaitFor("#comparison-summary", "They would do ")
	assert.NotRegexp(t, `\d of \d`, partner.Text(".comparison"))
	assert.NotContains(t, partner.Text(".compared"), "You ")
	partner.Follow(func() { partner.Click("#rate-first a") })
	partner.WaitFor("h1", "The next ten")
	partner.Click(level("recognise", 5))
	waitSaid(partner, ".deck-card:not([hidden])", "saved")
	partner.Do(chromedp.Navigate(link))
	partner.WaitFor("#comparison-summary", "You agree on")
	assert.False(t, script[bool](t, partner, `!!document.querySelector("#rate-first")`))
	assert.Contains(t, partner.Text(".compared"), "You ")
	partner.Quiet()
}

// Without a script the sheet opens, has links and codes, and its form leads to a page with
// the link that was made.
func TestBrowserSharesWithoutScript(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.WithoutScript()
	b.Do(chromedp.Navigate(b.Home + "/case/" + site.TappedCode(t)))
	openShare(b)
	b.Click("#way-question summary")
	b.WaitUntil(`document.querySelector("#way-question .qr").naturalWidth > 0`)
	assert.Equal(t, b.Home+"/case/"+site.TappedCode(t)+"?question=true", script[string](t, b, `document.querySelector("#question").value`))
	assert.False(t, script[bool](t, b, `[...document.querySelectorAll(".share .copy, .native-share")].some(e => e.checkVisibility())`), "buttons that can do nothing")
	b.Follow(func() { b.Click("#way-with-me form button") })
	b.WaitFor("h1", "Share case "+site.TappedCode(t))
	b.Click("#way-with-me summary")
	b.WaitUntil(`document.querySelector("#way-with-me .qr").naturalWidth > 0`)
	assert.Contains(t, script[string](t, b, `document.querySelector("#with-me").value`), "/case/"+site.TappedCode(t)+"?with=")
	b.Quiet()
}

// What a sheet cannot do without a network it says, and does the rest.
func TestBrowserSharesWithoutNetwork(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	onEveryPage(t, b, clipboard)
	b.Do(chromedp.Navigate(b.Home + "/case/" + site.TappedCode(t)))
	b.WaitFor("h1", "Last slot")
	b.CutNetwork(true)
	openShare(b)
	b.Click("#way-with-me form button")
	b.WaitFor("#share-sheet .said", "needs the network")
	b.Click("#way-link summary")
	b.WaitFor("#way-link .note", "The QR code needs the network")
	b.Click("#way-question .copy")
	b.WaitFor("#way-question .copy", "Copied")
	b.CutNetwork(false)
	b.Do(chromedp.Navigate(b.Home + "/profile"))
	b.WaitFor("main", "Nothing saved yet")
	b.QuietButForCuts()
}

// A device link counts down, by a clock that the test turns; a screen reader is told a few
// times; when it has run out, another can be had.
func TestBrowserDeviceLinkRunsOut(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	onEveryPage(t, b, clipboard+`window.passed = 0; const start = Date.now(); Date.now = () => start + window.passed;`)
	b.Do(chromedp.Navigate(b.Home + "/ratings"))
	b.Click(`#oll-1 [name="recognise"][value="3"]`)
	waitSaid(b, "#oll-1", "saved")
	b.Do(chromedp.Navigate(b.Home + "/profile"))
	b.Follow(func() { b.Click(`form[action="/profile/device-link"] button`) })
	b.WaitUntil(`document.querySelector("#device-sheet:modal")`)
	first := script[string](t, b, `document.querySelector("#device-link").value`)
	seconds := script[int](t, b, `Number(document.querySelector("#device-sheet").dataset.seconds)`)
	assert.InDelta(t, profile.DeviceLinkLife.Seconds(), seconds, 5)
	b.WaitFor(".clock", fmt.Sprintf("%d:%02d left", seconds/60, seconds%60))
	b.WaitFor(".time-left [role=status]", "At most ten minutes left.")
	b.Do(chromedp.Evaluate[chromedp.Void](`
		window.spoken = [];
		new MutationObserver(() => window.spoken.push(document.querySelector(".time-left [role=status]").textContent)).observe(document.querySelector(".time-left [role=status]"), {childList: true, characterData: true, subtree: true})`))
	left := func(n int) {
		b.Do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`window.passed = %d`, (seconds-n)*1000)))
		b.WaitFor(".clock", fmt.Sprintf("%d:%02d left", n/60, n%60))
	}
	for _, n := range []int{400, 399, 300, 299, 61, 60, 45, 9} {
		left(n)
	}
	assert.Equal(t, []string{"At most five minutes left.", "At most two minutes left.", "At most one minute left.", "At most 30 seconds left."}, script[[]string](t, b, `window.spoken`))
	b.Click("#device-sheet .copy")
	b.WaitFor("#device-sheet .copy", "Copied")
	assert.Equal(t, first, script[string](t, b, `window.copied`))

	b.Do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`window.passed = %d`, seconds*1000)))
	b.WaitFor(".time-left [role=status]", "This link has run out")
	assert.False(t, script[bool](t, b, `!!document.querySelector("#device-sheet :is(#device-link, .qr, .copy)")`))
	assert.Equal(t, "Make a new link", b.Focused().Name, "the keyboard stays in the sheet")
	b.Follow(func() { b.Press(kb.Enter) })
	b.WaitUntil(`document.querySelector("#device-sheet:modal #device-link")`)
	assert.NotEqual(t, first, script[string](t, b, `document.querySelector("#device-link").value`))
	b.Press(kb.Escape)
	b.WaitUntil(`!document.querySelector("#device-sheet").open`)
	b.Quiet()
}

// Without a script the link stands at the top of the page, with the time until which it
// works and a button for another.
func TestBrowserDeviceLinkWithoutScript(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.WithoutScript()
	b.Do(chromedp.Navigate(b.Home + "/ratings"))
	b.Click(`#oll-1 [name="recognise"][value="3"]`)
	b.Follow(func() { b.Click(`#oll-1 button[type="submit"]`) })
	b.Do(chromedp.Navigate(b.Home + "/profile"))
	b.Follow(func() { b.Click(`form[action="/profile/device-link"] button`) })
	b.WaitFor("#device-sheet", "UTC")
	assert.True(t, script[bool](t, b, `document.querySelector("#device-sheet .qr").checkVisibility()`))
	assert.False(t, script[bool](t, b, `document.querySelector("#device-sheet .time-left").checkVisibility()`))
	first := script[string](t, b, `document.querySelector("#device-link").value`)
	b.Follow(func() { b.Click("#device-sheet .renew button") })
	assert.NotEqual(t, first, script[string](t, b, `document.querySelector("#device-link").value`))
	b.Quiet()
}
