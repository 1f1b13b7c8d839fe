package page_test

import (
	"regexp"
	"testing"

	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// An option is read at 320 pixels without scrolling sideways, in light and dark,
// and takes one page on paper of either size.
func TestBrowserOpensAnOption(t *testing.T) {
	t.Parallel()
	b := browse(t)
	book, err := site.LoadedBook()
	require.NoError(t, err)
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
