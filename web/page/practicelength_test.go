package page_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// A session is as long as was asked for, and so is the next; a list is what it is.
func TestPracticeLengths(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	for length, items := range map[string]int{"": 10, "25": 25, "5min": 25, "open": 25} {
		answer := s.Ask("GET", "/practice?seed=7&set=unmeasured&length="+length, "", "")
		require.Equal(t, http.StatusOK, answer.Code)
		page := answer.Body.String()
		assert.Len(t, practiceItems(page), items, length)
		if length != "" {
			assert.Contains(t, page, `href="/practice?length=`+length+`&amp;set=unmeasured" id="practice-next"`)
			assert.Contains(t, page, `href="/practice?length=`+length+`&amp;set=unlearnt"`, "another set is as long")
		}
		assert.Len(t, practiceItems(s.Ask("GET", "/practice?items=3,4&length="+length, "", "").Body.String()), 2)
	}
	assert.NotContains(t, s.Ask("GET", "/practice?items=3,4&length=open", "", "").Body.String(), `data-length="open"`)
}

// moveClock has the page's clock be so many milliseconds later.
func moveClock(b *webtest.Browser, by int) {
	b.Do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`{ const now = performance.now.bind(performance); performance.now = () => now() + %d; }`, by)))
}

// Five minutes end after the item in which they are over, and begin again with all items
// before; ten minutes in all are a time for a break. A session without an end is ended. What
// got faster and what to look at again is said by the medians of before.
func TestBrowserPracticeLengths(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s, home := serve(t)
	b := webtest.Browse(t, home)
	key := s.NewKey(t)
	var results []string
	for n, item := range []string{"27", "26"} {
		for i := range 3 {
			results = append(results, fmt.Sprintf(`{"id": "AAAAAAAAAAAAAAAAAAAA%d%d", "exercise": "recognise", "item": "%s", "at": "2026-03-01T12:00:0%dZ", "seconds": %v, "right": true}`, n, i, item, i, []float64{9.5, 0.001}[n]))
		}
		s.Ask("PUT", "/api/v1/ratings/"+item, key, `{"recognise": 1, "execute": 3}`).Must(t)
	}
	s.Ask("POST", "/api/v1/results", key, `{"results": [`+strings.Join(results, ",")+`]}`).Must(t)
	theirs(t, s, b, key)
	b.Do(chromedp.Navigate(home + "/practice?set=slow&length=5min"))
	b.WaitFor("#practice-status", "Five minutes")
	b.Click("#practice-go")
	answer := func(progress string, right bool) {
		ticking(b, progress)
		item := itemShown(t, b)
		b.Press(" ")
		b.WaitFor("#practice-status", "which is it?")
		if right {
			b.Press(item.Right)
		} else {
			b.Press(item.Wrong)
		}
	}
	shown := map[string]int{}
	for n := range 3 {
		ticking(b, fmt.Sprintf("%d, ", n+1))
		shown[itemShown(t, b).Item]++
		if n == 2 {
			// Paused time does not count.
			b.Press("p")
			b.WaitFor("#practice-status", "paused")
			moveClock(b, 4*60_000)
			b.Press("p")
			ticking(b, "3, ")
			assert.Regexp(t, `3, (5:00|4:5\d) left`, b.Text("#practice-status"))
			moveClock(b, 5*60_000)
		}
		answer(fmt.Sprintf("%d, ", n+1), true)
		b.Press(kb.Enter)
	}
	b.WaitFor("#practice-result", "3 of 3 right")
	assert.Len(t, shown, 2, "both before one of them again")
	b.WaitFor("#practice-faster", "faster than your 9.50 s")
	assert.Equal(t, 1, script[int](t, b, `document.querySelectorAll("#practice-faster li").length`))
	b.WaitFor("#practice-again", "slower than your 0.00 s")
	assert.Equal(t, "none", script[string](t, b, `getComputedStyle(document.getElementById("practice-break")).display`))
	moveClock(b, 0)
	b.Click("#practice-misses")
	ticking(b, "1 of 1")
	moveClock(b, 5*60_000)
	answer("1 of 1", false)
	b.Press(kb.Enter)
	b.WaitFor("#practice-again", "wrong")
	b.WaitFor("#practice-break", "a short break")

	b.Do(chromedp.Navigate(home + "/practice?set=slow&length=open"))
	b.WaitFor("#practice-status", "Until you end it")
	b.Click("#practice-go")
	for n := range 3 {
		answer(fmt.Sprintf("Number %d", n+1), true)
		b.Click(".practice-item:not([hidden]) .practice-on")
	}
	ticking(b, "Number 4")
	b.Click("#practice-end")
	b.WaitFor("#practice-result", "3 of 3 right")
	saved(t, b, 6+3+1+3)
	b.Quiet()
}
