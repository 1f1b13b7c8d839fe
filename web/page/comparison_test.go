package page_test

import (
	"fmt"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/forecast/lastslot"
	"slotcast/web/webtest/site"
)

var shareLink = regexp.MustCompile(`/case/[^?"]+\?with=([^"]+)"`)

// share makes a share and returns its id.
func (s *surfer) share(t *testing.T) string {
	t.Helper()
	require.Equal(t, http.StatusSeeOther, s.post("/profile/shares").Code)
	found := shareLink.FindStringSubmatch(s.get("/profile").Body.String())
	require.NotNil(t, found)
	return found[1]
}

func TestComparison(t *testing.T) {
	t.Parallel()
	service := site.New(t)
	sharer, reader := &surfer{Service: service}, &surfer{Service: service}
	sharer.post("/insertions/marks", "know", "FR R U R'")
	reader.post("/profile/preferences", "usual", "none")
	sharer.post("/insertions/time", "insertion", "FR R U R'", "seconds", "0.2")
	id := sharer.share(t)
	address := sharer.caseFor(t, "FR R U R'")
	assert.Contains(t, sharer.get(address).Body.String(), address+"?with="+id, "the case page has the link to send")

	page := reader.get(address + "?with=" + id)
	require.Equal(t, http.StatusOK, page.Code)
	body := page.Body.String()
	assert.Contains(t, body, "You would both do R U R&#39;: the same option, they are 0.28 s faster.")
	assert.Contains(t, body, "Copy into my book")
	assert.NotContains(t, body, sharer.cookie.Value)

	require.Equal(t, http.StatusSeeOther, reader.post("/insertions/marks", "know", "FR R U R'", "back", address+"?with="+id).Code)
	assert.Contains(t, reader.exported(t), `"R U R'"`)
	assert.NotContains(t, reader.exported(t), "0.2", "the time is the sharer's")
	assert.NotContains(t, reader.get(address+"?with="+id).Body.String(), "Copy into my book")
	assert.Equal(t, "/case/"+address[len("/case/"):]+"?with="+id, reader.get("/compare?case="+address[len("/case/"):]+"&with="+id).Header().Get("Location"))

	assert.Equal(t, http.StatusNotFound, reader.post("/profile/shares/revoke", "share", id).Code, "only its owner can")
	require.Equal(t, http.StatusSeeOther, sharer.post("/profile/shares/revoke", "share", id).Code)
	assert.Equal(t, http.StatusNotFound, reader.get(address+"?with="+id).Code)
	assert.Equal(t, http.StatusNotFound, reader.get(address+"?with=nothing").Code)
}

// Where a pattern is not learnt the comparison lists the looks that it takes, of whoever has not
// learnt it; and of what nothing learnt solves it gives no time.
func TestComparisonListsLooks(t *testing.T) {
	t.Parallel()
	service := site.New(t)
	sharer, reader := &surfer{Service: service}, &surfer{Service: service}
	sharer.post("/ratings/learnt", "learnt", "ten")
	address := "/case/" + lastslot.CaseAt(7).Code()
	with := address + "?with=" + sharer.share(t)
	looks := func(who string) (n int) {
		t.Helper()
		page := site.PageOf(t, reader.get(with).ResponseRecorder)
		for _, row := range page.Find(site.Classed("who")) {
			listed := false
			for next := row.NextSibling; next != nil && !site.Classed("who")(next); next = next.NextSibling {
				listed = listed || next.Type == html.ElementNode && site.Classed("looks")(next)
			}
			if listed && strings.HasPrefix(site.Words(row), who) {
				n++
			}
		}
		return n
	}
	assert.Positive(t, looks("They"))
	assert.Zero(t, looks("You"), "who says nothing has no order of their own")
	reader.post("/profile/preferences", "speed", "2")
	assert.Zero(t, looks("You"), "who has learnt all takes one look")
	reader.post("/ratings/learnt", "learnt", "ten")
	assert.Equal(t, looks("They"), looks("You"), "with the same learnt")
	page := reader.get(with).Body.String()
	assert.Contains(t, page, "look at the edges")
	assert.NotContains(t, page, "then nothing learnt solves it")

	// Sunes alone solve every cross and nothing else.
	for p := 1; p < lastslot.Patterns; p++ {
		if p != 27 {
			sharer.save(fmt.Sprintf("/ratings/%d", p), "learnt", "no")
		}
	}
	page = reader.get(with).Body.String()
	assert.Contains(t, page, "then nothing learnt solves it")
	assert.Contains(t, page, "and you have learnt to solve what is left")
	assert.NotRegexp(t, `>36\d\d\.\d+ s<`, page, "an hour is no time that anybody takes")
}
