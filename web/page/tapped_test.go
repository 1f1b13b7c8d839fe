package page_test

import (
	"errors"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/web/page"
	"slotcast/web/problem"
	"slotcast/web/query"
	"slotcast/web/tap"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

func formOf(f tap.Figure) page.TapView { return page.TapOf(f, nil, nil, page.ColoursOf("")) }

// tapsOf is what a browser sends of the form.
func tapsOf(v page.TapView) url.Values {
	values := url.Values{}
	for _, s := range v.Steps {
		if s.Checked {
			values.Add("mark", s.Value)
		}
	}
	for _, s := range v.Slots {
		if s.Checked {
			values.Add("slot", s.Value)
		}
	}
	for _, s := range v.Stickers {
		for _, i := range s.Inputs {
			if i.Checked && !i.Disabled {
				values.Add(i.Name, i.Value)
			}
		}
	}
	return values
}

// sent is the figure that a form's values tell.
func sent(t testing.TB, values url.Values) tap.Figure {
	t.Helper()
	if !tap.Asked(values) {
		t.Fatal("not the tapped form’s: ", values)
	}
	f, err := tap.Read(values)
	require.NoError(t, err)
	return f
}

// The form filled with a case, sent as it is, tells that case: over all cases of
// a coarse walk that meets every slot, place, twist and flip.
func TestTappedFormIsTheInverseOfItsFilling(t *testing.T) {
	t.Parallel()
	step := 7 * cubetest.Stride(t, 13) // no divisors of any number of spots, twists or flips
	for index := 0; index < lastslot.Cases; index += step {
		c := lastslot.CaseAt(index)
		f := tap.Of(c)
		values := tapsOf(formOf(f))
		for name, v := range values {
			require.Len(t, v, 1, "%s is told once", name)
		}
		back := sent(t, values)
		require.Equal(t, f, back)
		set, err := back.Case()
		require.NoError(t, err, c.Code())
		require.Equal(t, c, set, c.Code())
		kept, ok := tap.Parse(f.String())
		require.True(t, ok)
		require.Equal(t, f, kept)
	}
}

// cuber is somebody who compares the figure with a puzzle that shows the case, and
// taps.
type cuber struct {
	testing.TB
	lastslot.Case
	shown []page.StickerView
	taps  int
}

// tap checks an input of those shown, as a browser does, and looks at the figure
// anew.
func (c *cuber) tap(input page.TapInput) {
	require.False(c, input.Disabled, "%s can be tapped", input.Label)
	values := tapsOf(page.TapView{Stickers: c.shown})
	values.Set("slot", c.Slot.String())
	values.Set(input.Name, input.Value)
	c.shown = page.StickersOf(sent(c, values))
	c.taps++
}

// wants says whether the puzzle shows the top colour on a sticker, numbered as
// those shown are.
func (c *cuber) wants(n int) bool {
	spot, turned := n/5, n%5
	if turned < 3 {
		return spot != c.Corner && c.Twists[spot] == turned
	}
	return spot != c.Edge && c.Flips[spot] == turned-3
}

// wrong is a sticker that shows the top colour on the puzzle and not on the
// figure; of those that follow from others only where there is no other.
func (c *cuber) wrong() (page.TapInput, bool) {
	var last page.TapInput
	found := false
	for n, s := range c.shown {
		if !c.wants(n) || s.Inputs[1].Checked || strings.Contains(s.Class, " assumed") {
			continue
		}
		follows := slices.ContainsFunc(c.shown, func(other page.StickerView) bool {
			return other.Inputs[1].Name == s.Inputs[1].Name && strings.Contains(other.Inputs[1].Label, "follows from the others")
		})
		if !follows {
			return s.Inputs[1], true
		}
		last, found = s.Inputs[1], true
	}
	return last, found
}

// Any case is told in at most eight taps, and in 5.6 on average.
func TestTapsOfEveryCase(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	sum, most := 0, 0
	for index := range lastslot.CasesPerSlot {
		// Each case of a slot, by turns at each of the four.
		c := cuber{TB: t, Case: lastslot.CaseAt(index + index%lastslot.Slots*lastslot.CasesPerSlot)}
		c.shown = page.StickersOf(tap.Empty(c.Slot))
		c.tap(c.shown[c.Corner*5+c.Twists[c.Corner]].Inputs[0])
		c.tap(c.shown[c.Edge*5+3+c.Flips[c.Edge]].Inputs[0])
		for input, ok := c.wrong(); ok; input, ok = c.wrong() {
			c.tap(input)
		}
		values := tapsOf(page.TapView{Stickers: c.shown})
		values.Set("slot", c.Slot.String())
		set, err := sent(t, values).Case()
		if err != nil || set != c.Case || c.taps > 8 {
			t.Fatalf("%s: told %s in %d taps, %v", c.Code(), set.Code(), c.taps, err)
		}
		sum, most = sum+c.taps, max(most, c.taps)
	}
	average := float64(sum) / lastslot.CasesPerSlot
	t.Logf("%d cases: %.3f taps on average, at most %d", lastslot.CasesPerSlot, average, most)
	assert.LessOrEqual(t, average, 5.6)
}

// What cannot be tapped would be no case, and what can be is one, whatever is
// tapped in whatever order.
func TestOnlyPossibleStickersCanBeTapped(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(4, 4))
	for range 300 / cubetest.Stride(t, 10) {
		c := lastslot.CaseAt(random.IntN(lastslot.Cases))
		f := tap.Empty(c.Slot)
		f.Pairs[0] = tap.Pair{Corner: tap.Sticker{Spot: c.Corner, Turned: c.Twists[c.Corner]}, Edge: tap.Sticker{Spot: c.Edge, Turned: c.Flips[c.Edge]}}
		view := formOf(f)
		for range 12 {
			var can []page.TapInput
			for _, s := range view.Stickers {
				values := tapsOf(view)
				values.Set(s.Inputs[1].Name, s.Inputs[1].Value)
				tapped := sent(t, values)
				_, err := tapped.Case()
				if !s.Inputs[1].Disabled {
					require.NoError(t, err, "%v", values)
					can = append(can, s.Inputs[1])
				} else if !strings.Contains(s.Class, " of-pair") {
					require.Error(t, err, "%v", values)
					require.Contains(t, s.Class, " impossible")
				}
			}
			i := can[random.IntN(len(can))]
			values := tapsOf(view)
			values.Set(i.Name, i.Value)
			view = formOf(sent(t, values))
		}
	}
}

