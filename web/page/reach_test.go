package page_test

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/forecast/lastslot"
	"slotcast/web/webtest/site"
)

// The counts for the oriented top are those of the complete search, as DEVELOPERS.md
// has them.
func TestReachPage(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	p := site.Get(t, h, "/patterns/0/reach")
	require.Equal(t, http.StatusOK, p.Status)
	rows := p.Find(func(n *html.Node) bool { return n.Data == "tr" && n.Parent.Data == "tbody" })
	require.Len(t, rows, 14)
	for n, want := range []string{
		"0 1 1 < 0.1 %", "1 0 1 < 0.1 %", "2 0 1 < 0.1 %", "3 24 25 < 0.1 %", "4 8 33 0.1 %", "5 40 73 0.2 %", "6 212 285 0.8 %",
		"7 1,108 1,393 4.2 %", "8 1,500 2,893 8.9 %", "9 6,724 9,617 29.6 %", "10 10,950 20,567 63.4 %", "11 10,496 31,063 95.8 %",
		"12 1,329 32,392 99.9 %", "13 8 32,400 100 %",
	} {
		assert.Equal(t, want, site.Words(rows[n]))
	}
	assert.Contains(t, p.Body, "Half of the 32,400 cases need at most 10 turns, all of them at most 13.")
	places := p.Find(func(n *html.Node) bool { return strings.HasPrefix(site.Attribute(n, "class"), "place-card ") })
	require.Len(t, places, lastslot.PlacesPerSlot)
	// Nearest is the place where some case needs nothing at all, or three turns.
	seen := map[string]bool{}
	for _, place := range places {
		seen[site.Attribute(place, "href")] = true
	}
	assert.Equal(t, lastslot.PlacesPerSlot, len(seen))
	assert.Equal(t, http.StatusNotFound, site.Get(t, h, "/patterns/58/reach").Status)
}

func BenchmarkReachPage(b *testing.B) {
	h := site.NewHandler(b)
	for b.Loop() {
		site.Get(b, h, "/patterns/27/reach")
	}
}
