package page_test

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"

	"slotcast/web/webtest"
)

// shownAnswers is what is seen of the answers of the item that is shown.
const shownAnswers = `[...document.querySelectorAll(".practice-item:not([hidden]) .practice-answer")].map(a => a.innerText).join("|")`

// Choosing: what there is to choose from is there while the clock runs, the space bar does
// nothing, a number or a finger chooses and stops the clock; the seconds are seen afterwards.
// By keys and by touch, and without a network; paused, nothing can be chosen.
func TestBrowserPracticeToChoose(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	b := s.Browser
	theirs(t, s.Service, b, slowAtDots(t, s.Service))
	b.Show(390, 664, false)
	place := planPlace(t)
	address := s.Home + "/practice?exercise=choose&seed=4&items=" + place + "," + place + "," + place
	b.Do(chromedp.Navigate(address))
	s.readyForCuts(t, "/practice")
	b.Press(" ")
	var want []string
	choose := func(right, byKey bool) {
		item := itemShown(t, b)
		before := script[string](t, b, shownAnswers)
		assert.NotContains(t, before, " s, leaves", "no seconds before it is chosen")
		b.Press(" ")
		assert.True(t, script[bool](t, b, `!!document.querySelector(".practice-item:not([hidden]) [data-runs]")`), "the space bar does not choose")
		key := item.Right
		if !right {
			key = item.Wrong
		}
		if byKey {
			b.Press(key)
		} else {
			b.Click(fmt.Sprintf(`.practice-item:not([hidden]) [data-key="%s"]`, key))
		}
		if right {
			b.WaitFor(".practice-item:not([hidden]) .practice-said", "takes")
		} else {
			b.WaitFor(".practice-item:not([hidden]) .practice-said", "it would have saved")
		}
		assert.Contains(t, b.Text(".practice-item:not([hidden]) .practice-said"), "Your plan here takes")
		assert.Contains(t, script[string](t, b, shownAnswers), " s, leaves")
		want = append(want, fmt.Sprint("choose ", place, " ", right))
	}
	ticking(b, "1 of 3")
	choose(false, true)
	b.Press(kb.Enter)
	ticking(b, "2 of 3")
	b.Press("p")
	b.WaitFor("#practice-status", "paused")
	b.Press("1")
	assert.Equal(t, "none", script[string](t, b, `getComputedStyle(document.querySelector(".practice-item:not([hidden]) .practice-answers")).display`), "nothing to choose while paused")
	b.Press("p")
	ticking(b, "2 of 3")
	saved(t, b, 1)
	s.cut(true)
	choose(true, false)
	b.Click(".practice-item:not([hidden]) .practice-on")
	ticking(b, "3 of 3")
	choose(false, false)
	b.Press(kb.Enter)
	b.WaitFor("#practice-result", "1 of 3 right")
	waiting(t, b, 2)
	s.cut(false)
	allSent(t, b)
	b.Do(chromedp.Navigate(s.Home + "/practice"))
	assert.Equal(t, want, inWords(resultsInProfile(t, b)))
	b.QuietButForCuts()
}
