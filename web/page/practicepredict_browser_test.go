package page_test

import (
	"fmt"
	"net/url"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"

	"slotcast/web/webtest"
)

// Predicting a pattern by keys, the edges alone by touch, both again without a network; then
// executing without one. The step-through is offered once it was answered, not before.
func TestBrowserPracticeToPredictAndExecuteWithoutANetwork(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	b := s.Browser
	insertion := "FR R U R'"
	execute := s.Home + "/practice?exercise=execute&seed=1&items=27"
	b.Do(chromedp.EmulateViewport(360, 640, chromedp.EmulateMobile, chromedp.EmulateTouch), chromedp.Navigate(execute))
	s.readyForCuts(t, "/practice")
	b.Do(chromedp.Navigate(s.Home + "/practice?exercise=predict&seed=1&items=" + url.QueryEscape(insertion+",edges "+insertion+","+insertion+",edges "+insertion)))
	b.Click("#practice-go")
	var want []string
	answer := func(right, byKey bool) {
		ticking(b, fmt.Sprintf("%d of 4", len(want)+1))
		item := itemShown(t, b)
		step := `getComputedStyle(document.querySelector(".practice-item:not([hidden]) .practice-after")).display`
		assert.Equal(t, "none", script[string](t, b, step))
		if byKey {
			b.Press(" ")
		} else {
			b.Click(".practice-item:not([hidden]) .practice-picture")
		}
		b.WaitFor("#practice-status", "which is it?")
		key := item.Right
		if !right {
			key = item.Wrong
		}
		if byKey {
			b.Press(key)
		} else {
			b.Click(fmt.Sprintf(`.practice-item:not([hidden]) [data-key="%s"]`, key))
		}
		b.WaitFor(".practice-item:not([hidden]) .practice-after", "See it turn by turn")
		want = append(want, fmt.Sprint("predict ", item.Item, " ", right))
	}
	answer(true, true)
	b.Press(kb.Enter)
	answer(false, false)
	b.Click(".practice-item:not([hidden]) .practice-on")
	saved(t, b, 2)
	s.cut(true)
	answer(false, true)
	b.Press(kb.Enter)
	answer(true, false)
	b.Click(".practice-item:not([hidden]) .practice-on")
	b.WaitFor("#practice-result", "2 of 4 right")
	waiting(t, b, 2)

	b.Do(chromedp.Navigate(execute))
	b.WaitFor("#network-status", "What you see was loaded at")
	b.Click("#practice-go")
	b.Click(".practice-item:not([hidden]) .practice-picture")
	b.WaitUntil(`document.querySelector(".practice-item:not([hidden]) [data-runs]")`)
	b.Click(".practice-item:not([hidden]) .practice-picture")
	b.WaitFor("#practice-status", "how did it go?")
	b.Press("1")
	b.WaitFor(".practice-item:not([hidden]) .practice-said", "Right, in")
	want = append(want, "execute 27 true")
	waiting(t, b, 3)
	s.wire.cut(false)
	b.CutNetwork(false)
	allSent(t, b)
	b.Do(chromedp.Navigate(s.Home + "/practice"))
	assert.Equal(t, want, inWords(resultsInProfile(t, b)))
	b.QuietButForCuts()
}
