package page_test

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

// upload sends a file as the page's form does.
func (s *surfer) upload(t *testing.T, content string) site.Answer {
	t.Helper()
	var body bytes.Buffer
	parts := multipart.NewWriter(&body)
	file, err := parts.CreateFormFile("file", "slotcast.json")
	require.NoError(t, err)
	_, err = file.Write([]byte(content))
	require.NoError(t, err)
	require.NoError(t, parts.Close())
	r := httptest.NewRequest(http.MethodPost, "/profile/import", &body)
	r.Header.Set("Content-Type", parts.FormDataContentType())
	if s.cookie != nil {
		r.AddCookie(s.cookie)
	}
	a := s.Answer(r)
	for _, c := range a.Result().Cookies() {
		s.cookie = c
	}
	return a
}

func TestProfileMovesByFile(t *testing.T) {
	t.Parallel()
	service := site.New(t)
	first, second := &surfer{Service: service}, &surfer{Service: service}
	first.save("/ratings/1", "recognise", "3")
	first.save("/ratings/1", "name", "One")
	first.post("/patterns/27/sequences", "turns", site.Orients27)
	first.post("/insertions", "turns", "R U R'", "mirror", "true")
	first.post("/profile/scale", "execute-5", "0.65", "was-execute-5", "0.8")
	file := first.exported(t)
	assert.Contains(t, file, "0.65")

	for range 2 {
		a := second.upload(t, file)
		require.Equal(t, http.StatusSeeOther, a.Code, "%s", a.Body)
		assert.Equal(t, file, second.exported(t))
	}
	for _, bad := range []struct {
		content, says string
		status        int
	}{
		{strings.Replace(file, `"recognise": 3`, `"recognise": 9`, 1), "ratings[0]", 0},
		{"no JSON", "line 1, character", 0},
		{strings.Repeat(" ", 29<<20), "at most 28 MiB", http.StatusRequestEntityTooLarge},
	} {
		a := second.upload(t, bad.content)
		assert.True(t, a.Code >= 400 && a.Code < 500, "%d", a.Code)
		if bad.status != 0 {
			assert.Equal(t, bad.status, a.Code)
		}
		assert.Contains(t, a.Body.String(), "Nothing was changed")
		assert.Contains(t, a.Body.String(), bad.says)
		assert.Equal(t, file, second.exported(t))
	}
}

func TestScale(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	require.Equal(t, http.StatusSeeOther, s.post("/profile/scale", "recognise-1", "2", "was-recognise-1", "1.3", "recognise-2", "0.85", "was-recognise-2", "0.85").Code)
	file := s.exported(t)
	assert.Equal(t, 1, strings.Count(file, `"step"`), "only what was changed")
	wrong := s.post("/profile/scale", "recognise-1", "sixty", "was-recognise-1", "2")
	assert.Equal(t, http.StatusBadRequest, wrong.Code)
	assert.Contains(t, wrong.Body.String(), "“sixty” is not a number")
	assert.Equal(t, file, s.exported(t))
	require.Equal(t, http.StatusSeeOther, s.post("/profile/scale", "recognise-1", "", "was-recognise-1", "2").Code)
	assert.NotContains(t, s.exported(t), `"step"`)
}

var deviceLink = regexp.MustCompile(`value="http://example\.com(/device/[^"]+)"`)

func TestDeviceLinkWorksOnce(t *testing.T) {
	t.Parallel()
	service := site.New(t)
	first, second, third := &surfer{Service: service}, &surfer{Service: service}, &surfer{Service: service}
	assert.Equal(t, http.StatusNotFound, first.post("/profile/device-link").Code, "nothing to bring")
	first.save("/ratings/1", "recognise", "3")
	page := first.post("/profile/device-link")
	require.Equal(t, http.StatusOK, page.Code)
	assert.Equal(t, "private, no-store", page.Header().Get("Cache-Control"))
	found := deviceLink.FindStringSubmatch(page.Body.String())
	require.NotNil(t, found, page.Body)
	assert.Contains(t, page.Body.String(), `class="qr"`)

	assert.Equal(t, http.StatusOK, second.get(found[1]).Code, "looking uses nothing up")
	require.Equal(t, http.StatusSeeOther, second.post(found[1]).Code)
	assert.Equal(t, first.exported(t), second.exported(t))
	assert.NotEqual(t, first.cookie.Value, second.cookie.Value)
	assert.Equal(t, http.StatusGone, third.post(found[1]).Code)
	assert.Nil(t, third.cookie)
	assert.Equal(t, http.StatusGone, third.post("/device/nothing").Code)

	assert.Equal(t, http.StatusBadRequest, second.post("/profile/delete").Code)
	require.Equal(t, http.StatusSeeOther, second.post("/profile/delete", "sure", "true").Code)
	assert.Nil(t, second.cookie)
	assert.Contains(t, first.get("/profile").Body.String(), "Nothing saved yet", "gone on every device")
}
