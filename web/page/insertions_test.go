package page_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

// caseFor is the address of a case for an insertion of the surfer's, in the view
// that is shown by default.
func (s *surfer) caseFor(t *testing.T, insertion string) string {
	t.Helper()
	page := s.get("/insertions/one?insertion=" + url.QueryEscape(insertion)).Body.String()
	_, after, ok := strings.Cut(page, `href="/case/`)
	require.True(t, ok, page)
	code, _, _ := strings.Cut(after, `"`)
	return "/case/" + code
}

func TestInsertionsMarkedOnACase(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	address := s.caseFor(t, "FR R U R'")
	fresh := s.get(address).Body.String()
	assert.Contains(t, fresh, `name="forget" value="FR R U R&#39;"`, "the usual one is known")
	assert.Contains(t, fresh, "Assumed known")
	require.Equal(t, http.StatusSeeOther, s.post("/insertions/marks", "forget", "FR R U R'", "back", address).Code)
	assert.Contains(t, s.get(address).Body.String(), `name="know" value="FR R U R&#39;"`, "taken back")
	assert.NotContains(t, s.get(address).Body.String(), "Assumed known")

	marked := s.post("/insertions/marks", "know", "FR R U R'", "back", address)
	require.Equal(t, http.StatusSeeOther, marked.Code, "%s", marked.Body)
	assert.Equal(t, address, marked.Header().Get("Location"))
	known := s.get(address)
	assert.Equal(t, "private, no-store", known.Header().Get("Cache-Control"))
	assert.Contains(t, known.Body.String(), `aria-current="page">yours first`)
	assert.Contains(t, known.Body.String(), `class="known"`)
	all := s.get(address + "?view=all").Body.String()
	assert.Contains(t, all, `aria-current="page">by time only`)

	assert.NotContains(t, all, "s faster", "it is the fastest")
	require.Equal(t, http.StatusSeeOther, s.post("/insertions/time", "insertion", "FR R U R'", "seconds", "5").Code)
	assert.Contains(t, s.get(address+"?view=all").Body.String(), "s faster")
	require.Equal(t, http.StatusSeeOther, s.post("/insertions/time", "insertion", "FR R U R'", "seconds", "").Code)

	// Where nothing known fits, that is said.
	require.Equal(t, http.StatusSeeOther, s.post("/profile/preferences", "usual", "none").Code)
	other := s.caseFor(t, "BL L U L'")
	assert.Contains(t, s.get(other).Body.String(), "You know none of these yet")
	assert.Contains(t, s.get(other+"?view=known").Body.String(), "you know no insertion here")

	require.Equal(t, http.StatusSeeOther, s.post("/insertions/marks", "hide", "FR R U R'", "back", address).Code)
	assert.NotContains(t, s.get(address).Body.String(), `value="FR R U R&#39;"`, "hidden ones are not offered")
	require.Equal(t, http.StatusSeeOther, s.post("/insertions/time", "insertion", "FR R U R'", "seconds", "0.4", "rating", "").Code)
	assert.Contains(t, s.exported(t), `"seconds": 0.4`)
	require.Equal(t, http.StatusSeeOther, s.post("/insertions/time", "insertion", "FR R U R'", "seconds", "0.4", "predict", "yes").Code)
	assert.Contains(t, s.exported(t), `"predicted": true`)
	require.Equal(t, http.StatusSeeOther, s.post("/insertions/time", "insertion", "FR R U R'", "seconds", "0.5").Code)
	assert.Contains(t, s.exported(t), `"predicted": true`, "what a form does not ask for stays")
	assert.Equal(t, http.StatusBadRequest, s.post("/insertions/time", "insertion", "FR R U R'", "predict", "maybe").Code)
	require.Equal(t, http.StatusSeeOther, s.post("/insertions/remove", "insertion", "FR R U R'").Code)
	assert.Contains(t, s.exported(t), `"insertions": []`)
}

func TestAddedInsertions(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	require.Equal(t, http.StatusSeeOther, s.post("/insertions", "turns", "U y R U' R' U", "slot", "", "mirror", "true").Code)
	file := s.exported(t)
	assert.Contains(t, file, `"R U' R'"`)
	assert.Contains(t, file, `"L' U L"`, "for the other hand")
	assert.Equal(t, 2, strings.Count(file, `"known": true`))
	page := s.get("/insertions").Body.String()
	assert.Contains(t, page, "2 in your book")

	for _, wrong := range []struct {
		slot, turns, says string
		status            int
	}{
		{"", "R U R' F", "does not keep", http.StatusUnprocessableEntity},
		{"BL", "R U R'", "does not keep", http.StatusUnprocessableEntity},
		{"XX", "R U R'", "No slot", http.StatusBadRequest},
		{"", "R U Z9", "<mark>Z9</mark>", http.StatusBadRequest},
		{"", "U2", "only turns the top", http.StatusUnprocessableEntity},
		{"", strings.Repeat("R U R' U' ", 400), "at most", http.StatusBadRequest},
	} {
		page := s.postTurns(t, "/insertions", "turns", wrong.turns, "slot", wrong.slot)
		assert.Equal(t, wrong.status, page.Code, wrong)
		assert.Contains(t, page.Body.String(), wrong.says)
	}
	for _, id := range []string{"", "R U R'", "FR", "FR U", "FR R U R", "XX R U R'"} {
		assert.GreaterOrEqual(t, s.save("/insertions/marks", "know", id).Code, 400, id)
		assert.GreaterOrEqual(t, s.save("/insertions/time", "insertion", id, "seconds", "1").Code, 400, id)
	}
	s.save("/insertions/time", "insertion", "FR R U R'", "seconds", "61").Refused(t, http.StatusBadRequest)
	assert.Equal(t, file, s.exported(t))
}

// Two tabs say something of one insertion at the same moment: both is kept.
func TestTwoTabsSayOfOneInsertion(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	const id = "FR R U R'"
	require.Equal(t, http.StatusSeeOther, s.post("/insertions/marks", "know", id).Code)
	for round := range 20 {
		require.Equal(t, http.StatusSeeOther, s.post("/insertions/marks", "forget", id).Code)
		other := &surfer{Service: s.Service, cookie: s.cookie}
		seconds := fmt.Sprintf("0.%02d", round+20)
		var tabs sync.WaitGroup
		tabs.Go(func() { assert.Equal(t, http.StatusSeeOther, s.post("/insertions/marks", "know", id).Code) })
		tabs.Go(func() {
			assert.Equal(t, http.StatusSeeOther, other.post("/insertions/time", "insertion", id, "seconds", seconds).Code)
		})
		tabs.Wait()
		kept := s.Ask(http.MethodGet, "/api/v1/own-insertions", s.cookie.Value, "").Body.String()
		require.Contains(t, kept, `"known":true`)
		require.Contains(t, kept, `"seconds":`+strings.TrimRight(seconds, "0"))
	}
}
