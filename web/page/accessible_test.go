package page_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
)

// Every page, for a visitor without and with a profile: it breaks no rule of axe-core, nothing
// of it is cut or out of reach, and the tabulator goes through it, which meets the same things
// for both. The three look at a page one after the other, as to open it takes as long as to look.
func TestBrowserEveryPage(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s, home := serve(t)
	for i, visitor := range visitors {
		t.Run(visitor.name, func(t *testing.T) {
			t.Parallel()
			b := visit(t, s, home, visitor.full)
			for _, p := range samplePages(t, s) {
				b.Show(screens[i].width, screens[i].height, false)
				p.open(b)
				if visitor.full && !p.Over {
					assertTabulator(t, b, p)
				}
				assertNoViolation(t, b, p, visitor.full)
				assertFits(t, b, p, visitor.full)
			}
		})
	}
}

// assertNoViolation sees that the page breaks no rule of axe-core on a phone in light, and for
// who has a profile on a desk in the dark: the colours are the same on both, and what is new to
// somebody has no others.
func assertNoViolation(t *testing.T, b *webtest.Browser, p samplePage, full bool) {
	t.Helper()
	asTheDevice(b)
	for i, screen := range screens {
		dark := i > 0
		if dark && !full {
			break
		}
		b.Show(screen.width, screen.height, dark)
		for _, v := range b.Violations() {
			assert.Fail(t, p.Name+" on a "+screen.name, "dark %t: %s", dark, v)
		}
	}
}

// screens are the sizes that pages are looked at, in CSS pixels.
var screens = []struct {
	name          string
	width, height int64
}{{"phone", 390, 844}, {"desktop", 1280, 800}}

// smallTargets is what a thumb misses: less than 44 CSS pixels high or wide (WCAG
// 2.2, 2.5.5, which leaves out links within sentences). The figure's tiles have a test of
// their own.
const smallTargets = `[...document.querySelectorAll("a[href], button, input, select, textarea, summary")].filter(e => {
	if (!e.checkVisibility({visibilityProperty: true}) || e.closest(".skip, .sticker, .slots") || getComputedStyle(e).display === "inline" || getComputedStyle(e).pointerEvents === "none") return false;
	const targets = e.matches("input[type=radio], input[type=checkbox]") && e.closest("label") ? [e, e.closest("label")] : [e];
	return !targets.some(t => t.offsetHeight >= 44 && t.offsetWidth >= 44);
}).map(e => e.outerHTML.slice(0, 120) + " " + e.offsetWidth + " by " + e.offsetHeight)`

// textSizes are the widths in CSS pixels and the sizes of text that pages are looked at in:
// at 320 px, with text twice as large, and as big as the pages make it (WCAG 2.2, 1.4.4 and
// 1.4.10).
var textSizes = []struct {
	width, text int64
	chosen      string // on the page
}{{320, 200, ""}, {1280, 200, ""}, {320, 100, ""}, {320, 100, "big"}, {390, 200, ""}}

// assertFits sees that nothing of the page is cut, hidden by something else or scrolls
// sideways, and that a thumb meets what it is to meet.
func assertFits(t *testing.T, b *webtest.Browser, p samplePage, full bool) {
	t.Helper()
	sizes := textSizes
	if !full {
		// What is new to somebody has the same shapes: where it is tightest is enough.
		sizes = sizes[:2]
	}
	for _, size := range sizes {
		b.Show(size.width, 800, false)
		b.TextSize(size.text)
		b.Do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`document.documentElement.dataset.text = %q`, size.chosen)))
		where := fmt.Sprintf("%s at %d px, text at %d %% %s", p.Name, size.width, size.text, size.chosen)
		for _, what := range b.Cut() {
			assert.Fail(t, where, "%s", what)
		}
		if size.text == 100 && size.chosen == "" {
			assert.Empty(t, script[[]string](t, b, smallTargets), "too small for a thumb on %s", where)
		}
	}
	b.TextSize(100)
}

// Checks that find nothing are to find what is wrong where something is.
func TestBrowserChecksFindWhatIsWrong(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Do(chromedp.Navigate(home + "/profile"))
	require.Empty(t, b.Violations())
	b.Show(320, 800, true)
	require.True(t, script[bool](t, b, `matchMedia("(prefers-color-scheme: dark)").matches`))
	require.Empty(t, b.Cut())
	b.TextSize(200)
	require.Equal(t, "32px", script[string](t, b, `getComputedStyle(document.documentElement).fontSize`))
	b.TextSize(100)
	b.Do(chromedp.Evaluate[chromedp.Void](`
		document.querySelector("h1").insertAdjacentHTML("afterend", "<p id=faint>Faint</p><button id=mute></button><p id=wide>Widewidewidewidewidewidewidewidewide</p>");
		document.querySelector("#faint").style.color = "#203030";
		document.querySelector("#wide").style.cssText = "width: 40px; overflow: hidden; white-space: nowrap";
		document.querySelector("#mute").style.cssText = "display: block; width: 400px; height: 44px";
		const over = document.createElement("div");
		over.id = "over";
		over.style.cssText = "position: fixed; inset: 0";
		document.body.append(over);
	`))
	rules := func(violations []webtest.Violation) (names []string) {
		for _, v := range violations {
			names = append(names, v.Rule)
		}
		return names
	}
	assert.Subset(t, rules(b.Violations()), []string{"button-name", "color-contrast"})
	assert.Empty(t, script[[]string](t, b, smallTargets))
	b.Do(chromedp.Evaluate[chromedp.Void](`document.querySelector("#mute").style.cssText = "min-height: 43px; height: 43px; display: block; width: 400px"`))
	assert.Len(t, script[[]string](t, b, smallTargets), 1)
	found := strings.Join(b.Cut(), "\n")
	assert.Regexp(t, `beyond the screen \(\d+ to 4\d\d\): <button id=mute>`, found)
	for _, what := range []string{"the page scrolls sideways", "cut at its side", "under <div id=over>"} {
		assert.Contains(t, found, what)
	}
}
