// Package webtest shows pages in a real browser, for tests.
package webtest

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	cdplog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Browser is a real Chromium at a phone's size that shows the site.
type Browser struct {
	t testing.TB
	// Context is where actions of package chromedp run; Home is the address of the
	// site.
	Context context.Context
	Home    string

	// data is the directory where the browser keeps what it keeps.
	data    string
	browser context.Context

	mu       sync.Mutex
	troubles []string
}

// patience is how long a test waits for what a page is to do; a machine with much
// else to do needs some.
const patience = 60 * time.Second

// lifetime is more than a browser is needed for, be it to look at every page on a
// slow machine.
const lifetime = 25 * time.Minute

// Browse starts a browser of its own, with no cookies, for the site at the
// address.
func Browse(t testing.TB, home string) *Browser {
	t.Helper()
	data, err := os.MkdirTemp("", "slotcast-browser")
	require.NoError(t, err)
	t.Cleanup(func() {
		// The browser may still be writing as it ends.
		for range 20 {
			if os.RemoveAll(data) == nil {
				return
			}
			time.Sleep(100 * time.Millisecond)
		}
	})
	return browseWith(t, home, data)
}

// browseWith starts a browser that keeps in the directory what it keeps.
func browseWith(t testing.TB, home, data string) *Browser {
	t.Helper()
	path, err := exec.LookPath("chromium-headless-shell")
	if err != nil {
		// The whole browser does the same, and takes twice as long.
		path, err = exec.LookPath("chromium")
	}
	require.NoError(t, err, "the pages are tested in a real browser: apt-get install chromium-headless-shell")
	options := []chromedp.ExecAllocatorOption{
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.Headless, chromedp.NoFirstRun,
		chromedp.UserDataDir(data),
		chromedp.WSURLReadTimeout(2 * patience),
		chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-dev-shm-usage", true),
		// Nothing but the site itself can be reached.
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND , EXCLUDE 127.0.0.1"),
	}
	allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	ctx, leave := chromedp.NewContext(allocator)
	t.Cleanup(leave)
	b := &Browser{t: t, Home: home, data: data, browser: ctx}
	// The browser starts with the first steps, whose context must not end it.
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(390, 844)))
	require.NoError(t, chromedp.Listen(ctx, b.hear))
	limited, cancel := context.WithTimeout(ctx, lifetime)
	t.Cleanup(cancel)
	b.Context = limited
	return b
}

// Restarted ends the browser in order and starts it again.
func (b *Browser) Restarted() *Browser {
	b.t.Helper()
	limited, cancel := context.WithTimeout(b.browser, patience)
	defer cancel()
	require.NoError(b.t, chromedp.Cancel(limited))
	return browseWith(b.t, b.Home, b.data)
}

// CutNetwork makes the page and its service worker be without a network, or with
// one again.
func (b *Browser) CutNetwork(cut bool) {
	b.t.Helper()
	_, err := chromedp.Call(b.Context, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
		EmulateOfflineServiceWorker: &cut,
		MatchedNetworkConditions:    []*network.Conditions{{Offline: cut, DownloadThroughput: -1, UploadThroughput: -1}},
	})
	require.NoError(b.t, err)
	_, err = chromedp.Call(b.Context, network.OverrideNetworkState, network.OverrideNetworkStateParams{Offline: cut, DownloadThroughput: -1, UploadThroughput: -1})
	require.NoError(b.t, err)
}

// hear keeps what the page complains about: violations of its policy, scripts
// that fail, files that are missing.
func (b *Browser) hear(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *cdplog.EventEntryAdded:
		// What the browser says it cleared, as it was asked to, is no trouble.
		if e.Entry.Level == cdplog.EntryLevelInfo && strings.HasPrefix(e.Entry.Text, "Clear-Site-Data header") {
			return
		}
		b.troubles = append(b.troubles, fmt.Sprintf("%s: %s %s", e.Entry.Level, e.Entry.Text, e.Entry.URL))
	case *runtime.EventExceptionThrown:
		trouble := e.ExceptionDetails.Text
		if thrown := e.ExceptionDetails.Exception; thrown != nil {
			trouble += ": " + thrown.Description
		}
		b.troubles = append(b.troubles, trouble)
	case *runtime.EventConsoleAPICalled:
		b.troubles = append(b.troubles, fmt.Sprintf("console: %s", e.Type))
	}
}

