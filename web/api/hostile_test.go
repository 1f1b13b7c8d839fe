package api_test

import (
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/go-chi/chi/v5"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/web/profile"
	"slotcast/web/webtest/site"
)

// marked is a text that no answer may have as a part of a page.
const marked = `"><xss onload=a()>`

// nonsense are values that nobody means, for a parameter, a field or a header.
var nonsense = []string{
	"", " ", "0", "-1", "1e309", "NaN", "99999999999999999999", "0x1F", "1.5", "true", "null", "[]", "{}",
	marked, "'; DROP TABLE profiles; --", "../../etc/passwd", "..%2f..%2f", "%", "%00", "\x00", "a\x00b", "\xff\xfe", "\u202e", "🧊",
	"R U R'", "R U R", "x2 y' U", "(((((", "R2 U' [R, U]", "R' R", "M' U2 M", "‘’", "FR", "fr", "27", "58", "known", "all", "cookie",
	"javascript:alert(1)", "//example.org", "/\\example.org", "https://example.org/", "\r\nSet-Cookie: a=b", "${7*7}", "{{7*7}}",
	strings.Repeat("9", 400), strings.Repeat("R U ", 1100), strings.Repeat("(", 5000), strings.Repeat("é", 3000),
}

// bodies are what no route takes, or not as it is.
var bodies = []string{
	"", "null", "0", `"x"`, "[]", "{", "{}", `{"turns": 1}`, `{"value": null}`, `{"name": {"name": {}}}`, "[[[[[[[[", `{"a":1}{"b":2}`,
	`{"format": "slotcast", "version": 2, "ratings": [{}]}`, `{"format": "slotcast", "version": 99}`, "\xef\xbb\xbf{}", "{\"name\": \"\\ud800\"}", "{\"name\": \"\x00\"}",
	strings.Repeat(`{"a":`, 20000), strings.Repeat(`[`, 100000), `{"note": "` + strings.Repeat("x", 70000) + `"}`, "a=1&b=2", "oll=27&turns=R", "\xff",
}

// stranger makes requests as no honest sender does, from the description and the
// pages' routes.
type stranger struct {
	*rand.Rand
	d      description
	routes []strangerRoute
	// usual are values that are right somewhere.
	usual []string
	keys  []string
	// fields are names of parameters and of a form's fields.
	fields []string
}

// long are routes that take a hundred times as long as others, and are asked for less.
var long = []string{"/learn", "/learn/{place}", "/learn/steps", "/api/v1/learning/steps", "/pays", "/plan/{place}", "/api/v1/plan", "/api/v1/learning/places", "/api/v1/learning", "/case/{code}/picture.png", "/print/place/{code}", "/api/v1/practice-scramble"}

type strangerRoute struct{ method, pattern string }

var pathName = regexp.MustCompile(`\{\w+\}`)

func newStranger(t *testing.T, s site.Service, seed uint64) *stranger {
	m := &stranger{Rand: rand.New(rand.NewPCG(seed, 1)), d: described(t, s)}
	require.NoError(t, chi.Walk(s.Handler.(chi.Routes), func(method, route string, _ http.Handler, _ ...func(http.Handler) http.Handler) error {
		m.routes = append(m.routes, strangerRoute{method, route})
		return nil
	}))
	slices.SortFunc(m.routes, func(a, b strangerRoute) int { return strings.Compare(a.pattern+a.method, b.pattern+b.method) })
	names := map[string]bool{}
	for _, methods := range m.d.Paths {
		for _, o := range methods {
			for _, p := range o.Parameters {
				names[p.Name] = true
			}
		}
	}
	for _, name := range []string{"turns", "name", "note", "value", "back", "know", "forget", "hide", "insertion", "seconds", "recognise", "execute", "sure", "key", "with", "show", "mark", "corner", "edge", "page", "change-id", "change-seen", "change-device", "change-key", "change-owner", "recognise-5", "was-recognise-5", "theme", "measured"} {
		names[name] = true
	}
	for name := range names {
		m.fields = append(m.fields, name)
	}
	slices.Sort(m.fields)
	m.usual = []string{"1T0WT", lastslot.CaseAt(54321).Code(), "FR-UFR.R-UB.U", "27", "5", "FR", "recognise", "theme", "dark", "R U R'", "FR R U R'", "0.5", "true"}
	return m
}

