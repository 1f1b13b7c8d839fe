package page_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
)

// phones are the smallest screens on which a card of the deck does not scroll, in CSS
// pixels, with the browser's bars gone from them.
var phones = []struct{ width, height int64 }{{390, 664}, {360, 640}, {320, 568}}

// inDeck is what a selector finds on the shown card.
func inDeck(selector string) string { return "form.deck-card:not([hidden]) " + selector }

// level is the button for a rating on the shown card.
func level(step string, rating int) string {
	return inDeck(fmt.Sprintf(`[name=%q][value="%d"]`, step, rating))
}

// patternRatings are the ratings of a profile, as its file has them.
type patternRatings map[int][2]int

// ratingsInProfile asks the service for what the browser's profile has.
func ratingsInProfile(t *testing.T, b *webtest.Browser) patternRatings {
	t.Helper()
	text, err := chromedp.Run(b.Context, chromedp.Evaluate[string](`fetch("/profile/export").then(r => r.text())`, chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	var file struct {
		Ratings []struct{ OLL, Recognise, Execute int }
	}
	require.NoError(t, json.Unmarshal([]byte(text), &file), text)
	all := patternRatings{}
	for _, r := range file.Ratings {
		all[r.OLL] = [2]int{r.Recognise, r.Execute}
	}
	return all
}

// deckOnPage are the patterns of the deck in order, by the page.
func deckOnPage(t *testing.T, b *webtest.Browser) []int {
	t.Helper()
	return script[[]int](t, b, `[...document.querySelectorAll("form.deck-card")].map(f => Number(f.id.slice(4)))`)
}

// steps are the rows of a pattern's card.
func steps(oll int) []string {
	if oll == 0 {
		return []string{"recognise"}
	}
	return []string{"recognise", "execute"}
}

// The job: from the long page all 58 patterns rated in 116 taps with nothing to
// scroll, and the ratings are in the profile.
func TestBrowserDeckByThumb(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Do(chromedp.EmulateViewport(390, 664, chromedp.EmulateMobile, chromedp.EmulateTouch), chromedp.Navigate(home+"/ratings"))
	b.WaitFor("#rated", "0 of 58")
	taps := 0
	tap := func(selector string) {
		taps++
		b.Click(selector)
	}
	b.Follow(func() { tap(`.deck-links a[href="/ratings/deck"]`) })
	b.WaitFor("#deck-status", "1 of 58")
	deck, want := deckOnPage(t, b), patternRatings{}
	require.Len(t, deck, 58)
	b.Do(chromedp.Evaluate[chromedp.Void](`window.scrolled = 0, addEventListener("scroll", () => scrolled++), document.getElementById("deck-status").said = 0,
		new MutationObserver(() => document.getElementById("deck-status").said++).observe(document.getElementById("deck-status"), {childList: true, characterData: true, subtree: true})`))
	for i, oll := range deck {
		b.WaitUntil(fmt.Sprintf(`!document.getElementById("oll-%d").hidden`, oll))
		require.Contains(t, b.Text("#deck-status"), fmt.Sprintf("%d of 58", i+1))
		rated := [2]int{}
		for row, step := range steps(oll) {
			rated[row] = (i+3*row)%5 + 1
			tap(level(step, rated[row]))
		}
		want[oll] = rated
	}
	assert.Equal(t, 116, taps, "one opens the deck; the oriented pattern has nothing to execute")
	b.WaitFor(".deck-done:not([hidden]) #rated", "58 of 58 patterns rated")
	assert.Zero(t, script[int](t, b, `scrolled`), "nothing scrolled")
	assert.Equal(t, 58, script[int](t, b, `document.getElementById("deck-status").said`), "what a screen reader says of the way is said once a card")
	b.WaitUntil(`[...document.querySelectorAll(".said")].filter(s => s.textContent === "saved").length === 58`)
	assert.Equal(t, want, ratingsInProfile(t, b))
	b.Quiet()
}

// On each phone nothing scrolls on any card, and each has its rows in the same place:
// the thumb need not look for them.
func TestBrowserDeckFitsPhones(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s, home := serve(t)
	for _, visitor := range visitors {
		for _, scripted := range []bool{true, false} {
			b := visit(t, s, home, visitor.full)
			if !scripted {
				b.WithoutScript()
			}
			for _, phone := range phones {
				b.Show(phone.width, phone.height, false)
				for _, at := range []string{"", "?at=end"} {
					b.Do(chromedp.Navigate(home + "/ratings/deck" + at))
					b.WaitUntil(`document.readyState === "complete" && document.querySelector(".deck")`)
					seen := script[struct {
						Scrolls, Small []string
						Rows           int
					}](t, b, `(() => {
						const forms = [...document.querySelectorAll("[data-here]")].filter(f => f.matches(".deck-done") === !!location.search), rows = new Set(), scrolls = [];
						for (const form of forms) {
							for (const other of forms) other.hidden = other !== form;
							const page = document.documentElement;
							if (page.scrollHeight > innerHeight || page.scrollWidth > innerWidth) scrolls.push(form.id + " " + page.scrollWidth + " x " + page.scrollHeight);
							form.querySelectorAll("[data-step]").forEach((row, i) => rows.add(i + " " + row.getBoundingClientRect().top));
						}
						return { Scrolls: scrolls, Small: `+smallTargets+`, Rows: rows.size };
					})()`)
					where := fmt.Sprintf("%s, %d by %d%s, script: %t", visitor.name, phone.width, phone.height, at, scripted)
					assert.Empty(t, seen.Scrolls, where)
					assert.Empty(t, seen.Small, where)
					if at == "" {
						assert.Equal(t, 2, seen.Rows, "%s: the two rows move", where)
					}
				}
			}
			b.Quiet()
		}
	}
}

// All with keys alone; arrows move and rate nothing, 0 takes a rating back; the
// browser's own way back is that to the card before.
func TestBrowserDeckByKeys(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Show(1280, 800, false)
	b.Do(chromedp.Navigate(home + "/ratings/deck"))
	b.TabTo("button", "Rate with keys")
	b.Press(kb.Enter)
	deck, want := deckOnPage(t, b), patternRatings{}
	key := 0
	for _, oll := range deck {
		rated := [2]int{}
		for row := range steps(oll) {
			rated[row] = key%5 + 1
			b.Press(fmt.Sprint(rated[row]))
			key++
		}
		want[oll] = rated
	}
	assert.Equal(t, 115, key)
	b.WaitFor(".deck-done:not([hidden]) #rated", "58 of 58")
	assert.Equal(t, "That is all of them", b.Focused().Name)
	b.WaitUntil(`[...document.querySelectorAll(".said")].filter(s => s.textContent === "saved").length === 58`)
	require.Equal(t, want, ratingsInProfile(t, b))

	b.Do(chromedp.Navigate(home + "/ratings/deck?at=1"))
	focused := func() string {
		return script[string](t, b, `document.activeElement.form?.id + " " + document.activeElement.name`)
	}
	b.Do(chromedp.Focus(chromedp.CSS(level("recognise", want[1][0]))))
	b.Press(kb.ArrowDown)
	assert.Equal(t, "oll-1 execute", focused())
	b.Press(kb.ArrowUp)
	assert.Equal(t, "oll-1 recognise", focused())
	b.Press(kb.ArrowRight)
	assert.Equal(t, "oll-2 recognise", focused())
	assert.Contains(t, script[string](t, b, `location.search`), "at=2")
	b.Press(kb.ArrowLeft)
	assert.Equal(t, "oll-1 recognise", focused())
	b.Do(chromedp.NavigateBack())
	b.WaitUntil(`!document.getElementById("oll-2").hidden && document.getElementById("oll-1").hidden`)
	assert.Equal(t, want, ratingsInProfile(t, b), "moving rates nothing")

	// What is rated already is asked for in both rows before the next comes.
	b.Do(chromedp.Navigate(home + "/ratings/deck?at=1"))
	b.Do(chromedp.Focus(chromedp.CSS(level("recognise", want[1][0]))))
	b.Press("0")
	waitSaid(b, "#oll-1", "saved")
	assert.False(t, script[bool](t, b, `document.getElementById("oll-1").hidden`))
	assert.Equal(t, [2]int{0, want[1][1]}, ratingsInProfile(t, b)[1])
	b.Press(fmt.Sprint(want[1][0]))
	assert.Equal(t, "oll-1 execute", focused())
	b.Press(fmt.Sprint(want[1][1]))
	b.WaitUntil(`!document.getElementById("oll-2").hidden`)
	b.WaitFor("#deck-status", fmt.Sprintf("2 of 58 OLL 1: %d, %d", want[1][0], want[1][1]))
	waitSaid(b, "#oll-1", "saved")
	assert.Equal(t, want, ratingsInProfile(t, b))
	b.Quiet()
}

// Without a script each answer is a page, and the next card is on it.
func TestBrowserDeckWithoutScript(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Show(320, 568, false)
	b.WithoutScript()
	b.Do(chromedp.Navigate(home + "/ratings"))
	b.Follow(func() { b.Click(`.deck-links a[href$="show=next"]`) })
	deck := deckOnPage(t, b)
	require.Len(t, deck, 10)
	shown := func(i int) {
		t.Helper()
		b.WaitFor("#deck-status", fmt.Sprintf("%d of 10", i+1))
		assert.True(t, script[bool](t, b, fmt.Sprintf(`document.getElementById("oll-%d").checkVisibility()`, deck[i])))
	}
	shown(0)
	b.Follow(func() { b.Click(inDeck(".deck-after")) })
	shown(1)
	b.Follow(func() { b.Click(inDeck(".deck-ways a")) })
	want := patternRatings{}
	for i, oll := range deck {
		shown(i)
		want[oll] = [2]int{i%5 + 1, 5 - i%5}
		b.Click(level("recognise", want[oll][0]))
		b.Click(level("execute", want[oll][1]))
		b.Follow(func() { b.Click(inDeck(`[type="submit"]`)) })
	}
	b.WaitFor(".deck-done #rated", "10 of 10 patterns rated")
	assert.Equal(t, want, ratingsInProfile(t, b))
	b.Quiet()
}

// All of it without a network: nothing is lost, also where the page is loaded again
// on the way, and the service has it once the network is back.
func TestOfflineDeck(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	// The long page keeps the deck for later.
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.readyForCuts(t, "/ratings", "/ratings/deck")
	s.cut(true)
	s.Do(chromedp.EmulateViewport(390, 664), chromedp.Navigate(s.Home+"/ratings/deck"))
	s.WaitFor("#network-status", "Offline.")
	deck, want := deckOnPage(t, s.Browser), patternRatings{}
	require.Len(t, deck, 58)
	for i, oll := range deck {
		if i == 20 {
			// In the address of a card that was never loaded.
			s.Follow(func() { s.Do(chromedp.Reload()) })
			s.WaitFor("#deck-status", "21 of 58")
			last := deck[19]
			s.WaitUntil(fmt.Sprintf(`document.querySelector("#oll-%d [name=recognise]:checked").value === "%d"`, last, want[last][0]))
		}
		rated := [2]int{}
		for row, step := range steps(oll) {
			rated[row] = (2*i+row)%5 + 1
			if row == 0 {
				s.Do(chromedp.Focus(chromedp.CSS(inDeck(`label [name="` + step + `"]`))))
			}
			s.Press(fmt.Sprint(rated[row]))
		}
		want[oll] = rated
	}
	s.WaitFor(".deck-done:not([hidden]) #rated", "58 of 58")
	s.WaitFor("#network-status", "115 changes wait to be sent.")
	s.Do(chromedp.NavigateBack())
	s.WaitUntil(`!document.querySelector("form.deck-card:last-of-type").hidden`)
	assert.Equal(t, 664, script[int](t, s.Browser, `document.documentElement.scrollHeight`), "what is said of the network leaves nothing to scroll")
	s.cut(false)
	s.until(t, `[...document.querySelectorAll(".said")].filter(s => s.textContent === "saved").length === 58`, "all are sent")
	assert.Equal(t, want, ratingsInProfile(t, s.Browser))
	s.QuietButForCuts()
}
