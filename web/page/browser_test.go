package page_test

import (
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

func browse(t testing.TB) *webtest.Browser {
	t.Helper()
	server := httptest.NewServer(site.NewHandler(t))
	t.Cleanup(server.Close)
	return webtest.Browse(t, server.URL)
}

const (
	pasteButton = `#paste button[type="submit"]`
	tapButton   = `#tap button[type="submit"]`
)

func TestBrowser(t *testing.T) {
	t.Parallel()
	b := browse(t)
	b.Do(chromedp.Navigate(b.Home + "/"))
	b.WaitFor("#status", "An example. Case")

	// A scramble with a solution of its own, pasted; white is found on top.
	b.Click(".jump")
	b.Write("#scramble", "R D R' D'")
	b.Write("#solution", "D2 R D R'")
	b.Click(pasteButton)
	b.WaitFor("#answer .note", "First rotate x2")
	pasted := b.Text("#answer .patterns")

	// A wrong turn is marked, beside what was typed, and the focus is on it.
	b.Write("#scramble", "R U Q2 R'")
	b.Click(pasteButton)
	b.WaitFor("#scramble-problem mark", "Q2")
	value, err := chromedp.Run(b.Context, chromedp.Value(chromedp.CSS("#scramble")))
	require.NoError(t, err)
	assert.Equal(t, "R U Q2 R'", value)
	assert.Equal(t, "scramble", focusedID(t, b))
	assert.NotEqual(t, pasted, b.Text("#answer"))
	b.Forget400s()

	// A case is tapped in: corner up at the front right, edge at the back. Steps go
	// on by themselves, and the answer comes with the second tap.
	b.Click(`#tools [data-key="n"]`)
	b.WaitFor("#status", "Your case: first where the pair’s corner is")
	assert.Equal(t, 3, tapIn(b))
	b.WaitFor("#status", "Case "+site.TappedCode(t))
	tapped := b.Text("#answer .patterns")
	address, err := chromedp.Run(b.Context, chromedp.Location())
	require.NoError(t, err)
	assert.Contains(t, address, "corner=UFR.R", "the address can be kept")
	assert.NotContains(t, address, "part=")

	// What follows from the rest moves on as more is told, and comes back when a
	// second tap takes it back.
	b.Click(`input[name="UBL"][value="L"]`)
	b.WaitFor("#status", "Case "+codeOf(t, func(c *lastslot.Case) { c.Twists[0], c.Twists[1] = 1, 2 }))
	b.Click(`input[name="UBL"][value="L"]`)
	b.WaitFor("#status", "Case "+site.TappedCode(t))
	b.Click(`input[name="UBL"][value="L"]`)
	b.WaitFor("#status", "Case "+codeOf(t, func(c *lastslot.Case) { c.Twists[0], c.Twists[1] = 1, 2 }))
	b.Click(`#tools [data-key="u"]`)
	b.WaitFor("#status", "Case "+site.TappedCode(t))

	// Another hold shows the same case elsewhere; undo leads back.
	b.Click(`#tools [data-key="y"]`)
	b.WaitFor("#status", "Case "+tappedCaseAt(1))
	b.Click(`#tools [data-key="u"]`)
	b.WaitFor("#status", "Case "+site.TappedCode(t))

	// The shared link has the same forecast.
	b.Follow(func() { b.Click("#answer a.code") })
	b.WaitFor("h1", "Last slot front right")
	assert.Equal(t, tapped, b.Text("#answer .patterns"))
	link, err := chromedp.Run(b.Context, chromedp.Value(chromedp.CSS("#link")))
	require.NoError(t, err)
	assert.Equal(t, b.Home+"/case/"+site.TappedCode(t), link)
	hidden, err := chromedp.Run(b.Context, chromedp.Evaluate[bool](`document.querySelector(".share .copy").hidden`))
	require.NoError(t, err)
	assert.False(t, hidden, "with a script the link can be copied")
	b.Quiet()
}

func focusedID(t *testing.T, b *webtest.Browser) string {
	t.Helper()
	focused, err := chromedp.Run(b.Context, chromedp.Evaluate[string](`document.activeElement.id`))
	require.NoError(t, err)
	return focused
}

// codeOf is the code of a case that is tappedCase but for a change.
func codeOf(t *testing.T, change func(*lastslot.Case)) string {
	t.Helper()
	c := site.TappedCase
	change(&c)
	c, err := lastslot.NewCase(c)
	require.NoError(t, err)
	return c.Code()
}

// tappedCaseAt is the code of tappedCase seen after so many y.
func tappedCaseAt(quarters int) string { return site.TappedCase.TurnedRound(quarters).Code() }

// tapIn marks the case of tappedCase on the figure, and says in how many taps.
func tapIn(b *webtest.Browser) (taps int) {
	for _, tap := range []string{`[name="corner"][value="UFR.R"]`, `[name="edge"][value="UB.U"]`, `[name="slotcorner"][value="right"]`} {
		b.Click("#tap input" + tap)
		taps++
	}
	return taps
}

// Everything is a plain form where scripts do not run.
func TestBrowserWithoutScript(t *testing.T) {
	t.Parallel()
	b := browse(t)
	b.WithoutScript()
	b.Do(chromedp.Navigate(b.Home + "/"))
	b.WaitFor("#status", "An example. Case")
	// Nothing of the example goes along.
	b.Click(`#tap input[name="corner"][value="UFR.R"]`)
	b.Click(`.step-edge input`)
	b.Click(`#tap input[name="edge"][value="UB.U"]`)
	b.Click(`.step-top input`)
	b.Click(`#tap input[name="slotcorner"][value="right"]`)
	b.Follow(func() { b.Click(tapButton) })
	b.WaitFor("#status", "Case "+site.TappedCode(t))
	tapped := b.Text("#answer .patterns")
	b.Follow(func() { b.Click(`#tools [data-key="y"]`) })
	b.WaitFor("#status", "Case "+tappedCaseAt(1))
	b.Follow(func() { b.Click(`#tools [data-key="u"]`) })
	b.WaitFor("#status", "Case "+site.TappedCode(t))
	b.Click("#filters summary")
	b.Follow(func() { b.Click(`#filters [aria-label="Side"] a[href*="hand=right"]`) })
	b.WaitFor("#filters summary", "1 set")
	b.Click("#filters summary")
	b.Follow(func() { b.Click(`#filters [aria-label="Side"] a:first-child`) })
	b.WaitFor("#filters summary", "Filter")
	assert.Equal(t, tapped, b.Text("#answer .patterns"))
	b.Follow(func() { b.Click("#answer a.code") })
	b.WaitFor("h1", "Last slot front right")
	assert.Equal(t, tapped, b.Text("#answer .patterns"))
	b.Quiet()
}

// A case is told, changed and read with keys alone.
func TestBrowserLooksUpByKeys(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	b := browse(t)
	b.Do(chromedp.EmulateViewport(1280, 800), chromedp.Navigate(b.Home+"/?mark=corner&slot=FR"))
	b.WaitFor("#status", "first where the pair’s corner is")
	focused := func() string {
		name, err := chromedp.Run(b.Context, chromedp.Evaluate[string](`(e => e.name ? e.name + " " + e.value : e.className)(document.activeElement)`))
		require.NoError(t, err)
		return name
	}
	press := func(keys ...string) {
		for _, k := range keys {
			b.Do(chromedp.KeyEvent(k))
		}
	}
	// The tabulator stops once in the figure, besides the slots.
	for range 20 {
		press(kb.Tab)
		if strings.HasPrefix(focused(), "corner ") {
			break
		}
	}
	require.Equal(t, "corner UBL.U", focused())
	press(kb.Tab)
	assert.NotContains(t, focused(), "corner ")
	b.Do(chromedp.Focus(chromedp.CSS(`input[name="corner"][value="UBL.U"]`)))

	// Arrows go over the figure as it lies, to each of its tiles, and set nothing.
	press(kb.ArrowRight, kb.ArrowLeft)
	assert.True(t, strings.HasPrefix(focused(), "corner "), focused())
	missed, err := chromedp.Run(b.Context, chromedp.Evaluate[int](`(() => {
		const inputs = [...document.querySelectorAll("#tap .mark-corner:enabled")];
		const seen = new Set([inputs[0]]), next = [inputs[0]];
		while (next.length) {
			const from = next.pop();
			for (const key of ["ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight"]) {
				from.focus();
				from.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
				if (!seen.has(document.activeElement)) next.push(document.activeElement);
				seen.add(document.activeElement);
			}
		}
		return inputs.length - seen.size;
	})()`))
	require.NoError(t, err)
	assert.Zero(t, missed, "tiles that no arrow leads to")
	b.Do(chromedp.Focus(chromedp.CSS(`input[name="corner"][value="UFR.R"]`)))
	assert.Contains(t, b.Text("#status"), "first where the pair’s corner is")
	press(" ")
	b.WaitFor("#status", "Now where the pair’s edge is")
	assert.True(t, strings.HasPrefix(focused(), "edge "), focused())
	press("w")
	b.WaitFor("#status", "Case "+site.TappedCode(t))
	press("s")
	b.WaitFor("#status", "Case "+codeOf(t, func(c *lastslot.Case) { c.Twists[0], c.Twists[4] = 2, 0 }))
	press("u")
	b.WaitFor("#status", "Case "+site.TappedCode(t))

	// The keys of the tools; and the pair's pieces turn under the same keys.
	press("y")
	b.WaitFor("#status", "Case "+tappedCaseAt(1))
	press("u")
	b.WaitFor("#status", "Case "+site.TappedCode(t))
	press("w")
	b.WaitFor("#status", "Case "+codeOf(t, func(c *lastslot.Case) { c.Flips[0], c.Flips[4] = 1, 1 }))
	press("u")
	b.WaitFor("#status", "Case "+site.TappedCode(t))
	press("?")
	open, err := chromedp.Run(b.Context, chromedp.Evaluate[bool](`document.getElementById("keys").open`))
	require.NoError(t, err)
	assert.True(t, open)
	press("1")
	assert.Equal(t, "corner UFR.R", focused())
	press("n")
	b.WaitFor("#status", "first where the pair’s corner is")
	b.Quiet()
}

// Neither a filter nor a tap moves anything but the lines of the answer: what is
// in focus and what is open stay. Lines glide, but not where motion is unwanted.
func TestBrowserNothingJumps(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	b := browse(t)
	b.Do(chromedp.EmulateViewport(1280, 800), chromedp.Navigate(b.Home+"/?case="+site.TappedCode(t)))
	b.WaitFor("#status", "Case "+site.TappedCode(t))
	where := func() string {
		places, err := chromedp.Run(b.Context, chromedp.Evaluate[string](`[...document.querySelectorAll("#tools, #filters nav, .sift ~ .patterns-head:nth-of-type(1)")].map(e => e.getBoundingClientRect().top).join(" ")`))
		require.NoError(t, err)
		return places
	}
	is := func(code string) bool {
		yes, err := chromedp.Run(b.Context, chromedp.Evaluate[bool](code))
		require.NoError(t, err)
		return yes
	}
	gliding := func() bool {
		b.Do(chromedp.Evaluate[chromedp.Void](`
			Element.prototype.animate = ((animate) => function (...a) { window.glided = true; return animate.apply(this, a); })(Element.prototype.animate);
			window.glided = false`))
		b.Click(`#filters [aria-label="Side"] a[href*="hand=right"]`)
		b.WaitFor(`#filters [aria-label="Side"] a[aria-current]`, "R, not L")
		yes := is(`glided`)
		b.Click(`#filters [aria-label="Side"] a:first-child`)
		b.WaitFor(`#filters [aria-label="Side"] a[aria-current]`, "both")
		return yes
	}
	b.Click("#filters summary")
	before := where()
	for _, choice := range []struct{ filter, link, label string }{{"Side", `a[href*="hand=right"]`, "R, not L"}, {"Predicting", `a[href*="predicted"]`, "as if I predicted everything"}} {
		b.Click(`#filters [aria-label="` + choice.filter + `"] ` + choice.link)
		b.WaitFor(`#filters [aria-label="`+choice.filter+`"] a[aria-current]`, choice.label)
		assert.True(t, is(`document.activeElement.matches("#filters[open] a[aria-current]")`), "the filter stays open, and its choice in focus")
	}
	b.WaitFor("#filters summary", "2 set")
	assert.Equal(t, "Side: R, not L ×", b.Text(".chips a"))
	b.Click(`#filters [aria-label="Predicting"] a:first-child`)
	b.WaitFor("#filters summary", "1 set")
	b.Click(`#filters [aria-label="Side"] a:first-child`)
	b.WaitFor(`#filters [aria-label="Side"] a[aria-current]`, "both")
	b.Do(chromedp.Evaluate[chromedp.Void](`scrollTo(0, 0)`))
	assert.Equal(t, before, where())
	b.Click(`input[name="UL"][value="L"]`)
	b.WaitFor("#status", "Case "+codeOf(t, func(c *lastslot.Case) { c.Flips[1], c.Flips[4] = 1, 1 }))
	b.Do(chromedp.Evaluate[chromedp.Void](`scrollTo(0, 0)`))
	assert.Equal(t, before, where())

	assert.True(t, gliding())
	_, err := chromedp.Call(b.Context, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}})
	require.NoError(t, err)
	assert.False(t, gliding(), "no motion where it is not wanted")
	b.Quiet()
}