func pick[T any](m *stranger, from []T) T { return from[m.IntN(len(from))] }

// value is a wrong one, mostly.
func (m *stranger) value() string {
	switch m.IntN(6) {
	case 0:
		return pick(m, m.usual)
	case 1:
		text := []byte(pick(m, m.usual))
		text[m.IntN(len(text))] ^= byte(1 << m.IntN(8))
		return string(text)
	case 2:
		return profile.NewSecret()
	}
	return pick(m, nonsense)
}

// query is one of the address or of a form, not always encoded as it should be.
func (m *stranger) query(own []string) string {
	var parts []string
	for range m.IntN(4) {
		name := pick(m, m.fields)
		if len(own) > 0 && m.IntN(4) > 0 {
			name = pick(m, own)
		}
		value := m.value()
		if m.IntN(20) > 0 {
			value = url.QueryEscape(value)
		}
		parts = append(parts, name+"="+value)
	}
	return strings.Join(parts, "&")
}

// request makes one, and tells the route that it is for.
func (m *stranger) request() (r *http.Request, about string) {
	route := pick(m, m.routes)
	for slices.Contains(long, route.pattern) && m.IntN(50) > 0 {
		route = pick(m, m.routes)
	}
	var own []string
	for _, p := range m.d.Paths[route.pattern][strings.ToLower(route.method)].Parameters {
		if p.In == "query" {
			own = append(own, p.Name)
		}
	}
	path := pathName.ReplaceAllStringFunc(route.pattern, func(string) string { return m.value() })
	var body io.Reader = http.NoBody
	kind := ""
	if route.method != http.MethodGet || m.IntN(20) == 0 {
		switch m.IntN(3) {
		case 0:
			body, kind = strings.NewReader(m.query(nil)), "application/x-www-form-urlencoded"
		case 1:
			fields := map[string]any{}
			for range m.IntN(4) {
				fields[pick(m, m.fields)] = pick(m, []any{m.value(), m.IntN(100) - 10, 0.5, true, nil, []string{m.value()}})
			}
			text, _ := json.Marshal(fields)
			body, kind = strings.NewReader(string(text)), "application/json"
		default:
			body, kind = strings.NewReader(pick(m, bodies)), pick(m, []string{"application/json", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "text/plain", "x"})
		}
	}
	method := route.method
	if m.IntN(30) == 0 {
		method = pick(m, []string{"GET", "POST", "PUT", "PATCH", "DELETE", "HEAD", "OPTIONS", "TRACE", "BREW"})
	}
	r = httptest.NewRequest("GET", "/", body)
	r.Method, r.URL.Path, r.URL.RawQuery = method, path, m.query(own)
	r.RequestURI = r.URL.RequestURI()
	if kind != "" {
		r.Header.Set("Content-Type", kind)
	}
	switch m.IntN(8) {
	case 0:
		r.Header.Set("Authorization", m.value())
	case 1:
		r.Header.Set("Authorization", "Bearer "+m.value())
	case 2:
		r.Header.Set("Cookie", "slotcast="+m.value())
	case 3:
		r.Header.Set("Cookie", "slotcast="+pick(m, m.keys))
	default:
		r.Header.Set("Authorization", "Bearer "+pick(m, m.keys))
	}
	if m.IntN(2) == 0 {
		r.Header.Set("Accept", pick(m, []string{"text/html", "application/problem+json", "*/*", m.value()}))
	}
	for _, name := range []string{"Sec-Fetch-Site", "Origin", "X-Forwarded-For", "X-Forwarded-Proto", "Range", "If-None-Match", "Accept-Encoding"} {
		if m.IntN(20) == 0 {
			r.Header.Set(name, m.value())
		}
	}
	return r, fmt.Sprintf("%s %s as %s %q", route.method, route.pattern, r.Method, r.RequestURI)
}

