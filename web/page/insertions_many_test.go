package page_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/profile"
	"slotcast/web/webtest/site"
)

// As many insertions as a profile may have are on pages of a bounded size, each on
// one of them; what is done there leads back to it.
func TestManyInsertionsAreOnPages(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	require.Equal(t, http.StatusSeeOther, s.post("/insertions", "turns", "R U R'").Code)
	var rows []string
	for n := range profile.MaxInsertions - 1 {
		turns := []string{"R U R'"}
		for digit := 1; digit <= profile.MaxInsertions; digit *= 2 {
			turns = append(turns, map[bool]string{true: "R R'", false: "L L'"}[n&digit > 0])
		}
		rows = append(rows, fmt.Sprintf(`{"slot": "FR", "turns": "%s", "known": true}`, strings.Join(turns, " ")))
	}
	s.Ask("POST", "/api/v1/import", s.cookie.Value, `{"format": "slotcast", "version": 2, "insertions": [`+strings.Join(rows, ",")+`]}`).Must(t)

	seen := map[string]bool{}
	for n := 1; n <= 20; n++ {
		address := fmt.Sprintf("/insertions?page=%d", n)
		body := s.get(address).Body.String()
		assert.Less(t, len(body), 400<<10)
		assert.Contains(t, body, "2000 in your book")
		assert.Contains(t, body, fmt.Sprintf(`aria-current="page">%d–%d<`, (n-1)*100+1, n*100))
		for _, id := range regexpAll(`name="insertion" value="([^"]*)"`, body) {
			seen[id] = true
		}
		if n > 1 {
			assert.Contains(t, body, `name="back" value="`+address+`"`)
		}
	}
	assert.Len(t, seen, profile.MaxInsertions)
	for address, shown := range map[string]string{"/insertions": "1–100", "/insertions?page=0": "1–100", "/insertions?page=x": "1–100", "/insertions?page=999": "1901–2000"} {
		assert.Contains(t, s.get(address).Body.String(), `aria-current="page">`+shown+"<", address)
	}
	few := &surfer{Service: site.New(t)}
	assert.NotContains(t, few.get("/insertions").Body.String(), "by number")
}
