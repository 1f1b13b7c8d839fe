package page_test

import (
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/cube/cubetest"
	"slotcast/forecast/twoslots"
	"slotcast/web/tap"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// twoTaps are the inputs that tell a case, by name, in the order of the steps.
func twoTaps(f tap.Figure) (names []string) {
	pieces := []string{"corner", "edge", "corner2", "edge2"}
	for _, name := range slices.Sorted(maps.Keys(f.Values())) {
		if name != "slot" && name != "second" && !slices.Contains(pieces, name) {
			names = append(names, name)
		}
	}
	return append(pieces, names...)
}

// A case with two slots open is tapped in on a phone, for slots that lie in every way to
// each other: the second slot, the four pieces, and the top; the best two routes are in
// sight then, and the figure is for thumbs.
func TestBrowserTapsTwoSlots(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	b := browse(t)
	b.Do(chromedp.EmulateViewport(390, 664, chromedp.EmulateMobile, chromedp.EmulateTouch))
	step := cubetest.Stride(t, 5)
	for open := 0; open < twoslots.Opens; open += step {
		c := twoslots.CaseAt(open*twoslots.CasesPerOpen + 1234577)
		f := tap.OfTwo(c)
		b.Do(chromedp.Navigate(b.Home + "/"))
		b.WaitFor("#status", "An example.")
		if f.Slot != 0 {
			b.Click(fmt.Sprintf("#tap input[name=slot][value=%s]", f.Slot))
			b.WaitFor("#status", "Your case")
		}
		// On a phone it lies below the answer in short.
		script[bool](t, b, `(document.querySelector(".second-slot").scrollIntoView({ block: "center" }), true)`)
		b.Click(fmt.Sprintf("#tap input[name=second][value=%s]", f.Second))
		b.WaitFor("#status", "Two slots open: first where the corner of the "+f.Slot.Words()+" pair")
		assert.Equal(t, "Your last two slots", script[string](t, b, `document.querySelector("h1").textContent.trim()`))
		for n, name := range twoTaps(f) {
			if n < 4 {
				assert.Contains(t, script[string](t, b, `document.querySelector("#steps label:has(:checked) .step-words").textContent`), ": tap its ", "the step says what to tap")
				assert.Equal(t, name, script[string](t, b, `document.querySelector('#tap [name="mark"]:checked').value`), "the next step is on")
			}
			b.Click(fmt.Sprintf("#tap input[name=%q][value=%q]", name, f.Values().Get(name)))
			if n < 4 {
				b.WaitFor("#status", []string{"Three taps", "Two taps", "One tap", "Case "}[n])
			}
		}
		b.WaitFor("#status", "Case "+c.Code())
		assert.Equal(t, 2, script[int](t, b, `[...document.querySelectorAll(".best li")].filter((e) => {
			const box = e.getBoundingClientRect();
			return e.contains(document.elementFromPoint(box.left + box.width / 2, box.bottom - 2));
		}).length`), "%s: the best two routes are in sight", c.Open)
		assert.Equal(t, 390, script[int](t, b, `document.documentElement.scrollWidth`))
		// What stands in the figure's corners covers none of its tiles.
		assert.Empty(t, script[[]string](t, b, `[...document.querySelectorAll("#tap .sticker")].filter((e) => {
			e.scrollIntoView({ block: "center" });
			const box = e.getBoundingClientRect();
			return !e.contains(document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2));
		}).map((e) => e.className)`), "%s", c.Open)
	}
	// Back to one slot nothing of the second is left.
	script[bool](t, b, `(document.querySelector(".second-slot").scrollIntoView({ block: "center" }), true)`)
	b.Click("#tap input[name=second][value='']")
	b.WaitUntil(`document.querySelectorAll("#tap .sticker").length === 25 && document.querySelectorAll("#steps label").length === 3`)
	assert.Equal(t, "Your last slot", script[string](t, b, `document.querySelector("h1").textContent.trim()`))
	b.Quiet()
}

// By keys, the second slot's pieces are turned under keys of their own.
func TestBrowserTapsTwoSlotsByKeys(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	b := browse(t)
	b.Do(chromedp.EmulateViewport(1280, 800), chromedp.Navigate(b.Home+"/?mark=corner&slot=FR&second=BL"))
	b.WaitFor("#status", "Two slots open: first where the corner")
	b.Do(chromedp.Focus(chromedp.CSS(`input[name="corner"][value="UFR.R"]`)))
	want := tap.EmptyTwo(0, 2)
	for _, press := range []struct {
		key, says string
		set       func(*tap.Figure)
	}{
		{"c", "Three taps", func(f *tap.Figure) { f.Pairs[0].Corner = tap.Sticker{Spot: 3} }},
		{"f", "Two taps", func(f *tap.Figure) { f.Pairs[0].Edge = tap.Sticker{Spot: 4} }},
		{"r", "One tap", func(f *tap.Figure) { f.Pairs[1].Corner = tap.Sticker{Spot: 5} }},
		{"w", "Case ", func(f *tap.Figure) { f.Pairs[1].Edge = tap.Sticker{Spot: 0} }},
		{"v", "", func(f *tap.Figure) { f.Edges[5] = 1 }},
		{"v", "", func(f *tap.Figure) { f.Edges[5] = 0 }},
		{"r", "", func(f *tap.Figure) { f.Pairs[1].Corner.Turned = 1 }},
	} {
		b.Do(chromedp.KeyEvent(press.key))
		press.set(&want)
		says := press.says
		if says == "" {
			c, err := want.TwoCase()
			require.NoError(t, err)
			says = "Case " + c.Code()
		}
		b.WaitFor("#status", says)
	}
	b.Do(chromedp.KeyEvent("3"))
	assert.Equal(t, "corner2", script[string](t, b, `document.querySelector('#tap [name="mark"]:checked').value`))
	b.Quiet()
}

// Without a script the form's own button tells the same; and a case's page leads back to
// its figure.
func TestTapsTwoSlotsWithoutScript(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	for open := range twoslots.Opens {
		c := twoslots.CaseAt(open*twoslots.CasesPerOpen + 3456789)
		values := tap.OfTwo(c).Values()
		values.Set("mark", "top")
		p := site.Get(t, h, "/?"+values.Encode())
		require.Equal(t, http.StatusOK, p.Status)
		assert.Contains(t, p.ByID(t, "status"), "Case "+c.Code()+": fill ")
		routes := site.Get(t, h, "/routes/"+c.Code())
		said, _, _ := strings.Cut(strings.TrimPrefix(p.ByID(t, "status"), "Case "+c.Code()+": fill "), ",")
		assert.Contains(t, routes.ByID(t, "status"), "Fill "+said+":", "the same is best")
		links := routes.Find(func(n *html.Node) bool { return n.Data == "a" && site.Words(n) == "Change it on the figure" })
		require.Len(t, links, 1)
		back := site.Get(t, h, site.Attribute(links[0], "href"))
		assert.Contains(t, back.ByID(t, "status"), "Case "+c.Code())
		assert.Empty(t, back.ByID(t, "top-problem"))
	}
	for query, says := range map[string]string{
		"slot=FR&second=FL&corner=UFR.U&edge=UF.U&corner2=UFR.F&edge2=UB.U": "corners of both pairs are in one place",
		"slot=FR&second=XY&corner=UFR.U&edge=UF.U":                          "No slot “XY”",
	} {
		p := site.Get(t, h, "/?"+query)
		assert.NotEqual(t, http.StatusOK, p.Status)
		assert.Contains(t, p.ByID(t, "top-problem"), says)
	}
}