// Undo leads back through all that was done, whatever it was, and the figure can
// be cleared.
func TestToolsOfTheFigure(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	tool := func(p site.Page, name string) string {
		found := p.Find(func(n *html.Node) bool { return site.Attribute(n, "class") == "tool" && site.Words(n) == name })
		require.Len(t, found, 1)
		assert.NotEqual(t, hasAttribute(found[0], "href"), hasAttribute(found[0], "aria-disabled"))
		return site.Attribute(found[0], "href")
	}
	code := func(p site.Page) string { return strings.TrimSuffix(strings.Fields(p.ByID(t, "status"))[1], ":") }
	p := site.Get(t, h, "/?case="+site.TappedCode(t)+"&hand=right&max_count=9")
	assert.Empty(t, tool(p, "Undo"), "nothing was done")
	var codes []string
	for _, name := range []string{"Mirror", "Turn the top", "Turn the puzzle", "Turn the puzzle", "Mirror", "Turn the top"} {
		codes = append(codes, code(p))
		p = site.Get(t, h, tool(p, name))
		require.Equal(t, http.StatusOK, p.Status)
		require.NotEqual(t, codes[len(codes)-1], code(p), name)
		assert.Contains(t, p.Body, `<input type="hidden" name="hand" value="right">`, "the filter stays")
	}
	cleared := site.Get(t, h, tool(p, "Clear"))
	assert.Contains(t, cleared.ByID(t, "status"), "Your case: first where the pair’s corner is")
	assert.Empty(t, patternsOf(cleared))
	p = site.Get(t, h, tool(cleared, "Undo"))
	for i := len(codes) - 1; i >= 0; i-- {
		p = site.Get(t, h, tool(p, "Undo"))
		assert.Equal(t, codes[i], code(p))
	}
	assert.Empty(t, tool(p, "Undo"))

	// What was remembered is bounded, and what is no figure is passed over.
	history := tap.History{}
	for i := range 40 {
		history = history.With(tap.Of(lastslot.CaseAt(i)))
	}
	assert.Len(t, history, tap.LongestHistory)
	assert.Equal(t, history, history.With(history[tap.LongestHistory-1]), "what is shown is there once")
	assert.Equal(t, history, tap.ReadHistory(url.Values{"was": {history.String()}}))
	assert.Empty(t, tap.ReadHistory(url.Values{"was": {"x.0-------------.9------------.0f-----------.0-----3------.<b>"}}))
	assert.Len(t, tap.ReadHistory(url.Values{"was": {"0------------.3--0120001010"}}), 2)
}

func TestStepsGoOn(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	step := func(p site.Page) string {
		return site.Attribute(p.Find(func(n *html.Node) bool { return site.Attribute(n, "name") == "mark" && hasAttribute(n, "checked") })[0], "value")
	}
	for _, s := range []struct{ query, step, says string }{
		{"mark=top", "corner", "first where the pair’s corner is"},
		{"mark=corner&corner=UFR.U", "edge", "Now where the pair’s edge is"},
		{"mark=edge&edge=UF.U", "corner", "first where the pair’s corner is"},
		{"mark=edge&edge=UF.U&corner=UFR.U", "top", "Case "},
		{"mark=corner&edge=UF.U&corner=UFR.U", "top", "Case "},
	} {
		p := site.Get(t, h, "/?"+s.query)
		assert.Equal(t, http.StatusOK, p.Status, s.query)
		assert.Equal(t, s.step, step(p), s.query)
		assert.Contains(t, p.ByID(t, "status"), s.says, s.query)
	}
}

