package page_test

import (
	"net/http"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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
