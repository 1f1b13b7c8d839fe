package page_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// A pasted position that is not before the last slot is explained: what is open and what
// the cross lacks in the sentence, in the list and in the picture, with the text kept.
func TestPastedPositionsAreExplained(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	for _, s := range []struct {
		name, scramble, solution string
		says                     []string
		open, edges              []string
		pictures                 int
	}{
		{"no cross", "R U F2 L' D B", "", []string{"no face has a cross edge in its place"}, nil, []string{"yellow-green", "yellow-orange", "yellow-blue", "yellow-red"}, 0},
		{"three slots, with white down", "R L' R' L", "z2 R U R' B U B' x2 L U L'", []string{"slots are open"}, nil, nil, 0},
		{"three slots", "R U R' L' U' L B U B'", "", []string{"3 slots are open"}, []string{"front right", "front left", "back right"}, nil, 1},
		{"four slots", "R U R' L' U' L L U L' R' U R", "", []string{"all four slots are open"}, []string{"front right", "front left", "back left", "back right"}, nil, 2},
		{"one edge of the cross", "F R", "", []string{"the blue-red edge is unsolved", "with the blue cross down (x)"}, []string{"front right", "back right"}, []string{"blue-red"}, 0},
	} {
		values := url.Values{"scramble": {s.scramble}}
		last := "scramble"
		if s.solution != "" {
			values.Set("solution", s.solution)
			last = "solution"
		}
		p := site.Get(t, h, "/?"+values.Encode())
		require.Equal(t, http.StatusUnprocessableEntity, p.Status, s.name)
		assert.Equal(t, s.scramble, p.ByID(t, "scramble"), "the text stays")
		assert.Equal(t, s.solution, p.ByID(t, "solution"))
		answer := p.ByID(t, "answer")
		for _, words := range s.says {
			assert.Contains(t, answer, words, s.name)
			assert.Contains(t, p.ByID(t, last+"-problem"), words, s.name)
		}
		assert.Equal(t, "No forecast yet. Not a position before the last slot.", p.ByID(t, "status"), s.name)
		for _, slot := range s.open {
			assert.Contains(t, answer, "Open slot: "+slot, s.name)
		}
		var edges []string
		for _, found := range regexp.MustCompile(`The (\S+) edge: at [UDFBLR]{2}, (\S+) facing`).FindAllStringSubmatch(answer, -1) {
			edges = append(edges, found[1])
			assert.True(t, strings.HasPrefix(found[1], found[2]+"-"), "%s: told by the cross's colour", s.name)
		}
		if s.edges != nil || s.open != nil {
			assert.Equal(t, s.edges, edges, s.name)
		}
		drawn := len(p.Find(func(n *html.Node) bool {
			return n.Data == "svg" && n.Parent.Data == "figure" && site.Attribute(n.Parent.Parent, "class") == "unsolved-pictures"
		}))
		assert.Positive(t, drawn, s.name)
		if s.pictures > 0 {
			assert.Equal(t, s.pictures, drawn, s.name)
		}
		assert.NotContains(t, answer, "already filled", s.name)

		part := values
		part.Set("part", "answer")
		assert.Equal(t, answer, site.Get(t, h, "/?"+part.Encode()).ByID(t, "answer"), s.name)

		parameters := []string{"scramble", s.scramble}
		if s.solution != "" {
			parameters = append(parameters, "solution", s.solution)
		}
		got, body := site.Ask(t, h, http.MethodGet, site.ForecastURL(parameters...))
		for _, words := range s.says {
			site.AssertProblem(t, got, body, http.StatusUnprocessableEntity, last, site.None, words)
		}
	}
}

// The picture has the colours that were read, whatever colour the reader has on top.
func TestPastedColoursAreThoseThatWereRead(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	address := "/?scramble=" + url.QueryEscape("R U R' L' U' L U B U B'")
	drawn := func() string {
		return regexpFind(t, `(?s)unsolved-pictures.*?(<svg.*?</svg>)`, s.get(address).Body.String())
	}
	usual := drawn()
	// Yellow is down, and white on top: with yellow on top that is the colour of the bottom.
	assert.Contains(t, usual, "seen-tile of-down")
	require.Equal(t, http.StatusSeeOther, s.post("/profile/preferences", "top", "white").Code)
	whiteOnTop := drawn()
	swapped := strings.NewReplacer("of-up", "of-down", "of-down", "of-up", "of-left", "of-right", "of-right", "of-left").Replace(usual)
	assert.ElementsMatch(t, regexpAll(`class="(seen-[a-z]+ of-[a-z]+)"`, swapped), regexpAll(`class="(seen-[a-z]+ of-[a-z]+)"`, whiteOnTop))
}

