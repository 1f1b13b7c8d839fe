package page_test

import (
	"fmt"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

var (
	anyItem      = regexp.MustCompile(`data-item="([^"]+)"`)
	practiceHref = regexp.MustCompile(`href="(/practice\?[^"]+)"`)
)

// itemsOf are the items of the session at the address, of any kind.
func itemsOf(t *testing.T, s site.Service, key, address string) (items []string) {
	t.Helper()
	answer := s.Ask("GET", address, key, "")
	require.Equal(t, http.StatusOK, answer.Code, address)
	for _, found := range anyItem.FindAllStringSubmatch(answer.Body.String(), -1) {
		items = append(items, html.UnescapeString(found[1]))
	}
	return items
}

// What Learn says is next, what a plan has, what is known at a place and what is kept can be
// practised, and the pages that show it lead there.
func TestPracticeOfWhatOtherPagesShow(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := site.New(t)
	key := slowAtDots(t, s)
	place := planPlace(t)

	learn := s.Ask("GET", "/learn", key, "").Body.String()
	next, _, _ := strings.Cut(learn, "Every place of the pair")
	var lessons []string
	for _, found := range regexp.MustCompile(`name="know" value="([^"]+)"`).FindAllStringSubmatch(next, -1) {
		lessons = append(lessons, html.UnescapeString(found[1]))
	}
	require.NotEmpty(t, lessons)
	assert.ElementsMatch(t, lessons, itemsOf(t, s, key, "/practice?exercise=execute&set=lesson"))
	assert.ElementsMatch(t, lessons, itemsOf(t, s, key, "/practice?exercise=predict&set=lesson"))

	known := []string{"FR R U R'", "FR R U R' F R U R' U' F'"}
	assert.ElementsMatch(t, known, itemsOf(t, s, key, "/practice?exercise=execute&set=place&place="+place))
	assert.Contains(t, s.Ask("GET", "/practice?exercise=choose&set=place&place="+place, key, "").Body.String(), "One place: corner at UFR", "it says which")
	for _, exercise := range []string{"choose", "whole"} {
		items := itemsOf(t, s, key, "/practice?exercise="+exercise+"&set=place&place="+place)
		assert.Equal(t, slices.Repeat([]string{place}, 10), items)
	}

	plan := s.Ask("GET", "/api/v1/plan?place="+place, key, "").Must(t)
	assert.Equal(t, []string{"FR " + plan["predict"].(map[string]any)["turns"].(string)}, itemsOf(t, s, key, "/practice?exercise=predict&set=plan&place="+place))
	assert.ElementsMatch(t, known, itemsOf(t, s, key, "/practice?exercise=execute&set=plan&place="+place))
	for _, item := range itemsOf(t, s, key, "/practice?set=plan&place="+place) {
		assert.Contains(t, fmt.Sprint(plan["accept"]), item)
	}
	assert.Empty(t, itemsOf(t, s, key, "/practice?set=plan&place=FR-DFR.D-FR.F"))

	assert.Empty(t, itemsOf(t, s, key, "/practice?exercise=choose&set=kept"))
	codes := []string{"1T0WT", "1K1H7", "25YYY"}
	left := map[string]bool{}
	for _, code := range codes {
		s.Ask("PUT", "/api/v1/kept-cases/"+code, key, `{"note": ""}`).Must(t)
		options := s.Ask("GET", "/api/v1/forecast?view=known&limit=1&case="+code, key, "").Must(t)["options"].([]any)
		left[fmt.Sprint(options[0].(map[string]any)["leaves"].(map[string]any)["oll"])] = true
	}
	for _, exercise := range []string{"choose", "whole"} {
		page := s.Ask("GET", "/practice?exercise="+exercise+"&set=kept", key, "").Body.String()
		assert.ElementsMatch(t, codes, linkedItems(t, page), "each case once")
	}
	for _, item := range itemsOf(t, s, key, "/practice?set=kept") {
		assert.True(t, left[item], item)
	}

	for _, address := range []string{"/learn", "/learn/" + place, "/plan/" + place, "/cases", "/case/1T0WT"} {
		links := practiceHref.FindAllStringSubmatch(s.Ask("GET", address, key, "").Body.String(), -1)
		assert.GreaterOrEqual(t, len(links), 2, address)
		for _, link := range links {
			path := html.UnescapeString(link[1])
			assert.NotEmpty(t, itemsOf(t, s, key, path), "%s leads to %s", address, path)
		}
	}
}

// A list made by hand is in the address, and comes back to be changed.
func TestPracticeList(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	s.Ask("PUT", "/api/v1/kept-cases/1K1H7", key, `{"note": ""}`).Must(t)
	for _, tt := range []struct {
		exercise string
		items    []string
		want     []string
		ticked   int
		written  string
	}{
		{"", []string{"27 26, 3", "4"}, []string{"27", "26", "3", "4"}, 4, ""},
		{"execute", []string{"27\nFR R U R'", "FR F' U"}, nil, 0, ""},
		{"execute", []string{"27\r\nFR R U R'", "FR F' U' F"}, []string{"27", "FR R U R'", "FR F' U' F"}, 3, ""},
		{"predict", []string{"edges FR R U R'\nFR R U R'"}, []string{"edges FR R U R'", "FR R U R'"}, 1, "edges FR R U R'"},
		{"choose", []string{"1T0WT FR-UFR.R-UB.U", "1K1H7"}, []string{"", "FR-UFR.R-UB.U", ""}, 2, "1T0WT"},
	} {
		address := "/practice?" + url.Values{"exercise": {tt.exercise}, "items": tt.items}.Encode()
		if tt.exercise == "" {
			address = "/practice?" + url.Values{"items": tt.items}.Encode()
		}
		answer := s.Ask("GET", address, key, "")
		if tt.want == nil {
			assert.Equal(t, http.StatusBadRequest, answer.Code)
			continue
		}
		items := itemsOf(t, s, key, address)
		require.Len(t, items, len(tt.want), address)
		for n, want := range tt.want {
			if want != "" {
				assert.Equal(t, want, items[n])
			}
		}
		form := s.Ask("GET", strings.Replace(address, "/practice", "/practice/list", 1), key, "")
		require.Equal(t, http.StatusOK, form.Code)
		assert.Equal(t, tt.ticked, strings.Count(form.Body.String(), " checked>"), address)
		assert.Contains(t, form.Body.String(), ">"+html.EscapeString(tt.written)+"</textarea>")
		assert.Contains(t, answer.Body.String(), `href="/practice/list?`)
	}
	assert.Equal(t, http.StatusBadRequest, s.Ask("GET", "/practice/list?exercise=juggle", key, "").Code)
}

// A list is put together by taps, without a script, too.
func TestBrowserPracticeList(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.WithoutScript()
	b.Do(chromedp.EmulateViewport(360, 640, chromedp.EmulateMobile, chromedp.EmulateTouch), chromedp.Navigate(home+"/practice/list"))
	for _, item := range []string{"27", "45"} {
		b.Click(fmt.Sprintf(`.practice-list input[value="%s"]`, item))
	}
	b.Follow(func() { b.Click("#answer form button") })
	assert.Contains(t, b.Text("#practice-status"), "2 to do")
	assert.Contains(t, b.Text("main"), "Practice needs its script")
}

// Of the edges alone four kinds can be said, and the page that shows it turn by turn agrees.
// It is another item than the whole pattern, and says nothing of how many pieces one tracks.
func TestPracticeToPredictEdges(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	edges := s.Ask("GET", "/api/v1/patterns", key, "").Must(t)["patterns"].([]any)
	answer := s.Ask("GET", "/practice?exercise=predict&set=edges&seed=3", key, "")
	page := site.PageOf(t, answer.ResponseRecorder)
	cards := cardsOf(page)
	require.NotEmpty(t, cards)
	step := regexp.MustCompile(`/case/(\w+)/option\?turns=([^"]+)`)
	seen := map[string]bool{}
	for n, found := range step.FindAllStringSubmatch(page.Body, -1) {
		turns, err := url.QueryUnescape(found[2])
		require.NoError(t, err)
		for _, one := range s.Ask("GET", "/api/v1/forecast?limit=500&case="+found[1], key, "").Must(t)["options"].([]any) {
			option := one.(map[string]any)
			if option["turns"] == turns {
				pattern := edges[int(option["leaves"].(map[string]any)["oll"].(float64))].(map[string]any)
				right := strings.ToLower(site.Attribute(cards[n], "data-answer"))
				assert.Equal(t, strings.ToLower(pattern["edges"].(string)), right)
				seen[right] = true
			}
		}
		var rights int
		for _, a := range answersOf(cards[n]) {
			if isRight(a) {
				rights++
			}
		}
		assert.Equal(t, 1, rights)
		assert.Len(t, answersOf(cards[n]), 4)
		assert.True(t, strings.HasPrefix(site.Attribute(cards[n], "data-item"), "edges FR "))
	}
	assert.Greater(t, len(seen), 1)
	for n := range 5 {
		s.Ask("POST", "/api/v1/results", key, fmt.Sprintf(`{"results": [{"id": "AAAAAAAAAAAAAAAAAAAAA%d", "exercise": "predict", "item": "edges FR R U R'", "at": "2026-03-01T12:00:0%dZ", "seconds": 2, "right": true}]}`, n, n)).Must(t)
	}
	assert.NotContains(t, s.Ask("GET", "/practice?exercise=predict", key, "").Body.String(), "Count me as")
}