// Tapped in, pasted and by its code, a case has the same code and forecast.
func TestTappedIsThePastedCase(t *testing.T) {
	t.Parallel()
	handler := site.NewHandler(t)
	for scramble, solution := range map[string]string{
		"R U R' U'":          "",
		page.ExampleScramble: page.ExampleSolution,
		"F' U2 F R U R'":     "",
		"L' U L U F U F'":    "U2",
	} {
		asked := url.Values{"scramble": {scramble}, "solution": {solution}, "slot": {""}}
		pasted := site.Get(t, handler, "/?"+asked.Encode())
		require.Equal(t, http.StatusOK, pasted.Status, "%s / %s: %s", scramble, solution, pasted.ByID(t, "paste"))
		q := url.Values{"scramble": {scramble}}
		if solution != "" {
			q.Set("solution", solution)
		}
		found, err := query.Read(q)
		require.NoError(t, err)
		tapped := site.Get(t, handler, "/?"+tapsOf(formOf(tap.Of(found.Case))).Encode())
		require.Equal(t, http.StatusOK, tapped.Status)
		patterns := func(p site.Page) string {
			return site.Words(p.Find(func(n *html.Node) bool { return site.Attribute(n, "class") == "patterns" })[0])
		}
		assert.Contains(t, tapped.ByID(t, "status"), "Case "+found.Case.Code())
		assert.Equal(t, patterns(pasted), patterns(tapped))
		assert.Equal(t, patterns(pasted), patterns(site.Get(t, handler, "/case/"+found.Case.Code())))
	}
}

// readTapped is the case that the tapped form tells.
func readTapped(q url.Values) (lastslot.Case, error) {
	f, err := tap.Read(q)
	if err != nil {
		return lastslot.Case{}, err
	}
	return f.Case()
}

func TestWhatIsNotTappedIsOriented(t *testing.T) {
	t.Parallel()
	c, err := readTapped(url.Values{"corner": {"slot.bottom"}, "edge": {"slot.left"}})
	require.NoError(t, err)
	assert.True(t, c.Solved())
	assert.Equal(t, lastslot.FR, c.Slot)

	// The piece in the slot takes the rest; where the pair's is there, or it was told,
	// the one that is farthest back on the left.
	for _, s := range []struct {
		taps string
		want lastslot.Case
	}{
		{"corner=UFR.R&edge=UB.B", lastslot.Case{Corner: 3, Edge: 0, Twists: [lastslot.Spots]int{3: 1, 4: 2}, Flips: [lastslot.Spots]int{0: 1, 4: 1}}},
		{"corner=slot.left&edge=slot.right", lastslot.Case{Corner: 4, Edge: 4, Twists: [lastslot.Spots]int{0: 2, 4: 1}, Flips: [lastslot.Spots]int{0: 1, 4: 1}}},
		{"corner=UFR.R&edge=UB.B&slotcorner=left&slotedge=right", lastslot.Case{Corner: 3, Edge: 0, Twists: [lastslot.Spots]int{0: 1, 3: 1, 4: 1}, Flips: [lastslot.Spots]int{0: 1, 4: 1}}},
	} {
		values, err := url.ParseQuery(s.taps)
		require.NoError(t, err)
		c, err := readTapped(values)
		require.NoError(t, err)
		assert.Equal(t, s.want, c, s.taps)
	}
}

func TestTappedTroubles(t *testing.T) {
	t.Parallel()
	handler := site.NewHandler(t)
	pair := "corner=UFR.U&edge=UB.U"
	corners, edges := "&UBL=L&UBR=U&UFL=U&slotcorner=bottom", "&UL=L&UR=U&UF=U&slotedge=left"
	for _, s := range []struct {
		query  string
		status int
		says   string
	}{
		{pair + corners, http.StatusUnprocessableEntity, "One corner is twisted"},
		{pair + edges, http.StatusUnprocessableEntity, "One edge is flipped"},
		{pair + corners + edges, http.StatusUnprocessableEntity, "One corner is twisted and one edge is flipped"},
		{pair + "&UBL=F", http.StatusBadRequest, "UBL is U or L or B, not “F”"},
		{pair + "&slot=XY", http.StatusBadRequest, "XY"},
		{"corner=UFR.L&edge=UB.U", http.StatusBadRequest, "UFR.L"},
		{"corner=DFR.D&edge=UB.U", http.StatusBadRequest, "DFR.D"},
	} {
		p := site.Get(t, handler, "/?"+s.query)
		assert.Equal(t, s.status, p.Status, s.query)
		assert.Contains(t, p.ByID(t, "top-problem"), s.says, s.query)
		assert.Contains(t, p.ByID(t, "status"), s.says, s.query)
		assert.Empty(t, p.ByID(t, "answer"), s.query)
	}
	kept := site.Get(t, handler, "/?slot=BL&"+pair+corners)
	checked := kept.Find(func(n *html.Node) bool {
		return site.Attribute(n, "name") == "UBL" && site.Attribute(n, "value") == "L" && hasAttribute(n, "checked")
	})
	assert.Len(t, checked, 1, "what was tapped is kept")
}