// A slot that is filled says so, and offers the one that is open, or the others.
func TestFilledSlotsSaySo(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	links := func(p site.Page, class string) (hrefs, texts []string) {
		for _, n := range p.Find(func(n *html.Node) bool { return n.Data == "a" && strings.Contains(site.Attribute(n, "href"), "slot=") }) {
			if site.Attribute(n, "class") == class {
				hrefs, texts = append(hrefs, site.Attribute(n, "href")), append(texts, site.Words(n))
			}
		}
		return hrefs, texts
	}
	p := site.Get(t, h, "/?view=all&slot=BL&scramble=R+U+R%27")
	require.Equal(t, http.StatusUnprocessableEntity, p.Status)
	assert.Contains(t, p.ByID(t, "answer"), "The slot BL (back left) is already filled; the open one is FR (front right).")
	hrefs, texts := links(p, "button")
	require.Equal(t, []string{"Take front right as the open slot"}, texts)
	address, fragment, _ := strings.Cut(hrefs[0], "#")
	assert.Equal(t, "status", fragment)
	assert.Contains(t, address, "view=all", "all else stays as asked")
	p = site.Get(t, h, address)
	require.Equal(t, http.StatusOK, p.Status)
	assert.NotContains(t, p.ByID(t, "answer"), "already filled")
	assert.NotEmpty(t, patternsOf(p))

	p = site.Get(t, h, "/?scramble=R+U+R%27+U+R+U2+R%27")
	require.Equal(t, http.StatusOK, p.Status)
	assert.Contains(t, p.ByID(t, "answer"), "All four slots are already filled. Front right is taken as the open one; or take front left , back left or back right .")
	hrefs, texts = links(p, "")
	require.Equal(t, []string{"front left", "back left", "back right"}, texts)
	for i, href := range hrefs {
		address, _, _ := strings.Cut(href, "#")
		p = site.Get(t, h, address)
		require.Equal(t, http.StatusOK, p.Status)
		assert.Contains(t, p.ByID(t, "answer"), "already filled. "+strings.ToUpper(texts[i][:1])+texts[i][1:]+" is taken as the open one")
	}
}

// One pastes what is not before the last slot, sees why, mends it, and is never left
// without the text; a filled slot is one click from the open one. Without script too.
func TestBrowserExplainsAPaste(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	for _, scripted := range []bool{true, false} {
		b := browse(t)
		send := func(step func()) { step() }
		if !scripted {
			b.WithoutScript()
			send = b.Follow
		}
		b.Do(chromedp.EmulateViewport(390, 664), chromedp.Navigate(b.Home+"/"))
		if scripted {
			b.Click(".jump")
		} else {
			b.Click("#paste-summary")
		}
		b.Write("#scramble", "R U R' L' U' L U B U B'")
		send(func() { b.Click(pasteButton) })
		b.WaitFor("#answer .unsolved", "3 slots are open: FR (front right), FL (front left) and BR (back right)")
		assert.True(t, script[bool](t, b, `document.querySelector("#answer .unsolved svg").getBoundingClientRect().width > 150`), "the picture is large enough to read")
		assert.Equal(t, "R U R' L' U' L U B U B'", script[string](t, b, `document.getElementById("scramble").value`))
		assert.Equal(t, "true", script[string](t, b, `document.getElementById("scramble").getAttribute("aria-invalid")`))
		if scripted {
			for _, v := range b.Violations() {
				assert.Fail(t, "axe", "%s", v)
			}
		}

		// The pair is put back, and another slot named than the open one.
		b.Write("#scramble", "R U R'")
		b.Do(chromedp.SetValue(chromedp.CSS("#slot"), "BL"))
		send(func() { b.Click(pasteButton) })
		b.WaitFor("#answer .unsolved", "already filled")
		b.Follow(func() { b.Click("#answer .unsolved a.button") })
		b.WaitFor("#status", "Case ")
		assert.Equal(t, "R U R'", script[string](t, b, `document.getElementById("scramble").value`))
		assert.Equal(t, "FR", script[string](t, b, `document.getElementById("slot").value`))
		b.Forget400s()
		b.Quiet()
	}
}
