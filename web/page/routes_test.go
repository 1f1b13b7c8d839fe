package page_test

import (
	"fmt"
	"image"
	"image/png"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/cube/cubetest"
	"slotcast/forecast/twoslots"
	"slotcast/web/picture"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// twoOpenScramble leaves front right and front left open.
const twoOpenScramble = "R U R' L' U2 L"

// A scramble or a code of two open slots is known for what it is on the page where last
// slots are looked up, also when the script asks; from there every route opens over both
// steps and leads to the last slot's case.
func TestTwoOpenSlotsAreLookedUp(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	c := twoslots.CaseOf(cubetest.Sequence(t, twoOpenScramble).Cube(), 0)
	for _, address := range []string{
		"/?scramble=" + url.QueryEscape(twoOpenScramble), "/?part=answer&slot=&solution=&scramble=" + url.QueryEscape(twoOpenScramble),
		"/?case=" + strings.ToLower(c.Code()),
	} {
		a := s.Ask("GET", address, "", "")
		require.Equal(t, http.StatusSeeOther, a.Code, address)
		page := s.Ask("GET", a.Header().Get("Location"), "", "")
		require.Equal(t, http.StatusOK, page.Code, address)
		assert.Contains(t, page.Body.String(), "Two slots open: case "+c.Code())
		assert.Contains(t, page.Body.String(), "front right and front left")
	}
	// What is neither stays where it was.
	assert.Equal(t, http.StatusUnprocessableEntity, s.Ask("GET", "/?scramble="+url.QueryEscape("R U R' F"), "", "").Code)
	assert.Equal(t, http.StatusBadRequest, s.Ask("GET", "/?case=0000001", "", "").Code)

	told := s.Ask("GET", "/api/v1/routes?limit=3&case="+c.Code(), "", "").Must(t)
	list := s.Ask("GET", "/routes/"+c.Code(), "", "").Body.String()
	for _, r := range told["routes"].([]any) {
		route := r.(map[string]any)
		turns := route["first"].(map[string]any)["turns"].(string)
		path := "/routes/" + c.Code() + "/route?fills=" + route["fills"].(string) + "&turns=" + url.QueryEscape(turns)
		if !route["last"].(map[string]any)["known"].(bool) || route["last"].(map[string]any)["turns"] != "" {
			require.Contains(t, list, strings.ReplaceAll(path, "&", "&amp;"))
		}
		opened := s.Ask("GET", path, "", "")
		require.Equal(t, http.StatusOK, opened.Code)
		assert.Contains(t, opened.Body.String(), "/case/"+route["case"].(string)+"/option?turns=")
	}
	assert.Equal(t, http.StatusNotFound, s.Ask("GET", "/routes/"+c.Code()+"/route?fills=FR&turns=R", "", "").Code)
	assert.Equal(t, http.StatusBadRequest, s.Ask("GET", "/routes/"+c.Code()+"/route?fills=FR&turns=Q", "", "").Code)
	assert.Equal(t, http.StatusBadRequest, s.Ask("GET", "/routes/"+c.Code()+"/route?fills=BL&turns=R", "", "").Code)
	assert.Equal(t, http.StatusBadRequest, s.Ask("GET", "/routes/00000", "", "").Code)
}

// What fills both slots at once is a route of either. It is read once, and counts once where it
// is said how many are close together.
func TestWhatFillsBothSlotsIsReadOnce(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	c := twoslots.CaseOf(cubetest.Sequence(t, "R U R' L' U L").Cube(), 0)
	told := s.Ask("GET", "/api/v1/routes?limit=10&case="+c.Code(), "", "").Must(t)
	near := map[string]bool{}
	all := 0
	for _, r := range told["routes"].([]any) {
		if route := r.(map[string]any); route["near"].(bool) {
			near[route["first"].(map[string]any)["turns"].(string)] = true
			all++
		}
	}
	require.Greater(t, all, len(near), "the interface has it for either slot")
	require.Greater(t, len(near), 1)
	page := s.Ask("GET", "/routes/"+c.Code(), "", "").Body.String()
	assert.Contains(t, page, fmt.Sprintf("%d are so close together", len(near)))
	assert.Equal(t, len(near)-1, strings.Count(page, "nearly as fast as the first"))
}

// Who knows nothing is told so, and led to everything.
func TestRoutesOfNothingKnown(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	s.Ask("PUT", "/api/v1/preferences/usual", key, `{"value": "none"}`).Must(t)
	c := twoslots.CaseOf(cubetest.Sequence(t, twoOpenScramble).Cube(), 0)
	told := s.Ask("GET", "/api/v1/routes?view=known&case="+c.Code(), key, "").Must(t)
	assert.Empty(t, told["routes"])
	assert.InDelta(t, 0, told["all"], 0)
}

// A case with two slots open is handed on as others are: with a preview that shows both
// pairs, in words too, plain, with one's ranking or as a question, which gives nothing of
// the answer away.
func TestTwoOpenSlotsAreShared(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	c := twoslots.CaseOf(cubetest.Sequence(t, twoOpenScramble).Cube(), 0)
	path := "/routes/" + c.Code()
	told := s.Ask("GET", "/api/v1/routes?limit=1&case="+c.Code(), "", "").Must(t)
	best := told["routes"].([]any)[0].(map[string]any)["first"].(map[string]any)["turns"].(string)

	for _, asked := range []struct {
		parameters string
		answers    bool
	}{{"", true}, {"?question=true", false}} {
		p := site.Get(t, s.Handler, path+asked.parameters)
		require.Equal(t, http.StatusOK, p.Status)
		var image, words string
		for _, meta := range p.Find(func(n *html.Node) bool { return n.Data == "meta" }) {
			switch site.Attribute(meta, "property") {
			case "og:image":
				image = site.Attribute(meta, "content")
			case "og:image:alt":
				words = site.Attribute(meta, "content")
			}
		}
		assert.True(t, strings.HasSuffix(image, path+"/picture.png"+asked.parameters), image)
		for _, slot := range c.Open.Slots() {
			assert.Contains(t, words, slot.Words()+": "+picture.Position{Cube: c.Cube(), Slot: slot, Now: slot}.Words())
		}
		assert.Equal(t, asked.answers, strings.Contains(p.ByID(t, "main"), best), asked.parameters)
		assert.Equal(t, !asked.answers, strings.Contains(words, "which would you do?"))

		r, file := site.Ask(t, s.Handler, http.MethodGet, path+"/picture.png"+asked.parameters)
		require.Equal(t, "image/png", r.Header.Get("Content-Type"))
		drawn, err := png.Decode(strings.NewReader(file))
		require.NoError(t, err)
		assert.Equal(t, image1200x630, drawn.Bounds().Size())
	}

	require.Equal(t, http.StatusSeeOther, s.post(path+"/share").Code)
	share := s.get(path + "/share")
	for _, way := range []string{path + "\"", path + "?question=true\"", path + "?with="} {
		assert.Contains(t, share.Body.String(), way)
	}
	assert.Equal(t, http.StatusOK, s.get(path+"/qr.png?question=true").Code)
	assert.Equal(t, http.StatusBadRequest, s.get("/routes/00000/share").Code)
	assert.Equal(t, http.StatusBadRequest, s.get("/routes/00000/picture.png").Code)
	assert.Equal(t, http.StatusBadRequest, s.get(path+"?question=yes").Code)
}

var image1200x630 = image.Pt(1200, 630)

// Whoever opens a link with a ranking sees the sharer's first routes as the interface ranks
// them for the sharer, and where in their own order stands what does the same.
func TestTwoOpenSlotsAreCompared(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	sharer, reader := s.NewKey(t), s.NewKey(t)
	s.Ask("PUT", "/api/v1/ratings/27", sharer, `{"recognise": 1, "execute": 1}`).Must(t)
	s.Ask("PUT", "/api/v1/ratings/45", reader, `{"recognise": 5, "execute": 5}`).Must(t)
	share := s.Ask("POST", "/api/v1/shares", sharer, "").Must(t)["share"].(string)
	c := twoslots.CaseAt(12_345_678)
	routes := func(key, limit string) []any {
		return s.Ask("GET", "/api/v1/routes?case="+c.Code()+"&limit="+limit, key, "").Must(t)["routes"].([]any)
	}
	theirs, mine := routes(sharer, "8"), routes(reader, "100")
	page := s.Ask("GET", "/routes/"+c.Code()+"?with="+share, reader, "")
	require.Equal(t, http.StatusOK, page.Code)
	text := page.Body.String()
	first := theirs[0].(map[string]any)
	at := slices.IndexFunc(mine, func(m any) bool {
		r := m.(map[string]any)
		return r["case"] == first["case"] && r["fills"] == first["fills"]
	})
	require.GreaterOrEqual(t, at, 0)
	assert.Contains(t, text, fmt.Sprintf("Their first route is number %d of yours.", at+1))
	for _, r := range theirs {
		assert.Contains(t, text, html.EscapeString(r.(map[string]any)["first"].(map[string]any)["turns"].(string)))
	}
	// Who has said nothing has no order of their own.
	assert.Contains(t, s.Ask("GET", "/routes/"+c.Code()+"?with="+share, "", "").Body.String(), "Rate or mark something")
	assert.Equal(t, http.StatusNotFound, s.Ask("GET", "/routes/"+c.Code()+"?with=nobody", reader, "").Code)
}

// An opened route is stepped through in one picture over both slots and the top, in as many
// frames as there are turns, and its film strips stay on paper.
func TestBrowserStepsThroughARoute(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := site.New(t)
	c := twoslots.CaseAt(12_345_678)
	listed := s.Ask("GET", "/api/v1/routes?limit=100&view=known&case="+c.Code(), "", "").Must(t)["routes"].([]any)
	leaves := func(route any) bool {
		return route.(map[string]any)["last"].(map[string]any)["sequence"] != ""
	}
	route := listed[slices.IndexFunc(listed, leaves)].(map[string]any)
	first, last := route["first"].(map[string]any)["turns"].(string), route["last"].(map[string]any)
	whole := len(cubetest.Sequence(t, strings.Join([]string{first, last["turns"].(string), last["then"].(string), last["sequence"].(string)}, " ")))

	b := browse(t)
	b.Show(390, 664, false)
	b.Do(chromedp.Navigate(b.Home + "/routes/" + c.Code() + "/route?view=known&fills=" + route["fills"].(string) + "&turns=" + url.QueryEscape(first)))
	b.WaitFor("#player-now", "Start; next "+strings.Fields(first)[0])
	assert.Equal(t, whole, script[int](t, b, `document.querySelectorAll("#player-turns button").length`))
	for range strings.Fields(first) {
		b.Click("#player-next")
	}
	b.WaitFor("#player-now", "first slot; next "+strings.Fields(last["turns"].(string))[0])
	b.Click("#player-turns li:last-child button")
	b.WaitFor("#player-now", fmt.Sprintf("%d of %d", whole, whole))
	b.WaitFor("#player-now", "done")
	assert.Contains(t, b.Text("#player-now"), "top")
	assert.Contains(t, b.Text("#answer"), last["turns"].(string), "what is known, as in the list")
	b.Quiet()
}

// The sheet of a case lists the routes of its page, as they are chosen there.
func TestRoutesSheet(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	code := twoslots.CaseAt(12_345_678).Code()
	for _, view := range []string{"all", "known"} {
		p := site.Get(t, h, "/print/routes/"+code+"?paper=letter&view="+view)
		require.Equal(t, http.StatusOK, p.Status)
		rows := p.Find(func(n *html.Node) bool { return n.Data == "li" && site.Classed("sheet-options")(n.Parent) })
		require.NotEmpty(t, rows)
		cards := site.Get(t, h, "/routes/"+code+"?view="+view).Find(func(n *html.Node) bool { return n.Data == "a" && site.Classed("place-card")(n) })
		for i, row := range rows {
			turns := site.Page{Root: row}.Find(site.Classed("sheet-first"))
			require.Len(t, turns, 1)
			assert.Contains(t, site.Words(cards[i]), " "+site.Words(turns[0])+" fills")
		}
	}
	assert.Equal(t, http.StatusBadRequest, site.Get(t, h, "/print/routes/"+code+"?paper=a5").Status)
	assert.Equal(t, http.StatusBadRequest, site.Get(t, h, "/print/routes/00000").Status)
}

// A case with two slots open is kept with a note, found by it, taken along in a file and by
// the interface, and stops being kept, as one of the last slot; what is practised of kept
// cases is the last slot still.
func TestTwoOpenSlotsAreKept(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	code := twoslots.CaseAt(12_345_678).Code()
	page := "/routes/" + code
	assert.Contains(t, s.get(page).Body.String(), "Keep this case")
	kept := s.post("/cases", "case", strings.ToLower(code), "note", "Watch the back", "back", page)
	require.Equal(t, http.StatusSeeOther, kept.Code)
	assert.Equal(t, page+"#keep-"+code, kept.Header().Get("Location"))
	assert.Contains(t, s.get(page).Body.String(), "Watch the back")
	require.Equal(t, http.StatusSeeOther, s.post("/cases", "case", site.CodeAt(5), "note", "Other").Code)
	for address, found := range map[string]bool{"/cases": true, "/cases?with=back": true, "/cases?with=two+slots": true, "/cases?with=other": false} {
		assert.Equal(t, found, strings.Contains(s.get(address).Body.String(), `href="`+page+`"`), address)
	}
	assert.Equal(t, http.StatusOK, s.get("/practice/scrambles?set=kept&seed=1").Code)

	file := s.exported(t)
	key := s.NewKey(t)
	require.Equal(t, http.StatusNoContent, s.Ask("POST", "/api/v1/import", key, file).Code)
	told := s.Ask("GET", "/api/v1/kept-cases", key, "").Body.String()
	assert.Contains(t, told, `"case":"`+code+`","note":"Watch the back"`)
	require.Equal(t, http.StatusOK, s.Ask("PUT", "/api/v1/kept-cases/"+code, key, `{"note": "x"}`).Code)
	require.Equal(t, http.StatusNoContent, s.Ask("DELETE", "/api/v1/kept-cases/"+code, key, "").Code)
	assert.NotContains(t, s.Ask("GET", "/api/v1/kept-cases", key, "").Body.String(), code)
	field, detail := s.Ask("PUT", "/api/v1/kept-cases/0000001", key, `{}`).Refused(t, http.StatusBadRequest)
	assert.Equal(t, "code", field)
	assert.NotContains(t, detail, "5 characters")

	require.Equal(t, http.StatusSeeOther, s.post("/cases/remove", "case", code).Code)
	assert.NotContains(t, s.get("/cases").Body.String(), "Watch the back")
}

// Who sees the pairs alone, or one of them, gets the interface's means on the page, said as
// such, and no route that shows what is not seen.
func TestRoutesOfWhatIsSeenOnThePage(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	c := twoslots.CaseAt(12_345_678)
	for seen, says := range map[string]string{"pairs": "all 216 ways", c.Open.Slots()[0].String(): "all 32,400 cases"} {
		p := site.Get(t, s.Handler, "/routes/"+c.Code()+"?seen="+seen)
		require.Equal(t, http.StatusOK, p.Status)
		text := p.ByID(t, "answer")
		assert.Contains(t, text, says)
		assert.Empty(t, p.Find(func(n *html.Node) bool { return n.Data == "a" && site.Classed("place-card")(n) }))
		first := s.Ask("GET", "/api/v1/routes?limit=1&seen="+seen+"&case="+c.Code(), "", "").Must(t)["routes"].([]any)[0].(map[string]any)
		assert.Contains(t, text, first["first"].(map[string]any)["turns"])
		assert.Contains(t, text, fmt.Sprintf("on average %.2f s", first["seconds"].(map[string]any)["total"]))
	}
	assert.Equal(t, http.StatusBadRequest, s.Ask("GET", "/routes/"+c.Code()+"?seen=XX", "", "").Code)
}

// What a route is made of is marked where it stands, as insertions are: the step where it is an
// insertion, and the last one.
func TestRoutesInsertionsAreMarked(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	c := twoslots.CaseOf(cubetest.Sequence(t, twoOpenScramble).Cube(), 0)
	path := "/routes/" + c.Code() + "/route?view=known&fills=FR&turns=" + url.QueryEscape("R U R'")
	page := s.get(path)
	require.Equal(t, http.StatusOK, page.Code)
	for _, part := range []string{"first-marks", "last-marks"} {
		assert.Contains(t, page.Body.String(), `id="`+part+`"`)
	}
	require.Equal(t, 2, strings.Count(page.Body.String(), "Not known"), "both are usual")
	require.Equal(t, http.StatusSeeOther, s.post("/insertions/marks", "forget", "FR R U R'", "back", path).Code)
	again := s.get(path)
	require.Equal(t, http.StatusOK, again.Code, "what is no more known is shown all the same")
	assert.Contains(t, again.Body.String(), `name="know" value="FR R U R&#39;"`)
	assert.NotContains(t, page.Body.String(), `name="know" value="FR R U R&#39;"`)
}
