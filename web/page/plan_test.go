package page_test

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// planPlace is where R U R' inserts the pair.
func planPlace(t testing.TB) string {
	t.Helper()
	i, err := lastslot.CheckInsertion(new(lastslot.FR), site.MustParse(t, "R U R'"))
	require.NoError(t, err)
	return i.Case().Place().String()
}

// planner tracks five pieces and knows another insertion for that place.
func planner(t testing.TB, s *surfer) {
	t.Helper()
	s.post("/profile/preferences", "track", "5")
	require.Equal(t, http.StatusSeeOther, s.post("/insertions", "slot", "FR", "turns", "R U R' F R U R' U' F'", "known", "true").Code)
	s.Ask("PUT", "/api/v1/own-insertions", s.cookie.Value, `{"slot": "FR", "turns": "R U R' F R U R' U' F'", "known": true}`).Must(t)
}

// The card has what the interface answers, in words one can keep, scrambles that lead to the
// place, and a link by which others see it; they see no more than that.
func TestPlanCard(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	path := "/plan/" + planPlace(t)
	assert.Contains(t, s.get(path).Body.String(), "There is no plan here", "one insertion is known")
	planner(t, s)
	page := s.get(path).Body.String()
	assert.Contains(t, page, "5 pieces to track")
	assert.Contains(t, page, "<strong>anything</strong>", "whoever recognises each pattern alike does the quicker")
	assert.NotContains(t, page, "Otherwise")
	// Who is slow at dots, and quick to see all else, does not want them.
	slow := &surfer{Service: s.Service}
	planner(t, slow)
	for p := range lastslot.Pattern(lastslot.Patterns) {
		switch seconds := "0.05"; {
		case p == 0:
		case p.Outcome().Edges() == lastslot.Dot:
			slow.save(fmt.Sprintf("/ratings/%d", p), "execute-seconds", "12", "recognise-seconds", seconds)
		default:
			slow.save(fmt.Sprintf("/ratings/%d", p), "execute-seconds", "1", "recognise-seconds", "0.6")
		}
	}
	page = slow.get(path).Body.String()
	assert.Contains(t, page, "Otherwise")
	for _, words := range []string{"R U R&#39; F R U R&#39; U&#39; F&#39;", "Do it if it leaves", "any"} {
		assert.Contains(t, page, words)
	}
	page = s.get(path).Body.String()
	scrambles := regexp.MustCompile(`/\?scramble=([^"]+)"`).FindAllStringSubmatch(page, -1)
	require.Len(t, scrambles, 3)
	for _, scramble := range scrambles {
		text, err := url.QueryUnescape(scramble[1])
		require.NoError(t, err)
		found, err := lastslot.Find(cube.Solved.Do(site.MustParse(t, text)), new(lastslot.FR))
		require.NoError(t, err)
		assert.Equal(t, planPlace(t), found.Case.Place().String())
	}
	assert.NotContains(t, page, "?with=")
	share := s.share(t)
	assert.Contains(t, s.get(path).Body.String(), "?with="+share)
	reader := &surfer{Service: s.Service}
	theirs := reader.get(path + "?with=" + share).Body.String()
	assert.Contains(t, theirs, "Somebody else’s plan")
	assert.Contains(t, theirs, "5 pieces to track")
	assert.Equal(t, http.StatusNotFound, reader.get(path+"?with=nobody").Code)
	assert.Equal(t, http.StatusNotFound, reader.get("/plan/FR").Code)
	assert.Equal(t, http.StatusBadRequest, reader.get(path+"?paper=a9").Code)

	s.post("/profile/preferences", "track", "")
	page = s.get(path).Body.String()
	assert.Contains(t, page, "If you tracked 5 pieces through R U R&#39;, a plan would save")
}

// A card that was seen is there without a network, with all that is on it.
func TestBrowserKeepsPlans(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	path := "/plan/" + planPlace(t)
	s.Do(chromedp.EmulateViewport(390, 844), chromedp.Navigate(s.Home+path))
	s.WaitFor("#status", "There is no plan here")
	assert.True(t, script[bool](t, s.Browser, `document.querySelector(".plan-practice a").getBoundingClientRect().height >= 44`), "for a thumb")
	s.readyForCuts(t, path)
	s.cut(true)
	s.Do(chromedp.Navigate(s.Home + path))
	s.WaitFor("#status", "There is no plan here")
	assert.Equal(t, 3, script[int](t, s.Browser, `document.querySelectorAll(".plan-practice .turns").length`))
}

// Without script, and by keys alone: from a place to its card and back.
func TestBrowserPlansByKeysWithoutScript(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.WithoutScript()
	b.Do(chromedp.Navigate(home + "/learn/" + planPlace(t)))
	enter := func(link string) {
		b.Do(chromedp.Focus(chromedp.CSS(link)))
		b.Follow(func() { b.Do(chromedp.KeyEvent(kb.Enter)) })
	}
	enter(`a[href^="/plan/"]`)
	b.WaitFor("#status", "There is no plan here")
	enter(`.plan-links a[href^="/learn/"]`)
	b.WaitFor("#status", "You know")
}