// A stranger sends what comes to mind, from the description and the pages' routes:
// nothing of it makes the service fail, each answer is as the description has it, and
// no page has what was sent as a part of itself. SLOTCAST_HOSTILE says how often.
func TestHostileRequests(t *testing.T) {
	t.Parallel()
	many := 20_000
	if testing.Short() {
		many = 1_000
	}
	if text := os.Getenv("SLOTCAST_HOSTILE"); text != "" {
		var err error
		many, err = strconv.Atoi(text)
		require.NoError(t, err)
	}
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	s := site.New(t)
	m := newStranger(t, s, seed)
	schemas := map[string]*jsonschema.Schema{}
	statuses := map[int]int{}
	for n := range many {
		if n%500 == 0 {
			// What a profile had is deleted now and then.
			key := s.NewKey(t)
			s.Fill(t, key)
			m.keys = append(m.keys[max(0, len(m.keys)-3):], key)
		}
		r, about := m.request()
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		statuses[w.Code]++
		if w.Code < 200 || w.Code >= 500 {
			require.Fail(t, "it fails", "%d: %s\n%s", w.Code, about, w.Body)
		}
		kind := w.Header().Get("Content-Type")
		if trouble := headerTrouble(r, w); trouble != "" {
			require.Fail(t, trouble, "%d: %s\n%v", w.Code, about, w.Header())
		}
		switch {
		case w.Code == http.StatusNoContent || r.Method == http.MethodHead:
		case kind == "application/problem+json":
			var p struct {
				Status int
				Detail string
			}
			if json.Unmarshal(w.Body.Bytes(), &p) != nil || p.Status != w.Code || p.Detail == "" || len(p.Detail) > 2000 {
				require.Fail(t, "no problem as it should be", "%d: %s\n%s", w.Code, about, w.Body)
			}
		case w.Code >= 400 && strings.HasPrefix(r.URL.Path, "/api/"):
			require.Fail(t, "the interface answers otherwise than with a problem", "%d %s: %s", w.Code, kind, about)
		case strings.HasPrefix(kind, "text/html") && strings.Contains(w.Body.String(), "<xss"):
			require.Fail(t, "what was sent is a part of the page", "%s\n%s", about, w.Body)
		}
		if n%10 == 0 && w.Code < 300 && kind == "application/json" {
			checkAnswer(t, s, m.d, schemas, r, w, about)
		}
	}
	t.Logf("answered %v", statuses)
	require.Greater(t, statuses[200]+statuses[201]+statuses[204], many/50, "some of it is right")
	require.Greater(t, statuses[400], many/10)
}

// headerTrouble says what is wrong with the header of an answer, whatever is asked.
func headerTrouble(r *http.Request, w *httptest.ResponseRecorder) string {
	h := w.Header()
	kind := h.Get("Content-Type")
	switch to := h.Get("Location"); {
	case h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Content-Security-Policy") == "":
		return "it lacks what every answer has"
	case h.Get("Access-Control-Allow-Origin") != "":
		return "another origin may read it"
	case w.Body.Len() > 0 && kind == "":
		return "its type is missing"
	case strings.HasPrefix(kind, "text/") && !strings.Contains(kind, "charset=utf-8"):
		return "its character set is missing"
	case to != "" && (!strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") || strings.Contains(to, "\\")):
		return "it leads to another host"
	case len(h.Values("Set-Cookie")) > 1:
		return "it sets a cookie that was sent"
	}
	return ""
}

// checkAnswer holds an answer to the description.
func checkAnswer(t *testing.T, s site.Service, d description, schemas map[string]*jsonschema.Schema, r *http.Request, w *httptest.ResponseRecorder, about string) {
	t.Helper()
	context := chi.NewRouteContext()
	if !s.Handler.(chi.Routes).Match(context, r.Method, r.URL.Path) || d.Paths[context.RoutePattern()] == nil {
		return // a page's file
	}
	place := []string{"paths", context.RoutePattern(), strings.ToLower(r.Method), "responses", strconv.Itoa(w.Code), "content", "application/json", "schema"}
	key := strings.Join(place, " ")
	if schemas[key] == nil {
		schemas[key] = d.schema(t, place...)
	}
	require.NoError(t, schemas[key].Validate(jsonValue(w.Body.String())), about)
}
