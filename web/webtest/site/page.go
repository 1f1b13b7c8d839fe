package site

import (
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/web/words"
)

// Page is an answer as HTML.
type Page struct {
	Status int
	Header http.Header
	Body   string
	Root   *html.Node
}

// Get asks as a browser does.
func Get(t testing.TB, h http.Handler, address string) Page {
	t.Helper()
	w := httptest.NewRecorder()
	r := httptest.NewRequest(http.MethodGet, address, nil)
	r.Header.Set("Accept", "text/html,application/xhtml+xml,*/*;q=0.8")
	h.ServeHTTP(w, r)
	return PageOf(t, w)
}

// PageOf reads an answer as a browser does.
func PageOf(t testing.TB, w *httptest.ResponseRecorder) Page {
	t.Helper()
	root, err := html.Parse(strings.NewReader(w.Body.String()))
	require.NoError(t, err)
	return Page{w.Code, w.Header(), w.Body.String(), root}
}

// Find lists the elements that the test accepts.
func (p Page) Find(accept func(*html.Node) bool) (found []*html.Node) {
	for n := range p.Root.Descendants() {
		if n.Type == html.ElementNode && accept(n) {
			found = append(found, n)
		}
	}
	return found
}

// ByID is the words of an element.
func (p Page) ByID(t testing.TB, id string) string {
	t.Helper()
	found := p.Find(func(n *html.Node) bool { return Attribute(n, "id") == id })
	require.Len(t, found, 1, id)
	return Words(found[0])
}

func Attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func Words(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data + " ")
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func Classed(class string) func(*html.Node) bool {
	return func(n *html.Node) bool { return slices.Contains(strings.Fields(Attribute(n, "class")), class) }
}

// FacingOf reads the words back.
func FacingOf(text string) string {
	facing := []byte("UUUUUUUU")
	side := map[string]byte{"left": 'L', "right": 'R', "front": 'F', "back": 'B'}
	for i, place := range words.TopPlaces {
		if place.Corner {
			if found := regexp.MustCompile(`corner at the ` + place.Words + ` faces (?:to the )?(\w+)`).FindStringSubmatch(text); found != nil {
				facing[i] = side[found[1]]
			}
			continue
		}
		edges := regexp.MustCompile(`edges at the .*?face out`).FindString(text)
		if strings.Contains(text, "all four edges") || strings.Contains(edges, place.Words) {
			facing[i] = side[place.Words]
		}
	}
	return string(facing)
}