// What a thumb needs, at the widths of phones: on the figure as much room as WCAG 2.2
// (2.5.8) asks for and on the top's tiles 40 pixels, nothing to scroll sideways, and the
// best two options in sight while one taps.
func TestBrowserFigureIsForThumbs(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	b := browse(t)
	for _, width := range []int64{320, 360, 390} {
		b.Do(chromedp.EmulateViewport(width, 664, chromedp.EmulateMobile, chromedp.EmulateTouch), chromedp.Navigate(b.Home+"/"))
		b.WaitFor("#status", "An example.")
		// room is the least diameter of a circle within the tiles of some stickers.
		const room = `((which) => Math.min(...[...document.querySelectorAll(".sticker")].filter(which).map((e) => {
			const corners = getComputedStyle(e).clipPath.match(/polygon\((.*)\)/)[1].split(",").map((p) => p.trim().split(" ").map(parseFloat))
				.map(([x, y]) => [x / 100 * e.offsetWidth, y / 100 * e.offsetHeight]);
			const middle = [0, 1].map((i) => corners.reduce((sum, p) => sum + p[i], 0) / 4);
			return 2 * Math.min(...corners.map((p, i) => {
				const q = corners[(i + 1) % 4];
				return Math.abs((q[0] - p[0]) * (middle[1] - p[1]) - (q[1] - p[1]) * (middle[0] - p[0])) / Math.hypot(q[0] - p[0], q[1] - p[1]);
			}));
		})))`
		measure := func(code string) float64 {
			n, err := chromedp.Run(b.Context, chromedp.Evaluate[float64](code))
			require.NoError(t, err)
			return n
		}
		tiles := func() {
			assert.GreaterOrEqual(t, measure(room+`(() => true)`), 24.0, "%d", width)
			assert.GreaterOrEqual(t, measure(room+`((e) => e.className.endsWith("-U"))`), 40.0, "%d", width)
		}
		tiles()
		assert.GreaterOrEqual(t, measure(`Math.min(...[...document.querySelectorAll(".slots label")].flatMap(e => [e.offsetWidth, e.offsetHeight]))`), 24.0, "%d", width)
		assert.GreaterOrEqual(t, measure(`Math.min(...[...document.querySelectorAll(".tools .tool, .steps label, .entry-head a, #answer summary:not([popover] *), #answer .line")].flatMap(e => [e.offsetWidth, e.offsetHeight]))`), 44.0, "%d", width)
		assert.LessOrEqual(t, measure(`document.documentElement.scrollWidth`), float64(width))
		if width < 360 {
			continue
		}
		inSight := func(when string) {
			assert.Equal(t, 2.0, measure(`[...document.querySelectorAll(".best li")].filter((e) => {
				const box = e.getBoundingClientRect(), [x, y] = [box.left + box.width / 2, box.bottom - 2];
				return box.top >= 0 && e.contains(document.elementFromPoint(x, y));
			}).length`), "%d: the best two options are in sight %s", width, when)
			assert.Equal(t, 0.0, measure(`scrollY`))
		}
		inSight("at first")
		tapIn(b)
		b.WaitFor("#status", "Case "+site.TappedCode(t))
		b.WaitFor("#status", "The rest of the top assumed oriented.")
		inSight("after taps")
		for _, second := range []string{"FL", "BR", "BL"} {
			b.Do(chromedp.Navigate(b.Home + "/?mark=corner&slot=FR&second=" + second))
			b.WaitFor("#status", "Two slots open")
			tiles()
			assert.GreaterOrEqual(t, measure(`Math.min(...[...document.querySelectorAll(".tools .tool, .steps label, .second-slot label:has(:enabled)")].flatMap(e => [e.offsetWidth, e.offsetHeight]))`), 44.0, "%d", width)
			assert.LessOrEqual(t, measure(`document.documentElement.scrollWidth`), float64(width))
		}
	}
	// At a desk figure and answer stand side by side.
	b.Do(chromedp.EmulateViewport(1280, 800), chromedp.Navigate(b.Home+"/"))
	b.WaitFor("#status", "An example.")
	whole, err := chromedp.Run(b.Context, chromedp.Evaluate[bool](`(() => {
		const figure = document.querySelector(".figure").getBoundingClientRect();
		const second = document.querySelectorAll(".option")[1].getBoundingClientRect();
		return figure.bottom <= innerHeight && second.bottom <= innerHeight && figure.right <= second.left;
	})()`))
	require.NoError(t, err)
	assert.True(t, whole)
	b.Quiet()
}
