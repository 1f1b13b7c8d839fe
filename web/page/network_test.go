package page_test

import (
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
)

// A shared link on a slow network, with nothing in the browser's cache: each
// request takes 400 ms more, and 400 kbit/s come through. When it can be read is
// told; what was fetched until then is limited.
func TestBrowserFirstPaintOfASharedLink(t *testing.T) {
	s, home := serve(t)
	code := s.SampleCode(t)
	const bytes = 400_000 / 8
	for range 3 {
		b := webtest.Browse(t, home)
		_, err := chromedp.Call(b.Context, network.Enable, network.EnableParams{})
		require.NoError(t, err)
		_, err = chromedp.Call(b.Context, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
			MatchedNetworkConditions: []*network.Conditions{{Latency: 400, DownloadThroughput: bytes, UploadThroughput: bytes}},
		})
		require.NoError(t, err)
		b.Do(chromedp.Navigate(home + "/case/" + code))
		b.WaitUntil(`document.readyState === "complete" && performance.getEntriesByName("first-contentful-paint").length`)
		seen := script[struct {
			Painted, Answer, Loaded float64 // ms
			Before, Whole           int     // bytes
		}](t, b, `(() => {
			const painted = performance.getEntriesByName("first-contentful-paint")[0].startTime;
			const page = performance.getEntriesByType("navigation")[0];
			const fetched = [page, ...performance.getEntriesByType("resource")];
			const bytes = list => list.reduce((sum, e) => sum + e.transferSize, 0);
			return {
				Painted: painted, Answer: page.domContentLoadedEventStart, Loaded: page.loadEventStart,
				Before: bytes(fetched.filter(e => e.startTime < painted)), Whole: bytes(fetched),
			};
		})()`)
		t.Logf("painted after %.0f ms, %d bytes; all of it there after %.0f ms, loaded after %.0f ms, %d bytes", seen.Painted, seen.Before, seen.Answer, seen.Loaded, seen.Whole)
		assert.GreaterOrEqual(t, seen.Painted, 800.0, "the page and its style are asked for one after the other on a slow network")
		assert.NotZero(t, seen.Before)
		assert.LessOrEqual(t, seen.Before, 100_000)
		b.Quiet()
	}
}
