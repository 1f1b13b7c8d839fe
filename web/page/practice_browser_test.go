package page_test

import (
	"context"
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
)

// keptResult is a result as the profile's file has it.
type keptResult struct {
	Exercise, Item   string
	Right, Withdrawn bool
	Seconds          float64
}

// resultsInProfile are the browser's profile's results, the oldest first.
func resultsInProfile(t *testing.T, b *webtest.Browser) (results []keptResult) {
	t.Helper()
	text, err := chromedp.Run(b.Context, chromedp.Evaluate[string](`fetch("/profile/export").then(r => r.text())`, chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	var file struct{ Results []keptResult }
	require.NoError(t, json.Unmarshal([]byte(text), &file), text)
	for i := range file.Results {
		results = append(results, file.Results[len(file.Results)-1-i])
	}
	return results
}

// inWords has of each result the exercise, the item and whether it was right.
func inWords(results []keptResult) (words []string) {
	for _, r := range results {
		words = append(words, fmt.Sprint(r.Exercise, " ", r.Item, " ", r.Right))
	}
	return words
}

// shownItem is what the item that is shown asks for, and the key of its right answer.
type shownItem struct{ Item, Right, Wrong string }

func itemShown(t *testing.T, b *webtest.Browser) shownItem {
	t.Helper()
	return script[shownItem](t, b, `(() => {
		const card = document.querySelector(".practice-item:not([hidden])");
		return {Item: card.dataset.item, Right: card.querySelector("[data-right]").dataset.key, Wrong: card.querySelector(".practice-answer:not([data-right])").dataset.key};
	})()`)
}

// ticking waits until the clock runs for the item.
func ticking(b *webtest.Browser, progress string) {
	b.WaitFor("#practice-status", progress)
	b.WaitUntil(`document.querySelector(".practice-item:not([hidden]) [data-runs]")`)
}

// allSent waits until nothing waits to be sent of what was written down.
func allSent(t *testing.T, b *webtest.Browser) {
	t.Helper()
	waiting(t, b, 0)
}

// saved waits until so many results are in the browser's profile: what was answered a moment
// ago may not even be written down yet.
func saved(t *testing.T, b *webtest.Browser, results int) {
	t.Helper()
	n := len(resultsInProfile(t, b))
	for end := time.Now().Add(longest); n < results && time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		n = len(resultsInProfile(t, b))
	}
	require.Equal(t, results, n)
	allSent(t, b)
}

// waiting waits until so many changes are written down that are still to be sent.
func waiting(t *testing.T, b *webtest.Browser, changes int) {
	t.Helper()
	var n int
	var err error
	for end := time.Now().Add(longest); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		// While another page takes the place of this one, a question may never be answered.
		asked, answered := context.WithTimeout(b.Context, longest/6)
		n, err = chromedp.Run(asked, chromedp.Evaluate[int](openChanges, chromedp.EvalAwaitPromise))
		answered()
		if err == nil && n == changes {
			return
		}
	}
	t.Fatalf("never %d changes to be sent, but %d (%v)", changes, n, err)
}

// openChanges counts them; it is -1 where nothing at all is written down.
const openChanges = `new Promise(done => { const open = indexedDB.open("slotcast"); open.onsuccess = () => { const all = open.result.transaction("changes").objectStore("changes").getAll(); all.onsuccess = () => { open.result.close(); done(all.result.length ? all.result.filter(c => !c.done).length : -1); }; }; })`

// The job by keys alone: ten patterns, one of them wrong, the miss done again, the last
// result withdrawn.
func TestBrowserPracticeByKeys(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Show(1280, 800, false)
	b.Do(chromedp.Navigate(home + "/practice?seed=5"))
	b.WaitUntil(`!document.getElementById("practice-start").hidden`)
	b.Press(" ")
	var want []keptResult
	answer := func(progress string, right bool) shownItem {
		ticking(b, progress)
		item := itemShown(t, b)
		b.Press(item.Right)
		assert.Equal(t, "none", script[string](t, b, `getComputedStyle(document.querySelector(".practice-item:not([hidden]) .practice-answers")).display`), "no answer before the clock is stopped")
		b.Press(" ")
		b.WaitFor("#practice-status", "which is it?")
		key := item.Right
		if !right {
			key = item.Wrong
		}
		b.Press(key)
		want = append(want, keptResult{Exercise: "recognise", Item: item.Item, Right: right})
		return item
	}
	missed := ""
	for n := range 10 {
		item := answer(fmt.Sprintf("%d of 10", n+1), n != 3)
		if n == 3 {
			missed = item.Item
		}
		if n == 5 {
			// Paused the clock stands, and what was answered stays.
			b.Press(kb.Enter)
			ticking(b, "7 of 10")
			b.Press("p")
			b.WaitFor("#practice-status", "paused")
			b.Press("p")
			continue
		}
		b.Press(kb.Enter)
	}
	b.WaitFor("#practice-result", "9 of 10 right")
	b.WaitFor("#practice-again", "wrong")
	b.TabTo("button", "Practise these again")
	b.Press(kb.Enter)
	assert.Equal(t, missed, answer("1 of 1", true).Item)
	b.Press("z")
	b.WaitFor("#practice-status", "was withdrawn")
	b.Press("y")
	b.WaitFor("#practice-status", "counts again")
	b.Click("#practice-withdraw")
	b.WaitFor("#practice-status", "was withdrawn")
	b.Click("#practice-restore")
	b.WaitFor("#practice-status", "counts again")
	b.Press("z")
	b.WaitFor("#practice-status", "was withdrawn")
	want[10].Withdrawn = true
	allSent(t, b)
	got := resultsInProfile(t, b)
	for i := range got {
		assert.Greater(t, got[i].Seconds, 0.0)
		assert.Less(t, got[i].Seconds, 60.0)
		got[i].Seconds = 0
	}
	assert.Equal(t, want, got)
	b.Quiet()
}

