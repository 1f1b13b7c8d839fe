package page_test

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

// Of a device that was lost the person sees the key, and revokes it: it opens nothing
// any more. That nobody else has a key is said only where it is so.
func TestALostDeviceIsShutOut(t *testing.T) {
	t.Parallel()
	service := site.New(t)
	desk, phone := &surfer{Service: service}, &surfer{Service: service}
	const nobodyElse = "nobody else does"
	desk.save("/ratings/27", "recognise", "3")
	page := desk.get("/profile").Body.String()
	assert.Contains(t, page, nobodyElse)
	assert.Contains(t, page, "last used today")
	assert.NotContains(t, page, `action="/profile/keys/revoke"`, "its own key is not revoked by mistake")

	_, link, ok := strings.Cut(desk.post("/profile/device-link").Body.String(), `value="http://example.com/device/`)
	require.True(t, ok)
	token, _, _ := strings.Cut(link, `"`)
	assert.Contains(t, phone.get("/device/"+token).Body.String(), "If somebody sent it to you, it is theirs")
	require.Equal(t, http.StatusSeeOther, phone.post("/device/"+token).Code)
	page = desk.get("/profile").Body.String()
	assert.NotContains(t, page, nobodyElse)
	assert.Contains(t, page, "2 devices")
	assert.NotContains(t, page, phone.cookie.Value)

	revoke := regexpAll(`action="/profile/keys/revoke"><input type="hidden" name="key" value="([0-9a-f]{16})"`, page)
	require.Len(t, revoke, 1)
	lost := revoke[0]
	require.Equal(t, http.StatusSeeOther, desk.post("/profile/keys/name", "key", lost, "name", "  my \n phone ").Code)
	assert.Contains(t, desk.get("/profile").Body.String(), "<strong>my phone</strong>")
	refused := desk.post("/profile/keys/name", "key", lost, "name", strings.Repeat("x", 41))
	assert.Equal(t, http.StatusBadRequest, refused.Code)
	assert.Contains(t, refused.Body.String(), "at most 40")

	// Another profile's are not found.
	other := &surfer{Service: service}
	other.save("/ratings/27", "recognise", "3")
	for _, address := range []string{"/profile/keys/revoke", "/profile/keys/name"} {
		assert.Equal(t, http.StatusNotFound, other.post(address, "key", lost, "name", "x").Code)
		assert.Equal(t, http.StatusNotFound, (&surfer{Service: service}).post(address, "key", lost).Code)
	}

	assert.Contains(t, phone.get("/ratings").Body.String(), "data-owner")
	require.Equal(t, http.StatusSeeOther, desk.post("/profile/keys/revoke", "key", lost).Code)
	assert.NotContains(t, phone.get("/ratings").Body.String(), "data-owner")
	assert.Equal(t, http.StatusUnauthorized, service.Ask("GET", "/api/v1/ratings", phone.cookie.Value, "").Code)
	page = desk.get("/profile").Body.String()
	assert.Contains(t, page, nobodyElse)
	again := desk.post("/profile/keys/revoke", "key", lost)
	assert.Equal(t, http.StatusNotFound, again.Code)
	assert.Contains(t, again.Body.String(), "may have been revoked")

	// The only key stays: without it nobody could open the profile.
	own := regexpAll(`name="key" value="([0-9a-f]{16})"`, page)
	require.Len(t, own, 1)
	only := desk.post("/profile/keys/revoke", "key", own[0])
	assert.Equal(t, http.StatusUnprocessableEntity, only.Code)
	assert.Contains(t, only.Body.String(), "only key")
	assert.Contains(t, desk.get("/profile").Body.String(), nobodyElse)
}
