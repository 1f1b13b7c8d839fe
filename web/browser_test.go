package web

import (
	"context"
	"fmt"
	"net/http/httptest"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	cdplog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// browser is a real Chromium at a phone's size that shows the site.
type browser struct {
	t    *testing.T
	ctx  context.Context
	home string

	mu       sync.Mutex
	troubles []string
}

func browse(t *testing.T) *browser {
	t.Helper()
	path, err := exec.LookPath("chromium")
	require.NoError(t, err, "the pages are tested in a real browser: apt-get install chromium")
	server := httptest.NewServer(newHandler(t))
	t.Cleanup(server.Close)

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
	options := []chromedp.ExecAllocatorOption{
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.Headless, chromedp.NoFirstRun,
		chromedp.UserDataDir(data),
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
	b := &browser{t: t, home: server.URL}
	// The browser starts with the first steps, whose context must not end it.
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(390, 844)))
	require.NoError(t, chromedp.Listen(ctx, b.hear))
	limited, cancel := context.WithTimeout(ctx, time.Minute)
	t.Cleanup(cancel)
	b.ctx = limited
	return b
}

// hear keeps what the page complains about: violations of its policy, scripts
// that fail, files that are missing.
func (b *browser) hear(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *cdplog.EventEntryAdded:
		b.troubles = append(b.troubles, fmt.Sprintf("%s: %s %s", e.Entry.Level, e.Entry.Text, e.Entry.URL))
	case *runtime.EventExceptionThrown:
		b.troubles = append(b.troubles, e.ExceptionDetails.Text)
	case *runtime.EventConsoleAPICalled:
		b.troubles = append(b.troubles, fmt.Sprintf("console: %s", e.Type))
	}
}

func (b *browser) quiet() {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	assert.Empty(b.t, b.troubles, "what the browser complains about")
}

func (b *browser) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	require.NoError(b.t, chromedp.Do(b.ctx, steps...))
}

func (b *browser) text(selector string) string {
	b.t.Helper()
	text, err := chromedp.Run(b.ctx, chromedp.TextContent(chromedp.CSS(selector)))
	require.NoError(b.t, err)
	return strings.Join(strings.Fields(text), " ")
}

