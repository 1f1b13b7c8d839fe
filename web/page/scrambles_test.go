package page_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/web/query"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// scramblesOn are the scrambles and the codes of the cases on the list's page.
func scramblesOn(t testing.TB, s *surfer, address string) (scrambles, codes []string, status string) {
	t.Helper()
	answer := s.get(address)
	require.Equal(t, http.StatusOK, answer.Code, address)
	p := site.PageOf(t, answer.ResponseRecorder)
	for _, n := range p.Find(site.Classed("turns")) {
		scrambles = append(scrambles, site.Words(n))
	}
	for _, n := range p.Find(site.Classed("code")) {
		codes = append(codes, site.Words(n))
	}
	return scrambles, codes, p.ByID(t, "status")
}

// Each scramble of a list leads to the case beside its number on the second page, with the
// cross of the colour that was asked for; the same address has the same list.
func TestScrambles(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	place, err := lastslot.ParsePlace("FR-UFR.R-UB.U")
	require.NoError(t, err)
	step := cubetest.Stride(t, 7)
	for face, colour := range query.CrossColours {
		if face%step != 0 {
			continue
		}
		address := "/practice/scrambles?seed=5&count=12&place=" + place.String() + "&cross=" + colour
		scrambles, codes, page := scramblesOn(t, s, address)
		require.Len(t, scrambles, 12)
		require.Len(t, codes, 12)
		assert.Contains(t, page, colour+" cross")
		for i, scramble := range scrambles {
			found, err := lastslot.Find(site.MustParse(t, scramble).Cube(), nil)
			require.NoError(t, err)
			assert.Equal(t, codes[i], found.Case.Code())
			assert.Equal(t, place, found.Case.Place())
			assert.Equal(t, cube.FaceD, found.Hold.Face(cube.Face(face)), "the %s cross is down then", colour)
			assert.LessOrEqual(t, len(strings.Fields(scramble)), 22)
		}
		again, _, _ := scramblesOn(t, s, address)
		assert.Equal(t, scrambles, again)
	}
	others, codes, _ := scramblesOn(t, s, "/practice/scrambles?seed=6&count=25&list=scrambles")
	assert.Len(t, others, 25)
	assert.Empty(t, codes)
}

// A list is of the person's own sets: kept cases, each once before any comes again, cases
// by their codes, the places of what to learn next; the cross is that of their top layer.
func TestScramblesOfOnesOwn(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	s.post("/profile/preferences", "track", "5")
	key := s.cookie.Value
	_, _, page := scramblesOn(t, s, "/practice/scrambles?set=kept")
	assert.Contains(t, page, "You keep no case yet")
	kept := []string{lastslot.CaseAt(4_321).Code(), lastslot.CaseAt(54_321).Code(), lastslot.CaseAt(99_999).Code()}
	for _, code := range kept {
		s.Ask("PUT", "/api/v1/kept-cases/"+code, key, `{"note": ""}`).Must(t)
	}
	s.Ask("PUT", "/api/v1/preferences/top", key, `{"value": "white"}`).Must(t)
	_, codes, page := scramblesOn(t, s, "/practice/scrambles?set=kept&count=5&seed=1")
	assert.ElementsMatch(t, kept, codes[:3])
	assert.Contains(t, page, "yellow cross")
	s.Ask("PUT", "/api/v1/preferences/top", key, `{"value": "red"}`).Must(t)
	_, codes, page = scramblesOn(t, s, "/practice/scrambles?count=5&cases="+url.QueryEscape(strings.ToLower(kept[0])+", "+kept[1]))
	assert.ElementsMatch(t, kept[:2], codes[:2])
	assert.Contains(t, page, "orange cross")
	_, codes, _ = scramblesOn(t, s, "/practice/scrambles?set=next&count=25")
	for _, code := range codes {
		c, err := lastslot.ParseCode(code)
		require.NoError(t, err)
		assert.Equal(t, lastslot.FR, c.Slot)
	}
	for address, says := range map[string]string{
		"?count=7": "use 5, 12 or 25", "?cross=pink": "“pink” is unknown", "?set=all": "“all” is unknown", "?place=FR": "o place “FR”", "?cases=11111": "11111",
		"?cases=,": "o codes", "?slot=XX": "“XX”", "?seed=x": "“x” is not a number", "?paper=a0": "“a0” is unknown",
	} {
		got := s.get("/practice/scrambles" + address)
		assert.Equal(t, http.StatusBadRequest, got.Code, address)
		assert.Contains(t, site.Words(site.PageOf(t, got.ResponseRecorder).Root), says, address)
	}
}
