package web

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/forecast/atlas"
	"slotcast/forecast/lastslot"
)

// loadedBook is the book that all tests share: it does not change.
var loadedBook = sync.OnceValues(forecast.Load)

// loadedAtlas is the atlas that all tests share.
var loadedAtlas = sync.OnceValues(atlas.Load)

// newHandler is the whole of Slotcast, with a database that is well.
func newHandler(t testing.TB) http.Handler {
	t.Helper()
	return newHandlerWith(t, func(context.Context) error { return nil })
}

func newHandlerWith(t testing.TB, healthy func(context.Context) error) http.Handler {
	t.Helper()
	book, err := loadedBook()
	require.NoError(t, err)
	shortest, err := loadedAtlas()
	require.NoError(t, err)
	return New(Config{Book: book, Atlas: shortest, Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Healthy: healthy})
}

// ask asks the handler and returns the answer with its body read.
func ask(t testing.TB, h http.Handler, method, address string) (*http.Response, string) {
	t.Helper()
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest(method, address, nil))
	return w.Result(), w.Body.String()
}

// forecastURL is the address of a forecast; parameters come in pairs.
func forecastURL(parameters ...string) string {
	values := url.Values{}
	for i := 0; i < len(parameters); i += 2 {
		values.Add(parameters[i], parameters[i+1])
	}
	return "/api/v1/forecast?" + values.Encode()
}

// toldProblem is a problem as it is read outside.
type toldProblem struct {
	Type, Title, Detail, Field string
	Status                     int
	Offset                     *int
}

// none stands for a problem without an offset.
const none = -1