// Quiet asserts that the page complained about nothing.
func (b *Browser) Quiet() {
	b.t.Helper()
	b.quietBut()
}

// QuietButForCuts asserts that the page complained about nothing but a network that
// is away, and what is refused after that. What the browser logs of it may come at
// any time.
func (b *Browser) QuietButForCuts() {
	b.t.Helper()
	b.quietBut("net::ERR_", "status of 502", "status of 503", "status of 409")
}

func (b *Browser) quietBut(words ...string) {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	kept, _ := without(b.troubles, words)
	assert.Empty(b.t, kept, "what the browser complains about")
}

// Do runs the steps one after the other.
func (b *Browser) Do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	require.NoError(b.t, chromedp.Do(b.Context, steps...))
}

// Text is the words of an element.
func (b *Browser) Text(selector string) string {
	b.t.Helper()
	element := fmt.Sprintf(`document.querySelector(%q)`, selector)
	b.WaitUntil(element)
	// In one step, as a page may put another in the element's place meanwhile.
	text, err := chromedp.Run(b.Context, chromedp.Evaluate[string](element+`.textContent`))
	require.NoError(b.t, err)
	return strings.Join(strings.Fields(text), " ")
}

// WaitFor waits until the element has the words.
func (b *Browser) WaitFor(selector, words string) {
	b.t.Helper()
	var text *string
	b.eventually(func() (done bool, err error) {
		// While another page takes the place of this one there is nothing to read.
		text, err = chromedp.Run(b.Context, chromedp.Evaluate[*string](fmt.Sprintf(`document.querySelector(%q)?.textContent`, selector)))
		return text != nil && strings.Contains(*text, words), err
	}, func(err error) {
		if text == nil {
			b.t.Fatalf("%s never said %q: there is no such element (%v)", selector, words, err)
		}
		b.t.Fatalf("%s never said %q, but %q (%v)", selector, words, *text, err)
	})
}

// WaitUntil waits until the script's expression is true, on this page or on the
// one that takes its place.
func (b *Browser) WaitUntil(expression string) {
	b.t.Helper()
	b.eventually(func() (bool, error) {
		return chromedp.Run(b.Context, chromedp.Evaluate[bool]("!!("+expression+")"))
	}, func(err error) { b.t.Fatalf("never true: %s (%v)", expression, err) })
}

// Follow does what leads to another page, or to this one anew, and waits until
// that is there.
func (b *Browser) Follow(step func()) {
	b.t.Helper()
	b.Do(chromedp.Evaluate[chromedp.Void](`window.isLeft = true`))
	step()
	b.WaitUntil(`!window.isLeft && document.readyState === "complete"`)
}

// Click scrolls as little as brings the element into view, and clicks it with the
// mouse, so that what lies above it would be hit instead. A page that is not all
// there yet, or moves, would have something else there in the next moment.
func (b *Browser) Click(selector string) {
	b.t.Helper()
	b.bring(selector)
	// What is not to be seen cannot be clicked, however long one waits.
	limited, cancel := context.WithTimeout(b.Context, patience)
	defer cancel()
	require.NoError(b.t, chromedp.Do(limited, chromedp.Click(chromedp.CSS(selector))), selector)
}

