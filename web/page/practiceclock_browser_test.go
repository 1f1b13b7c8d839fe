package page_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
)

// clockOfOnesOwn lets a test set the page's clock, by the time of the zone in which it is.
const clockOfOnesOwn = `{ const Real = Date; let now = Real.now(); window.setClock = time => { now = Real.parse(time); };
	window.Date = class extends Real { constructor(...given) { if (given.length) super(...given); else super(now); } static now() { return now; } }; }`

// Two devices practise at once, one of them without a network: over midnight, over the night
// in which an hour is left out and that in which one comes twice, and with a clock that is set
// back. Every answer is counted, and once, in the order of the moments at which they were given.
func TestBrowserPracticeOnTwoDevicesWithTheirClocks(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	key := s.NewKey(t)
	s.Ask("PUT", "/api/v1/ratings/27", key, `{"recognise": 3, "execute": 3}`).Must(t)
	session := "/practice?seed=1&items=" + strings.TrimSuffix(strings.Repeat("27,", 6), ",")
	open := func(b *webtest.Browser) {
		_, err := chromedp.Call(b.Context, emulation.SetTimezoneOverride, emulation.SetTimezoneOverrideParams{TimezoneID: "Europe/Berlin"})
		require.NoError(t, err)
		theirs(t, s.Service, b, key)
		b.Do(chromedp.Navigate(s.Home+session), chromedp.Evaluate[chromedp.Void](clockOfOnesOwn))
		b.Click("#practice-go")
	}
	answered := map[*webtest.Browser]int{}
	answer := func(b *webtest.Browser, local string) {
		if answered[b] > 0 {
			b.Press(kb.Enter)
		}
		answered[b]++
		ticking(b, fmt.Sprintf("%d of 6", answered[b]))
		b.Do(chromedp.Evaluate[chromedp.Void](`setClock("` + local + `")`))
		b.Press(" ")
		b.WaitFor("#practice-status", "which is it?")
		b.Press(itemShown(t, b).Right)
	}
	phone, desk := s.Browser, webtest.Browse(t, s.Home)
	open(phone)
	open(desk)
	phone.CutNetwork(true)
	answer(phone, "2026-03-28T23:59:59.900")
	answer(desk, "2026-03-29T12:00:00.000")
	answer(phone, "2026-03-29T00:00:00.100")
	answer(phone, "2026-03-29T01:59:59.900")
	answer(desk, "2026-03-28T12:00:00.000") // its clock was set back
	answer(phone, "2026-03-29T03:00:00.100")
	answer(phone, "2026-10-25T02:30:00.000+02:00")
	answer(phone, "2026-10-25T02:30:00.000+01:00")
	allSent(t, desk)
	waiting(t, phone, 6)
	phone.CutNetwork(false)
	allSent(t, phone)
	desk.Do(chromedp.Navigate(s.Home + "/practice/results"))
	var got []string
	for _, one := range s.Ask("GET", "/api/v1/results", key, "").Must(t)["results"].([]any) {
		result := one.(map[string]any)
		got = append(got, result["at"].(string))
	}
	assert.Equal(t, []string{
		"2026-10-25T01:30:00Z", "2026-10-25T00:30:00Z", "2026-03-29T10:00:00Z", "2026-03-29T01:00:00.1Z", "2026-03-29T00:59:59.9Z",
		"2026-03-28T23:00:00.1Z", "2026-03-28T22:59:59.9Z", "2026-03-28T11:00:00Z",
	}, got, "the newest first")
	desk.WaitFor("#status", "8 results")
	practised := s.Ask("GET", "/api/v1/practised", key, "").Must(t)["practised"].([]any)
	require.Len(t, practised, 1)
	assert.EqualValues(t, 8, practised[0].(map[string]any)["tries"])
	assert.Equal(t, "2026-10-25T01:30:00Z", practised[0].(map[string]any)["newest"])
	desk.Quiet()
}
