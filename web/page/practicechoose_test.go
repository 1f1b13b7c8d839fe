package page_test

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/web/webtest/site"
)

// practiceLink is the link for a partner, and what it lists.
var practiceLink = regexp.MustCompile(`href="(/practice\?[^"]*items=([^"&]+)[^"]*)"`)

var savedSeconds = regexp.MustCompile(`it would have saved ([0-9.]+) s`)

// linkedItems are the items that the session's link lists.
func linkedItems(t *testing.T, page string) []string {
	t.Helper()
	found := practiceLink.FindStringSubmatch(page)
	require.NotNil(t, found)
	text, err := url.QueryUnescape(found[2])
	require.NoError(t, err)
	return strings.Split(text, ",")
}

// cardsOf are the page's items.
func cardsOf(p site.Page) []*html.Node { return p.Find(site.Classed("practice-item")) }

// answersOf are the answers of an item.
func answersOf(card *html.Node) (answers []*html.Node) {
	return site.Page{Root: card}.Find(site.Classed("practice-answer"))
}

func isRight(answer *html.Node) bool {
	return slices.ContainsFunc(answer.Attr, func(a html.Attribute) bool { return a.Key == "data-right" })
}

// What there is to choose from is what the person knows; what is right, and what the best
// would have saved, is by the seconds of the forecast.
func TestPracticeToChoose(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := slowAtDots(t, s)
	page := s.Ask("GET", "/practice?exercise=choose&seed=3", key, "")
	cards := cardsOf(site.PageOf(t, page.ResponseRecorder))
	require.NotEmpty(t, cards)
	codes := linkedItems(t, page.Body.String())
	require.Len(t, codes, len(cards))
	wrong := 0
	for n, card := range cards {
		totals := map[string]float64{}
		for _, one := range s.Ask("GET", "/api/v1/forecast?view=known&limit=500&case="+codes[n], key, "").Must(t)["options"].([]any) {
			option := one.(map[string]any)
			totals[option["turns"].(string)] = option["seconds"].(map[string]any)["total"].(float64)
		}
		best := math.Inf(1)
		for _, total := range totals {
			best = min(best, total)
		}
		answers := answersOf(card)
		require.Len(t, answers, min(6, len(totals)), codes[n])
		for _, answer := range answers {
			turns := site.Words(site.Page{Root: answer}.Find(func(n *html.Node) bool { return n.Data == "span" })[0])
			if turns == "Do nothing" {
				turns = ""
			}
			total, ok := totals[turns]
			require.True(t, ok, "%s is known", turns)
			assert.Equal(t, total-best <= 0.05+1e-9, isRight(answer), "%s of %s", turns, codes[n])
			if !isRight(answer) {
				wrong++
				saved, err := strconv.ParseFloat(savedSeconds.FindStringSubmatch(site.Attribute(answer, "data-said"))[1], 64)
				require.NoError(t, err)
				assert.InDelta(t, total-best, saved, 0.0051)
			}
		}
	}
	assert.Positive(t, wrong)
	assert.Contains(t, page.Body.String(), "at most 0.05 s more", "the page says what is right")
}

// The plan of the place says what it takes in each case.
func TestPracticeToChooseSaysThePlan(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := slowAtDots(t, s)
	place := planPlace(t)
	plan := s.Ask("GET", "/api/v1/plan?place="+place, key, "").Must(t)
	accept := map[float64]bool{}
	for _, oll := range plan["accept"].([]any) {
		accept[oll.(float64)] = true
	}
	turns := func(part string) string { return plan[part].(map[string]any)["turns"].(string) }
	items := strings.Repeat(place+",", 9) + place
	for seed := range 3 {
		page := s.Ask("GET", fmt.Sprintf("/practice?exercise=choose&seed=%d&items=%s", seed, items), key, "")
		cards := cardsOf(site.PageOf(t, page.ResponseRecorder))
		for n, code := range linkedItems(t, page.Body.String()) {
			leaves := func(insertion string) float64 {
				for _, one := range s.Ask("GET", "/api/v1/forecast?view=known&limit=500&case="+code, key, "").Must(t)["options"].([]any) {
					if option := one.(map[string]any); strings.HasSuffix(option["turns"].(string), insertion) {
						return option["leaves"].(map[string]any)["oll"].(float64)
					}
				}
				t.Fatalf("%s is not known for %s", insertion, code)
				return 0
			}
			planned := turns("otherwise")
			if accept[leaves(turns("predict"))] {
				planned = turns("predict")
			}
			assert.Regexp(t, `Your plan here takes (U['2]? )?`+regexp.QuoteMeta(planned)+`\.`, site.Attribute(answersOf(cards[n])[0], "data-said"))
		}
	}
}

// Who knows one insertion a place has something to choose only where the pair is in its slot.
func TestPracticeChoosesWherePeopleKnowTwo(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	page := s.Ask("GET", "/practice?exercise=choose&seed=3", key, "")
	for _, card := range cardsOf(site.PageOf(t, page.ResponseRecorder)) {
		assert.Regexp(t, `^FR-D.+-F?R?\.`, site.Attribute(card, "data-item"))
		assert.Greater(t, len(answersOf(card)), 1)
	}
	assert.Contains(t, page.Body.String(), "You have chosen nothing yet.")
	s.Ask("PUT", "/api/v1/preferences/usual", key, `{"value": "none"}`).Must(t)
	assert.Contains(t, s.Ask("GET", "/practice?exercise=choose&items=1K1H7", key, "").Body.String(), `data-key="2"`, "a link shows two all the same")
	for _, wrong := range []string{"items=27", "items=1K1H8", "items=FR", "set=slow"} {
		assert.Equal(t, http.StatusBadRequest, s.Ask("GET", "/practice?exercise=choose&"+wrong, key, "").Code, wrong)
	}
	s.Ask("POST", "/api/v1/results", key, `{"results": [{"id": "AAAAAAAAAAAAAAAAAAAAAA", "exercise": "choose", "item": "FR-UFR.R-UB.U", "at": "2026-03-01T12:00:00Z", "seconds": 2, "right": true}]}`).Must(t)
	assert.Contains(t, s.Ask("GET", "/practice?exercise=choose&items=1K1H7", key, "").Body.String(), "You chose right in 1 of 1 cases.")
}
