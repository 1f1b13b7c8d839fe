package page_test

import (
	"fmt"
	"net/url"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"slotcast/web/webtest"
)

// Each exercise by a finger and without a network: what was answered is there once the
// network is back. By keys each has a test of its own.
func TestBrowserEveryExerciseByTouchWithoutANetwork(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	b := s.Browser
	theirs(t, s.Service, b, slowAtDots(t, s.Service))
	b.Do(chromedp.EmulateViewport(360, 640, chromedp.EmulateMobile, chromedp.EmulateTouch))
	const picture, right, first = " .practice-picture", " [data-right]", " [data-key='1']"
	var want []string
	for _, exercise := range []struct {
		name, item string
		// taps are what the finger meets on the card, from the start to the answer.
		taps []string
	}{
		{"recognise", "27", []string{picture, right}},
		{"predict", "FR R U R'", []string{picture, right}},
		{"choose", planPlace(t), []string{right}},
		{"execute", "27", []string{picture, picture, first}},
		{"whole", planPlace(t), []string{picture, picture, first}},
	} {
		b.Do(chromedp.Navigate(s.Home + "/practice?seed=4&exercise=" + exercise.name + "&items=" + url.QueryEscape(exercise.item)))
		s.readyForCuts(t, "/practice")
		if exercise.name == "whole" {
			b.Do(chromedp.Evaluate[chromedp.Void](`document.getElementById("practice-inspect").checked = false`))
		}
		s.cut(true)
		b.Do(chromedp.Evaluate[chromedp.Void](`addEventListener("pointerdown", (e) => { document.body.dataset.by = e.pointerType; }, true)`))
		// What says so moves the rest down.
		b.WaitFor("#network-status", "Offline")
		b.Tap("#practice-go")
		assert.Equal(t, "touch", script[string](t, b, `document.body.dataset.by`))
		b.WaitFor("#practice-status", "1 of 1")
		for n, tap := range exercise.taps {
			if tap == picture && n > 0 {
				b.WaitUntil(`document.querySelector(".practice-item:not([hidden]) [data-runs]")`)
			}
			b.Tap(".practice-item:not([hidden])" + tap)
		}
		b.Tap(".practice-item:not([hidden]) .practice-on")
		b.WaitFor("#practice-result", "1 of 1 right")
		waiting(t, b, 1)
		want = append(want, fmt.Sprint(exercise.name, " ", exercise.item, " true"))
		s.cut(false)
		allSent(t, b)
	}
	b.Do(chromedp.Navigate(s.Home + "/practice"))
	assert.Equal(t, want, inWords(resultsInProfile(t, b)))
	b.QuietButForCuts()
}
