package page_test

import (
	"fmt"
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

// slowAtDots is the key of somebody who tracks five pieces, knows two insertions for
// [planPlace] and is slow at dots, so that a plan pays there.
func slowAtDots(t *testing.T, s site.Service) (key string) {
	t.Helper()
	key = s.NewKey(t)
	s.Ask("PUT", "/api/v1/preferences/track", key, `{"value": "5"}`).Must(t)
	s.Ask("PUT", "/api/v1/own-insertions", key, `{"slot": "FR", "turns": "R U R' F R U R' U' F'", "own": true, "known": true}`).Must(t)
	for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
		takes := `{"execute_seconds": 1, "recognise_seconds": 0.6}`
		if p.Outcome().Edges() == lastslot.Dot {
			takes = `{"execute_seconds": 12, "recognise_seconds": 0.05}`
		}
		s.Ask("PUT", fmt.Sprintf("/api/v1/ratings/%d", p), key, takes).Must(t)
	}
	return key
}

// theirs makes the browser that of the profile, by a link to the device.
func theirs(t *testing.T, s site.Service, b *webtest.Browser, key string) {
	t.Helper()
	token := s.Ask("POST", "/api/v1/device-links", key, "").Must(t)["token"].(string)
	b.Do(chromedp.Navigate(b.Home + "/device/" + token))
	b.Follow(func() { b.Click("#answer form button") })
	b.WaitUntil(`document.documentElement.dataset.owner`)
}

// planned sees the plan of who is slow at dots, with all that is on its card.
func planned(t *testing.T, b *webtest.Browser) {
	t.Helper()
	b.WaitFor("#status", "less than always R U R'")
	steps := b.Text(".plan-steps")
	for _, words := range []string{"Track", "5 pieces to track", "Do it if it leaves", "anything but a dot", "Otherwise", "R U R' F R U R' U' F'"} {
		assert.Contains(t, steps, words)
	}
	assert.Equal(t, 3, script[int](t, b, `document.querySelectorAll(".plan-practice .turns").length`), "scrambles to practise")
	assert.Positive(t, script[int](t, b, `document.querySelectorAll(".plan-steps svg").length`), "the pieces to track are on the figure")
}

// By thumb: from a place to its plan, to a scramble that practises it, and back; by keys the
// same way.
func TestBrowserPlan(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s, home := serve(t)
	b := webtest.Browse(t, home)
	theirs(t, s, b, slowAtDots(t, s))
	follow := func(press func(link string)) {
		b.Do(chromedp.Navigate(home + "/learn/" + planPlace(t)))
		b.Follow(func() { press(`a[href^="/plan/"]`) })
		planned(t, b)
		b.Follow(func() { press(`.plan-practice a`) })
		b.WaitFor("#status", "Case ")
		assert.NotEmpty(t, b.Text("#answer .patterns"), "the scramble leads to a case")
		b.Follow(func() { b.Do(chromedp.NavigateBack()) })
		b.Follow(func() { press(`.plan-links a[href^="/learn/"]`) })
		b.WaitFor("#status", "You know")
	}
	b.Do(chromedp.EmulateViewport(390, 664, chromedp.EmulateMobile, chromedp.EmulateTouch))
	follow(b.Click)
	b.Do(chromedp.EmulateViewport(1280, 800))
	follow(func(link string) { b.Do(chromedp.Focus(chromedp.CSS(link)), chromedp.KeyEvent(kb.Enter)) })
	b.Quiet()
}

// Without a script a plan is the same.
func TestBrowserPlanWithoutScript(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s, home := serve(t)
	b := webtest.Browse(t, home)
	theirs(t, s, b, slowAtDots(t, s))
	b.WithoutScript()
	b.Do(chromedp.Navigate(home + "/learn/" + planPlace(t)))
	b.Follow(func() { b.Click(`a[href^="/plan/"]`) })
	planned(t, b)
	b.Follow(func() { b.Click(`.plan-practice a`) })
	b.WaitFor("#status", "Case ")
	b.Quiet()
}

// Without a network the plan that was seen is there, as it was.
func TestOfflinePlan(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	theirs(t, s.Service, s.Browser, slowAtDots(t, s.Service))
	path := "/plan/" + planPlace(t)
	s.Do(chromedp.Navigate(s.Home + path))
	planned(t, s.Browser)
	s.readyForCuts(t, path)
	s.cut(true)
	s.Do(chromedp.Navigate(s.Home + path))
	s.WaitFor("#network-status", "Offline.")
	planned(t, s.Browser)
	s.QuietButForCuts()
}