func TestWhatBadInputGets(t *testing.T) {
	const lastSlot = "R U R'"
	code := lastslot.CaseAt(0).Code()
	tooLong := strings.Repeat("U ", 2048) + "U"
	h := newHandler(t)
	for _, tt := range []struct {
		name       string
		parameters []string
		status     int
		field      string
		offset     int
		says       string
	}{
		{"nothing", nil, 400, "scramble", none, "missing"},
		{"a solution alone", []string{"solution", lastSlot}, 400, "scramble", none, "missing"},
		{"only what is unknown", []string{"colour", "red"}, 400, "scramble", none, "missing"},
		{"case and scramble", []string{"case", code, "scramble", lastSlot}, 400, "case", none, "one of the two"},
		{"empty case beside scramble", []string{"case", "", "scramble", lastSlot}, 400, "case", none, "one of the two"},
		{"solution beside case", []string{"case", code, "solution", lastSlot}, 400, "solution", none, "beside case"},
		{"empty solution beside case", []string{"case", code, "solution", ""}, 400, "solution", none, "beside case"},
		{"slot beside case", []string{"case", code, "slot", "FR"}, 400, "slot", none, "beside case"},

		{"empty case", []string{"case", ""}, 400, "case", 0, "5 characters"},
		{"short case", []string{"case", code[:4]}, 400, "case", 4, "this one has 4"},
		{"long case", []string{"case", code + "00"}, 400, "case", 5, "this one has 7"},
		{"a letter of no code", []string{"case", code[:2] + "O" + code[3:]}, 400, "case", 2, "in no code"},
		{"a letter of no alphabet", []string{"case", code[:3] + "é" + code[4:]}, 400, "case", 3, "in no code"},
		{"a mistyped case", []string{"case", "1" + code[1:]}, 400, "case", 0, "no code"},
		{"a mistyped case, spaces beside it", []string{"case", " " + code}, 400, "case", 0, "in no code"},
		{"a code past the last", []string{"case", "YYYY0"}, 400, "case", 0, "no code"},
		{"bytes that are no text", []string{"case", "\xff\xfe"}, 400, "case", 0, ""},

		{"empty scramble", []string{"scramble", ""}, 400, "scramble", 0, "no turns"},
		{"white space", []string{"scramble", " \n\t"}, 400, "scramble", 0, "no turns"},
		{"a comment alone", []string{"scramble", "// R U R'"}, 400, "scramble", 0, "no turns"},
		{"an empty group", []string{"scramble", "()"}, 400, "scramble", 0, "no turns"},
		{"empty solution", []string{"scramble", lastSlot, "solution", ""}, 400, "solution", 0, "no turns"},
		{"a comment as solution", []string{"scramble", lastSlot, "solution", "// cross"}, 400, "solution", 0, "no turns"},
		{"no turn in scramble", []string{"scramble", "R U Q R'"}, 400, "scramble", 4, "“Q”"},
		{"characters are counted, not bytes", []string{"scramble", "R’ U’ é"}, 400, "scramble", 6, "“é”"},
		{"no turn in solution", []string{"scramble", lastSlot, "solution", "R U3"}, 400, "solution", 2, "“U3”"},
		{"both wrong: the first is told", []string{"scramble", "Q", "solution", "Q"}, 400, "scramble", 0, "“Q”"},
		{"a bracket left open", []string{"scramble", "U (R U"}, 400, "scramble", 2, "bracket"},
		{"markup is no turn", []string{"scramble", "<script>"}, 400, "scramble", 0, "<script>"},
		{"a scramble too long", []string{"scramble", tooLong}, 400, "scramble", 4096, "4096 characters"},
		{"far too long", []string{"scramble", strings.Repeat("R'", 60_000)}, 400, "scramble", 4096, "4096 characters"},
		{"too long in nine bytes a character", []string{"scramble", strings.Repeat("R’", 2049)}, 400, "scramble", 4096, "4096 characters"},
		{"a solution too long", []string{"scramble", lastSlot, "solution", tooLong}, 400, "solution", 4096, "4096 characters"},
		{"too many turns by repetition", []string{"scramble", "((R U)99)99"}, 400, "scramble", 0, "4096 turns"},

		{"unknown slot", []string{"scramble", lastSlot, "slot", "RF"}, 400, "slot", 0, "“RF”"},
		{"empty slot", []string{"scramble", lastSlot, "slot", ""}, 400, "slot", 0, "FR, FL, BL or BR"},
		{"a long slot is cut", []string{"scramble", lastSlot, "slot", strings.Repeat("x", 5000)}, 400, "slot", 0, "x…”"},
		{"limit 0", []string{"case", code, "limit", "0"}, 400, "limit", 0, "“0”"},
		{"limit 501", []string{"case", code, "limit", "501"}, 400, "limit", 0, "1 to 500"},
		{"limit -1", []string{"case", code, "limit", "-1"}, 400, "limit", 0, "whole number"},
		{"limit +1", []string{"case", code, "limit", "+1"}, 400, "limit", 0, "whole number"},
		{"limit 1.0", []string{"case", code, "limit", "1.0"}, 400, "limit", 0, "whole number"},
		{"limit 1e2", []string{"case", code, "limit", "1e2"}, 400, "limit", 0, "whole number"},
		{"limit in words", []string{"case", code, "limit", "all"}, 400, "limit", 0, "whole number"},
		{"empty limit", []string{"case", code, "limit", ""}, 400, "limit", 0, "whole number"},
		{"limit past every number", []string{"case", code, "limit", "99999999999999999999"}, 400, "limit", 0, "whole number"},
		{"unknown per", []string{"case", code, "per", "turn"}, 400, "per", 0, "pattern"},
		{"empty per", []string{"case", code, "per", ""}, 400, "per", 0, "pattern"},
		{"unknown predicted", []string{"case", code, "predicted", "1"}, 400, "predicted", 0, "true or false"},
		{"predicted in capitals", []string{"case", code, "predicted", "TRUE"}, 400, "predicted", 0, "true or false"},
		{"unknown view", []string{"case", code, "view", "mine"}, 400, "view", 0, "all or known"},
		{"what is known, of nobody", []string{"case", code, "view", "known"}, 401, "", none, "key"},
		{"empty view", []string{"case", code, "view", ""}, 400, "view", 0, "all"},

		{"two cases", []string{"case", code, "case", code}, 400, "case", none, "2 times"},
		{"two scrambles", []string{"scramble", lastSlot, "scramble", "U"}, 400, "scramble", none, "2 times"},
		{"three limits", []string{"case", code, "limit", "1", "limit", "2", "limit", "3"}, 400, "limit", none, "3 times"},

		{"no last-slot position", []string{"scramble", "R U F2 L' D B"}, 422, "scramble", none, "no face has a cross edge"},
		{"two slots open", []string{"scramble", "R U R' L' U' L"}, 422, "scramble", none, "2 slots are open"},
		{"no last-slot position after the solution", []string{"scramble", lastSlot, "solution", "D F"}, 422, "solution", none, "unsolved"},
		{"a slot that is solved", []string{"scramble", lastSlot, "slot", "BL"}, 422, "slot", none, "BL"},
		{"a slot where there is none", []string{"scramble", "R U F2 L' D B", "slot", "BL"}, 422, "scramble", none, "no face has a cross edge"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, body := ask(t, h, http.MethodGet, forecastURL(tt.parameters...))
			assertProblem(t, got, body, tt.status, tt.field, tt.offset, tt.says)
		})
	}
}

// assertProblem checks an answer that is to be problem+json.
func assertProblem(t *testing.T, got *http.Response, body string, status int, field string, offset int, says string) {
	t.Helper()
	require.Equal(t, status, got.StatusCode, body)
	assert.Equal(t, "application/problem+json", got.Header.Get("Content-Type"))
	var p toldProblem
	require.NoError(t, json.Unmarshal([]byte(body), &p), body)
	assert.Equal(t, "about:blank", p.Type)
	assert.Equal(t, http.StatusText(status), p.Title)
	assert.Equal(t, status, p.Status)
	assert.Contains(t, p.Detail, says)
	assert.NotEmpty(t, p.Detail)
	assert.Less(t, len(p.Detail), 1000, "a message, not an echo")
	assert.Equal(t, field, p.Field)
	if offset == none {
		assert.Nil(t, p.Offset)
	} else if assert.NotNil(t, p.Offset) {
		assert.Equal(t, offset, *p.Offset)
	}
}

