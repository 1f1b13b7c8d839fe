package page_test

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
)

// mostStopsSeen is how far a page is walked with the tabulator: behind that,
// patterns and options repeat themselves.
const mostStopsSeen = 45

// assertTabulator sees that the tabulator goes through the page in the order of reading; it
// is always seen where it is, and it never stays. (WCAG 2.2, 2.1.2, 2.4.3, 2.4.7, 2.4.11.)
func assertTabulator(t *testing.T, b *webtest.Browser, p samplePage) {
	t.Helper()
	// From the start, also where something has the focus already.
	b.Do(chromedp.Evaluate[chromedp.Void](`{
		const start = document.createElement("span");
		start.tabIndex = -1;
		document.body.prepend(start);
		start.focus();
		start.remove();
	}`))
	first := b.Tab()
	require.Equal(t, "Skip to content", first.Name, p.Name)
	before := first
	for range mostStopsSeen {
		f := b.Tab()
		if f.Page || f.Name == first.Name {
			break
		}
		require.True(t, f.Later, "%s: the keyboard goes back, or stays, at %s", p.Name, f.Element)
		assert.True(t, f.Marked, "%s: nothing shows the keyboard at %s", p.Name, f.Element)
		assert.True(t, f.InView, "%s: the keyboard is out of view at %s", p.Name, f.Element)
		assert.NotEmpty(t, f.Name, "%s: no name for %s", p.Name, f.Element)
		if f.SamePart {
			assert.True(t, f.Box.Bottom > before.Box.Top || f.Box.Left >= before.Box.Right-1, "%s: %s stands before %s", p.Name, f.Element, before.Element)
		}
		before = f
	}
	b.Do(chromedp.Evaluate[chromedp.Void](`document.activeElement?.blur(); scrollTo(0, 0)`))
}

// All jobs with the keys alone.
func TestBrowserJobsByKeyboard(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s, home := serve(t)
	code := s.SampleCode(t)
	b := webtest.Browse(t, home)
	b.Show(1280, 800, false)
	enter := func() { b.Follow(func() { b.Press(kb.Enter) }) }

	// Look a case up by its code, and open its page.
	b.Do(chromedp.Navigate(home + "/"))
	b.WaitFor("#status", "An example")
	b.TabTo("textbox", "Code of a case")
	b.Do(chromedp.Evaluate[chromedp.Void](`document.activeElement.select()`))
	b.Press(code, kb.Enter)
	b.WaitFor("#status", "Case "+code)
	b.TabTo("link", code)
	enter()
	b.WaitFor("h1", "Last slot front right")

	// Share it, and mark an insertion as known.
	// Not every Chromium lets a test at its clipboard.
	b.Do(chromedp.Evaluate[chromedp.Void](`void (navigator.clipboard.writeText = async () => {})`))
	b.TabTo("button", "Share")
	b.Press(kb.Enter)
	b.TabTo("button", "Copy link")
	b.Press(kb.Enter)
	b.WaitFor("#way-link .copy", "Copied")
	b.Press(kb.Escape)
	assert.Equal(t, "Share", b.Focused().Name, "the keyboard goes back to where the sheet was opened")
	// The best way's marks are folded under it.
	b.TabTo("link", "all oriented R U R'")
	b.Tab()
	b.Press(kb.Enter)
	b.TabTo("button", "Not known: R U R'")
	b.Press(kb.Enter)
	b.WaitFor("#toast", "Saved.")
	assert.Equal(t, "I know it: R U R'", b.Focused().Name, "the keyboard stays where it was")

	// Rate a pattern.
	b.TabTo("link", "Change this case")
	b.Do(chromedp.Navigate(home + "/"))
	b.TabTo("link", "Ratings")
	enter()
	b.WaitFor("h1", "How well do you know")
	b.TabTo("radio", "OLL 1 recognise")
	b.Press("4", "2")
	waitSaid(b, "#oll-1", "saved")
	b.WaitFor("#rated", "1 of 58")

	// Change a setting.
	b.Do(chromedp.Navigate(home + "/ratings"))
	b.TabTo("link", "Profile")
	enter()
	b.WaitFor("h1", "Your profile")
	b.TabTo("textbox", "3")
	b.Do(chromedp.Evaluate[chromedp.Void](`document.activeElement.select()`))
	b.Press("0.61")
	b.TabTo("button", "Save the seconds")
	b.Follow(func() { b.Press(" ") })
	assert.Equal(t, "0.61", script[string](t, b, `document.querySelector('[name="recognise-3"]').value`))

	// Read the help.
	b.TabTo("link", "Help")
	enter()
	b.WaitFor("h1", "How to read the pages")
	b.Quiet()
}

// The ways to other pages, on a phone and without a script.
func TestBrowserPagesLeadToEachOther(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.WithoutScript()
	b.Do(chromedp.Navigate(home + "/"))
	const bar = `document.querySelector(".pages > ul").getBoundingClientRect()`
	assert.Equal(t, 844.0, script[float64](t, b, bar+`.bottom`), "under the thumb")
	assert.False(t, script[bool](t, b, `document.querySelector("#further").checkVisibility()`))
	b.Click(".further > button")
	b.Follow(func() { b.Click(`#further a[href="/help"]`) })
	b.WaitFor("h1", "How to read the pages")
	assert.Equal(t, "page", script[string](t, b, `document.querySelector('#further a[href="/help"]').getAttribute("aria-current")`))
	b.Click(".further > button")
	b.Press(kb.Escape)
	assert.False(t, script[bool](t, b, `document.querySelector("#further").checkVisibility()`))
	b.Follow(func() { b.Click(`.pages a[href="/ratings"]`) })
	b.WaitFor("h1", "How well")
	b.Click("#oll-27 summary")
	b.Follow(func() { b.Click(`#oll-27 a[href="/patterns/27"]`) })
	b.WaitFor("h1", "OLL 27")
	assert.Equal(t, "true", script[string](t, b, `document.querySelector('.pages a[href="/ratings"]').getAttribute("aria-current")`), "a pattern belongs to the ratings")

	// Who holds the phone in the left hand has the first one nearest.
	const first = `document.querySelector(".pages a").getBoundingClientRect().left`
	assert.Less(t, script[float64](t, b, first), 100.0)
	b.Do(chromedp.Evaluate[chromedp.Void](`document.documentElement.dataset.thumb = "left"`))
	assert.Greater(t, script[float64](t, b, first), 200.0)
	b.Quiet()
}
