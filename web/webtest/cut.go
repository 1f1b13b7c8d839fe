package webtest

import (
	_ "embed"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

//go:embed cut.js
var cut string

// Cut says what of the page cannot be read or hit as it is shown now: what
// scrolls sideways, ends beyond the screen or its own box, or lies under
// something else.
func (b *Browser) Cut() []string {
	b.t.Helper()
	found, err := chromedp.Run(b.Context, chromedp.Evaluate[[]string](cut))
	require.NoError(b.t, err)
	return found
}

// TextSize sets the size of text that a person has chosen in the browser, in
// percent of the usual 16 CSS pixels.
func (b *Browser) TextSize(percent int64) {
	b.t.Helper()
	sizes := page.FontSizes{Standard: 16 * percent / 100, Fixed: 13 * percent / 100}
	_, err := chromedp.Call(b.Context, page.SetFontSizes, page.SetFontSizesParams{FontSizes: &sizes})
	require.NoError(b.t, err)
}