// Without a script what pays is said, for each slot, and each advice leads to doing it.
func TestBrowserWhatPaysWithoutScript(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.WithoutScript()
	b.Do(chromedp.Navigate(home + "/learn"))
	b.Follow(func() { b.Click(`a[href^="/pays"]`) })
	b.WaitFor("#status", "a solve on average")
	b.Follow(func() { b.Click(`a[href="/pays?slot=BL"]`) })
	b.WaitFor("#status", "a solve on average")
	assert.Regexp(t, `a dot: (never|1 in [0-9.]+) now`, b.Text(".left-shares"))
	assert.Contains(t, b.Text(".pays"), "each as likely as any other", "what the averages are over")
	assert.Contains(t, b.Text(".pays"), "It is not where you steer", "and where that is not fair")
	b.Follow(func() { b.Click(".advice a") })
	assert.NotEqual(t, "/pays", script[string](t, b, `location.pathname`))
	assert.True(t, script[bool](t, b, `document.querySelector("h1") !== null`), "there is a page for it")
	b.Quiet()
}

// Without a script each answer is a page: two looks, which a case's page shows, then pattern by
// pattern.
func TestBrowserLearntWithoutScript(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Show(390, 844, false)
	b.WithoutScript()
	b.Do(chromedp.Navigate(home + "/ratings"))
	b.Follow(func() { b.Click(`.learnt button[value="ten"]`) })
	assert.Contains(t, b.Text("#answer"), "You have learnt 10 of 57.")
	b.Do(chromedp.Navigate(home + "/case/" + lastslot.CaseAt(7).Code() + "?view=all"))
	assert.Contains(t, b.Text("#answer"), "look at the edges")
	b.Do(chromedp.Navigate(home + "/ratings"))
	b.Follow(func() { b.Click(`.learnt button[value="own"]`) })
	b.Click(`#oll-1 input[name="learnt"][value="yes"] + span`)
	b.Follow(func() { b.Click(`#oll-1 [type="submit"]`) })
	assert.Contains(t, b.Text("#answer"), "You have learnt 11 of 57.")
	b.Quiet()
}

// Without a network two looks are said in one tap, which waits and is sent once there is a
// network; the pages that were seen show the looks as before.
func TestOfflineLearnt(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	key := s.NewKey(t)
	s.Ask("PUT", "/api/v1/preferences/learnt", key, `{"value": "ten"}`).Must(t)
	theirs(t, s.Service, s.Browser, key)
	seen := "/case/" + lastslot.CaseAt(7).Code()
	s.Do(chromedp.Navigate(s.Home + seen + "?view=all"))
	assert.Contains(t, s.Text("#answer"), "look at the edges")
	s.readyForCuts(t, seen)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.readyForCuts(t, "/ratings", seen)
	s.cut(true)
	s.Do(chromedp.Navigate(s.Home + seen + "?view=all"))
	s.WaitFor("#network-status", "Offline.")
	assert.Contains(t, s.Text("#answer"), "look at the edges")
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.WaitFor("#network-status", "Offline.")
	s.Click(`.learnt button[value="own"]`)
	s.WaitFor("#network-status", "1 change waits to be sent.")
	s.cut(false)
	s.until(t, `(await (await fetch("/profile/export")).json()).preferences.some(p => p.name === "learnt" && p.value === "own")`, "it is sent")
	require.Contains(t, s.Ask("GET", "/api/v1/ratings", key, "").Body.String(), `{"oll":27,"learnt":true}`, "it begins with the ten")
	s.QuietButForCuts()
}

// A plan's card is on one page of either paper, with the pieces to track and what to accept, and
// with nothing cut off; on a small phone with big text nothing goes sideways.
func TestPlanOnPaper(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s, home := serve(t)
	b := webtest.Browse(t, home)
	theirs(t, s, b, slowAtDots(t, s))
	address := home + "/plan/" + planPlace(t)
	for name, paper := range paperSizes {
		b.Do(chromedp.Navigate(address + "?paper=" + name))
		planned(t, b)
		pages := printed(t, b)
		require.Len(t, pages, 1, name)
		assert.InDelta(t, paper.width, pages[0].width, 1)
		assert.InDelta(t, paper.height, pages[0].height, 1)
		_, err := chromedp.Call(b.Context, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		require.NoError(t, err)
		wide, high := int64((paper.width-2*margin)/72*96), int64((paper.height-2*margin)/72*96)
		b.Do(chromedp.EmulateViewport(wide, high))
		assert.Empty(t, script[string](t, b, fmt.Sprintf(overPaper, wide, high)), name)
		_, err = chromedp.Call(b.Context, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
		require.NoError(t, err)
	}
	b.Do(chromedp.EmulateViewport(320, 640), chromedp.Navigate(address))
	for _, size := range []string{"100%", "200%"} {
		assert.Empty(t, script[string](t, b, fmt.Sprintf(overEdge, size)), size)
	}
	b.Quiet()
}
