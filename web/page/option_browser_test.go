package page_test

import (
	"fmt"
	"regexp"
	"testing"

	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/web/webtest"
)

// An option is read at 320 pixels without scrolling sideways, in light and dark,
// and takes one page on paper of either size.
func TestBrowserOpensAnOption(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	b := browse(t)
	book := forecasttest.Book()
	c := solvedBy(t, lastslot.FR, "U F' d' L U2 L' U L")
	addresses := []string{wayTo(c, "U F' d' L U2 L' U L"), wayTo(lastslot.Case{Slot: lastslot.BL, Corner: 4, Edge: 4}, "")}
	// And the longest of a hard case.
	c = lastslot.CaseAt(54321)
	longest := ""
	for _, o := range book.For(forecast.Anyone()).Forecast(forecast.Request{Case: c}) {
		if turns := o.Turns.String(); len(turns) > len(longest) && len(o.Sequence) > 8 {
			longest = turns
		}
	}
	addresses = append(addresses, wayTo(c, longest))
	pages := regexp.MustCompile(`/Type\s*/Page\b[^s]`)
	for _, address := range addresses {
		b.Do(chromedp.EmulateViewport(320, 700), chromedp.Navigate(b.Home+address))
		b.WaitFor("#answer", "Link and QR code")
		unfolded, err := chromedp.Run(b.Context, chromedp.Evaluate[int](`[...document.querySelectorAll("details")].map(d => d.open = true).length`))
		require.NoError(t, err)
		wide, err := chromedp.Run(b.Context, chromedp.Evaluate[int](`document.documentElement.scrollWidth`))
		require.NoError(t, err)
		assert.LessOrEqual(t, wide, 320, "%s with %d parts unfolded", address, unfolded)
		small, err := chromedp.Run(b.Context, chromedp.Evaluate[string](`[...document.querySelectorAll("main a, main button:not([hidden]), main summary")].map(e => [e.textContent.trim(), e.getBoundingClientRect().height]).filter(([, h]) => h > 0 && h < 44).map(e => e.join(" ")).join(", ")`))
		require.NoError(t, err)
		assert.Empty(t, small, "targets of 44 px")
		for size, inches := range map[string][2]float64{"A4": {8.27, 11.69}, "Letter": {8.5, 11}} {
			printed, err := chromedp.Call(b.Context, cdppage.PrintToPDF, cdppage.PrintToPDFParams{PaperWidth: inches[0], PaperHeight: inches[1]})
			require.NoError(t, err)
			assert.Len(t, pages.FindAll([]byte(printed.Data), -1), 1, "%s on %s", address, size)
		}
	}
	b.Quiet()
}

// Turns are copied as they are shown.
func TestBrowserCopiesTurns(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	b := browse(t)
	b.Do(chromedp.Navigate(b.Home + wayTo(solvedBy(t, lastslot.FR, "R U M U' R' U M'"), "R U M U' R' U M'")))
	// What the button says does not last: all of it is written down.
	_, err := chromedp.Run(b.Context, chromedp.Evaluate[bool](`(() => {
		navigator.clipboard.writeText = async words => { window.copied = words; };
		window.said = [];
		const button = document.querySelector(".opened-marks button.copy");
		new MutationObserver(() => said.push(button.textContent)).observe(button, { childList: true });
		return true;
	})()`))
	require.NoError(t, err)
	b.Click(`.opened-marks button.copy`)
	b.WaitUntil(`said.join() === "Copied,Copy turns"`)
	copied, err := chromedp.Run(b.Context, chromedp.Evaluate[string](`window.copied`))
	require.NoError(t, err)
	assert.Equal(t, "R U M U' R' U M'", copied)
	b.Quiet()
}

