package page_test

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

var practised = regexp.MustCompile(`data-item="(\d+)"`)

// practiceItems are a session's items by its page.
func practiceItems(page string) (items []string) {
	for _, found := range practised.FindAllStringSubmatch(page, -1) {
		items = append(items, found[1])
	}
	return items
}

// The same seed is the same session, to the last answer; the link for a partner has the same
// items in the same order.
func TestPracticeOfASeed(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	get := func(address string) string {
		a := s.Ask("GET", address, "", "")
		require.Equal(t, http.StatusOK, a.Code, address)
		return a.Body.String()
	}
	page := get("/practice?seed=7")
	assert.Equal(t, page, get("/practice?seed=7"))
	items := practiceItems(page)
	require.Len(t, items, 10)
	assert.NotEqual(t, items, practiceItems(get("/practice?seed=8")))
	assert.NotEqual(t, practiceItems(get("/practice")), practiceItems(get("/practice")), "a new one each time")
	link := "/practice?items=" + strings.Join(items, "%2C") + "&amp;seed=7"
	require.Contains(t, page, link)
	partner := s.NewKey(t)
	s.Ask("PUT", "/api/v1/ratings/"+items[3], partner, `{"recognise": 1, "execute": 1}`).Must(t)
	theirs := s.Ask("GET", strings.ReplaceAll(link, "&amp;", "&"), partner, "").Body.String()
	assert.Equal(t, items, practiceItems(theirs))
	// Of each item one answer of four is right.
	assert.Equal(t, 10, strings.Count(page, " data-right"))
	assert.Equal(t, 40, strings.Count(page, "data-key="))
	_, pictures, _ := strings.Cut(page, "practice-item")
	_, others, _ := strings.Cut(theirs, "practice-item")
	assert.Equal(t, strings.Count(pictures, "<path"), strings.Count(others, "<path"), "seen from the same sides")
}

func TestPracticeSets(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	get := func(address string) site.Answer { return s.Ask("GET", address, key, "") }
	for _, address := range []string{"/practice?set=slow", "/practice?set=unlearnt"} {
		page := get(address).Body.String()
		assert.Empty(t, practiceItems(page))
		assert.NotContains(t, page, "practice-go")
	}
	s.Ask("PUT", "/api/v1/ratings/27", key, `{"recognise": 1, "execute": 3}`).Must(t)
	assert.Equal(t, []string{"27"}, practiceItems(get("/practice?set=slow").Body.String()))
	s.Ask("PUT", "/api/v1/preferences/learnt", key, `{"value": "ten"}`).Must(t)
	for _, item := range practiceItems(get("/practice?set=unlearnt").Body.String()) {
		assert.NotContains(t, []string{"2", "44", "45", "21", "22", "23", "24", "25", "26", "27"}, item)
	}
	for _, wrong := range []string{"set=mine", "seed=-1", "seed=x", "seed=9007199254740992", "items=58", "exercise=juggle", "exercise=whole&items=27", "exercise=execute&items=0", "exercise=predict&items=27", "exercise=predict&set=slow", "items=", "items=,", "set=plan", "set=plan&place=here", "items=1" + strings.Repeat(",1", 25), "length=ten", "length=10"} {
		assert.Equal(t, http.StatusBadRequest, get("/practice?"+wrong).Code, wrong)
	}
	assert.Equal(t, []string{"3", "3"}, practiceItems(get("/practice?items=3,3").Body.String()))
}

// A result that the page sends is counted once, and withdrawn; what is absurd is refused.
func TestPracticeSavesResults(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	post := func(address string, values url.Values) site.Answer {
		return s.send(http.MethodPost, address, values, "text/html")
	}
	result := url.Values{"id": {"AAAAAAAAAAAAAAAAAAAAAA"}, "exercise": {"recognise"}, "item": {"27"}, "at": {"2026-03-29T00:59:59.999Z"}, "seconds": {"1.234"}, "right": {"true"}}
	changed := func(field, value string) url.Values {
		values := url.Values{}
		for name := range result {
			values.Set(name, result.Get(name))
		}
		values.Set(field, value)
		return values
	}
	for field, values := range map[string][]string{
		"id": {"", "x"}, "exercise": {"", "juggle"}, "item": {"", "58", "FR R U R'"}, "at": {"", "noon", "2126-03-29T00:59:59Z"}, "seconds": {"", "-1", "0", "NaN", "601"}, "right": {"", "maybe"},
	} {
		for _, value := range values {
			a := post("/practice/results", changed(field, value))
			assert.True(t, a.Code == 400 || a.Code == 422, "%s %q: %d", field, value, a.Code)
		}
	}
	for range 2 {
		assert.Equal(t, http.StatusSeeOther, post("/practice/results", result).Code)
		assert.Equal(t, 1, strings.Count(s.exported(t), "AAAAAAAAAAAAAAAAAAAAAA"))
	}
	assert.Contains(t, s.exported(t), `"grade": 3`)
	for range 5 {
		assert.Contains(t, s.get("/practice").Body.String(), "0 of 57 patterns measured")
	}
	for n := range 4 {
		post("/practice/results", changed("id", fmt.Sprintf("BBBBBBBBBBBBBBBBBBBBB%d", n)))
	}
	assert.Contains(t, s.get("/practice").Body.String(), "1 of 57 patterns measured")
	assert.Equal(t, http.StatusBadRequest, post("/practice/results/withdraw", url.Values{"result": {"x"}}).Code)
	assert.Equal(t, http.StatusSeeOther, post("/practice/results/withdraw", url.Values{"result": result["id"]}).Code)
	assert.Contains(t, s.exported(t), `"withdrawn": true`)
	assert.Contains(t, s.get("/practice").Body.String(), "0 of 57 patterns measured")
}

