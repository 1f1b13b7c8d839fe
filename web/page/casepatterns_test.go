package page_test

import (
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slotcast/web/words"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/web/webtest/site"
)

// tilesOf are the links in the picture of all patterns.
func tilesOf(p site.Page) []*html.Node {
	return p.Find(func(n *html.Node) bool { return n.Data == "a" && n.Parent.Parent.Data == "ol" })
}

// Every pattern has a tile, with the seconds of its best option as the interface
// tells them, in its own group and in order.
func TestWhatCanIGetHere(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	for index := 11; index < lastslot.Cases; index += 17_011 {
		code := lastslot.CaseAt(index).Code()
		p := site.Get(t, h, "/case/"+code+"/patterns")
		require.Equal(t, http.StatusOK, p.Status)
		tiles := tilesOf(p)
		require.Len(t, tiles, lastslot.Patterns)
		assert.Contains(t, p.ByID(t, "status"), "58 patterns available")

		best := map[string]string{}
		for _, o := range site.AskForecast(t, h, "case", code, "per", "pattern", "limit", "500").Options {
			total, err := o.Seconds.Total.Float64()
			require.NoError(t, err)
			best[fmt.Sprintf("/case/%s/patterns/%d", code, o.Leaves.OLL)] = words.Seconds(time.Duration(math.Round(total*1000)) * time.Millisecond)
		}
		require.NotEmpty(t, best)
		groups := p.Find(func(n *html.Node) bool { return n.Data == "ol" && site.Attribute(n, "class") == "tiles" })
		require.Len(t, groups, 4)
		seen := map[string]bool{}
		for i, group := range groups {
			last := 0.0
			for a := range group.Descendants() {
				if a.Data != "a" || a.Type != html.ElementNode {
					continue
				}
				path := site.Attribute(a, "href")
				pattern, err := strconv.Atoi(path[strings.LastIndex(path, "/")+1:])
				require.NoError(t, err)
				seen[path] = true
				assert.Equal(t, []lastslot.Edges{lastslot.Cross, lastslot.L, lastslot.Line, lastslot.Dot}[i], lastslot.Pattern(pattern).Outcome().Edges(), path)
				written, said, _ := strings.Cut(site.Words(a), " seconds: ")
				seconds, err := strconv.ParseFloat(written[strings.LastIndex(written, " ")+1:], 64)
				require.NoError(t, err, written)
				// Yours stand first.
				if yours := strings.HasSuffix(said, "; yours"); yours {
					assert.Zero(t, last, path)
					continue
				}
				assert.GreaterOrEqual(t, seconds, last)
				last = seconds
				if want, ok := best[path]; ok {
					assert.Equal(t, want, fmt.Sprintf("%.2f", seconds), path)
				}
				assert.Contains(t, said, "recognise ", "all that is shown is said")
				if pattern > 0 {
					assert.True(t, strings.HasPrefix(written, fmt.Sprintf("OLL %d ", pattern)), written)
				} else {
					assert.True(t, strings.HasPrefix(written, "All oriented "), written)
				}
			}
		}
		assert.Equal(t, lastslot.Patterns, len(seen))
	}
}

func TestWishesByEdges(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	code := site.TappedCode(t)
	count := map[string]int{}
	for _, wish := range []string{"cross", "L", "line", "dot", "no-dot"} {
		p := site.Get(t, h, "/case/"+code+"/patterns?edges="+wish)
		require.Equal(t, http.StatusOK, p.Status)
		count[wish] = len(tilesOf(p))
		current := p.Find(func(n *html.Node) bool { return site.Attribute(n, "aria-current") == "page" })
		require.Len(t, current, 2, "the wish, and which insertions")
		// The interface has the same wish.
		f := site.AskInsertions(t, h, "case", code, "edges", wish, "order", "easiest", "per", "pattern", "limit", "500")
		assert.Len(t, f.Options, count[wish], wish)
	}
	// The numbers of patterns by edges: common practice, from memory.
	assert.Equal(t, map[string]int{"cross": 8, "L": 27, "line": 15, "dot": 8, "no-dot": 50}, count)
}

// What the page of a pattern offers leaves that pattern, on plain stickers, and
// the first has as few turns as the atlas says.
func TestWaysToOnePattern(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	for _, index := range []int{5, 40_000, 100_001} {
		c := lastslot.CaseAt(index)
		for _, pattern := range []int{0, 27, 45, 2} {
			p := site.Get(t, h, fmt.Sprintf("/case/%s/patterns/%d", c.Code(), pattern))
			require.Equal(t, http.StatusOK, p.Status)
			fewest := site.AskInsertions(t, h, "case", c.Code(), "oll", fmt.Sprint(pattern), "limit", "1").Options[0].Count
			turns := "turns"
			if fewest == 1 {
				turns = "turn"
			}
			assert.Contains(t, p.ByID(t, "status"), fmt.Sprintf("at least %d %s, proved", fewest, turns))
			ways := p.Find(func(n *html.Node) bool { return site.Attribute(n, "class") == "insertion" })
			require.NotEmpty(t, ways)
			counted := false
			for _, way := range ways {
				text := site.Words(way)
				if strings.HasPrefix(text, "Do nothing") {
					text = ""
				}
				sequence, err := cube.Parse(text)
				require.NoError(t, err)
				left, err := lastslot.Leaves(c, sequence)
				require.NoError(t, err, text)
				assert.Equal(t, lastslot.Pattern(pattern), left.Pattern())
				assert.Equal(t, cubetest.Solved.Do(sequence), cubetest.Of(sequence.Cube()))
				rest := sequence
				for len(rest) > 0 && (rest[0].Layer() == cube.Y || rest[0].Layer() == cube.U) {
					rest = rest[1:]
				}
				counted = counted || rest.Count() == fewest
			}
			assert.True(t, counted, "one with the fewest is shown")
			assert.Contains(t, p.Body, "found")
		}
	}
}

func TestPagesBelowACaseThatAreNone(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	code := site.TappedCode(t)
	for address, status := range map[string]int{
		"/case/ABC/patterns":                          http.StatusBadRequest,
		"/case/" + code + "/patterns?edges=star":      http.StatusBadRequest,
		"/case/" + code + "/patterns?view=mine":       http.StatusBadRequest,
		"/case/" + code + "/patterns?predicted=maybe": http.StatusBadRequest,
		"/case/" + code + "/patterns?edges=%zz":       http.StatusBadRequest,
		"/case/" + code + "/patterns/58":              http.StatusNotFound,
		"/case/" + code + "/patterns/x":               http.StatusNotFound,
	} {
		assert.Equal(t, status, site.Get(t, h, address).Status, address)
	}
	lower := site.Get(t, h, "/case/"+strings.ToLower(code)+"/patterns?predicted=true")
	assert.Equal(t, http.StatusOK, lower.Status)
	assert.Contains(t, lower.Body, "as if you predicted everything")
	assert.Contains(t, lower.Body, url.QueryEscape("predicted")+"=true", "links keep it")
}

// Whole pages, everything but the network.
func BenchmarkCasePatternsPage(b *testing.B) {
	h := site.NewHandler(b)
	address := "/case/" + site.TappedCode(b) + "/patterns"
	var size int
	for b.Loop() {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, address, nil))
		size = w.Body.Len()
	}
	b.ReportMetric(float64(size), "bytes/page")
}