// An option is followed turn by turn with the cube in the other hand: by buttons, keys,
// swipes, a tap on a turn, or by itself; up to the oriented top.
func TestBrowserStepsThrough(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	b := browse(t)
	b.Do(chromedp.EmulateViewport(390, 664, chromedp.EmulateMobile, chromedp.EmulateTouch), chromedp.Navigate(b.Home+wayTo(solvedBy(t, lastslot.FR, "R U M U' R' U M'"), "R U M U' R' U M'")))
	b.WaitFor("#player-now", "Start; next R")
	turns := script[int](t, b, `document.querySelectorAll("#player-turns button").length`)
	assert.GreaterOrEqual(t, turns, 7)
	now := func(text string) { t.Helper(); b.WaitFor("#player-now", text) }
	// What is drawn is the strip's picture of that turn, in one screen with the buttons.
	same := func(frame int) bool {
		return script[bool](t, b, fmt.Sprintf(`document.querySelector("#player-picture svg").outerHTML === document.querySelectorAll(".strip li svg")[%d].outerHTML`, frame))
	}
	assert.True(t, same(0))
	assert.True(t, script[bool](t, b, `document.getElementById("player-back").disabled`))
	b.Do(chromedp.Evaluate[chromedp.Void](`document.getElementById("player").scrollIntoView()`))
	assert.True(t, script[bool](t, b, `document.getElementById("player-next").getBoundingClientRect().bottom <= document.querySelector(".pages").getBoundingClientRect().top`), "picture and buttons are in sight together")
	b.Click("#player-next")
	now(fmt.Sprintf("1 of %d: R; next U", turns))
	assert.True(t, same(1))
	b.Do(chromedp.KeyEvent(kb.ArrowRight))
	now(fmt.Sprintf("2 of %d: U", turns))
	b.Do(chromedp.KeyEvent(kb.ArrowLeft))
	now(fmt.Sprintf("1 of %d: R", turns))
	swipe := func(by int) {
		b.Do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`(() => {
			const picture = document.getElementById("player-picture");
			picture.dispatchEvent(new PointerEvent("pointerdown", { clientX: 200, bubbles: true }));
			picture.dispatchEvent(new PointerEvent("pointerup", { clientX: 200 + %d, bubbles: true }));
		})()`, by)))
	}
	swipe(-80)
	now(fmt.Sprintf("2 of %d: U", turns))
	swipe(-5)
	now(fmt.Sprintf("2 of %d: U", turns))
	swipe(80)
	now(fmt.Sprintf("1 of %d: R", turns))
	b.Click("#player-turns li:nth-child(7) button")
	now(fmt.Sprintf("7 of %d: M'", turns))
	assert.True(t, same(7))
	assert.Equal(t, "M'", b.Text(`#player-turns [aria-current="step"]`))
	// From the end it plays from the start; the speed is chosen.
	b.Click("#player-turns li:last-child button")
	now("done")
	b.Do(chromedp.Evaluate[chromedp.Void](`document.getElementById("player-speed").value = "700"`))
	b.Click("#player-play")
	assert.Equal(t, "Pause", b.Text("#player-play"))
	now(fmt.Sprintf("1 of %d: R", turns))
	b.Click("#player-play")
	assert.Equal(t, "Play", b.Text("#player-play"))
	b.Quiet()
}

// What one says of an option is saved where it stands: nothing else of the page changes,
// what was done is said, and taken back by Undo.
func TestBrowserMarksAnOpenedOption(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Do(chromedp.Navigate(b.Home + wayTo(solvedBy(t, lastslot.FR, "R U M U' R' U M'"), "R U M U' R' U M'")))
	b.WaitFor("#player-now", "Start")
	b.Click("#player-next")
	b.Do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll("details").forEach((d) => (d.open = true)), document.getElementById("opened-marks").scrollIntoView()`))
	where := func() string {
		return script[string](t, b, `[scrollY, document.querySelectorAll("details[open]").length, document.getElementById("player-now").textContent].join()`)
	}
	before := where()
	for _, step := range []struct{ button, after string }{
		{`#opened-marks [name="know"]`, `#opened-marks [name="forget"]`},
		{`#opened-marks [name="hide"]`, `#opened-marks [name="show"]`},
		{`#opened-predicts [value="yes"]`, `#opened-predicts [value="no"]`},
	} {
		b.Click(step.button)
		b.WaitFor("#toast", "Undo")
		b.WaitFor(step.after, "")
		assert.Equal(t, before, where(), step.button)
		b.Click("#toast button")
		b.WaitFor("#toast", "Undone.")
		b.WaitFor(step.button, "")
		assert.Equal(t, before, where(), "after Undo")
	}
	b.Quiet()
}