// What is to be executed is the person's own algorithm, seen as it begins.
func TestPracticeToExecute(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	page := func() string {
		return s.Ask("GET", "/practice?exercise=execute&items=27&seed=1", key, "").Body.String()
	}
	assert.Contains(t, page(), "R U R&#39; U R U2 R&#39;")
	assert.NotContains(t, page(), "practice-react")
	own := "L' U2 L U L' U L"
	s.Ask("PUT", "/api/v1/own-sequences", key, `{"oll": 27, "turns": "`+own+`"}`).Must(t)
	assert.Contains(t, page(), strings.ReplaceAll(own, "'", "&#39;"))
	for n := range 5 {
		s.Ask("POST", "/api/v1/results", key, fmt.Sprintf(`{"results": [{"id": "AAAAAAAAAAAAAAAAAAAAA%d", "exercise": "execute", "item": "27", "at": "2026-03-01T12:00:0%dZ", "seconds": 1.5, "right": true}]}`, n, n)).Must(t)
	}
	assert.Contains(t, page(), `data-median="1500"`)
	assert.Contains(t, page(), "1 of 57 patterns measured")
	assert.Contains(t, s.Ask("GET", "/practice", key, "").Body.String(), "0 of 57 patterns measured")
	items := practiceItems(s.Ask("GET", "/practice?exercise=execute&set=unmeasured", key, "").Body.String())
	assert.Len(t, items, 10)
	assert.NotContains(t, items, "27")
}

// What an insertion leaves is one of four answers, and the page that shows it turn by turn
// agrees. Who knows insertions with few pieces to track practises these.
func TestPracticeToPredict(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	page := s.Ask("GET", "/practice?exercise=predict&seed=3", key, "").Body.String()
	steps := regexp.MustCompile(`href="(/case/[^"]+/option\?turns=[^"]+)"`).FindAllStringSubmatch(page, -1)
	answers := regexp.MustCompile(`data-answer="([^"]+)"`).FindAllStringSubmatch(page, -1)
	require.Greater(t, len(steps), 3)
	require.Len(t, answers, len(steps))
	assert.Equal(t, len(steps), strings.Count(page, " data-right"))
	for i := range steps {
		option := s.Ask("GET", strings.ReplaceAll(steps[i][1], "&amp;", "&"), key, "")
		require.Equal(t, http.StatusOK, option.Code, steps[i][1])
		assert.Contains(t, option.Body.String(), answers[i][1])
	}
	const two = "FR M U' R U M' U' R'"
	s.Ask("PUT", "/api/v1/own-insertions", key, `{"slot": "FR", "turns": "M U' R U M' U' R'", "known": true}`).Must(t)
	page = s.Ask("GET", "/practice?exercise=predict&seed=3", key, "").Body.String()
	assert.Equal(t, 1, strings.Count(page, `data-item="`))
	assert.Contains(t, page, `data-item="`+strings.ReplaceAll(two, "'", "&#39;")+`"`)
	assert.NotContains(t, page, "Count me as")

	// Five predictions in time: two pieces are proposed, and with one tap they count.
	for n := range 5 {
		s.Ask("POST", "/api/v1/results", key, fmt.Sprintf(`{"results": [{"id": "AAAAAAAAAAAAAAAAAAAAA%d", "exercise": "predict", "item": "%s", "at": "2026-03-01T12:00:0%dZ", "seconds": 2, "right": true}]}`, n, two, n)).Must(t)
	}
	page = s.Ask("GET", "/practice?exercise=predict", key, "").Body.String()
	assert.Contains(t, page, "You track 2 pieces")
	assert.Contains(t, page, `name="track" value="2"`)
	s.Ask("PUT", "/api/v1/preferences/track", key, `{"value": "2"}`).Must(t)
	assert.NotContains(t, s.Ask("GET", "/practice?exercise=predict", key, "").Body.String(), "Count me as")
}

