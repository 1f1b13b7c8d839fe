package page_test

import (
	"fmt"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

// newDrill makes a drill of patterns 27 and 5 and answers its address.
func newDrill(t testing.TB, s *surfer) string {
	t.Helper()
	made := s.post("/drills", "exercise", "recognise", "items", "27,5", "seed", "7")
	require.Equal(t, http.StatusSeeOther, made.Code)
	return made.Header().Get("Location")
}

// Two people do the same items in the same order and see what both did; a third person
// sees nothing of it.
func TestDrillForTwo(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	one, other, third := &surfer{Service: s}, &surfer{Service: s}, &surfer{Service: s}
	address := newDrill(t, one)
	page := func(by *surfer) string {
		return site.Words(site.PageOf(t, by.get(address).ResponseRecorder).Root)
	}
	session := regexp.MustCompile(`href="(/practice\?drill=[^"]+)"`)
	begin := func(by *surfer) string {
		found := session.FindStringSubmatch(by.get(address).Body.String())
		require.NotNil(t, found)
		return strings.ReplaceAll(found[1], "&amp;", "&")
	}
	assert.Contains(t, page(one), "Recognise: 2 items for two")
	assert.Contains(t, page(one), "Hand the link on")
	assert.Contains(t, page(other), "Somebody shared this drill with you")
	assert.NotContains(t, page(other), "Side by side")

	// The items, their turns and the order of answers are the same for both.
	cards := func(by *surfer) []string {
		body := by.get(begin(by)).Body.String()
		assert.Contains(t, body, `data-drill="`+strings.TrimPrefix(address, "/drills/")+`"`)
		return strings.Split(body, `class="panel practice-item"`)[1:]
	}
	require.Len(t, cards(one), 2)
	assert.Equal(t, cards(one), cards(other))

	n := 0
	does := func(by *surfer, item string, seconds float64, right bool) {
		n++
		saved := by.save("/practice/results", "id", fmt.Sprintf("%022d", n), "exercise", "recognise", "item", item, "at", fmt.Sprintf("2026-03-01T12:00:%02dZ", n),
			"seconds", fmt.Sprint(seconds), "right", fmt.Sprint(right), "drill", strings.TrimPrefix(address, "/drills/"))
		require.Equal(t, http.StatusNoContent, saved.Code, saved.Body.String())
	}
	does(one, "27", 1.5, true)
	does(one, "5", 2, false)
	does(one, "5", 0.5, true) // once more is practice of one's own
	does(other, "27", 1.25, true)
	does(third, "27", 0.1, true)
	text := page(one)
	assert.Contains(t, text, "1. OLL 27 1.50 s 1.25 s better 2. OLL 5 2.00 s, wrong – All 1 of 2 right, median 1.50 s 1 of 1 right, median 1.25 s")
	assert.Contains(t, page(other), "1. OLL 27 1.25 s better 1.50 s 2. OLL 5 – 2.00 s, wrong All")
	assert.Contains(t, page(third), "Two people take part in this drill already")
	assert.NotContains(t, page(third), "1.50")

	for _, wrong := range [][]string{{"exercise", "juggle"}, {"items", "99"}, {"items", ""}, {"seed", "x"}} {
		fields := []string{"exercise", "recognise", "items", "27", "seed", "7"}
		for i := 0; i < len(fields); i += 2 {
			if fields[i] == wrong[0] {
				fields[i+1] = wrong[1]
			}
		}
		assert.Equal(t, http.StatusBadRequest, one.post("/drills", fields...).Code, wrong)
	}
	for _, gone := range []string{"/drills/x", "/drills/AAAAAAAAAAAAAAAAAAAAAA"} {
		assert.Equal(t, http.StatusNotFound, one.get(gone).Code)
	}
	bad := one.save("/practice/results", "id", "AAAAAAAAAAAAAAAAAAAAAA", "exercise", "recognise", "item", "27", "at", "2026-03-01T12:00:00Z", "seconds", "1", "right", "true", "drill", "x")
	assert.Equal(t, http.StatusBadRequest, bad.Code)
}
