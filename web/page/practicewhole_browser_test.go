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

// Whole solves: inspected by the space bar and split; by a finger, without inspection, to a
// pattern that is not offered first; one that goes wrong without a network. What was tapped
// is kept.
func TestBrowserPracticeOfWholeSolves(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	b := s.Browser
	b.Show(390, 664, false)
	place := planPlace(t)
	b.Do(chromedp.Navigate(s.Home + "/practice?exercise=whole&seed=4&items=" + place + "," + place + "," + place))
	s.readyForCuts(t, "/practice")
	b.Click("#practice-splits")
	b.Click("#practice-go")
	do := ".practice-item:not([hidden]) .practice-do"
	running := `document.querySelector(".practice-item:not([hidden]) [data-runs]")`
	b.WaitFor("#practice-status", "1 of 3")
	b.WaitFor(do, "Press to inspect")
	b.Press(" ")
	b.WaitFor(do, "0 s inspected")
	b.WaitFor(do, "1 s inspected")
	assert.True(t, script[bool](t, b, "!"+running), "inspecting is no part of it")
	b.Press(" ")
	b.WaitFor(do, "Tap when the slot is filled")
	b.Press(" ")
	b.WaitFor(do, "Tap when you know the pattern")
	b.Press(" ")
	b.WaitFor(do, "Press to stop")
	b.Press(" ")
	b.WaitFor("#practice-status", "what did you get?")
	left := script[string](t, b, `document.querySelector(".practice-item:not([hidden]) [data-key='1']").dataset.left`)
	b.Press("1")
	b.WaitFor(".practice-item:not([hidden]) .practice-said", "executed in")
	assert.Contains(t, b.Text(".practice-item:not([hidden]) .practice-said"), "By your seconds the best was")
	b.Press(kb.Enter)

	b.WaitFor("#practice-status", "2 of 3")
	b.WaitFor(do, "Press to inspect")
	allSent(t, b)
	// What was chosen at the start stays; the page has it no more, as in a new session.
	b.Do(chromedp.Evaluate[chromedp.Void](`for (const id of ["practice-inspect", "practice-splits"]) document.getElementById(id).checked = false`))
	b.Click(".practice-item:not([hidden]) .practice-picture")
	b.WaitUntil(running)
	b.Click(".practice-item:not([hidden]) .practice-picture")
	b.WaitFor("#practice-status", "what did you get?")
	b.Click(".practice-item:not([hidden]) [data-more]")
	b.Click(`#practice-patterns [data-left="2"]`)
	b.WaitFor(".practice-item:not([hidden]) .practice-said", "By your seconds")
	b.Click(".practice-item:not([hidden]) .practice-on")

	saved(t, b, 2)
	s.cut(true)
	b.WaitFor("#practice-status", "3 of 3")
	b.Press(" ", " ")
	b.WaitFor("#practice-status", "what did you get?")
	b.Click(".practice-item:not([hidden]) .practice-answers [data-key]:last-child")
	b.WaitFor(".practice-item:not([hidden]) .practice-said", "Wrong")
	b.Press(kb.Enter)
	b.WaitFor("#practice-result", "2 of 3 right")
	waiting(t, b, 1)
	s.cut(false)
	allSent(t, b)
	b.Do(chromedp.Navigate(s.Home + "/practice"))
	text, err := chromedp.Run(b.Context, chromedp.Evaluate[string](`fetch("/profile/export").then(r => r.text())`, chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	var file struct {
		Results []struct {
			Exercise, Item             string
			Right                      bool
			Left                       *int
			Seconds, Insert, Recognise float64
		}
	}
	require.NoError(t, json.Unmarshal([]byte(text), &file))
	require.Len(t, file.Results, 3)
	first, second, third := file.Results[2], file.Results[1], file.Results[0]
	assert.Equal(t, left, fmt.Sprint(*first.Left))
	assert.Greater(t, first.Insert, 0.0)
	assert.Greater(t, first.Recognise, 0.0)
	assert.Less(t, first.Insert+first.Recognise, first.Seconds)
	assert.Equal(t, 2, *second.Left)
	assert.Zero(t, second.Insert)
	assert.True(t, first.Right && second.Right && !third.Right)
	assert.Nil(t, third.Left)
	b.QuietButForCuts()
}
