package page_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

// surfer is a browser's cookie and a way to send forms.
type surfer struct {
	site.Service
	cookie *http.Cookie
}

func (s *surfer) get(address string) site.Answer { return s.send(http.MethodGet, address, nil, "") }

// post sends a form as a browser without scripts does.
func (s *surfer) post(address string, fields ...string) site.Answer {
	return s.send(http.MethodPost, address, form(fields), "text/html")
}

// postTurns sends a form and, where it is shown again, looks at the page twice, as who
// loads it again does.
func (s *surfer) postTurns(t *testing.T, address string, fields ...string) site.Answer {
	t.Helper()
	answer := s.post(address, fields...)
	if answer.Code != http.StatusSeeOther {
		return answer
	}
	page := answer.Header().Get("Location")
	answer = s.get(page)
	require.Equal(t, answer.Body.String(), s.get(page).Body.String())
	return answer
}

// save sends a form as the script does.
func (s *surfer) save(address string, fields ...string) site.Answer {
	return s.send(http.MethodPost, address, form(fields), "application/problem+json")
}

// form makes values of names and values in turn.
func form(fields []string) url.Values {
	values := url.Values{}
	for i := 0; i < len(fields); i += 2 {
		values.Add(fields[i], fields[i+1])
	}
	return values
}

func (s *surfer) send(method, address string, values url.Values, accept string) site.Answer {
	r := httptest.NewRequest(method, address, strings.NewReader(values.Encode()))
	if values != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	r.Header.Set("Accept", accept)
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	if s.cookie != nil {
		r.AddCookie(s.cookie)
	}
	a := s.Answer(r)
	for _, c := range a.Result().Cookies() {
		s.cookie = c
		if c.MaxAge < 0 {
			s.cookie = nil
		}
	}
	return a
}

func (s *surfer) exported(t *testing.T) string {
	t.Helper()
	a := s.get("/profile/export")
	require.Equal(t, http.StatusOK, a.Code)
	return a.Body.String()
}

func TestFirstRatingMakesTheProfile(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	page := s.get("/ratings")
	require.Equal(t, http.StatusOK, page.Code)
	assert.Equal(t, "private, no-store", page.Header().Get("Cache-Control"))
	assert.Nil(t, s.cookie, "looking makes no profile")
	assert.Equal(t, 58, strings.Count(page.Body.String(), "data-saves"))
	assert.Equal(t, 115, strings.Count(page.Body.String(), "data-step"), "the oriented pattern has nothing to execute")

	a := s.save("/ratings/27", "recognise", "4")
	require.Equal(t, http.StatusNoContent, a.Code, "%s", a.Body)
	require.NotNil(t, s.cookie)
	assert.Equal(t, "slotcast", s.cookie.Name)
	assert.True(t, s.cookie.HttpOnly)
	assert.Equal(t, http.SameSiteLaxMode, s.cookie.SameSite)
	assert.Contains(t, s.exported(t), `"recognise": 4`)

	// The page shows it.
	assert.Contains(t, s.get("/ratings").Body.String(), "0 of 58 patterns rated")
	require.Equal(t, http.StatusNoContent, s.save("/ratings/27", "execute-seconds", "1,25").Code)
	assert.Contains(t, s.get("/ratings").Body.String(), "1 of 58 patterns rated")
	assert.Contains(t, s.exported(t), `"execute_seconds": 1.25`)
	require.Equal(t, http.StatusNoContent, s.save("/ratings/27", "execute", "5").Code)
	assert.NotContains(t, s.exported(t), "execute_seconds", "a rating takes the time's place")
	require.Equal(t, http.StatusNoContent, s.save("/ratings/27", "execute", "").Code)
	assert.NotContains(t, s.exported(t), `"execute"`)
}

func TestCookieBehindTLS(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.At(t, t.TempDir()+"/slotcast.db", "https://slotcast.example")}
	require.Equal(t, http.StatusNoContent, s.save("/ratings/1", "recognise", "1").Code)
	assert.True(t, s.cookie.Secure)
}

