package main

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
)

// unsent counts the results that are written down in the browser and not yet counted; -1 where
// nothing is written down at all.
const unsent = `new Promise(done => { const open = indexedDB.open("slotcast"); open.onsuccess = () => { const all = open.result.transaction("changes").objectStore("changes").getAll(); all.onsuccess = () => { open.result.close(); done(all.result.length ? all.result.filter(c => !c.done).length : -1); }; }; })`

// allCounted waits until nothing waits to be sent.
func allCounted(t *testing.T, b *webtest.Browser) {
	t.Helper()
	for end := time.Now().Add(patience); ; time.Sleep(50 * time.Millisecond) {
		n, err := chromedp.Run(b.Context, chromedp.Evaluate[int](unsent, chromedp.EvalAwaitPromise))
		if err == nil && n == 0 {
			return
		}
		require.True(t, time.Now().Before(end), "%d results wait (%v)", n, err)
	}
}

// The program is killed in the middle of a drill, as an answer is given, and the tab closed as
// another one is: once both are back, each answer counts, and once.
func TestADrillOutlivesAKillAndAClosedTab(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	database, listen := filepath.Join(t.TempDir(), "slotcast.db"), "127.0.0.1:0"
	begin := func() *started {
		s := start(t, binaryCommand(t, "-listen", listen, "-rate", "0", "-database", database))
		listen = strings.TrimPrefix(s.url, "http://")
		return s
	}
	program := begin()
	b := webtest.Browse(t, program.url)
	b.Do(chromedp.Navigate(program.url + "/practice?seed=5"))
	b.Click("#practice-go")
	var want []string
	answer := func() {
		b.WaitFor("#practice-status", fmt.Sprintf("%d of 10", len(want)+1))
		b.WaitUntil(`document.querySelector(".practice-item:not([hidden]) [data-runs]")`)
		item, err := chromedp.Run(b.Context, chromedp.Evaluate[[]string](`(() => { const card = document.querySelector(".practice-item:not([hidden])"); return [card.dataset.item, card.querySelector("[data-right]").dataset.key]; })()`))
		require.NoError(t, err)
		b.Press(" ")
		b.WaitFor("#practice-status", "which is it?")
		b.Press(item[1])
		want = append(want, item[0])
	}
	answer()
	b.Press(kb.Enter)
	allCounted(t, b)
	// Whether this one arrives nobody knows.
	answer()
	program.kill(t)
	b.Press(kb.Enter)
	answer()
	b.Press(kb.Enter)
	answer()
	_, _ = chromedp.Call(b.Context, page.Close, cdp.Empty{}) // the answer may come from a tab that is gone
	program = begin()
	b = b.Restarted()
	b.Do(chromedp.Navigate(program.url + "/practice/results"))
	allCounted(t, b)
	text, err := chromedp.Run(b.Context, chromedp.Evaluate[string](`fetch("/profile/export").then(r => r.text())`, chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	var file struct{ Results []struct{ Item string } }
	require.NoError(t, json.Unmarshal([]byte(text), &file), text)
	var got []string
	for _, r := range file.Results {
		got = append([]string{r.Item}, got...)
	}
	assert.Equal(t, want, got)
	program.kill(t)
}
