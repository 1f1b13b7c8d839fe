package api_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/web"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/webtest/site"
)

func TestWhatBadInputGets(t *testing.T) {
	t.Parallel()
	const lastSlot = "R U R'"
	code := lastslot.CaseAt(0).Code()
	tooLong := strings.Repeat("U ", 2048) + "U"
	h := site.NewHandler(t)
	for _, tt := range []struct {
		name       string
		parameters []string
		status     int
		field      string
		offset     int
		says       string
	}{
		{"nothing", nil, 400, "scramble", site.None, "missing"},
		{"a solution alone", []string{"solution", lastSlot}, 400, "scramble", site.None, "missing"},
		{"what is unknown", []string{"case", code, "colour", "red"}, 400, "colour", site.None, "unknown here"},
		{"nothing", nil, 400, "scramble", site.None, "missing"},
		{"case and scramble", []string{"case", code, "scramble", lastSlot}, 400, "case", site.None, "one of the two"},
		{"empty case beside scramble", []string{"case", "", "scramble", lastSlot}, 400, "case", site.None, "one of the two"},
		{"solution beside case", []string{"case", code, "solution", lastSlot}, 400, "solution", site.None, "beside case"},
		{"empty solution beside case", []string{"case", code, "solution", ""}, 400, "solution", site.None, "beside case"},
		{"slot beside case", []string{"case", code, "slot", "FR"}, 400, "slot", site.None, "beside case"},

		{"empty case", []string{"case", ""}, 400, "case", 0, "5 characters"},
		{"short case", []string{"case", code[:4]}, 400, "case", 4, "this one has 4"},
		{"long case", []string{"case", code + "00"}, 400, "case", 5, "this one has 7"},
		{"a letter of no code", []string{"case", code[:2] + "O" + code[3:]}, 400, "case", 2, "in no code"},
		{"a letter of no alphabet", []string{"case", code[:3] + "é" + code[4:]}, 400, "case", 3, "in no code"},
		{"a mistyped case", []string{"case", "1" + code[1:]}, 400, "case", 0, "not a code"},
		{"a mistyped case, spaces beside it", []string{"case", " " + code}, 400, "case", 0, "in no code"},
		{"a code past the last", []string{"case", "YYYY0"}, 400, "case", 0, "not a code"},
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
		{"empty view", []string{"case", code, "view", ""}, 400, "view", 0, "all"},

		{"two cases", []string{"case", code, "case", code}, 400, "case", site.None, "2 times"},
		{"two scrambles", []string{"scramble", lastSlot, "scramble", "U"}, 400, "scramble", site.None, "2 times"},
		{"three limits", []string{"case", code, "limit", "1", "limit", "2", "limit", "3"}, 400, "limit", site.None, "3 times"},

		{"no last-slot position", []string{"scramble", "R U F2 L' D B"}, 422, "scramble", site.None, "no face has a cross edge"},
		{"two slots open", []string{"scramble", "R U R' L' U' L"}, 422, "scramble", site.None, "2 slots are open"},
		{"no last-slot position after the solution", []string{"scramble", lastSlot, "solution", "D F"}, 422, "solution", site.None, "unsolved"},
		{"a slot that is solved", []string{"scramble", lastSlot, "slot", "BL"}, 422, "slot", site.None, "BL"},
		{"a slot where there is none", []string{"scramble", "R U F2 L' D B", "slot", "BL"}, 422, "scramble", site.None, "no face has a cross edge"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, body := site.Ask(t, h, http.MethodGet, site.ForecastURL(tt.parameters...))
			site.AssertProblem(t, got, body, tt.status, tt.field, tt.offset, tt.says)
		})
	}
}

func TestParametersThatCannotBeDecoded(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	for _, query := range []string{"scramble=%zz", "case=00000&x=%", "scramble=R;U"} {
		got, body := site.Ask(t, h, http.MethodGet, "/api/v1/forecast?"+query)
		site.AssertProblem(t, got, body, 400, "", site.None, "encoded")
	}
}

