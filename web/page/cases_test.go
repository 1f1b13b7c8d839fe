package page_test

import (
	"crypto/sha256"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/web/profile"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// browses asks for a page as a browser does when a person goes there.
func (s *surfer) browses(address string, headers ...string) site.Answer {
	return s.visits(http.MethodGet, address, append([]string{"Accept", "text/html,*/*;q=0.8"}, headers...)...)
}

// visits asks with the cookie and the headers, in turn by name and value.
func (s *surfer) visits(method, address string, headers ...string) site.Answer {
	r := httptest.NewRequest(method, address, nil)
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	if s.cookie != nil {
		r.AddCookie(s.cookie)
	}
	a := s.Answer(r)
	if cookies := a.Result().Cookies(); len(cookies) > 0 {
		s.cookie = cookies[0]
	}
	return a
}

func hash(key string) profile.KeyHash { return sha256.Sum256([]byte(key)) }

func (s *surfer) recent(t *testing.T) (codes []string) {
	t.Helper()
	return regexpAll(`"case":"(\w+)"`, s.Ask("GET", "/api/v1/recent-cases", s.cookie.Value, "").Body.String())
}

func TestRecentCases(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	require.Equal(t, http.StatusOK, s.browses("/case/"+site.CodeAt(1)).Code)
	assert.Nil(t, s.cookie, "looking makes no profile")
	require.Equal(t, http.StatusNoContent, s.save("/ratings/1", "recognise", "3").Code)
	assert.Empty(t, s.recent(t))

	// Pages that a person goes to count, and forms that are submitted with script.
	s.browses("/case/" + site.CodeAt(1))
	s.browses("/?case=" + site.CodeAt(2))
	s.visits("GET", "/?case="+strings.ToLower(site.CodeAt(3)), "Accept", "*/*", "Slotcast-Submitted", "yes")
	s.browses("/?scramble=" + url.QueryEscape("R U' R'"))
	found := s.recent(t)
	require.Len(t, found, 4)
	assert.Equal(t, []string{site.CodeAt(3), site.CodeAt(2), site.CodeAt(1)}, found[1:])
	s.browses("/case/" + strings.ToLower(site.CodeAt(1)) + "?predicted=true")
	found = s.recent(t)
	assert.Len(t, found, 4)
	assert.Equal(t, site.CodeAt(1), found[0], "again is first again")

	// What nobody meant does not: the example, taps, what is fetched ahead, HEAD,
	// what is wrong, and the interface.
	s.browses("/")
	s.visits("GET", "/?case="+site.CodeAt(9), "Accept", "*/*")
	s.visits("GET", "/case/"+site.CodeAt(9), "Accept", "*/*")
	s.browses("/case/"+site.CodeAt(9), "Sec-Purpose", "prefetch;prerender")
	s.visits("HEAD", "/case/"+site.CodeAt(9), "Accept", "text/html")
	s.browses("/case/AAAAA")
	s.browses("/case/" + site.CodeAt(9) + "?limit=x")
	s.Ask("GET", "/api/v1/forecast?case="+site.CodeAt(9), s.cookie.Value, "").Must(t)
	assert.Equal(t, found, s.recent(t))

	// Another profile's are its own; the page lists them, and forgets.
	other := &surfer{Service: s.Service}
	other.save("/ratings/1", "recognise", "3")
	assert.Empty(t, other.recent(t))
	page := s.get("/cases")
	assert.Equal(t, "private, no-store", page.Header().Get("Cache-Control"))
	for _, code := range found {
		assert.Contains(t, page.Body.String(), `href="/case/`+code+`"`)
	}
	other.post("/cases/forget")
	assert.Equal(t, found, s.recent(t))
	require.Equal(t, http.StatusSeeOther, s.post("/cases/forget").Code)
	assert.Empty(t, s.recent(t))
	for n := range profile.MaxRecent + 5 {
		s.browses("/case/" + site.CodeAt(100+n))
	}
	found = s.recent(t)
	assert.Len(t, found, profile.MaxRecent)
	assert.Equal(t, site.CodeAt(100+profile.MaxRecent+4), found[0])
}

// What is looked up changes no forecast: a profile's forecaster is not made anew.
func TestLookingUpKeepsTheRevision(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	s.save("/ratings/1", "recognise", "3")
	revision := func() int64 {
		p, err := s.Store.Profile(t.Context(), hash(s.cookie.Value))
		require.NoError(t, err)
		return p.Revision
	}
	before := revision()
	s.browses("/case/" + site.CodeAt(1))
	require.Len(t, s.recent(t), 1)
	assert.Equal(t, before, revision())
	s.save("/cases", "case", site.CodeAt(1))
	assert.Greater(t, revision(), before, "this one can tell")
}

func TestKeptCases(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	page := s.browses("/case/" + site.CodeAt(5)).Body.String()
	assert.Contains(t, page, "Keep this case")
	a := s.post("/cases", "case", strings.ToLower(site.CodeAt(5)), "back", "/case/"+site.CodeAt(5))
	require.Equal(t, http.StatusSeeOther, a.Code, "%s", a.Body)
	assert.Equal(t, "/case/"+site.CodeAt(5)+"#keep-"+site.CodeAt(5), a.Header().Get("Location"))
	require.NotNil(t, s.cookie, "the first thing kept makes the profile")
	page = s.browses("/case/" + site.CodeAt(5)).Body.String()
	assert.NotContains(t, page, "Keep this case")
	assert.Contains(t, page, "Save the note")

	require.Equal(t, http.StatusSeeOther, s.post("/cases", "case", site.CodeAt(5), "note", "Watch the <b>edge</b>\r\nthen turn").Code)
	s.post("/cases", "case", site.CodeAt(6), "note", strings.Repeat("ü", 500))
	body := s.get("/cases").Body.String()
	assert.Contains(t, body, ">Watch the &lt;b&gt;edge&lt;/b&gt;\nthen turn</textarea>")
	assert.Contains(t, body, `href="/case/`+site.CodeAt(6)+`"`)
	assert.Contains(t, s.get("/profile").Body.String(), "2 kept cases")

	before := s.exported(t)
	for _, wrong := range []struct{ code, note, says, shown string }{
		{site.CodeAt(5), strings.Repeat("ü", 501), "501 characters", strings.Repeat("ü", 501) + "</textarea>"},
		{site.CodeAt(7), "a\tb", "no control characters", ">a\tb</textarea>"},
	} {
		page := s.post("/cases", "case", wrong.code, "note", wrong.note)
		assert.Equal(t, http.StatusBadRequest, page.Code)
		assert.Contains(t, page.Body.String(), wrong.says)
		assert.Contains(t, page.Body.String(), wrong.shown, "what was typed stays")
		field, _ := s.save("/cases", "case", wrong.code, "note", wrong.note).Refused(t, http.StatusBadRequest)
		assert.Equal(t, "note", field)
	}
	field, _ := s.save("/cases", "case", "AAAAA").Refused(t, http.StatusBadRequest)
	assert.Equal(t, "case", field)
	assert.Equal(t, before, s.exported(t))

	other := &surfer{Service: s.Service}
	other.post("/cases/remove", "case", site.CodeAt(5))
	assert.NotContains(t, other.get("/cases").Body.String(), "Watch")
	assert.Equal(t, before, s.exported(t))
	require.Equal(t, http.StatusSeeOther, s.post("/cases/remove", "case", site.CodeAt(5)).Code)
	assert.NotContains(t, s.get("/cases").Body.String(), "Watch")
}

// Many kept cases are on several pages, and found by their words.
func TestManyKeptCases(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	s.save("/ratings/1", "recognise", "3")
	kept, err := s.Store.Profile(t.Context(), hash(s.cookie.Value))
	require.NoError(t, err)
	var many profile.Records
	for n := range 120 {
		many.Kept = append(many.Kept, profile.KeptCase{Code: site.CodeAt(n), Note: fmt.Sprintf("number %03d", n), Since: time.Unix(1_780_000_000-int64(n), 0)})
	}
	require.NoError(t, s.Store.Put(t.Context(), kept.ID, many))
	notes := func(address string) []string {
		a := s.get(address)
		require.Equal(t, http.StatusOK, a.Code)
		return regexpAll(`class="note-text">number (\d+)<`, a.Body.String())
	}
	first, second, third := notes("/cases"), notes("/cases?page=2"), notes("/cases?page=3")
	require.Len(t, first, 50)
	require.Len(t, third, 20)
	all := append(append(first, second...), third...)
	require.Len(t, all, 120)
	assert.True(t, slices.IsSorted(all), "the last kept first, each once")
	assert.Contains(t, s.get("/cases").Body.String(), `href="/cases?page=3"`)
	assert.Equal(t, []string{"077"}, notes("/cases?with=077+NUMBER"))
	assert.Len(t, notes("/cases?with=front+right"), 50)
	assert.Empty(t, notes("/cases?with=elsewhere"))
	assert.Empty(t, notes("/cases?page=9"))
	assert.Equal(t, http.StatusBadRequest, s.get("/cases?page=0").Code)
	assert.Equal(t, http.StatusBadRequest, s.get("/cases?page=x").Code)
}

// A profile that is as full as it may be says so, and all of it goes through a
// file.
func TestFullProfile(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	s.save("/ratings/1", "recognise", "3")
	key := s.cookie.Value
	kept, err := s.Store.Profile(t.Context(), hash(key))
	require.NoError(t, err)
	// Notes and turns as long as they may be; a "<" takes six bytes in the file.
	var full profile.Records
	for n := range profile.MaxKept {
		full.Kept = append(full.Kept, profile.KeptCase{Code: site.CodeAt(n), Note: strings.Repeat("<", 500), Since: time.Now()})
	}
	for n := range profile.MaxInsertions {
		turns := []string{strings.Repeat("R2 L2 ", 26) + "R U' R'"}
		for bit := range 11 {
			turns = append([]string{[]string{"R2 L2 R2 L2", "L2 R2 L2 R2"}[n>>bit&1]}, turns...)
		}
		full.Insertions = append(full.Insertions, profile.OwnInsertion{Turns: strings.Join(turns, " "), Own: true, Known: forecast.Yes, Rating: 5, Time: 59999 * time.Millisecond})
	}
	require.NoError(t, s.Store.Put(t.Context(), kept.ID, full))

	file := s.exported(t)
	assert.Greater(t, len(file), 3<<20)
	t.Logf("a full profile's file has %.1f MiB", float64(len(file))/(1<<20))
	second := &surfer{Service: s.Service}
	require.Equal(t, http.StatusSeeOther, second.upload(t, file).Code)
	assert.True(t, file == second.exported(t), "all of it arrived")

	a := s.post("/cases", "case", site.CodeAt(profile.MaxKept), "note", "typed all the same")
	assert.Equal(t, http.StatusUnprocessableEntity, a.Code)
	assert.Contains(t, a.Body.String(), "Nothing was changed: a profile keeps at most 1000 cases; remove some first")
	assert.Contains(t, a.Body.String(), ">typed all the same</textarea>")
	_, detail := s.Ask("PUT", "/api/v1/kept-cases/"+site.CodeAt(profile.MaxKept), key, `{}`).Refused(t, http.StatusUnprocessableEntity)
	assert.Contains(t, detail, "1000 cases")
	a = s.post("/insertions", "turns", "R U R'")
	assert.Equal(t, http.StatusUnprocessableEntity, a.Code)
	assert.Contains(t, a.Body.String(), "at most 2000 insertions")
	s.save("/insertions/marks", "know", "FR R U R'").Refused(t, http.StatusUnprocessableEntity)
	s.Ask("PUT", "/api/v1/own-insertions", key, `{"turns": "R U R'"}`).Refused(t, http.StatusUnprocessableEntity)
	for n := range profile.MaxSequences {
		require.Equal(t, http.StatusSeeOther, s.post("/patterns/27/sequences", "turns", strings.Repeat("R2 L2 R2 L2 ", n)+site.Orients27).Code, n)
	}
	file = s.exported(t)
	a = s.post("/patterns/27/sequences", "turns", "L2 R2 L2 R2 "+site.Orients27)
	assert.Equal(t, http.StatusUnprocessableEntity, a.Code)
	assert.Contains(t, a.Body.String(), "at most 20 sequences for a pattern")
	assert.Contains(t, a.Body.String(), ">L2 R2 L2 R2 R U", "what was typed stays")
	assert.True(t, file == s.exported(t), "nothing changed")
}
