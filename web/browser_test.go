package web

import (
	"fmt"
	"net/http/httptest"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
)

func browse(t *testing.T) *webtest.Browser {
	t.Helper()
	server := httptest.NewServer(newHandler(t))
	t.Cleanup(server.Close)
	return webtest.Browse(t, server.URL)
}

const (
	pasteButton = `#paste button[type="submit"]`
	tapButton   = `#tap button[type="submit"]`
)

func TestBrowser(t *testing.T) {
	b := browse(t)
	b.Do(chromedp.Navigate(b.Home + "/"))
	b.WaitFor("#status", "An example. Case")

	// A scramble with a solution of its own, pasted; white is found on top.
	b.Write("#scramble", "R D R' D'")
	b.Write("#solution", "D2 R D R'")
	b.Click(pasteButton)
	b.WaitFor("#status", "Case ")
	b.WaitFor(".facts", "x2 first")
	pasted := b.Text("#answer .patterns")

	// A wrong turn is marked, beside what was typed, and the focus is on it.
	b.Write("#scramble", "R U Q2 R'")
	b.Click(pasteButton)
	b.WaitFor("#scramble-problem mark", "Q2")
	value, err := chromedp.Run(b.Context, chromedp.Value(chromedp.CSS("#scramble")))
	require.NoError(t, err)
	assert.Equal(t, "R U Q2 R'", value)
	focused, err := chromedp.Run(b.Context, chromedp.Evaluate[string](`document.activeElement.id`))
	require.NoError(t, err)
	assert.Equal(t, "scramble", focused)
	assert.NotEqual(t, pasted, b.Text("#answer"))
	b.Forget400s()

	// A case is tapped in: corner up at the front right, edge at the back.
	b.Click("#tap-summary")
	tapIn(b)
	b.WaitFor("#status", "Case "+tappedCode(t))
	tapped := b.Text("#answer .patterns")
	address, err := chromedp.Run(b.Context, chromedp.Location())
	require.NoError(t, err)
	assert.Contains(t, address, "corner=UFR.R", "the address can be kept")

	// One corner twisted: said at once.
	b.Click(`input[name="UBL"][value="L"]`)
	b.WaitFor("#top-problem", "One corner is twisted")
	b.Forget400s()
	b.Click(`input[name="UBL"][value="U"]`)
	b.WaitFor("#status", "Case "+tappedCode(t))

	// The shared link has the same forecast.
	b.Click("#answer a.code")
	b.WaitFor("h1", "Last slot front right")
	assert.Equal(t, tapped, b.Text("#answer .patterns"))
	link, err := chromedp.Run(b.Context, chromedp.Value(chromedp.CSS("#link")))
	require.NoError(t, err)
	assert.Equal(t, b.Home+"/case/"+tappedCode(t), link)
	hidden, err := chromedp.Run(b.Context, chromedp.Evaluate[bool](`document.querySelector(".share .copy").hidden`))
	require.NoError(t, err)
	assert.False(t, hidden, "with a script the link can be copied")
	b.Quiet()
}

// tapIn marks the case of tappedCase on the figure.
func tapIn(b *webtest.Browser) {
	b.Click(`#tap .slots label:has([value="FR"])`)
	b.Click(`label:has(#mark-corner)`)
	b.Click(`input[name="corner"][value="UFR.R"]`)
	b.Click(`label:has(#mark-edge)`)
	b.Click(`input[name="edge"][value="UB.U"]`)
	b.Click(`label:has(#mark-top)`)
	for _, name := range []string{"UBL", "UBR", "UFL"} {
		b.Click(fmt.Sprintf(`input[name=%q][value="U"]`, name))
	}
	for _, name := range []string{"UL", "UR", "UF"} {
		b.Click(fmt.Sprintf(`input[name=%q][value="U"]`, name))
	}
	b.Click(`input[name="slotcorner"][value="right"]`)
	b.Click(`input[name="slotedge"][value="left"]`)
}

// Everything is a plain form where scripts do not run.
func TestBrowserWithoutScript(t *testing.T) {
	b := browse(t)
	b.WithoutScript()
	b.Do(chromedp.Navigate(b.Home + "/"))
	b.WaitFor("#status", "An example. Case")
	b.Click("#tap-summary")
	tapIn(b)
	b.Click(tapButton)
	b.WaitFor("#status", "Case "+tappedCode(t))
	tapped := b.Text("#answer .patterns")
	b.Click("#answer a.code")
	b.WaitFor("h1", "Last slot front right")
	assert.Equal(t, tapped, b.Text("#answer .patterns"))
	b.Quiet()
}
