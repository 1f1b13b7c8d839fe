package web

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/forecast/lastslot"
)

// The counts for the oriented top are those of the complete search, as DEVELOPERS.md
// has them.
func TestReachPage(t *testing.T) {
	h := newHandler(t)
	p := get(t, h, "/patterns/0/reach")
	require.Equal(t, http.StatusOK, p.status)
	rows := p.find(func(n *html.Node) bool { return n.Data == "tr" && n.Parent.Data == "tbody" })
	require.Len(t, rows, 14)
	for n, want := range []string{
		"0 1 1 < 0.1 %", "1 0 1 < 0.1 %", "2 0 1 < 0.1 %", "3 24 25 < 0.1 %", "4 8 33 0.1 %", "5 40 73 0.2 %", "6 212 285 0.8 %",
		"7 1,108 1,393 4.2 %", "8 1,500 2,893 8.9 %", "9 6,724 9,617 29.6 %", "10 10,950 20,567 63.4 %", "11 10,496 31,063 95.8 %",
		"12 1,329 32,392 99.9 %", "13 8 32,400 100 %",
	} {
		assert.Equal(t, want, words(rows[n]))
	}
	assert.Contains(t, p.body, "Half of the 32,400 cases need at most 10 turns for it, all at most 13.")
	places := p.find(func(n *html.Node) bool { return strings.HasPrefix(attribute(n, "class"), "place-card ") })
	require.Len(t, places, lastslot.PlacesPerSlot)
	// Nearest is the place where some case needs nothing at all, or three turns.
	seen := map[string]bool{}
	for _, place := range places {
		seen[attribute(place, "href")] = true
	}
	assert.Equal(t, lastslot.PlacesPerSlot, len(seen))
	assert.Equal(t, http.StatusNotFound, get(t, h, "/patterns/58/reach").status)
}

func TestPercent(t *testing.T) {
	for want, n := range map[string]int{"0 %": 0, "< 0.1 %": 1, "0.1 %": 10, "50.0 %": 5000, "99.9 %": 9999, "100 %": 10_000} {
		assert.Equal(t, want, percent(n, 10_000))
	}
	assert.Equal(t, "7", thousands(7))
	assert.Equal(t, "1,234,005", thousands(1_234_005))
}

// A place's picture shows the pair's five stickers and nothing else of a colour.
func TestPlacePicture(t *testing.T) {
	for slot := range lastslot.Slot(lastslot.Slots) {
		for _, p := range lastslot.Places(slot) {
			marks, tiles := 0, 0
			picture := placePicture(p)
			for _, s := range picture.Shapes {
				switch s.Class {
				case netSolid, netHollow:
					marks++
				case netTile:
					tiles++
				}
			}
			assert.Equal(t, 5, marks)
			assert.Equal(t, 5, tiles)
			assert.NotContains(t, picture.Words, "top colour")
		}
	}
}

func BenchmarkReachPage(b *testing.B) {
	h := newHandler(b)
	for b.Loop() {
		get(b, h, "/patterns/27/reach")
	}
}