func TestParametersThatCannotBeDecoded(t *testing.T) {
	h := newHandler(t)
	for _, query := range []string{"scramble=%zz", "case=00000&x=%", "scramble=R;U"} {
		got, body := ask(t, h, http.MethodGet, "/api/v1/forecast?"+query)
		assertProblem(t, got, body, 400, "", none, "encoded")
	}
}

func TestAddressesMethodsAndLengths(t *testing.T) {
	h := newHandler(t)
	for _, tt := range []struct {
		method, address string
		status          int
		allow           string
	}{
		{http.MethodGet, "/api/v1/nothing", 404, ""},
		{http.MethodGet, "/api/v1/forecast/", 404, ""},
		{http.MethodPost, "/api/v1/nothing", 404, ""},
		{http.MethodPost, "/api/v1/forecast", 405, "GET, HEAD"},
		{http.MethodDelete, "/api/v1/patterns", 405, "GET, HEAD"},
		{http.MethodPut, "/healthz", 405, "GET, HEAD"},
		{http.MethodGet, "/api/v1/forecast?scramble=" + strings.Repeat("U", maxURL), 414, ""},
	} {
		got, body := ask(t, h, tt.method, tt.address)
		assertProblem(t, got, body, tt.status, "", none, "")
		assert.Equal(t, tt.allow, got.Header.Get("Allow"), tt.address)
	}
}

func TestHeadAnswersAsGet(t *testing.T) {
	server := httptest.NewServer(newHandler(t))
	defer server.Close()
	for _, address := range []string{"/healthz", "/api/v1/patterns", forecastURL("case", lastslot.CaseAt(7).Code()), forecastURL("case", "?"), "/api/v1/nothing"} {
		get, err := server.Client().Get(server.URL + address)
		require.NoError(t, err)
		require.NoError(t, get.Body.Close())
		head, err := server.Client().Head(server.URL + address)
		require.NoError(t, err)
		body, err := io.ReadAll(head.Body)
		require.NoError(t, err)
		require.NoError(t, head.Body.Close())
		assert.Empty(t, body)
		assert.Equal(t, get.StatusCode, head.StatusCode, address)
		assert.Equal(t, get.Header.Get("Content-Type"), head.Header.Get("Content-Type"), address)
	}
}

func TestHealth(t *testing.T) {
	got, body := ask(t, newHandler(t), http.MethodGet, "/healthz")
	assert.Equal(t, 200, got.StatusCode)
	assert.Equal(t, "no-store", got.Header.Get("Cache-Control"))
	assert.JSONEq(t, `{"status": "ok"}`, body)

	ill := newHandlerWith(t, func(context.Context) error { return errors.New("dial 10.0.0.1: refused") })
	got, body = ask(t, ill, http.MethodGet, "/healthz")
	assertProblem(t, got, body, 503, "", none, "database")
	assert.NotContains(t, body, "10.0.0.1")
}

// A panic in a handler is told as a problem without its insides, is logged, and
// the service goes on; over a real connection, as the connection would be what
// breaks.
func TestPanicInAHandler(t *testing.T) {
	book, err := loadedBook()
	require.NoError(t, err)
	var log strings.Builder
	broken := true
	server := httptest.NewServer(New(Config{Book: book, Log: slog.New(slog.NewTextHandler(&log, nil)), Healthy: func(context.Context) error {
		if broken {
			panic("a secret of the inside")
		}
		return nil
	}}))
	defer server.Close()
	get := func() (*http.Response, string) {
		got, err := server.Client().Get(server.URL + "/healthz")
		require.NoError(t, err)
		body, err := io.ReadAll(got.Body)
		require.NoError(t, err)
		require.NoError(t, got.Body.Close())
		return got, string(body)
	}
	got, body := get()
	assertProblem(t, got, body, 500, "", none, "went wrong")
	assert.NotContains(t, body, "secret")
	assert.Contains(t, log.String(), "a secret of the inside")
	assert.Contains(t, log.String(), "api_test.go", "where it happened")
	broken = false
	got, _ = get()
	assert.Equal(t, 200, got.StatusCode)
}

func TestErrorThatIsNoProblemIsToldWithoutItsInsides(t *testing.T) {
	s := &site{Config: Config{Log: slog.New(slog.NewTextHandler(io.Discard, nil))}}
	got, body := ask(t, s.api(func(http.ResponseWriter, *http.Request) error { return errors.New("table ratings is gone") }), http.MethodGet, "/")
	assertProblem(t, got, body, 500, "", none, "went wrong")
	assert.NotContains(t, body, "ratings")
}