// waitFor waits until the element has the words.
func (b *browser) waitFor(selector, words string) {
	b.t.Helper()
	var text string
	var err error
	for range 100 {
		// While another page takes the place of this one there is nothing to read.
		text, err = chromedp.Run(b.ctx, chromedp.TextContent(chromedp.CSS(selector)))
		if err == nil && strings.Contains(text, words) {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	b.t.Fatalf("%s never said %q, but %q (%v)", selector, words, text, err)
}

// click brings the element into view and clicks its middle with the mouse, so
// that what lies above it would be hit instead.
func (b *browser) click(selector string) {
	b.t.Helper()
	b.do(chromedp.ScrollIntoView(chromedp.CSS(selector)), chromedp.Click(chromedp.CSS(selector)))
}

func (b *browser) write(selector, text string) {
	b.t.Helper()
	_, err := chromedp.Run(b.ctx, chromedp.Evaluate[string](fmt.Sprintf(`document.querySelector(%q).value = ""`, selector)))
	require.NoError(b.t, err)
	b.do(chromedp.SendKeys(chromedp.CSS(selector), text))
}

const (
	pasteButton = `#paste button[type="submit"]`
	tapButton   = `#tap button[type="submit"]`
)

func TestBrowser(t *testing.T) {
	b := browse(t)
	b.do(chromedp.Navigate(b.home + "/"))
	b.waitFor("#status", "An example. Case")

	// A scramble with a solution of its own, pasted; white is found on top.
	b.write("#scramble", "R D R' D'")
	b.write("#solution", "D2 R D R'")
	b.click(pasteButton)
	b.waitFor("#status", "Case ")
	b.waitFor(".facts", "x2 first")
	pasted := b.text("#answer .patterns")

	// A wrong turn is marked, beside what was typed, and the focus is on it.
	b.write("#scramble", "R U Q2 R'")
	b.click(pasteButton)
	b.waitFor("#scramble-problem mark", "Q2")
	value, err := chromedp.Run(b.ctx, chromedp.Value(chromedp.CSS("#scramble")))
	require.NoError(t, err)
	assert.Equal(t, "R U Q2 R'", value)
	focused, err := chromedp.Run(b.ctx, chromedp.Evaluate[string](`document.activeElement.id`))
	require.NoError(t, err)
	assert.Equal(t, "scramble", focused)
	assert.NotEqual(t, pasted, b.text("#answer"))
	b.forget400s()

	// A case is tapped in: corner up at the front right, edge at the back.
	b.click("#tap-summary")
	b.tapIn()
	b.waitFor("#status", "Case "+tappedCode(t))
	tapped := b.text("#answer .patterns")
	address, err := chromedp.Run(b.ctx, chromedp.Location())
	require.NoError(t, err)
	assert.Contains(t, address, "corner=UFR.R", "the address can be kept")

	// One corner twisted: said at once.
	b.click(`input[name="UBL"][value="L"]`)
	b.waitFor("#top-problem", "One corner is twisted")
	b.forget400s()
	b.click(`input[name="UBL"][value="U"]`)
	b.waitFor("#status", "Case "+tappedCode(t))

	// The shared link has the same forecast.
	b.click("#answer a.code")
	b.waitFor("h1", "Last slot front right")
	assert.Equal(t, tapped, b.text("#answer .patterns"))
	link, err := chromedp.Run(b.ctx, chromedp.Value(chromedp.CSS("#link")))
	require.NoError(t, err)
	assert.Equal(t, b.home+"/case/"+tappedCode(t), link)
	hidden, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](`document.querySelector(".share .copy").hidden`))
	require.NoError(t, err)
	assert.False(t, hidden, "with a script the link can be copied")
	b.quiet()
}

// tapIn marks the case of tappedCase on the figure.
func (b *browser) tapIn() {
	b.t.Helper()
	b.click(`#tap .slots label:has([value="FR"])`)
	b.click(`label:has(#mark-corner)`)
	b.click(`input[name="corner"][value="UFR.R"]`)
	b.click(`label:has(#mark-edge)`)
	b.click(`input[name="edge"][value="UB.U"]`)
	b.click(`label:has(#mark-top)`)
	for _, name := range []string{"UBL", "UBR", "UFL"} {
		b.click(fmt.Sprintf(`input[name=%q][value="U"]`, name))
	}
	for _, name := range []string{"UL", "UR", "UF"} {
		b.click(fmt.Sprintf(`input[name=%q][value="U"]`, name))
	}
	b.click(`input[name="slotcorner"][value="right"]`)
	b.click(`input[name="slotedge"][value="left"]`)
}

// Everything is a plain form where scripts do not run.
func TestBrowserWithoutScript(t *testing.T) {
	b := browse(t)
	_, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
	require.NoError(t, err)
	b.do(chromedp.Navigate(b.home + "/"))
	b.waitFor("#status", "An example. Case")
	b.click("#tap-summary")
	b.tapIn()
	b.click(tapButton)
	b.waitFor("#status", "Case "+tappedCode(t))
	tapped := b.text("#answer .patterns")
	b.click("#answer a.code")
	b.waitFor("h1", "Last slot front right")
	assert.Equal(t, tapped, b.text("#answer .patterns"))
	b.quiet()
}

// forget400s drops what the browser logs of an answer that says what is wrong.
func (b *browser) forget400s() {
	b.mu.Lock()
	defer b.mu.Unlock()
	var kept []string
	for _, trouble := range b.troubles {
		if !strings.Contains(trouble, "status of 400") && !strings.Contains(trouble, "status of 422") {
			kept = append(kept, trouble)
		}
	}
	b.troubles = kept
}