func hasAttribute(n *html.Node, name string) bool {
	for _, a := range n.Attr {
		if a.Key == name {
			return true
		}
	}
	return false
}

func TestReadFigureGivesProblems(t *testing.T) {
	t.Parallel()
	_, err := tap.Read(url.Values{"corner": {"UFR.U"}, "edge": {"UB.U"}, "UB": {"nonsense"}})
	var p *problem.Problem
	require.True(t, errors.As(err, &p), "%v", err)
	assert.Equal(t, "top", p.Field)
	_, err = readTapped(url.Values{"corner": {"UFR.U"}})
	require.True(t, errors.As(err, &p), "%v", err)
	assert.Contains(t, p.Detail, "tap where the pair’s edge is")
}

// Hints name the pieces in the reader's colours.
func TestHintsNameTheColours(t *testing.T) {
	t.Parallel()
	for top, want := range map[string][3]string{
		// The usual colours, and how they lie: WCA Regulations 3f and 3f1 (2024).
		"":      {"white-orange-blue: tap its white", "blue-orange: tap its blue", "tap each yellow that is not on top"},
		"white": {"yellow-red-blue: tap its yellow", "blue-red: tap its blue", "tap each white that is not on top"},
	} {
		v := page.TapOf(tap.Empty(lastslot.BR), nil, nil, page.ColoursOf(top))
		for i, hint := range want {
			assert.Equal(t, hint, v.Steps[i].Hint)
		}
	}
}

// The colours' names are those of the style sheet.
func TestColoursAreTheStyleSheets(t *testing.T) {
	t.Parallel()
	css, err := os.ReadFile("../style/puzzle.css")
	require.NoError(t, err)
	sides := map[string]cube.Face{"up": cube.FaceU, "down": cube.FaceD, "front": cube.FaceF, "back": cube.FaceB, "right": cube.FaceR, "left": cube.FaceL}
	rules := regexp.MustCompile(`(?s)(:root|\[data-top="(\w+)"\]) \{(.*?)\n\}`).FindAllStringSubmatch(string(css), -1)
	usual, compared := page.ColoursOf(""), 0
	for _, rule := range rules {
		// What a rule does not say stays as it is at the root.
		want := usual
		for _, set := range regexp.MustCompile(`--of-(\w+): var\(--(\w+)\)`).FindAllStringSubmatch(rule[3], -1) {
			want[sides[set[1]]] = set[2]
			compared++
		}
		assert.Equal(t, want, page.ColoursOf(rule[2]), rule[1])
	}
	assert.Equal(t, 6+4+4*6, compared)
}

// Whatever the address tells of the figure, a page comes that says so.
func FuzzTapped(f *testing.F) {
	h := site.NewHandler(f)
	f.Add("slot=FR&mark=top&corner=UFR.R&edge=UB.U&UL=L&was=0-0----------.0------------")
	f.Add("mark=corner&corner=slot.left&slotcorner=bottom&max_count=7&hand=left&rotation=none")
	f.Add("mark=top&corner=UFR.U&edge=UB.U&UBL=L&UBR=U&UFL=U&slotcorner=bottom")
	f.Add("edge=slot.&slot=&part=answer&was=..x..")
	f.Fuzz(func(t *testing.T, raw string) {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.URL.RawQuery = raw
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		switch w.Code {
		case http.StatusOK, http.StatusBadRequest, http.StatusUnprocessableEntity, http.StatusRequestURITooLong:
		default:
			t.Fatalf("status %d: %s", w.Code, w.Body)
		}
		values, err := url.ParseQuery(raw)
		if err != nil || !tap.Asked(values) {
			return
		}
		shown, _ := tap.Read(values)
		for _, moved := range []tap.Figure{shown, shown.Mirrored().Mirrored(), shown.TopTurned().TopTurned().TopTurned().TopTurned(), shown.TurnedRound().TurnedRound().TurnedRound().TurnedRound()} {
			back, ok := tap.Parse(moved.String())
			if !ok || back != shown {
				t.Fatalf("%s became %s", shown, moved)
			}
		}
	})
}
