package page_test

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// One tap on Ratings says ten, pattern by pattern goes on from there, and each page shows
// the looks; a form without script does the same.
func TestWhatIsLearntIsSaidInOneTap(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	code := lastslot.CaseAt(7).Code()
	for _, page := range []string{"/case/" + code + "?view=all", "/print/case/" + code} {
		assert.NotContains(t, s.get(page).Body.String(), "look at the edges", page)
	}
	require.Equal(t, http.StatusSeeOther, s.post("/ratings/learnt", "learnt", "ten").Code)
	assert.Contains(t, s.get("/ratings").Body.String(), "You have learnt 10 of 57.")
	assert.Contains(t, s.get("/learn").Body.String(), "You have learnt 10 of 57.")
	for _, page := range []string{"/case/" + code + "?view=all", "/case/" + code + "/patterns/1", "/print/case/" + code} {
		assert.Contains(t, s.get(page).Body.String(), "look at the edges", page)
	}
	option := s.Ask("GET", "/api/v1/forecast?case="+code, s.cookie.Value, "").Must(t)["options"].([]any)[0].(map[string]any)
	_ = s.get("/case/" + code + "/option?turns=" + url.QueryEscape(option["turns"].(string))).Body.String()

	require.Equal(t, http.StatusSeeOther, s.post("/ratings/learnt", "learnt", "own").Code)
	assert.Contains(t, s.get("/ratings").Body.String(), "You have learnt 10 of 57.", "from where it was")
	require.Equal(t, http.StatusNoContent, s.save("/ratings/1", "learnt", "yes").Code)
	require.Equal(t, http.StatusNoContent, s.save("/ratings/27", "learnt", "no").Code)
	require.Equal(t, http.StatusNoContent, s.save("/ratings/26", "learnt", "no").Code)
	page := s.get("/ratings").Body.String()
	assert.Contains(t, page, "You have learnt 9 of 57.")
	assert.NotContains(t, page, "Nothing that you have learnt solves")
	for _, cross := range []string{"21", "22", "23", "24", "25"} {
		require.Equal(t, http.StatusNoContent, s.save("/ratings/"+cross, "learnt", "no").Code)
	}
	for _, page := range []string{"/ratings", "/learn"} {
		assert.Contains(t, s.get(page).Body.String(), "Nothing that you have learnt solves", page)
	}
	assert.Contains(t, s.get("/case/"+code+"?view=all").Body.String(), "nothing that you have learnt solves it")
	require.Equal(t, http.StatusNoContent, s.save("/ratings/learnt", "learnt", "all").Code)
	assert.NotContains(t, s.get("/ratings").Body.String(), "You have learnt 4 of 57.")

	s.save("/ratings/learnt", "learnt", "eleven").Refused(t, http.StatusBadRequest)
	s.save("/ratings/1", "learnt", "maybe").Refused(t, http.StatusBadRequest)
	s.save("/ratings/0", "learnt", "yes").Refused(t, http.StatusBadRequest)
}

// By thumb and by keys: two looks in one tap, then a pattern marked.
func TestBrowserSaysWhatIsLearnt(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Do(chromedp.EmulateViewport(390, 844), chromedp.Navigate(home+"/ratings"))
	b.Click(`.learnt button[value="ten"]`)
	b.WaitUntil(`document.querySelector('.learnt button[value="ten"]').ariaPressed === "true"`)
	assert.Contains(t, script[string](t, b, `document.querySelector("#oll-1").textContent`), "not learnt")
	b.Do(chromedp.Focus(chromedp.CSS(`.learnt button[value="own"]`)), chromedp.KeyEvent(kb.Enter))
	b.WaitUntil(`document.querySelector('.learnt button[value="own"]').ariaPressed === "true"`)
	b.Click(`#oll-1 input[name="learnt"][value="yes"] + span`)
	waitSaid(b, "#oll-1", "saved")
	b.Follow(func() { b.Do(chromedp.Reload()) })
	assert.Contains(t, script[string](t, b, `document.querySelector("#answer").textContent`), "You have learnt 11 of 57.")
}
