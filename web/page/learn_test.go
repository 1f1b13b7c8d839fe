package page_test

import (
	"encoding/json"
	"fmt"
	"html"
	"net/http"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// A place with both pieces on top, in which R U R' is the quickest.
const easyPlace = "FR-UFR.R-UB.U"

var quantity = regexp.MustCompile(`save (\d\.\d\d) s on average`)

// What one marks as known counts as in, and what is hidden is not offered.
func TestLearningListOfOnesOwn(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	page := s.get("/learn/" + easyPlace)
	require.Equal(t, http.StatusOK, page.Code)
	assert.Equal(t, "private, no-store", page.Header().Get("Cache-Control"))
	body := page.Body.String()
	assert.Contains(t, body, "You know 1 insertion", "the usual one")
	require.Equal(t, http.StatusSeeOther, s.post("/profile/preferences", "usual", "none").Code)
	body = s.get("/learn/" + easyPlace).Body.String()
	assert.Contains(t, body, "Nothing is marked as known here")
	assert.Contains(t, body, "Learn 2 more and save")
	assert.Equal(t, 20, strings.Count(body, `name="know"`), "one for each lesson")
	assert.NotContains(t, body, `class="known"`)
	before := s.Learning(t, s.cookie.Value, easyPlace)
	require.Len(t, before.Lessons, 20)
	assert.Equal(t, 864, before.Cases)
	assert.Zero(t, before.KnownLessons)
	assert.Zero(t, before.Lessons[0].Saves)
	for i, l := range before.Lessons {
		assert.Equal(t, []int{1, 2, 2, 3, 3, 3, 3, 3, 4}[min(i, 8)], l.Level)
		assert.NotEmpty(t, l.Techniques)
	}
	// The page's sentence is the sum of what the lessons save.
	said := quantity.FindStringSubmatch(body)
	require.NotNil(t, said)
	assert.Equal(t, fmt.Sprintf("%.2f", before.Average-before.Lessons[2].Average), said[1])

	second := before.Lessons[1].Turns
	require.Equal(t, http.StatusSeeOther, s.post("/insertions/marks", "know", "FR "+second, "back", "/learn/"+easyPlace).Code)
	body = s.get("/learn/" + easyPlace).Body.String()
	assert.Contains(t, body, "You know 1 insertion")
	assert.NotContains(t, body, "Nothing is marked as known here")
	assert.Equal(t, 1, strings.Count(body, `class="known"`))
	overview := s.get("/learn").Body.String()
	assert.Contains(t, overview, "You know 1 insertion for the slot at the front right")
	assert.Equal(t, 1, strings.Count(overview, "<strong>1 known</strong>"))
	assert.Contains(t, s.get("/learn?slot=BL").Body.String(), "No insertions marked as known for the slot at the back left")

	first := before.Lessons[0].Turns
	require.Equal(t, http.StatusSeeOther, s.post("/insertions/marks", "hide", "FR "+first, "back", "/learn/"+easyPlace).Code)
	body = s.get("/learn/" + easyPlace).Body.String()
	assert.NotContains(t, body, `value="FR `+strings.ReplaceAll(first, "'", "&#39;")+`"`)
}

// What one can have is first what one knows.
func TestWhatCanIGetWithWhatIKnow(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	address := s.caseFor(t, "FR R U R'")
	require.Equal(t, http.StatusSeeOther, s.post("/insertions/marks", "know", "FR R U R'").Code)
	page := s.get(address + "/patterns")
	assert.Equal(t, "private, no-store", page.Header().Get("Cache-Control"))
	assert.Contains(t, page.Body.String(), "58 patterns available")
	assert.Contains(t, page.Body.String(), `aria-current="page">Yours first`)
	assert.Equal(t, 1, strings.Count(page.Body.String(), "; yours"))
	assert.Contains(t, s.get(address+"/patterns?view=known").Body.String(), "1 pattern available")
	assert.Contains(t, s.get(address+"/patterns?view=known&edges=dot").Body.String(), "no insertion you know leaves any of these")
	// The case is the one after which R U R' leaves everything oriented.
	assert.Contains(t, s.get(address+"/patterns/0").Body.String(), "Yours: ")
	assert.Contains(t, s.get(address+"/patterns/0?view=known").Body.String(), "Easiest of 1 way that you know")
	assert.Contains(t, s.get(address+"/patterns/27?view=known").Body.String(), "no insertion you know leaves it")
	assert.NotContains(t, s.get(address+"/patterns/27").Body.String(), "<h2>Yours")

	// One by one everything is hidden that leaves a pattern.
	marks := regexp.MustCompile(`name="hide" value="([^"]+)"`)
	for range 100 {
		body := s.get(address + "/patterns/0?view=all").Body.String()
		found := marks.FindStringSubmatch(body)
		if found == nil {
			assert.Contains(t, body, "you hid every insertion that leaves it")
			assert.Contains(t, s.get(address+"/patterns?view=all").Body.String(), "57 patterns available")
			return
		}
		require.Equal(t, http.StatusSeeOther, s.post("/insertions/marks", "hide", html.UnescapeString(found[1])).Code)
	}
	t.Error("there is always another")
}

// The list is ranked by the person's own ratings.
func TestLearningListIsRankedByRatings(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	usual := s.Learning(t, key, easyPlace)
	for _, oll := range usual.Lessons[1].Leaves {
		if oll != 0 {
			s.Ask("PUT", fmt.Sprintf("/api/v1/ratings/%d", oll), key, `{"recognise": 1, "execute_seconds": 9}`).Must(t)
		}
	}
	rated := s.Learning(t, key, easyPlace)
	assert.NotEqual(t, usual.Lessons[1].Turns, rated.Lessons[1].Turns)
	assert.Greater(t, rated.Average, usual.Average)
	assert.Equal(t, usual, s.Learning(t, "", easyPlace), "others' lists stay as they are")
}

func TestPlacesOfTheInterface(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	slots := []string{"FR", "FL", "BL", "BR"}
	for _, slot := range slots[:4/cubetest.Stride(t, 3)] {
		var told struct{ Places []site.LearningAnswer }
		a := s.Ask("GET", "/api/v1/learning/places?slot="+slot, "", "")
		require.NoError(t, json.Unmarshal(a.Body.Bytes(), &told))
		require.Len(t, told.Places, lastslot.PlacesPerSlot)
		cases := 0
		for _, p := range told.Places {
			cases += p.Cases
			assert.True(t, strings.HasPrefix(p.Place, slot))
			c, err := lastslot.ParseCode(p.Case)
			require.NoError(t, err)
			assert.Equal(t, p.Place, c.Place().String())
			assert.Positive(t, p.Average)
		}
		assert.Equal(t, lastslot.CasesPerSlot, cases)
	}
}

func TestLearnPagesThatAreNone(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	assert.Equal(t, http.StatusBadRequest, s.get("/learn?slot=XX").Code)
	for _, place := range []string{"FR", "FR-UFR.R", "FR-UFR.B-UB.U", "%2e%2e", strings.Repeat("x", 3000)} {
		a := s.get("/learn/" + place)
		assert.Equal(t, http.StatusNotFound, a.Code, place)
		assert.Less(t, a.Body.Len(), 20_000)
	}
}

// On a phone: what to learn next is marked as known by a tap, and the list moves on.
func TestBrowserLearns(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	b.Do(chromedp.Navigate(home + "/learn"))
	b.WaitFor("#status", "You know 41 insertions")
	first := b.Text(".lessons li:first-child .turns")
	b.Click(`.lessons li:first-child [name="know"]`)
	b.WaitFor("#toast", "Saved.")
	b.WaitFor("#status", "You know 42 insertions")
	assert.NotEqual(t, first, b.Text(".lessons li:first-child .turns"))
	b.Follow(func() { b.Click(`.lessons li:first-child .place-link`) })
	b.WaitFor("h1", "orner")
	b.WaitFor("#status", "You know 1 insertion: ")
	b.Click(`.lesson-level [name="know"]`)
	b.WaitFor("#toast", "Saved.")
	b.WaitFor("#status", "You know 2 insertions: ")
	b.Do(chromedp.Navigate(home + "/insertions"))
	b.WaitFor("h2 + .own-cards", "known")
	b.Quiet()
}

// Every page of these is for narrow screens and big letters, too, and works
// without a script.
func TestBrowserFitsAndNeedsNoScript(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	_, home := serve(t)
	b := webtest.Browse(t, home)
	code := lastslot.CaseAt(77_777).Code()
	for _, width := range []int64{320, 390} {
		b.Do(chromedp.EmulateViewport(width, 844))
		for _, path := range []string{"/learn", "/learn/" + easyPlace, "/patterns/0/reach", "/case/" + code + "/patterns", "/case/" + code + "/patterns/0"} {
			for _, size := range []string{"100%", "200%"} {
				b.Do(chromedp.Navigate(home + path))
				wide := script[string](t, b, fmt.Sprintf(`(() => {
					document.documentElement.style.fontSize = %q;
					const wide = [...document.querySelectorAll("main *")].filter(e => e.getBoundingClientRect().right > innerWidth + 0.5 && !e.closest("svg, .scrolls"));
					return wide.map(e => e.tagName + "." + e.className).slice(0, 5).join(" ");
				})()`, size))
				assert.Empty(t, wide, "%s at %d px, text at %s", path, width, size)
			}
			small := script[string](t, b, `[...document.querySelectorAll("main a, main button, main summary")].filter(e => {
				const r = e.getBoundingClientRect();
				return r.height > 0 && (r.height < 43.9 || r.width < 43.9);
			}).map(e => e.outerHTML.slice(0, 80)).slice(0, 3).join("; ")`)
			assert.Empty(t, small, "%s at %d px: for a thumb", path, width)
		}
	}
	b.Quiet()

	b.WithoutScript()
	b.Do(chromedp.Navigate(home + "/case/" + code + "/patterns"))
	b.WaitFor("#status", "58 patterns")
	b.Follow(func() { b.Click(`.filters a[href*="cross"]`) })
	b.WaitFor("#status", "8 patterns")
	b.Follow(func() { b.Click(`.tiles li:first-child a`) })
	b.WaitFor("#answer", "ewest turns")
	b.Follow(func() { b.Click(`.out-card [name="know"]`) })
	b.WaitFor(".out-card h2", "Yours")
	b.Follow(func() { b.Click(`.links a[href$="/reach"]`) })
	b.WaitFor("h1", "How many cases reach")
	b.Quiet()
}

// As solves reach them, what to learn next saves more at the places that are met more: the
// sum is worked out again from the table and from each place's own list.
func TestLearnAsSolvesReachThem(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	alike, met := s.Ask("GET", "/learn?slot=BL", "", ""), s.Ask("GET", "/learn?count=met&slot=BL", "", "")
	require.Equal(t, http.StatusOK, met.Code)
	assert.Contains(t, alike.Body.String(), "all equally likely")
	assert.Contains(t, met.Body.String(), "400,000 random positions")
	assert.Contains(t, met.Body.String(), `href="/learn?count=met&amp;slot=FR"`, "the choice stays with another slot")
	assert.Contains(t, met.Body.String(), `name="back" value="/learn?count=met&amp;slot=BL"`, "and with a mark")

	file, err := os.ReadFile("../../forecast/routes/places/places.tsv")
	require.NoError(t, err)
	var sum, saved float64
	saves := regexp.MustCompile(`saves ([0-9.]+) s</strong> where the pair stands like this, ([0-9.]+) s on average`).FindAllStringSubmatch(met.Body.String(), -1)
	places := regexp.MustCompile(`class="place-link" href="/learn/([^"]+)"`).FindAllStringSubmatch(met.Body.String(), -1)
	require.NotEmpty(t, saves)
	require.Len(t, places, len(saves))
	counts := map[string]float64{}
	for line := range strings.Lines(string(file)) {
		if name, count, ok := strings.Cut(strings.TrimSpace(line), "\t"); ok && strings.HasPrefix(name, "BL-") {
			counts[name], err = strconv.ParseFloat(count, 64)
			require.NoError(t, err)
			sum += counts[name]
		}
	}
	for i, place := range places {
		within, err := strconv.ParseFloat(saves[i][1], 64)
		require.NoError(t, err)
		average, err := strconv.ParseFloat(saves[i][2], 64)
		require.NoError(t, err)
		assert.InDelta(t, within*counts[place[1]]/sum, average, 0.001)
		saved += average
	}
	assert.Positive(t, saved)
	assert.Equal(t, http.StatusBadRequest, s.Ask("GET", "/learn?count=often", "", "").Code)
}