// Tap does the same with a finger, on a device that has a screen to touch.
func (b *Browser) Tap(selector string) {
	b.t.Helper()
	b.bring(selector)
	middle, err := chromedp.Run(b.Context, chromedp.Evaluate[input.TouchPoint](fmt.Sprintf(`(box => ({x: box.left + box.width / 2, y: box.top + box.height / 2}))(document.querySelector(%q).getBoundingClientRect())`, selector)))
	require.NoError(b.t, err)
	for _, touch := range []input.DispatchTouchEventParams{
		{Type: input.DispatchTouchEventTypeTouchStart, TouchPoints: []*input.TouchPoint{&middle}},
		{Type: input.DispatchTouchEventTypeTouchEnd, TouchPoints: []*input.TouchPoint{}},
	} {
		_, err := chromedp.Call(b.Context, input.DispatchTouchEvent, touch)
		require.NoError(b.t, err)
	}
}

// bring brings the element into view, and waits until it stays where it is.
func (b *Browser) bring(selector string) {
	b.t.Helper()
	element := fmt.Sprintf(`document.querySelector(%q)`, selector)
	b.WaitUntil(`document.readyState === "complete" && ` + element)
	b.Do(chromedp.Evaluate[chromedp.Void](element + `?.scrollIntoView({block: "nearest", behavior: "instant"})`))
	place := ""
	b.eventually(func() (done bool, err error) {
		before := place
		place, err = chromedp.Run(b.Context, chromedp.Evaluate[string](`(e => e ? Object.values(e.getBoundingClientRect().toJSON()).join() : "")(`+element+`)`))
		return place != "" && place == before, err
	}, func(err error) { b.t.Fatalf("%s never stays where it is (%v)", selector, err) })
}

// eventually does the step again and again until it is done.
func (b *Browser) eventually(step func() (done bool, err error), never func(error)) {
	b.t.Helper()
	var err error
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		var done bool
		if done, err = step(); done && err == nil {
			return
		}
	}
	never(err)
}

// Show sets the screen's size in CSS pixels, and whether the device is set to
// dark.
func (b *Browser) Show(width, height int64, dark bool) {
	b.t.Helper()
	scheme := "light"
	if dark {
		scheme = "dark"
	}
	b.Do(chromedp.EmulateViewport(width, height))
	_, err := chromedp.Call(b.Context, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		// A colour on its way to another one would be measured half-way.
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: "reduce"}},
	})
	require.NoError(b.t, err)
}

// WithoutScript lets no page run a script from the next one on; tests still can.
func (b *Browser) WithoutScript() {
	b.t.Helper()
	// A script that is stopped in the middle would complain.
	b.Do(chromedp.Navigate("about:blank"))
	_, err := chromedp.Call(b.Context, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
	require.NoError(b.t, err)
}

// Write types the text into a field, in place of what is there.
func (b *Browser) Write(selector, text string) {
	b.t.Helper()
	_, err := chromedp.Run(b.Context, chromedp.Evaluate[string](fmt.Sprintf(`document.querySelector(%q).value = ""`, selector)))
	require.NoError(b.t, err)
	b.Do(chromedp.SendKeys(chromedp.CSS(selector), text))
}

// Forget400s drops what the browser logs of an answer that says what is wrong,
// which may come later than the answer.
func (b *Browser) Forget400s() {
	b.t.Helper()
	require.Eventually(b.t, func() bool {
		b.mu.Lock()
		defer b.mu.Unlock()
		var dropped int
		b.troubles, dropped = without(b.troubles, []string{"status of 400", "status of 422"})
		return dropped > 0
	}, patience, 10*time.Millisecond, "the browser logged no such answer")
}

// without is the complaints that have none of the words, and how many have.
func without(troubles, words []string) (kept []string, dropped int) {
	for _, trouble := range troubles {
		if slices.ContainsFunc(words, func(w string) bool { return strings.Contains(trouble, w) }) {
			dropped++
		} else {
			kept = append(kept, trouble)
		}
	}
	return kept, dropped
}

// Long leaves a test of some seconds to the full run: "go test -short" is for all
// day.
func Long(t testing.TB) {
	t.Helper()
	if testing.Short() {
		t.Skip("some seconds long: left to the full run")
	}
}
