package page_test

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

// A preview may be kept by anybody, so it shows the same to everybody: here to
// somebody who hides the insertion that it has, and on the page sees another.
func TestPreviewIsNobodysOwn(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	const address = "/case/00000"
	picture, page := s.get(address+"/picture.png"), s.get(address).Body.String()
	_, best, _ := strings.Cut(page, `name="hide" value="`)
	best, _, _ = strings.Cut(best, `"`)
	best = strings.ReplaceAll(best, "&#39;", "'")
	require.NotEmpty(t, best)
	require.Equal(t, http.StatusNoContent, s.save("/insertions/marks", "hide", best).Code)
	own := s.get(address).Body.String()
	require.NotContains(t, own, `name="hide" value="`+strings.ReplaceAll(best, "'", "&#39;")+`"`)
	same := s.get(address + "/picture.png")
	assert.Equal(t, picture.Header().Get("ETag"), same.Header().Get("ETag"))
	assert.True(t, picture.Body.String() == same.Body.String())
	assert.Empty(t, same.Header().Values("Set-Cookie"))
}