// By touch on a phone, and the plain taps: one that is too early does not count.
func TestBrowserPracticeByTouch(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Do(chromedp.EmulateViewport(360, 640, chromedp.EmulateMobile, chromedp.EmulateTouch), chromedp.Navigate(home+"/practice?items=27,26&seed=5"))
	b.Click("#practice-go")
	for n := range 2 {
		ticking(b, fmt.Sprintf("%d of 2", n+1))
		b.Click(".practice-item:not([hidden]) .practice-picture")
		b.WaitFor("#practice-status", "which is it?")
		b.Click(".practice-item:not([hidden]) [data-right]")
		b.Click(".practice-item:not([hidden]) .practice-on")
	}
	b.WaitFor("#practice-result", "2 of 2 right")

	b.Do(chromedp.Navigate(home + "/practice?items=27"))
	b.Click("#practice-react")
	b.Click("#practice-signal")
	b.WaitFor("#practice-status", "Too early")
	for range 10 {
		b.WaitUntil(`document.querySelector("#practice-signal[data-runs]")`)
		b.Click("#practice-signal")
	}
	b.WaitFor("#practice-status", "Ten taps")
	saved(t, b, 12)
	taps := 0
	for _, r := range resultsInProfile(t, b) {
		if r.Exercise == "react" {
			taps++
		}
	}
	assert.Equal(t, 10, taps)
	b.Do(chromedp.Navigate(home + "/practice"))
	b.WaitFor("#practice-start", "Your reaction is")
	b.Quiet()
}

// Executing: the space bar starts as it comes up and stops as it goes down; so does a finger.
func TestBrowserPracticeToExecute(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Show(390, 664, false)
	b.Do(chromedp.Navigate(home + "/practice?exercise=execute&items=27,26,1&seed=5"))
	b.Click("#practice-go")
	key := func(kind input.DispatchKeyEventType) {
		_, err := chromedp.Call(b.Context, input.DispatchKeyEvent, input.DispatchKeyEventParams{Type: kind, Key: " ", Code: "Space", WindowsVirtualKeyCode: 32})
		require.NoError(t, err)
	}
	running := `document.querySelector(".practice-item:not([hidden]) [data-runs]")`
	b.WaitFor("#practice-status", "1 of 3")
	key(input.DispatchKeyEventTypeRawKeyDown)
	assert.True(t, script[bool](t, b, "!"+running), "held down it does not run yet")
	key(input.DispatchKeyEventTypeKeyUp)
	b.WaitUntil(running)
	b.Press(" ")
	b.WaitFor("#practice-status", "how did it go?")
	b.Press("1")
	b.Press(kb.Enter)

	b.WaitFor("#practice-status", "2 of 3")
	b.Click(".practice-item:not([hidden]) .practice-picture")
	b.WaitUntil(running)
	b.Click(".practice-item:not([hidden]) .practice-picture")
	b.WaitFor("#practice-status", "how did it go?")
	b.Click(".practice-item:not([hidden]) .practice-answer:not([data-right])")
	b.Click(".practice-item:not([hidden]) .practice-on")

	// Paused the clock stands, and begins anew.
	b.WaitFor("#practice-status", "3 of 3")
	b.Press(" ")
	b.WaitUntil(running)
	b.Press("p")
	b.WaitFor("#practice-status", "paused")
	b.Click("#practice-pause")
	b.WaitFor(".practice-item:not([hidden]) .practice-do", "Let go to start")
	b.Press(" ", " ", "1")
	b.Press(kb.Enter)
	b.WaitFor("#practice-result", "2 of 3 right")
	saved(t, b, 3)
	assert.Equal(t, []string{"execute 27 true", "execute 26 false", "execute 1 true"}, inWords(resultsInProfile(t, b)))
	b.Quiet()
}

// The network goes in the middle of a session, and the browser is ended before it is back:
// no answer that was given is lost, and none counts twice.
func TestOfflinePractice(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	s.Do(chromedp.Navigate(s.Home + "/practice"))
	s.readyForCuts(t, "/practice")
	var want []string
	answer := func(progress string) {
		ticking(s.Browser, progress)
		item := itemShown(t, s.Browser)
		s.Press(" ")
		s.WaitFor("#practice-status", "which is it?")
		s.Press(item.Right)
		want = append(want, item.Item)
	}
	s.Press(" ")
	for n := range 2 {
		answer(fmt.Sprintf("%d of 10", n+1))
		s.Press(kb.Enter)
	}
	saved(t, s.Browser, 2)
	s.cut(true)
	for n := range 3 {
		answer(fmt.Sprintf("%d of 10", n+3))
		if n < 2 {
			s.Press(kb.Enter)
		}
	}
	// The page is left as soon as the answer is given, and the browser ended.
	s.Do(chromedp.Navigate(s.Home + "/practice"))
	waiting(t, s.Browser, 3)
	s.Browser = s.Restarted()
	// The page is there without a network, and goes on.
	s.Do(chromedp.Navigate(s.Home + "/practice?seed=99"))
	s.WaitFor("#network-status", "What you see was loaded at")
	s.Press(" ")
	answer("1 of 10")
	waiting(t, s.Browser, 4)
	s.wire.cut(false)
	allSent(t, s.Browser)
	s.Do(chromedp.Navigate(s.Home + "/practice"))
	var got []string
	for _, r := range resultsInProfile(t, s.Browser) {
		assert.True(t, r.Right)
		got = append(got, r.Item)
	}
	assert.Equal(t, want, got)
}
