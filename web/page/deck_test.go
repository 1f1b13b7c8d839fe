package page_test

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/forecast/lastslot"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// dealt is what a deck's page has: its cards in order, and the one that is shown.
type dealt struct {
	site.Page
	cards []string
	shown string
}

func (s *surfer) deal(t *testing.T, address string) (d dealt) {
	t.Helper()
	a := s.get(address)
	require.Equal(t, http.StatusOK, a.Code, "%s", a.Body)
	d.Page = site.PageOf(t, a.ResponseRecorder)
	for _, card := range d.Find(func(n *html.Node) bool { return site.Attribute(n, "data-here") != "" }) {
		id := strings.TrimPrefix(site.Attribute(card, "id"), "oll-")
		if id == "" {
			id = "end"
		}
		d.cards = append(d.cards, id)
		if !slices.ContainsFunc(card.Attr, func(a html.Attribute) bool { return a.Key == "hidden" }) {
			require.Empty(t, d.shown, "one card at a time")
			d.shown = id
		}
	}
	return d
}

func TestDeckHasAllInTheLongPagesOrder(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	long := site.PageOf(t, s.get("/ratings").ResponseRecorder)
	var want []string
	for _, form := range long.Find(site.Classed("rate")) {
		want = append(want, strings.TrimPrefix(site.Attribute(form, "id"), "oll-"))
	}
	require.Len(t, want, lastslot.Patterns)
	d := s.deal(t, "/ratings/deck")
	assert.Equal(t, append(want, "end"), d.cards)
	assert.Equal(t, want[0], d.shown)
	assert.Equal(t, "1 of 58", d.ByID(t, "deck-status"))
	assert.Nil(t, s.cookie, "looking makes no profile")
}

// The next ten are those that most of the 216 outcomes are, by counting them.
func TestDeckOfTheNextTen(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	ways := map[lastslot.Pattern]int{}
	for o := range lastslot.Outcome(lastslot.Outcomes) {
		ways[o.Pattern()]++
	}
	order := make([]lastslot.Pattern, lastslot.Patterns)
	for p := range order {
		order[p] = lastslot.Pattern(p)
	}
	slices.SortStableFunc(order, func(a, b lastslot.Pattern) int { return cmp.Compare(ways[b], ways[a]) })
	for len(order) > 0 {
		ten := order[:min(10, len(order))]
		var want []string
		for _, p := range ten {
			want = append(want, fmt.Sprint(p))
		}
		require.Equal(t, append(want, "end"), s.deal(t, "/ratings/deck?show=next").cards)
		for _, p := range ten {
			fields := []string{"recognise", "3"}
			if p != 0 {
				fields = append(fields, "execute", "3")
			}
			require.Equal(t, http.StatusNoContent, s.save(fmt.Sprintf("/ratings/%d", p), fields...).Code)
		}
		order = order[len(ten):]
	}
	d := s.deal(t, "/ratings/deck?show=next")
	assert.Equal(t, []string{"end"}, d.cards, "nothing is unrated")
	assert.Equal(t, "end", d.shown)
}

// A deck of unrated patterns stays as it was dealt while they are rated: each card
// leads to the next, and back.
func TestDeckStaysAsDealt(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	require.Equal(t, http.StatusNoContent, s.save("/ratings/17", "recognise", "3", "execute", "3").Code)
	require.Equal(t, http.StatusNoContent, s.save("/ratings/18", "recognise", "3").Code)
	require.Equal(t, http.StatusNoContent, s.save("/ratings/19", "recognise-seconds", "0.5", "execute-seconds", "1").Code)
	first := s.deal(t, "/ratings/deck?show=unrated")
	require.Len(t, first.cards, 57)
	assert.NotContains(t, first.cards, "17")
	assert.Contains(t, first.cards, "18", "a step is unrated")
	assert.NotContains(t, first.cards, "19", "measured")

	at := first
	for i, card := range first.cards[:56] {
		require.Equal(t, card, at.shown)
		require.Equal(t, fmt.Sprintf("%d of 56", i+1), at.ByID(t, "deck-status"))
		form := at.Find(func(n *html.Node) bool { return site.Attribute(n, "id") == "oll-"+card })[0]
		back := hiddenValue(form, "back")
		fields := []string{"recognise", "4", "was-recognise", hiddenValue(form, "was-recognise"), "back", back}
		if card != "0" {
			fields = append(fields, "execute", "2", "was-execute", "")
		}
		a := s.post("/ratings/"+card, fields...)
		require.Equal(t, http.StatusSeeOther, a.Code)
		require.Equal(t, back, a.Header().Get("Location"), "the next card")
		next := s.deal(t, back)
		require.Equal(t, first.cards, next.cards, "the same deck")
		at = next
	}
	assert.Equal(t, "end", at.shown)
	assert.Equal(t, "56 of 56 patterns rated", at.ByID(t, "rated"))
	assert.Equal(t, []string{"end"}, s.deal(t, "/ratings/deck?show=unrated").cards)
	var before string
	for _, link := range at.Find(func(n *html.Node) bool { return n.Data == "a" && site.Words(n) == "Back" }) {
		before = site.Attribute(link, "href")
	}
	assert.Equal(t, first.cards[55], s.deal(t, before).shown, "a rated card can be gone back to")
}

func hiddenValue(form *html.Node, name string) string {
	for n := range form.Descendants() {
		if n.Data == "input" && site.Attribute(n, "type") == "hidden" && site.Attribute(n, "name") == name {
			return site.Attribute(n, "value")
		}
	}
	return ""
}

// The card has the quickest of one's own sequences.
func TestDeckShowsOnesOwnSequence(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	turns := func() string {
		form := s.deal(t, "/ratings/deck?at=27").Find(func(n *html.Node) bool { return site.Attribute(n, "id") == "oll-27" })[0]
		for n := range form.Descendants() {
			if site.Attribute(n, "class") == "deck-turns" {
				return site.Words(n)
			}
		}
		return ""
	}
	assert.Equal(t, "R U R' U R U2 R' the usual one", turns())
	slow := "L L' " + site.Orients27
	for _, own := range []string{slow, site.Orients27} {
		require.Equal(t, http.StatusNoContent, s.save("/patterns/27/sequences", "turns", own).Code, own)
		assert.Equal(t, own+" yours", turns())
	}
}

func TestDecksThatAreRefused(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	for address, says := range map[string]string{
		"?show=best":               "“best” is unknown",
		"?patterns=1,58":           "“58” is no pattern",
		"?patterns=1,,2":           "“” is no pattern",
		"?patterns=1,2,1":          "pattern 1 is there twice",
		"?patterns=1,2&at=3":       "pattern 3 is not in this deck",
		"?at=last":                 "“last” is no pattern",
		"?show=unrated&at=%3Cb%3E": "“&lt;b&gt;” is no pattern",
	} {
		a := s.get("/ratings/deck" + address)
		assert.Equal(t, http.StatusBadRequest, a.Code, address)
		assert.Contains(t, strings.ReplaceAll(a.Body.String(), "Pattern", "pattern"), says, address)
	}
}
