package web

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// tappedCase has the corner at UFR facing right, the edge at UB with its front
// colour up, and in the slot a corner that shows the top colour at the right.
var tappedCase = lastslot.Case{Slot: lastslot.FR, Corner: 3, Edge: 0, Twists: [lastslot.Spots]int{3: 1, 4: 2}}

func tappedCode(t testing.TB) string {
	t.Helper()
	c, err := lastslot.NewCase(tappedCase)
	require.NoError(t, err)
	return c.Code()
}

func formOf(f figure) tapView { return tapOf(f, nil, nil, look{}.shownColours()) }

// tapsOf is what a browser sends of the form.
func tapsOf(v tapView) url.Values {
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
func sent(t testing.TB, values url.Values) figure {
	t.Helper()
	if !isTapped(values) {
		t.Fatal("not the tapped form’s: ", values)
	}
	f, err := readFigure(values)
	require.NoError(t, err)
	return f
}

// The form filled with a case, sent as it is, tells that case: over all cases of
// a coarse walk that meets every slot, place, twist and flip.
func TestTappedFormIsTheInverseOfItsFilling(t *testing.T) {
	const step = 7 // no divisor of any number of spots, twists or flips
	for index := 0; index < lastslot.Cases; index += step {
		c := lastslot.CaseAt(index)
		f := figureOf(c)
		values := tapsOf(formOf(f))
		for name, v := range values {
			require.Len(t, v, 1, "%s is told once", name)
		}
		back := sent(t, values)
		require.Equal(t, f, back)
		told, err := back.forecastCase()
		require.NoError(t, err, c.Code())
		require.Equal(t, c, told, c.Code())
		kept, ok := parseFigure(f.String())
		require.True(t, ok)
		require.Equal(t, f, kept)
	}
}

// cuber is somebody who compares the figure with a puzzle that shows the case, and
// taps.
type cuber struct {
	testing.TB
	lastslot.Case
	shown []stickerView
	taps  int
}

// tap checks an input of those shown, as a browser does, and looks at the figure
// anew.
func (c *cuber) tap(input tapInput) {
	require.False(c, input.Disabled, "%s can be tapped", input.Label)
	values := tapsOf(tapView{Stickers: c.shown})
	values.Set("slot", c.Slot.String())
	values.Set(input.Name, input.Value)
	c.shown = sent(c, values).stickers()
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
func (c *cuber) wrong() (tapInput, bool) {
	var last tapInput
	found := false
	for n, s := range c.shown {
		if !c.wants(n) || s.Inputs[1].Checked || strings.Contains(s.Class, " assumed") {
			continue
		}
		follows := slices.ContainsFunc(c.shown, func(other stickerView) bool {
			return other.Inputs[1].Name == s.Inputs[1].Name && strings.Contains(other.Class, " rest")
		})
		if !follows {
			return s.Inputs[1], true
		}
		last, found = s.Inputs[1], true
	}
	return last, found
}

// Any case is told in at most eight taps, and in 6.5 on the average.
func TestTapsOfEveryCase(t *testing.T) {
	sum, most := 0, 0
	for index := range lastslot.CasesPerSlot {
		// Each case of a slot, by turns at each of the four.
		c := cuber{TB: t, Case: lastslot.CaseAt(index + index%lastslot.Slots*lastslot.CasesPerSlot)}
		c.shown = emptyFigure(c.Slot).stickers()
		c.tap(c.shown[c.Corner*5+c.Twists[c.Corner]].Inputs[0])
		c.tap(c.shown[c.Edge*5+3+c.Flips[c.Edge]].Inputs[0])
		for input, ok := c.wrong(); ok; input, ok = c.wrong() {
			c.tap(input)
		}
		values := tapsOf(tapView{Stickers: c.shown})
		values.Set("slot", c.Slot.String())
		told, err := sent(t, values).forecastCase()
		if err != nil || told != c.Case || c.taps > 8 {
			t.Fatalf("%s: told %s in %d taps, %v", c.Code(), told.Code(), c.taps, err)
		}
		sum, most = sum+c.taps, max(most, c.taps)
	}
	average := float64(sum) / lastslot.CasesPerSlot
	t.Logf("%d cases: %.3f taps on average, at most %d", lastslot.CasesPerSlot, average, most)
	assert.LessOrEqual(t, average, 6.5)
}

// What cannot be tapped would be no case, and what can be is one, whatever is
// tapped in whatever order.
func TestOnlyPossibleStickersCanBeTapped(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 4))
	for range 300 {
		c := lastslot.CaseAt(random.IntN(lastslot.Cases))
		f := emptyFigure(c.Slot)
		f.corner, f.edge = sticker{c.Corner, c.Twists[c.Corner]}, sticker{c.Edge, c.Flips[c.Edge]}
		view := formOf(f)
		for range 12 {
			var can []tapInput
			for _, s := range view.Stickers {
				values := tapsOf(view)
				values.Set(s.Inputs[1].Name, s.Inputs[1].Value)
				tapped := sent(t, values)
				_, err := tapped.forecastCase()
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

// Turning the top, turning the hold and mirroring a figure tell the case that
// turning and mirroring the puzzle lead to.
func TestFigureMovesAsThePuzzleDoes(t *testing.T) {
	told := func(f figure) lastslot.Case {
		c, err := f.forecastCase()
		require.NoError(t, err)
		return c
	}
	const step = 7
	for index := 0; index < lastslot.Cases; index += step {
		c := lastslot.CaseAt(index)
		f := figureOf(c)
		// Which place takes the rest depends on where it is, so all is told.
		f.corners, f.edges = c.Twists, c.Flips
		f = f.tidy()
		require.Equal(t, c.Turned(1), told(f.topTurned()), c.Code())
		require.Equal(t, c.TurnedRound(1), told(f.turnedRound()), c.Code())
		require.Equal(t, f, f.mirrored().mirrored())
		four := f
		for range 4 {
			four = four.turnedRound()
		}
		require.Equal(t, f, four)
	}
	book, err := loadedBook()
	require.NoError(t, err)
	random := rand.New(rand.NewPCG(6, 6))
	for range 200 {
		// Any way's turns, undone, lead to its case.
		c := lastslot.CaseAt(random.IntN(lastslot.Cases))
		options := book.For(forecast.Anyone()).Forecast(forecast.Request{Case: c})
		turns := options[random.IntN(len(options))].Turns.Inverse()
		var found [2]lastslot.Position
		for i, turns := range []cube.Sequence{turns, turns.Mirror(cube.MirrorLR)} {
			if found[i], err = lastslot.Find(turns.Cube(), nil); err != nil {
				break
			}
		}
		if err != nil || found[0].Case.Solved() || found[0].Hold != 0 || found[1].Hold != 0 {
			continue
		}
		f := figureOf(found[0].Case)
		f.corners, f.edges = found[0].Case.Twists, found[0].Case.Flips
		require.Equal(t, found[1].Case, told(f.tidy().mirrored()), "%s", turns)
	}
}

// Undo leads back through all that was done, whatever it was, and the figure can
// be cleared.
func TestToolsOfTheFigure(t *testing.T) {
	h := newHandler(t)
	tool := func(p page, name string) string {
		found := p.find(func(n *html.Node) bool { return attribute(n, "class") == "tool" && words(n) == name })
		require.Len(t, found, 1)
		assert.NotEqual(t, hasAttribute(found[0], "href"), hasAttribute(found[0], "aria-disabled"))
		return attribute(found[0], "href")
	}
	code := func(p page) string { return strings.TrimSuffix(strings.Fields(p.byID(t, "status"))[1], ":") }
	p := get(t, h, "/?case="+tappedCode(t)+"&hand=right&max_count=9")
	assert.Empty(t, tool(p, "Undo"), "nothing was done")
	var codes []string
	for _, name := range []string{"Mirror", "Top U", "Hold y", "Hold y", "Mirror", "Top U"} {
		codes = append(codes, code(p))
		p = get(t, h, tool(p, name))
		require.Equal(t, http.StatusOK, p.status)
		require.NotEqual(t, codes[len(codes)-1], code(p), name)
		assert.Contains(t, p.body, `<input type="hidden" name="hand" value="right">`, "the filter stays")
	}
	cleared := get(t, h, tool(p, "Clear"))
	assert.Contains(t, cleared.byID(t, "status"), "Your case: first where the pair’s corner is")
	assert.Empty(t, patternsOf(cleared))
	p = get(t, h, tool(cleared, "Undo"))
	for i := len(codes) - 1; i >= 0; i-- {
		p = get(t, h, tool(p, "Undo"))
		assert.Equal(t, codes[i], code(p))
	}
	assert.Empty(t, tool(p, "Undo"))

	// What was remembered is bounded, and what is no figure is passed over.
	history := figureHistory{}
	for i := range 40 {
		history = history.with(figureOf(lastslot.CaseAt(i)))
	}
	assert.Len(t, history, longestHistory)
	assert.Equal(t, history, history.with(history[longestHistory-1]), "what is shown is there once")
	assert.Equal(t, history, readHistory(url.Values{"was": {history.String()}}))
	assert.Empty(t, readHistory(url.Values{"was": {"x.0-------------.9------------.0f-----------.0-----3------.<b>"}}))
	assert.Len(t, readHistory(url.Values{"was": {"0------------.3--0120001010"}}), 2)
}

func TestStepsGoOn(t *testing.T) {
	h := newHandler(t)
	step := func(p page) string {
		return attribute(p.find(func(n *html.Node) bool { return attribute(n, "name") == "mark" && hasAttribute(n, "checked") })[0], "value")
	}
	for _, s := range []struct{ query, step, says string }{
		{"mark=top", "corner", "first where the pair’s corner is"},
		{"mark=corner&corner=UFR.U", "edge", "Now where the pair’s edge is"},
		{"mark=edge&edge=UF.U", "corner", "first where the pair’s corner is"},
		{"mark=edge&edge=UF.U&corner=UFR.U", "top", "Case "},
		{"mark=corner&edge=UF.U&corner=UFR.U", "top", "Case "},
	} {
		p := get(t, h, "/?"+s.query)
		assert.Equal(t, http.StatusOK, p.status, s.query)
		assert.Equal(t, s.step, step(p), s.query)
		assert.Contains(t, p.byID(t, "status"), s.says, s.query)
	}
}

// Tapped in, pasted and by its code, a case has the same code and forecast.
func TestTappedIsThePastedCase(t *testing.T) {
	site := newHandler(t)
	for scramble, solution := range map[string]string{
		"R U R' U'":       "",
		exampleScramble:   exampleSolution,
		"F' U2 F R U R'":  "",
		"L' U L U F U F'": "U2",
	} {
		query := url.Values{"scramble": {scramble}, "solution": {solution}, "slot": {""}}
		pasted := get(t, site, "/?"+query.Encode())
		require.Equal(t, http.StatusOK, pasted.status, "%s / %s: %s", scramble, solution, pasted.byID(t, "paste"))
		q := url.Values{"scramble": {scramble}}
		if solution != "" {
			q.Set("solution", solution)
		}
		found, err := readQuery(q)
		require.NoError(t, err)
		tapped := get(t, site, "/?"+tapsOf(formOf(figureOf(found.Case))).Encode())
		require.Equal(t, http.StatusOK, tapped.status)
		patterns := func(p page) string {
			return words(p.find(func(n *html.Node) bool { return attribute(n, "class") == "patterns" })[0])
		}
		assert.Contains(t, tapped.byID(t, "status"), "Case "+found.Case.Code())
		assert.Equal(t, patterns(pasted), patterns(tapped))
		assert.Equal(t, patterns(pasted), patterns(get(t, site, "/case/"+found.Case.Code())))
	}
}

// readTapped is the case that the tapped form tells.
func readTapped(q url.Values) (lastslot.Case, error) {
	f, err := readFigure(q)
	if err != nil {
		return lastslot.Case{}, err
	}
	return f.forecastCase()
}

func TestWhatIsNotTappedIsOriented(t *testing.T) {
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
	site := newHandler(t)
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
		p := get(t, site, "/?"+s.query)
		assert.Equal(t, s.status, p.status, s.query)
		assert.Contains(t, p.byID(t, "top-problem"), s.says, s.query)
		assert.Contains(t, p.byID(t, "status"), s.says, s.query)
		assert.Empty(t, p.byID(t, "answer"), s.query)
	}
	kept := get(t, site, "/?slot=BL&"+pair+corners)
	checked := kept.find(func(n *html.Node) bool {
		return attribute(n, "name") == "UBL" && attribute(n, "value") == "L" && hasAttribute(n, "checked")
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
	_, err := readFigure(url.Values{"corner": {"UFR.U"}, "edge": {"UB.U"}, "UB": {"nonsense"}})
	var p *problem
	require.True(t, errors.As(err, &p), "%v", err)
	assert.Equal(t, "top", p.Field)
	_, err = readTapped(url.Values{"corner": {"UFR.U"}})
	require.True(t, errors.As(err, &p), "%v", err)
	assert.Contains(t, p.Detail, "tap where the pair’s edge is")
}

// Hints name the reader's colours.
func TestHintsNameTheColours(t *testing.T) {
	for top, bottom := range map[string]string{"": "white", "white": "yellow", "red": "orange"} {
		v := tapOf(emptyFigure(lastslot.BR), nil, nil, look{Top: top}.shownColours())
		assert.Contains(t, v.Steps[0].Hint, "bottom colour, "+bottom)
		if top != "" {
			assert.Contains(t, v.Steps[2].Hint, fmt.Sprintf("tap %s where it is not on top", top))
		}
		assert.Contains(t, v.Steps[1].Hint, "colour of the back side")
	}
}

// Whatever the address tells of the figure, a page comes that says so.
func FuzzTapped(f *testing.F) {
	h := newHandler(f)
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
		if err != nil || !isTapped(values) {
			return
		}
		shown, _ := readFigure(values)
		for _, moved := range []figure{shown, shown.mirrored().mirrored(), shown.topTurned().topTurned().topTurned().topTurned(), shown.turnedRound().turnedRound().turnedRound().turnedRound()} {
			back, ok := parseFigure(moved.String())
			if !ok || back != shown {
				t.Fatalf("%s became %s", shown, moved)
			}
		}
	})
}