func TestAddressesMethodsAndLengths(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
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
		{http.MethodGet, "/api/v1/forecast?scramble=" + strings.Repeat("U", problem.MaxURL), 414, ""},
	} {
		got, body := site.Ask(t, h, tt.method, tt.address)
		site.AssertProblem(t, got, body, tt.status, "", site.None, "")
		assert.Equal(t, tt.allow, got.Header.Get("Allow"), tt.address)
	}
}

func TestHeadAnswersAsGet(t *testing.T) {
	t.Parallel()
	server := httptest.NewServer(site.NewHandler(t))
	defer server.Close()
	for _, address := range []string{"/healthz", "/api/v1/patterns", site.ForecastURL("case", lastslot.CaseAt(7).Code()), site.ForecastURL("case", "?"), "/api/v1/nothing"} {
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
	t.Parallel()
	got, body := site.Ask(t, site.NewHandler(t), http.MethodGet, "/healthz")
	assert.Equal(t, 200, got.StatusCode)
	assert.Equal(t, "no-store", got.Header.Get("Cache-Control"))
	assert.JSONEq(t, `{"status": "ok"}`, body)

	ill := site.NewHandlerWith(t, func(context.Context) error { return errors.New("dial 10.0.0.1: refused") })
	got, body = site.Ask(t, ill, http.MethodGet, "/healthz")
	site.AssertProblem(t, got, body, 503, "", site.None, "database")
	assert.NotContains(t, body, "10.0.0.1")
	assert.Equal(t, "5", got.Header.Get("Retry-After"))

	ill = site.NewHandlerWith(t, func(context.Context) error {
		return fmt.Errorf("write: %w", &profile.UnavailableError{Reason: "the database’s disk is full", Err: errors.New("write /var/slotcast.db: no space")})
	})
	got, body = site.Ask(t, ill, http.MethodGet, "/healthz")
	site.AssertProblem(t, got, body, 503, "", site.None, "the database’s disk is full")
	assert.NotContains(t, body, "/var")
}

// An outage is a fault that who runs the program has to see, a refusal of too much is
// none.
func TestOutagesAreLogged(t *testing.T) {
	t.Parallel()
	book := forecasttest.Book()
	var log strings.Builder
	h := web.New(web.Config{Book: book, Rate: 0.2, Log: slog.New(slog.NewTextHandler(&log, nil)), Healthy: func(context.Context) error {
		return &profile.UnavailableError{Reason: "the database’s disk is full", Err: errors.New("no space on device 7")}
	}})
	got, _ := site.Ask(t, h, http.MethodGet, "/healthz")
	require.Equal(t, 503, got.StatusCode)
	assert.Contains(t, log.String(), "level=ERROR")
	assert.Contains(t, log.String(), "device 7")
	log.Reset()
	got, _ = site.Ask(t, h, http.MethodGet, "/healthz")
	require.Equal(t, 429, got.StatusCode)
	assert.Empty(t, log.String())
}

// A panic in a handler is told as a problem without its insides, is logged, and
// the service goes on; over a real connection, as the connection would be what
// breaks.
func TestPanicInAHandler(t *testing.T) {
	t.Parallel()
	book := forecasttest.Book()
	var log strings.Builder
	broken := true
	server := httptest.NewServer(web.New(web.Config{Book: book, Log: slog.New(slog.NewTextHandler(&log, nil)), Healthy: func(context.Context) error {
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
	site.AssertProblem(t, got, body, 500, "", site.None, "went wrong")
	assert.NotContains(t, body, "secret")
	assert.Contains(t, log.String(), "a secret of the inside")
	assert.Contains(t, log.String(), "api_test.go", "where it happened")
	broken = false
	got, _ = get()
	assert.Equal(t, 200, got.StatusCode)
}
