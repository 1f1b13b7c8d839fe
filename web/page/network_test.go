package page_test

import (
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
)

// opening is what a browser measured of a page that it opened.
type opening struct {
	Painted       float64 // ms
	Before, Whole int     // bytes, before it was painted and in all
}

// openedSlowly opens a shared link with nothing in the browser's cache: each request
// takes 400 ms more, and 400 kbit/s come through.
func openedSlowly(t testing.TB, home, code string) opening {
	t.Helper()
	const bytes = 400_000 / 8
	b := webtest.Browse(t, home)
	_, err := chromedp.Call(b.Context, network.Enable, network.EnableParams{})
	require.NoError(t, err)
	_, err = chromedp.Call(b.Context, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
		MatchedNetworkConditions: []*network.Conditions{{Latency: 400, DownloadThroughput: bytes, UploadThroughput: bytes}},
	})
	require.NoError(t, err)
	b.Do(chromedp.Navigate(home + "/case/" + code))
	b.WaitUntil(`document.readyState === "complete" && performance.getEntriesByName("first-contentful-paint").length`)
	seen := script[opening](t, b, `(() => {
		const painted = performance.getEntriesByName("first-contentful-paint")[0].startTime;
		const page = performance.getEntriesByType("navigation")[0];
		const fetched = [page, ...performance.getEntriesByType("resource")];
		const bytes = list => list.reduce((sum, e) => sum + e.transferSize, 0);
		return { Painted: painted, Before: bytes(fetched.filter(e => e.startTime < painted)), Whole: bytes(fetched) };
	})()`)
	b.Quiet()
	return seen
}

// On a slow network little is fetched before a shared link's page can be read.
func TestBrowserSharedLinkNeedsLittle(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s, home := serve(t)
	seen := openedSlowly(t, home, s.SampleCode(t))
	assert.GreaterOrEqual(t, seen.Painted, 800.0, "the page and its style are asked for one after the other on a slow network")
	assert.NotZero(t, seen.Before)
	assert.LessOrEqual(t, seen.Before, 100_000)
}
