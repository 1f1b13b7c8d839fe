package page_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

// What one says of an insertion on the page of an option leads back there, and
// is seen.
func TestMarksOnAnOpenedOption(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	address := s.caseFor(t, "FR R U R'") + "/option?" + url.Values{"turns": {"R U R'"}}.Encode()
	fresh := s.get(address).Body.String()
	assert.Contains(t, fresh, `name="forget" value="FR R U R&#39;"`, "the usual one is known")

	for _, mark := range []struct{ name, then string }{{"forget", "know"}, {"know", "forget"}, {"hide", "show"}, {"show", "hide"}} {
		marked := s.post("/insertions/marks", mark.name, "FR R U R'", "back", address)
		require.Equal(t, http.StatusSeeOther, marked.Code)
		require.Equal(t, address, marked.Header().Get("Location"))
		page := s.get(address)
		assert.Equal(t, "private, no-store", page.Header().Get("Cache-Control"))
		assert.Contains(t, page.Body.String(), `name="`+mark.then+`" value="FR R U R&#39;"`, mark.name)
	}

	// A time of one's own counts here as it does in the list.
	require.Equal(t, http.StatusSeeOther, s.post("/insertions/time", "insertion", "FR R U R'", "seconds", "4.44").Code)
	assert.Contains(t, s.get(address).Body.String(), "4.44")
}

func TestInsertionPageSaysHowToSeeItComing(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	page := s.get("/insertions/one?insertion=" + url.QueryEscape("FR L E' L' U L E L'")).Body.String()
	assert.Contains(t, page, "The edge in the slot goes to the back, up if its top colour faces right now.")
	assert.Contains(t, page, "All corners and the other edges only turn with U.")
	assert.Equal(t, 2, strings.Count(page, `class="map `))
}