// A page that was opened earlier keeps what it changed, and nothing that it only
// showed.
func TestTwoTabsLoseNothing(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	require.Equal(t, http.StatusNoContent, s.save("/ratings/5", "name", "First").Code)
	// Both tabs show the name and no ratings; each changes one thing.
	old := []string{"was-name", "First", "was-recognise", "", "was-execute", "", "was-recognise-seconds", "", "was-execute-seconds", "", "recognise-seconds", "", "execute-seconds", "", "back", "/ratings#oll-5"}
	one := s.post("/ratings/5", append(old, "name", "First", "recognise", "2", "execute", "")...)
	require.Equal(t, http.StatusSeeOther, one.Code)
	assert.Equal(t, "/ratings#oll-5", one.Header().Get("Location"))
	require.Equal(t, http.StatusSeeOther, s.post("/ratings/5", append(old, "name", "First", "recognise", "", "execute", "3")...).Code)
	file := s.exported(t)
	assert.Contains(t, file, `"recognise": 2`)
	assert.Contains(t, file, `"execute": 3`)
	assert.Contains(t, file, `"First"`)

	var wait sync.WaitGroup
	for p := range 58 {
		for _, step := range []string{"recognise", "execute"} {
			wait.Go(func() {
				tab := &surfer{s.Service, s.cookie}
				assert.Equal(t, http.StatusNoContent, tab.save(fmt.Sprintf("/ratings/%d", p), step, "4").Code)
			})
		}
	}
	wait.Wait()
	assert.Contains(t, s.get("/ratings").Body.String(), "58 of 58 patterns rated")
}

func TestRatingFilters(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	for _, rating := range [][]string{{"/ratings/1", "recognise", "2"}, {"/ratings/1", "execute", "4"}, {"/ratings/2", "execute-seconds", "5.2"}, {"/ratings/3", "name", "Mine <b>"}} {
		require.Equal(t, http.StatusNoContent, s.save(rating[0], rating[1:]...).Code)
	}
	shown := func(show string) (patterns []string) {
		page := s.get("/ratings?show=" + show).Body.String()
		for p := range 58 {
			if strings.Contains(page, fmt.Sprintf(`id="oll-%d"`, p)) {
				patterns = append(patterns, fmt.Sprint(p))
			}
		}
		return patterns
	}
	assert.Len(t, shown(""), 58)
	assert.Len(t, shown("unrated"), 57)
	assert.Equal(t, []string{"1", "2"}, shown("slow"))
	assert.Equal(t, []string{"3"}, shown("mine"))
	assert.Equal(t, http.StatusBadRequest, s.get("/ratings?show=fast").Code)
	assert.NotContains(t, s.get("/ratings").Body.String(), "Mine <b>")
	assert.Contains(t, s.get("/patterns/3").Body.String(), "<h1>Mine &lt;b&gt; · OLL 3</h1>")
}

