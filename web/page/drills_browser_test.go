package page_test

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"slotcast/web/webtest"
)

// Two people at two browsers: one makes a drill of a session and does it, the other opens the
// link and does the same, and each sees both.
func TestBrowserDrillForTwo(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	one, other := webtest.Browse(t, home), webtest.Browse(t, home)
	one.Show(390, 664, false)
	other.Show(390, 664, false)
	one.Do(chromedp.Navigate(home + "/practice?items=27,5&seed=3"))
	one.WaitUntil(`!document.getElementById("practice-start").hidden`)
	one.Follow(func() { one.Click(`form[action="/drills"] button`) })
	drill := script[string](t, one, `location.href`)
	does := func(b *webtest.Browser, right bool) (items []string) {
		b.Follow(func() { b.Click(`#answer a.button`) })
		b.WaitUntil(`!document.getElementById("practice-start").hidden`)
		b.Click("#practice-go")
		for _, progress := range []string{"1 of 2", "2 of 2"} {
			ticking(b, progress)
			item := itemShown(t, b)
			items = append(items, item.Item)
			b.Press(" ")
			b.WaitFor("#practice-status", "which is it?")
			if right {
				b.Press(item.Right)
			} else {
				b.Press(item.Wrong)
			}
			b.Press(" ")
		}
		b.WaitUntil(`!document.getElementById("practice-summary").hidden`)
		allSent(t, b)
		b.Follow(func() { b.Click(`#practice-summary a[href^="/drills/"]`) })
		return items
	}
	items := does(one, true)
	assert.Contains(t, script[string](t, one, `document.querySelector("tfoot").textContent`), "2 of 2 right")
	other.Do(chromedp.Navigate(drill))
	other.WaitFor("#status", "Somebody shared this drill with you")
	assert.Equal(t, items, does(other, false), "in the same order")
	for _, b := range []*webtest.Browser{one, other} {
		b.Do(chromedp.Navigate(drill))
		b.WaitFor("#status", "You and your partner")
		all := script[string](t, b, `document.querySelector("tfoot").textContent`)
		assert.Contains(t, all, "2 of 2 right")
		assert.Contains(t, all, "0 of 2 right")
	}
}
