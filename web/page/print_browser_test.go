package page_test

import (
	"fmt"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// paperSize is a size of paper in points of 1/72 inch: ISO 216 for A4, ANSI/ASME
// Y14.1 for Letter. The browser rounds to its own pixels.
type paperSize struct{ width, height float64 }

var paperSizes = map[string]paperSize{"a4": {210 / 25.4 * 72, 297 / 25.4 * 72}, "letter": {8.5 * 72, 11 * 72}}

// margin is that of the sheets, in points.
const margin = 12 / 25.4 * 72

// overPaper lists what of a sheet reaches over the paper's edge, or hides a part of
// what is in it, with the paper's printable size in CSS pixels.
const overPaper = `(() => {
	const wide = %d, high = %d, cut = [];
	for (const e of document.querySelectorAll(".sheet, .sheet *")) {
		const box = e.getBoundingClientRect();
		const words = e.tagName + "." + e.getAttribute("class") + " " + e.textContent.slice(0, 40);
		if (!box.width) continue;
		if (box.left < -0.5 || box.right > wide + 0.5) cut.push("over the edge: " + words);
		if (e instanceof HTMLElement && getComputedStyle(e).display !== "inline" && e.scrollWidth > e.clientWidth + 1) cut.push("hides a part: " + words);
		if (e.matches("li") && box.height > high) cut.push("higher than a page: " + words);
	}
	for (const e of document.querySelectorAll("body *")) {
		if (!e.closest(".sheet") && !e.querySelector(".sheet") && e.checkVisibility()) cut.push("not of the sheet: " + e.tagName + "." + e.className);
	}
	return cut.join("\n");
})()`

// overEdge lists what of a sheet or of a way to share reaches over the right edge of the screen,
// with the size of the text.
const overEdge = `(() => {
	document.documentElement.style.fontSize = %q;
	return [...document.querySelectorAll(".sheet-choices *, .sheet *, .share *")].filter(e => e.checkVisibility() && e.getBoundingClientRect().right > 320.5).map(e => e.outerHTML.slice(0, 80)).join("\n");
})()`

func TestSheetsOnPaper(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Do(chromedp.Navigate(home + "/ratings"))
	// The longest name, many sequences and both kinds of times.
	own := strings.Repeat("A very long name ", 3)[:40]
	for _, change := range []struct{ address, fields string }{
		{"/ratings/27", "name=" + own + "&recognise=4&execute-seconds=1.25"},
		{"/patterns/27/sequences", "turns=R U R' U R U2 R'"},
		{"/patterns/27/sequences", "turns=y' (R' U2 R U R' U R) y"},
	} {
		ok := script[int](t, b, fmt.Sprintf(`(() => { const r = new XMLHttpRequest(); r.open("POST", %q, false); r.setRequestHeader("Content-Type", "application/x-www-form-urlencoded"); r.setRequestHeader("Accept", "application/problem+json"); r.send(new URLSearchParams(%q)); return r.status; })()`, change.address, change.fields))
		assert.Equal(t, 204, ok, change)
	}
	for name, paper := range paperSizes {
		for _, sheet := range []struct {
			address     string
			least, most int
		}{
			{"/print/patterns?", 2, 2},
			{"/print/patterns?show=mine&", 1, 1},
			{"/print/place/00000?", 3, 6},
			{"/print/case/00000?", 2, 3},
		} {
			address := sheet.address + "paper=" + name
			b.Do(chromedp.Navigate(home + address))
			pages := printed(t, b)
			assert.GreaterOrEqual(t, len(pages), sheet.least, address)
			assert.LessOrEqual(t, len(pages), sheet.most, address)
			for _, p := range pages {
				assert.InDelta(t, paper.width, p.width, 1, address)
				assert.InDelta(t, paper.height, p.height, 1, address)
			}
			_, err := chromedp.Call(b.Context, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
			require.NoError(t, err)
			wide, high := int64((paper.width-2*margin)/72*96), int64((paper.height-2*margin)/72*96)
			b.Do(chromedp.EmulateViewport(wide, high))
			assert.Empty(t, script[string](t, b, fmt.Sprintf(overPaper, wide, high)), address)
			assert.Equal(t, "light", script[string](t, b, `document.documentElement.dataset.theme = "dark", getComputedStyle(document.documentElement).colorScheme`), "paper is white")
			_, err = chromedp.Call(b.Context, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
			require.NoError(t, err)
		}
	}

	// On the screen of a small phone, with text at 200 %, nothing goes sideways.
	b.Do(chromedp.EmulateViewport(320, 640))
	for _, address := range []string{"/print/patterns", "/print/place/00000", "/print/case/00000", "/case/00000"} {
		b.Do(chromedp.Navigate(home + address))
		for _, size := range []string{"100%", "200%"} {
			over := script[string](t, b, fmt.Sprintf(overEdge, size))
			assert.Empty(t, over, "%s at %s", address, size)
		}
	}

	b.Do(chromedp.Navigate(home + "/print/patterns?show=mine"))
	assert.Contains(t, b.Text(".sheet-patterns"), own)
	assert.Contains(t, b.Text(".sheet-times"), "recognise 4")
	assert.Contains(t, b.Text(".sheet-times"), "execute 1.25 s")
	script[bool](t, b, `document.querySelector(".sheet h1").style.width = "250mm"; true`)
	assert.Contains(t, script[string](t, b, fmt.Sprintf(overPaper, 700, 1000)), "over the edge: H1", "the check finds what is cut")

	// The button asks for the browser's own way to print.
	script[bool](t, b, `window.print = () => { window.asked = true }; true`)
	b.Click("button.print")
	assert.True(t, script[bool](t, b, `window.asked === true`))
	b.Quiet()
}

var mediaBox = regexp.MustCompile(`(?s)/Type\s*/Page\s.*?/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)\s*\]`)

// printed is what the browser's page has on paper. PDF's page objects each have a
// type and a box (ISO 32000-1, 7.7.3.3), which Chromium writes in plain text.
func printed(t *testing.T, b *webtest.Browser) (pages []paperSize) {
	t.Helper()
	r, err := chromedp.Call(b.Context, cdppage.PrintToPDF, cdppage.PrintToPDFParams{PreferCSSPageSize: new(true)})
	require.NoError(t, err)
	for _, found := range mediaBox.FindAllSubmatch(r.Data, -1) {
		width, err := strconv.ParseFloat(string(found[1]), 64)
		require.NoError(t, err)
		height, err := strconv.ParseFloat(string(found[2]), 64)
		require.NoError(t, err)
		pages = append(pages, paperSize{width, height})
	}
	require.NotEmpty(t, pages, "no page in the PDF")
	return pages
}

// Whoever has marked insertions prints those; for a place where none is known,
// everything, and the sheet says so.
func TestPlaceSheetOfWhatIsKnown(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	// shows says whether the sheet has the words; all of it would be too much to
	// print.
	shows := func(address, words string) bool {
		page := s.get(address)
		require.Equal(t, http.StatusOK, page.Code, address)
		return strings.Contains(page.Body.String(), words)
	}
	const none = "/print/place/00000"
	require.Equal(t, http.StatusNoContent, s.save("/profile/preferences", "usual", "none").Code)
	require.Equal(t, http.StatusNoContent, s.save("/insertions/marks", "know", "FR R U R'").Code)
	assert.True(t, shows(none+"?view=known", "You know no insertions for this place."))
	assert.True(t, shows(none, " insertions, yours first, then the easiest"))
	assert.True(t, shows(none+"?view=known", "0 insertions, the easiest first"))

	turns, err := cube.Parse("R U R'")
	require.NoError(t, err)
	insertion, err := lastslot.NewInsertion(lastslot.FR, turns)
	require.NoError(t, err)
	known := "/print/place/" + insertion.Case().Code()
	assert.True(t, shows(known+"?view=known", "1 insertion, the easiest first"))
	assert.True(t, shows(known, "<b>known</b>"))
	assert.True(t, shows(known+"?view=all", " insertions, the easiest first"))
}
