package page_test

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/web/page"
	"slotcast/web/tap"
	"slotcast/web/webtest"
)

// tapsFor are the inputs that somebody taps who reads the case off a puzzle: the pair, and
// then what differs from what the figure shows.
func tapsFor(t *testing.T, of lastslot.Case) (inputs []page.TapInput) {
	t.Helper()
	c := cuber{TB: t, Case: of, shown: page.StickersOf(tap.Empty(of.Slot))}
	press := func(input page.TapInput) {
		inputs = append(inputs, input)
		c.tap(input)
	}
	press(c.shown[c.Corner*5+c.Twists[c.Corner]].Inputs[0])
	press(c.shown[c.Edge*5+3+c.Flips[c.Edge]].Inputs[0])
	for input, ok := c.wrong(); ok; input, ok = c.wrong() {
		press(input)
	}
	return inputs
}

// The jobs of a first visit, by taps alone, on a phone with its browser's bars and at a desk.
func TestBrowserJobsByTaps(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	for _, screen := range []struct {
		name string
		show chromedp.Action[chromedp.Void]
	}{
		{"phone", chromedp.EmulateViewport(390, 664, chromedp.EmulateMobile, chromedp.EmulateTouch)},
		{"desk", chromedp.EmulateViewport(1280, 800)},
	} {
		t.Run(screen.name, func(t *testing.T) {
			t.Parallel()
			b := webtest.Browse(t, home)
			onEveryPage(t, b, clipboard)
			taps := 0
			tapOn := func(selector string) {
				b.Click(selector)
				taps++
			}
			done := func(job string, most int) {
				t.Logf("%s: %d taps", job, taps)
				assert.LessOrEqual(t, taps, most, job)
				taps = 0
			}
			b.Do(screen.show)

			// Positions of the front right slot, to ranked answers.
			const positions, prime = 8, 4057
			code, most, all := "", 0, 0
			for n := range positions {
				of := lastslot.CaseAt(n * prime)
				require.Equal(t, lastslot.FR, of.Slot)
				b.Do(chromedp.Navigate(home + "/"))
				b.WaitFor("#status", "An example.")
				inputs := tapsFor(t, of)
				for _, input := range inputs {
					tapOn(fmt.Sprintf("#tap input[name=%q][value=%q]", input.Name, input.Value))
				}
				code = of.Code()
				b.WaitFor("#status", "Case "+code)
				assert.Equal(t, 2, script[int](t, b, `document.querySelectorAll("#best li").length`))
				most, all = max(most, taps), all+taps
				taps = 0
			}
			t.Logf("a case: %d taps for %d, at most %d", all, positions, most)
			assert.LessOrEqual(t, most, 8)

			// Three insertions that are not known yet, marked on one case.
			code = "1T0WT"
			b.Do(chromedp.Navigate(home + "/?case=" + code))
			b.WaitFor("#status", "Case "+code)
			for n := range 3 {
				// What gains least, so that the others still gain.
				const last = `[data-pattern^="gains"]:last-child`
				learnt := b.Text(last + " .turns")
				tapOn(last + " summary")
				tapOn(last + ` [name="know"]`)
				b.WaitUntil(fmt.Sprintf(`[...document.querySelectorAll("#answer .patterns:nth-of-type(1) .turns")].some((e) => e.textContent.trim() === %q)`, learnt))
				require.NotContains(t, b.Text(last+" .turns"), learnt, n)
			}
			done("three insertions marked", 6)

			// Shared as a question.
			tapOn(`[popovertarget="share-sheet"]:not([popovertargetaction])`)
			tapOn("#way-question .copy")
			b.WaitFor("#share-sheet .said", "Link copied")
			assert.Equal(t, b.Home+"/case/"+code+"?question=true", script[string](t, b, `window.copied`))
			done("shared as a question", 2)

			// Ten ratings, of the patterns that come most often.
			b.Do(chromedp.Navigate(home + "/"))
			b.Follow(func() { tapOn(`header a[href="/ratings"]`) })
			b.Follow(func() { tapOn(`.deck-links a[href$="show=next"]`) })
			for n, oll := range deckOnPage(t, b) {
				b.WaitFor("#deck-status", fmt.Sprintf("%d of 10", n+1))
				for _, step := range steps(oll) {
					tapOn(level(step, 1+n%5))
				}
			}
			b.WaitFor(".deck-done:not([hidden]) #rated", "10 of 10 patterns rated")
			done("ten ratings", 22)
			b.Quiet()
		})
	}
}