func TestRatingsThatAreRefused(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	require.Equal(t, http.StatusNoContent, s.save("/ratings/1", "recognise", "1").Code)
	before := s.exported(t)
	for _, test := range []struct{ field, value string }{
		{"recognise", "0"}, {"recognise", "6"}, {"execute", "-1"}, {"execute", "2.5"}, {"execute", "five"},
		{"recognise-seconds", "-1"}, {"recognise-seconds", "NaN"}, {"recognise-seconds", "Inf"}, {"recognise-seconds", "60.1"}, {"execute-seconds", "0"}, {"execute-seconds", "1.2.3"},
		{"name", strings.Repeat("ü", 61)}, {"name", "two\nlines"}, {"name", "no\x00text"},
	} {
		field, _ := s.save("/ratings/7", test.field, test.value).Refused(t, http.StatusBadRequest)
		assert.NotEmpty(t, field, test)
		page := s.post("/ratings/7", test.field, test.value)
		assert.Equal(t, http.StatusBadRequest, page.Code, test)
		assert.Contains(t, page.Header().Get("Content-Type"), "text/html")
	}
	s.save("/ratings/7", "name", "no \xff text").Refused(t, http.StatusBadRequest)
	s.save("/ratings/58", "recognise", "1").Refused(t, http.StatusNotFound)
	s.save("/ratings/x", "recognise", "1").Refused(t, http.StatusNotFound)
	s.save("/ratings/1", "name", strings.Repeat("a", 70_000)).Refused(t, http.StatusRequestEntityTooLarge)
	assert.Equal(t, before, s.exported(t))
	assert.Equal(t, "/ratings", s.post("/ratings/1", "recognise", "1", "back", "https://elsewhere.example/").Header().Get("Location"))
	assert.Equal(t, "/ratings", s.post("/ratings/1", "recognise", "1", "back", "//elsewhere.example/").Header().Get("Location"))

	r := httptest.NewRequest(http.MethodPost, "/ratings/1", strings.NewReader("recognise=5"))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	r.AddCookie(s.cookie)
	assert.Equal(t, http.StatusForbidden, s.Answer(r).Code, "another site's form")
	assert.Equal(t, before, s.exported(t))
}

// What somebody says is on nobody else's pages, and no form of somebody else's
// changes it.
func TestPagesAreOnesOwn(t *testing.T) {
	t.Parallel()
	service := site.New(t)
	owner, other, nobody := &surfer{Service: service}, &surfer{Service: service}, &surfer{Service: service}
	owner.save("/ratings/27", "name", "Zanzibar")
	owner.save("/ratings/27", "recognise-seconds", "0.777")
	owner.post("/patterns/27/sequences", "turns", site.Orients27)
	owner.post("/insertions", "turns", "R U2 R' U' R U R'")
	share := owner.share(t)
	other.save("/ratings/1", "recognise", "1")
	before := owner.exported(t)

	address := owner.caseFor(t, "FR R U2 R' U' R U R'")
	for _, reader := range []*surfer{other, nobody} {
		for _, page := range []string{"/", "/ratings", "/ratings?show=mine", "/patterns/27", "/insertions", "/insertions/one?insertion=FR+R+U+R'", "/profile", "/profile/export", address, address + "?with=" + share} {
			a := reader.get(page)
			require.Equal(t, http.StatusOK, a.Code, page)
			assert.NotContains(t, a.Body.String(), "Zanzibar", page)
			assert.NotContains(t, a.Body.String(), "0.777", page)
			assert.NotContains(t, a.Body.String(), owner.cookie.Value, page)
		}
		reader.post("/patterns/27/sequences/remove", "turns", site.Orients27)
		reader.post("/insertions/remove", "insertion", "FR R U2 R' U' R U R'")
		reader.post("/profile/shares/revoke", "share", share)
		reader.post("/profile/delete", "sure", "true")
		assert.Equal(t, before, owner.exported(t))
	}
	assert.Equal(t, http.StatusOK, other.get(address+"?with="+share).Code, "the share is still there")
}

// The aim: under 20 ms, with a profile that has all ratings and 30 insertions.
func BenchmarkRatingsPage(b *testing.B) {
	s := site.New(b)
	key := s.NewKey(b)
	for p := range 58 {
		s.Ask("PUT", fmt.Sprintf("/api/v1/ratings/%d", p), key, `{"recognise": 4, "execute": 5}`).Must(b)
	}
	for i := range 30 {
		turns := strings.Repeat("R U R' U' ", i%5) + "R U" + []string{"", "2", "'"}[i%3] + " R' " + strings.Repeat("U R U' R' ", i/6%5)
		if a := s.Ask("PUT", "/api/v1/own-insertions", key, fmt.Sprintf(`{"slot": "FR", "turns": "%s", "known": true}`, turns)); a.Code != http.StatusOK {
			b.Fatal(a.Body)
		}
	}
	for b.Loop() {
		if a := s.Ask("GET", "/ratings", key, ""); a.Code != http.StatusOK {
			b.Fatal(a.Body)
		}
	}
}
