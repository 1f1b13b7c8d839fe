package page_test

import (
	"testing"

	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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

func TestShareByTheDevice(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	b := browse(t)
	_, err := chromedp.Call(b.Context, cdppage.AddScriptToEvaluateOnNewDocument, cdppage.AddScriptToEvaluateOnNewDocumentParams{Source: shareWith})
	require.NoError(t, err)
	address := b.Home + "/case/" + site.TappedCode(t)
	b.Do(chromedp.Navigate(address))
	b.Click(".native-share")
	evaluated := func(script string) string {
		value, err := chromedp.Run(b.Context, chromedp.Evaluate[string](script))
		require.NoError(t, err)
		return value
	}
	assert.JSONEq(t, `{"title":"Case `+site.TappedCode(t)+`: last slot front right – Slotcast","url":"`+address+`"}`, evaluated(`window.handedOn`))

	// Closing the device's sheet is no failure; anything else is said.
	evaluated(`window.failAs = "AbortError"`)
	b.Click(".native-share")
	assert.Equal(t, "Share", b.Text(".native-share"))
	evaluated(`window.failAs = "NotAllowedError"`)
	b.Click(".native-share")
	b.WaitFor(".native-share", "Not shared: copy the link")
	b.Quiet()
}

func TestShareWithoutTheDevice(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	b := browse(t)
	_, err := chromedp.Call(b.Context, cdppage.AddScriptToEvaluateOnNewDocument, cdppage.AddScriptToEvaluateOnNewDocumentParams{Source: `navigator.share = undefined`})
	require.NoError(t, err)
	b.Do(chromedp.Navigate(b.Home + "/case/" + site.TappedCode(t)))
	b.WaitFor("h1", "Last slot front right")
	shown := func(selector string) bool {
		shown, err := chromedp.Run(b.Context, chromedp.Evaluate[bool](`document.querySelector("`+selector+`").checkVisibility()`))
		require.NoError(t, err)
		return shown
	}
	assert.False(t, shown(".native-share"), "a button that can do nothing")
	assert.True(t, shown(".share .copy"))
	assert.False(t, shown(".share .qr"), "folded at first")
	b.Click(".share summary")
	assert.True(t, shown(".share .qr"))
	assert.True(t, shown("#link"))
	b.Quiet()
}
