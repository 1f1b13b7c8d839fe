package page_test

import (
	"net/http"
	"regexp"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// Every advice leads to where it is done, and the words beside the picture say how often
// each group is left.
func TestWhatPays(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	assert.Contains(t, s.get("/learn?slot=BL").Body.String(), `href="/pays?slot=BL"`)
	tracker := &surfer{Service: s.Service}
	tracker.post("/profile/preferences", "track", "4")
	assert.Contains(t, tracker.get("/pays").Body.String(), "Track 5 pieces")
	s.post("/ratings/learnt", "learnt", "ten")
	page := s.get("/pays").Body.String()
	assert.Contains(t, page, "Learn an algorithm for OLL ")
	assert.Regexp(t, `a dot: (never|1 in [0-9.]+) now, (never|1 in [0-9.]+) with the next 6`, page)
	assert.Contains(t, s.get("/learn").Body.String(), "Insertions that leave a cross rise for you")
	assert.NotContains(t, (&surfer{Service: s.Service}).get("/learn").Body.String(), "Insertions that leave a cross rise")
	links := regexp.MustCompile(`class="button quiet" href="([^"#]+)`).FindAllStringSubmatch(page, -1)
	require.NotEmpty(t, links)
	for _, link := range links {
		assert.Equal(t, http.StatusOK, s.get(link[1]).Code, link[1])
	}
	assert.Equal(t, http.StatusBadRequest, s.get("/pays?slot=UF").Code)
}

// By thumb and by keys; and without a network where it was seen.
func TestBrowserWhatPays(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	s.Do(chromedp.EmulateViewport(390, 844), chromedp.Navigate(s.Home+"/pays"))
	s.WaitFor("#status", "a solve on average")
	s.readyForCuts(t, "/pays")
	s.cut(true)
	s.Do(chromedp.Navigate(s.Home + "/pays"))
	s.WaitFor("#status", "a solve on average")
	s.cut(false)
	s.Do(chromedp.Navigate(s.Home + "/pays"))
	s.WaitFor("#status", "a solve on average")
	assert.True(t, script[bool](t, s.Browser, `document.querySelector(".advice a").getBoundingClientRect().height >= 44`), "for a thumb")
	s.Do(chromedp.Focus(chromedp.CSS(".advice a")))
	s.Follow(func() { s.Do(chromedp.KeyEvent(kb.Enter)) })
	assert.NotEqual(t, "/pays", script[string](t, s.Browser, `location.pathname`))
}