// Insertions are executed as they are known.
func TestPracticeInsertions(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	page := func() string { return s.Ask("GET", "/practice?exercise=execute&set=insertions", key, "").Body.String() }
	assert.Equal(t, 10, strings.Count(page(), `data-item="FR `))
	s.Ask("PUT", "/api/v1/preferences/usual", key, `{"value": "none"}`).Must(t)
	assert.Contains(t, page(), "You know no insertion")
	s.Ask("PUT", "/api/v1/own-insertions", key, `{"slot": "FR", "turns": "R U R'", "known": true}`).Must(t)
	assert.Equal(t, 1, strings.Count(page(), `data-item="FR R U R&#39;"`))
}

// Results stand beside the ratings; what does not count says why, and each can be withdrawn.
func TestPracticeProgress(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	assert.Contains(t, s.get("/practice/results").Body.String(), "0 results, 0 steps measured")
	require.Equal(t, http.StatusNoContent, s.save("/ratings/27", "recognise", "2").Code)
	for n, seconds := range []string{"1.25", "1.35", "1.15", "1.25", "1.25", "9.9", "1.2"} {
		values := url.Values{"id": {fmt.Sprintf("AAAAAAAAAAAAAAAAAAAAA%d", n)}, "exercise": {"recognise"}, "item": {"27"}, "at": {fmt.Sprintf("2026-03-01T12:00:0%dZ", n)}, "seconds": {seconds}, "right": {fmt.Sprint(n != 6)}}
		require.Equal(t, http.StatusSeeOther, s.send(http.MethodPost, "/practice/results", values, "text/html").Code)
	}
	page := s.get("/practice/results").Body.String()
	assert.Contains(t, page, "7 results, 1 step measured.")
	// By hand: 1.25 less the reaction of 0.25, and the middle half of 1.15 1.25 1.25 1.25 1.35.
	assert.Contains(t, page, "recognise: 1.00, half of 5 from 1.00 to 1.00 <small>by your rating 0.85</small>")
	assert.Contains(t, page, "9.90 s")
	assert.Equal(t, 1, strings.Count(page, "not counted: over 10 s"))
	assert.Equal(t, 1, strings.Count(page, ">wrong<"))
	assert.Equal(t, 7, strings.Count(page, `name="result"`))
	a := s.post("/practice/results/withdraw", "result", "AAAAAAAAAAAAAAAAAAAAA1", "back", "/practice/results")
	assert.Equal(t, "/practice/results", a.Header().Get("Location"))
	page = s.get("/practice/results").Body.String()
	assert.Contains(t, page, "6 results, 0 steps measured.")
	assert.Equal(t, 1, strings.Count(page, ">withdrawn<"))
	assert.Equal(t, 1, strings.Count(page, ">Bring it back<"))
	s.post("/practice/results/restore", "result", "AAAAAAAAAAAAAAAAAAAAA1", "back", "/practice/results")
	page = s.get("/practice/results").Body.String()
	assert.Contains(t, page, "7 results, 1 step measured.")
	assert.NotContains(t, page, ">withdrawn<")
	assert.Equal(t, http.StatusBadRequest, s.send(http.MethodPost, "/practice/results/restore", url.Values{"result": {"x"}}, "text/html").Code)
	require.Equal(t, http.StatusNoContent, s.save("/profile/preferences", "practised", "off").Code)
	assert.Contains(t, s.get("/practice/results").Body.String(), "none of it ranks")
}

// The pages of practice for who has 20,000 results of all patterns, done in half a year.
func BenchmarkPracticePages(b *testing.B) {
	s := site.New(b)
	key := s.NewKey(b)
	for n := 0; n < 20_000; n += 1000 {
		results := make([]string, 1000)
		for i := range results {
			at := time.Now().Add(-time.Duration(20_000-n-i) * 13 * time.Minute)
			results[i] = fmt.Sprintf(`{"id": "%022d", "exercise": "recognise", "item": "%d", "at": "%s", "seconds": %.3f, "right": true}`, n+i, (n+i)%58, at.UTC().Format(time.RFC3339Nano), 0.5+float64(i%250)/100)
		}
		s.Ask("POST", "/api/v1/results", key, `{"results": [`+strings.Join(results, ",")+`]}`).Must(b)
	}
	for _, page := range []string{"/practice", "/practice/results", "/practice?exercise=predict", "/practice?exercise=predict&set=edges", "/practice?exercise=choose", "/practice?exercise=choose&length=25", "/practice?exercise=whole", "/practice?set=lesson", "/practice/list"} {
		b.Run(page, func(b *testing.B) {
			for b.Loop() {
				require.Equal(b, http.StatusOK, s.Ask("GET", page, key, "").Code)
			}
		})
	}
}
