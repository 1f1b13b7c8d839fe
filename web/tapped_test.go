package web

import (
	"errors"
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/forecast"
)

// tappedCase has the corner at UFR facing right, the edge at UB with its front
// colour up, and in the slot a corner that shows the top colour at the right.
var tappedCase = forecast.Case{Slot: forecast.FR, Corner: 3, Edge: 0, Twists: [forecast.Spots]int{3: 1, 4: 2}}

func tappedCode(t testing.TB) string {
	t.Helper()
	c, err := forecast.NewCase(tappedCase)
	require.NoError(t, err)
	return c.Code()
}

// tapsOf is what a browser sends of the form.
func tapsOf(v tapView) url.Values {
	values := url.Values{}
	for name, choices := range map[string][]choice{"slot": v.Slots, "mark": v.Marks} {
		for _, c := range choices {
			if c.Checked {
				values.Add(name, c.Value)
			}
		}
	}
	for _, s := range append(v.Top, v.Slot...) {
		for _, i := range s.Inputs {
			if i.Checked {
				values.Add(i.Name, i.Value)
			}
		}
	}
	return values
}

// The form filled with a case, sent as it is, tells that case: over all cases of
// a coarse walk that meets every slot, place, twist and flip.
func TestTappedFormIsTheInverseOfItsFilling(t *testing.T) {
	const step = 7 // no divisor of any number of spots, twists or flips
	for index := 0; index < forecast.Cases; index += step {
		c := forecast.CaseAt(index)
		values := tapsOf(tapOf(c, "top", false))
		for name, v := range values {
			require.Len(t, v, 1, "%s is told once", name)
		}
		require.True(t, isTapped(values))
		back, err := readTapped(values)
		require.NoError(t, err, c.Code())
		require.Equal(t, c, back, c.Code())
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
		tapped := get(t, site, "/?"+tapsOf(tapOf(found.Case, "top", false)).Encode())
		require.Equal(t, http.StatusOK, tapped.status)
		patterns := func(p page) string {
			return words(p.find(func(n *html.Node) bool { return attribute(n, "class") == "patterns" })[0])
		}
		assert.Contains(t, tapped.byID(t, "status"), "Case "+found.Case.Code())
		assert.Equal(t, patterns(pasted), patterns(tapped))
		assert.Equal(t, patterns(pasted), patterns(get(t, site, "/case/"+found.Case.Code())))
	}
}

func TestWhatIsNotTappedIsOriented(t *testing.T) {
	c, err := readTapped(url.Values{"corner": {"slot.bottom"}, "edge": {"slot.left"}})
	require.NoError(t, err)
	assert.True(t, c.Solved())
	assert.Equal(t, forecast.FR, c.Slot)
}

func TestClearedFigureIsSolved(t *testing.T) {
	for index := 0; index < forecast.Cases; index += 999 {
		cleared, err := url.ParseQuery(tapOf(forecast.CaseAt(index), "top", false).Clear[len("/?"):])
		require.NoError(t, err)
		c, err := readTapped(cleared)
		require.NoError(t, err)
		assert.Equal(t, forecast.Case{Slot: forecast.CaseAt(index).Slot, Corner: forecast.InSlot, Edge: forecast.InSlot}, c)
	}
}

func TestTappedTroubles(t *testing.T) {
	site := newHandler(t)
	pair := "corner=UFR.U&edge=UB.U"
	for _, s := range []struct {
		query  string
		status int
		says   string
	}{
		{pair + "&UBL=L", http.StatusUnprocessableEntity, "One corner is twisted"},
		{pair + "&UL=L", http.StatusUnprocessableEntity, "One edge is flipped"},
		{pair + "&UBL=B&UL=L", http.StatusUnprocessableEntity, "One corner is twisted and one edge is flipped"},
		{pair + "&UBL=F", http.StatusBadRequest, "UBL is U or L or B, not “F”"},
		{pair + "&slot=XY", http.StatusBadRequest, "XY"},
		{"corner=UFR.U", http.StatusBadRequest, "pair’s edge"},
		{"edge=UF.U", http.StatusBadRequest, "pair’s corner"},
		{"corner=UFR.L&edge=UB.U", http.StatusBadRequest, "UFR.L"},
		{"corner=DFR.D&edge=UB.U", http.StatusBadRequest, "DFR.D"},
	} {
		p := get(t, site, "/?"+s.query)
		assert.Equal(t, s.status, p.status, s.query)
		assert.Contains(t, p.byID(t, "top-problem"), s.says, s.query)
		assert.Empty(t, p.byID(t, "answer"), s.query)
	}
	kept := get(t, site, "/?slot=BL&"+pair+"&UBL=L")
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

func TestReadTappedGivesProblems(t *testing.T) {
	_, err := readTapped(url.Values{"corner": {"UFR.U"}, "edge": {"UB.U"}, "UB": {"nonsense"}})
	var p *problem
	require.True(t, errors.As(err, &p), "%v", err)
	assert.Equal(t, "top", p.Field)
}
