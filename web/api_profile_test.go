package web_test

import (
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/forecast/atlas"
	"slotcast/forecast/lastslot"
	"slotcast/server/store"
	"slotcast/server/store/storetest"
	"slotcast/web"
)

var loadedBook = sync.OnceValues(forecast.Load)

var loadedAtlas = sync.OnceValues(atlas.Load)

// service is the whole of Slotcast with a database of its own.
type service struct {
	http.Handler
	store *store.Store
}

func newService(t testing.TB) service {
	t.Helper()
	return serviceAt(t, filepath.Join(t.TempDir(), "slotcast.db"), "")
}

func serviceAt(t testing.TB, database, publicURL string) service {
	t.Helper()
	book, err := loadedBook()
	require.NoError(t, err)
	data, err := store.Open(t.Context(), database)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, data.Close()) })
	shortest, err := loadedAtlas()
	require.NoError(t, err)
	return service{web.New(web.Config{Book: book, Atlas: shortest, PublicURL: publicURL, Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Healthy: data.Ping, Store: data}), data}
}

// logged is the same service with a log that the test can read.
func logged(t testing.TB, data *store.Store, log io.Writer) http.Handler {
	t.Helper()
	book, err := loadedBook()
	require.NoError(t, err)
	return web.New(web.Config{Book: book, Log: slog.New(slog.NewTextHandler(log, nil)), Healthy: data.Ping, Store: data})
}

type answer struct {
	*httptest.ResponseRecorder
}

// ask asks with the key, "" for none, and the body, "" for none.
func (s service) ask(method, address, key, body string) answer {
	r := httptest.NewRequest(method, address, strings.NewReader(body))
	if key != "" {
		r.Header.Set("Authorization", "Bearer "+key)
	}
	return s.do(r)
}

func (s service) do(r *http.Request) answer {
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return answer{w}
}

// must is what a 2xx answer says.
func (a answer) must(t testing.TB) map[string]any {
	t.Helper()
	require.True(t, a.Code >= 200 && a.Code < 300, "%d %s", a.Code, a.Body)
	if a.Body.Len() == 0 {
		return nil
	}
	assert.Equal(t, "application/json", a.Header().Get("Content-Type"))
	var said map[string]any
	require.NoError(t, json.Unmarshal(a.Body.Bytes(), &said))
	return said
}

// refused is a problem's field and detail.
func (a answer) refused(t testing.TB, status int) (field, detail string) {
	t.Helper()
	require.Equal(t, status, a.Code, "%s", a.Body)
	assert.Equal(t, "application/problem+json", a.Header().Get("Content-Type"))
	var p struct{ Field, Detail string }
	require.NoError(t, json.Unmarshal(a.Body.Bytes(), &p))
	assert.NotEmpty(t, p.Detail)
	assert.Less(t, len(p.Detail), 1000, "a message, not an echo")
	return p.Field, p.Detail
}

func (s service) newKey(t testing.TB) string {
	t.Helper()
	a := s.ask("POST", "/api/v1/profiles", "", "")
	require.Equal(t, http.StatusCreated, a.Code)
	assert.Equal(t, "no-store", a.Header().Get("Cache-Control"))
	key := a.must(t)["key"].(string)
	require.Len(t, key, 22, "128 bits")
	return key
}

func (s service) export(t testing.TB, key string) string {
	t.Helper()
	a := s.ask("GET", "/api/v1/export", key, "")
	a.must(t)
	return a.Body.String()
}

const orients27, orients26 = "R U R' U R U2 R'", "R U2 R' U' R U' R'"

// fill puts something of each kind into a profile.
func (s service) fill(t testing.TB, key string) {
	t.Helper()
	for _, call := range [][3]string{
		{"PUT", "/api/v1/ratings/27", `{"recognise": 4, "execute": 5}`},
		{"PUT", "/api/v1/ratings/0", `{"recognise": 1, "execute": 2}`},
		{"PATCH", "/api/v1/ratings/21", `{"execute_seconds": 1.25}`},
		{"PUT", "/api/v1/scale/recognise/5", `{"seconds": 0.1}`},
		{"PUT", "/api/v1/names/27", `{"name": " Kürze 🧊 "}`},
		{"PUT", "/api/v1/own-sequences", `{"oll": 27, "turns": "` + orients27 + `"}`},
		{"PUT", "/api/v1/own-insertions", `{"turns": "R U R'", "known": true, "mirror": true}`},
		{"PUT", "/api/v1/own-insertions", `{"slot": "BL", "turns": "L U' L'", "hidden": true}`},
		{"PUT", "/api/v1/own-insertions", `{"turns": "U R U2 R' U", "own": true, "known": true, "seconds": 0.8, "rating": 3}`},
		{"PUT", "/api/v1/preferences/theme", `{"value": "dark"}`},
		{"PUT", "/api/v1/preferences/speed", `{"value": "0.850"}`},
		// Only a file says when.
		{"POST", "/api/v1/import", `{"format": "slotcast", "version": 1,
			"kept": [{"case": "` + strings.ToLower(codeAt(7)) + `", "note": " Kürze,\r\nthen look left ", "since": "2026-03-01T12:00:01.7Z"}, {"case": "` + codeAt(8) + `", "since": "2026-03-01T13:00:00+01:00"}],
			"recent": [{"case": "` + codeAt(9) + `", "looked": "2026-03-01T12:00:00.002Z"}, {"case": "` + codeAt(7) + `", "looked": "2026-03-01T12:00:00.001Z"}]}`},
	} {
		s.ask(call[0], call[1], key, call[2]).must(t)
	}
}

// codeAt is the code of the case with that index.
func codeAt(index int) string { return lastslot.CaseAt(index).Code() }

var filled = `{
	"format": "slotcast", "version": 1,
	"scale": [{"step": "recognise", "rating": 5, "seconds": 0.1}],
	"ratings": [{"oll": 0, "recognise": 1, "execute": 2}, {"oll": 21, "execute_seconds": 1.25}, {"oll": 27, "recognise": 4, "execute": 5}],
	"names": [{"oll": 27, "name": "Kürze 🧊"}],
	"sequences": [{"oll": 27, "turns": "R U R' U R U2 R'"}],
	"insertions": [
		{"slot": "BL", "turns": "L U' L'", "own": false, "known": false, "hidden": true},
		{"slot": "FL", "turns": "L' U' L", "own": false, "known": true, "hidden": false},
		{"slot": "FR", "turns": "R U R'", "own": false, "known": true, "hidden": false},
		{"slot": "FR", "turns": "R U2 R'", "own": true, "known": true, "hidden": false, "rating": 3, "seconds": 0.8}
	],
	"preferences": [{"name": "speed", "value": "0.85"}, {"name": "theme", "value": "dark"}],
	"kept": [{"case": "` + codeAt(7) + `", "note": "Kürze,\nthen look left", "since": "2026-03-01T12:00:01Z"}, {"case": "` + codeAt(8) + `", "since": "2026-03-01T12:00:00Z"}],
	"recent": [{"case": "` + codeAt(9) + `", "looked": "2026-03-01T12:00:00.002Z"}, {"case": "` + codeAt(7) + `", "looked": "2026-03-01T12:00:00.001Z"}]}`

const empty = `{"format": "slotcast", "version": 1, "scale": [], "ratings": [], "names": [], "sequences": [], "insertions": [], "preferences": [], "kept": [], "recent": []}`

func TestRatingsAsTheContractSays(t *testing.T) {
	s := newService(t)
	key := s.newKey(t)
	assert.JSONEq(t, `{"ratings": []}`, s.ask("GET", "/api/v1/ratings", key, "").Body.String())
	assert.JSONEq(t, `{"oll": 27, "recognise": 4, "execute": 5}`, s.ask("PUT", "/api/v1/ratings/27", key, `{"recognise": 4, "execute": 5}`).Body.String())
	assert.JSONEq(t, `{"ratings": [{"oll": 27, "recognise": 4, "execute": 5}]}`, s.ask("GET", "/api/v1/ratings", key, "").Body.String())
	s.ask("PUT", "/api/v1/ratings/27", key, `{"execute": 1, "recognise": 2}`).must(t)
	s.ask("PATCH", "/api/v1/ratings/27", key, `{"recognise_seconds": 0.4}`).must(t)
	s.ask("PATCH", "/api/v1/ratings/3", key, `{"execute": 3}`).must(t)
	assert.JSONEq(t, `{"ratings": [{"oll": 3, "execute": 3}, {"oll": 27, "recognise_seconds": 0.4, "execute": 1}]}`, s.ask("GET", "/api/v1/ratings", key, "").Body.String())
	assert.Equal(t, http.StatusNoContent, s.ask("DELETE", "/api/v1/ratings/27/recognise", key, "").Code)
	assert.Equal(t, http.StatusNoContent, s.ask("DELETE", "/api/v1/ratings/3", key, "").Code)
	assert.JSONEq(t, `{"ratings": [{"oll": 27, "execute": 1}]}`, s.ask("GET", "/api/v1/ratings", key, "").Body.String())
}

func TestBookIsTakenAlong(t *testing.T) {
	s := newService(t)
	key, other := s.newKey(t), s.newKey(t)
	s.fill(t, key)
	assert.JSONEq(t, filled, s.export(t, key))
	for range 2 {
		s.ask("POST", "/api/v1/import", other, s.export(t, key)).must(t)
		assert.Equal(t, s.export(t, key), s.export(t, other))
	}
	assert.JSONEq(t, `{"names": [{"oll": 27, "name": "Kürze 🧊"}]}`, s.ask("GET", "/api/v1/names", other, "").Body.String())
	assert.JSONEq(t, `{"sequences": [{"oll": 27, "turns": "R U R' U R U2 R'"}]}`, s.ask("GET", "/api/v1/own-sequences", other, "").Body.String())
	assert.Len(t, s.ask("GET", "/api/v1/own-insertions", other, "").must(t)["insertions"], 4)
	scale := s.ask("GET", "/api/v1/scale", other, "").must(t)["scale"].([]any)
	assert.Equal(t, map[string]any{"step": "recognise", "rating": 5.0, "seconds": 0.1, "own": true}, scale[0])
	assert.Equal(t, map[string]any{"step": "execute", "rating": 1.0, "seconds": 2.6, "own": false}, scale[9])

	for _, gone := range []string{
		"ratings/0", "ratings/21", "ratings/27", "scale/recognise/5", "names/27", "own-sequences/27?turns=" + url.QueryEscape(orients27),
		"own-insertions/BL?turns=" + url.QueryEscape("L U' L'"), "own-insertions/FL?turns=" + url.QueryEscape("L' U' L"),
		"own-insertions/FR?turns=" + url.QueryEscape("R U R'"), "own-insertions/FR?turns=" + url.QueryEscape("R U2 R'"),
		"preferences/speed", "preferences/theme", "kept-cases/" + codeAt(7), "kept-cases/" + strings.ToLower(codeAt(8)), "recent-cases",
	} {
		assert.Equal(t, http.StatusNoContent, s.ask("DELETE", "/api/v1/"+gone, other, "").Code, gone)
	}
	assert.JSONEq(t, empty, s.export(t, other))
	assert.JSONEq(t, filled, s.export(t, key))
}

// whatFollows is what the README says beside a line of its example.
var whatFollows = regexp.MustCompile(`(?m) {2,}\S.*$`)

// The README's example of an export is one.
func TestTheREADMEsExportIsRead(t *testing.T) {
	readme, err := os.ReadFile("../README.md")
	require.NoError(t, err)
	_, example, found := strings.Cut(string(readme), "\n    {\"format\"")
	require.True(t, found)
	example, _, _ = strings.Cut(example, "\n\n")
	lines := strings.Split("    {\"format\""+example, "\n")
	for i, line := range lines {
		lines[i] = whatFollows.ReplaceAllString(strings.TrimSpace(line), "")
	}
	example = strings.Join(lines, "\n")
	s := newService(t)
	key := s.newKey(t)
	told := s.ask("POST", "/api/v1/import", key, example)
	require.Equal(t, http.StatusNoContent, told.Code, "%s\n%s", told.Body, example)
	assert.JSONEq(t, example, s.export(t, key))
}

// Of a request that fails, the log has no secret that its address has: a device
// link that was not used still opens its profile.
func TestNoSecretIsLogged(t *testing.T) {
	s := newService(t)
	var log strings.Builder
	s.Handler = logged(t, s.store, &log)
	key := s.newKey(t)
	token := s.ask("POST", "/api/v1/device-links", key, "").must(t)["token"].(string)
	share := s.ask("POST", "/api/v1/shares", key, "").must(t)["share"].(string)
	for _, address := range []string{"/device/" + token, "/api/v1/shares/" + share, "/nothing/" + key} {
		assert.GreaterOrEqual(t, s.ask("PATCH", address, "", "").Code, 400, address)
	}
	assert.Equal(t, 3, strings.Count(log.String(), "request not answered"), log.String())
	assert.Contains(t, log.String(), "path=/device/…")
	for _, secret := range []string{key, token, share} {
		assert.NotContains(t, log.String(), secret)
	}
}

// databases are an empty one of each kind.
func databases(t *testing.T) map[string]string {
	t.Helper()
	return map[string]string{
		"SQLite":     filepath.Join(t.TempDir(), "slotcast.db"),
		"PostgreSQL": storetest.StartPostgres(t, false).NewDatabase(t),
	}
}

// Whatever is wrong is told with its field, and changes nothing.
func TestBadInputChangesNothing(t *testing.T) {
	for name, database := range databases(t) {
		t.Run(name, func(t *testing.T) { testBadInput(t, serviceAt(t, database, "")) })
	}
}

func testBadInput(t *testing.T, s service) {
	key := s.newKey(t)
	s.fill(t, key)
	long := strings.Repeat("x", 61)
	in := func(list, objects string) string {
		return `{"format": "slotcast", "version": 1, "names": [{"oll": 1, "name": "new"}], "` + list + `": [` + objects + `]}`
	}
	for _, tt := range []struct {
		method, address, body string
		status                int
		field, says           string
	}{
		{"PUT", "ratings/27", `{"recognise": 0, "execute": 5}`, 400, "recognise", "1 (weak) to 5"},
		{"PUT", "ratings/27", `{"recognise": 1, "execute": 6}`, 400, "execute", "6 is no rating"},
		{"PUT", "ratings/27", `{"recognise": -1, "execute": 5}`, 400, "recognise", ""},
		{"PUT", "ratings/27", `{"recognise": 1.5, "execute": 5}`, 400, "recognise", "whole number"},
		{"PUT", "ratings/27", `{"recognise": "4", "execute": 5}`, 400, "recognise", "string"},
		{"PUT", "ratings/27", `{"recognise": true, "execute": 5}`, 400, "recognise", "bool"},
		{"PUT", "ratings/27", `{"recognise": 1e99, "execute": 5}`, 400, "recognise", ""},
		{"PUT", "ratings/27", `{"recognise": null, "execute": 5}`, 400, "recognise", "missing"},
		{"PUT", "ratings/27", `{"recognise": 4}`, 400, "execute", "missing"},
		{"PUT", "ratings/27", `{"execute": 4}`, 400, "recognise", "missing"},
		{"PUT", "ratings/27", `{}`, 400, "recognise", "missing"},
		{"PUT", "ratings/27", `null`, 400, "recognise", "missing"},
		{"PUT", "ratings/27", `[]`, 400, "", "object"},
		{"PUT", "ratings/27", `"4"`, 400, "", "object"},
		{"PUT", "ratings/27", ``, 400, "", "empty"},
		{"PUT", "ratings/27", `{"recognise": 4, "execute": 5`, 400, "", "too early"},
		{"PUT", "ratings/27", "{\"recognise\": 4,\n \"é\": NaN}", 400, "", "line 2, character 7"},
		{"PUT", "ratings/27", `{"recognise": 4, "execute": 5} {}`, 400, "", "follows"},
		{"PUT", "ratings/27", `{"recognise": 4, "execute": 5, "color": 1}`, 400, "color", "unknown"},
		{"PUT", "ratings/27", "{\"recognise\": 4, \"execute\": 5, \"\xff\": 1}", 400, "", "UTF-8"},
		{"PUT", "ratings/27", `{"recognise": 4, "execute": 5}` + strings.Repeat(" ", 70_000), 413, "", "bytes"},
		{"PUT", "ratings/58", `{"recognise": 4, "execute": 5}`, 400, "oll", "0 to 57"},
		{"PUT", "ratings/-1", `{"recognise": 4, "execute": 5}`, 400, "oll", ""},
		{"PUT", "ratings/027", `{"recognise": 4, "execute": 5}`, 400, "oll", ""},
		{"PUT", "ratings/dot", `{"recognise": 4, "execute": 5}`, 400, "oll", "“dot”"},
		{"PATCH", "ratings/27", `{}`, 400, "", "nothing"},
		{"PATCH", "ratings/27", `{"recognise_seconds": -1}`, 400, "recognise_seconds", "more than 0"},
		{"PATCH", "ratings/27", `{"recognise_seconds": 0}`, 400, "recognise_seconds", "more than 0"},
		{"PATCH", "ratings/27", `{"execute_seconds": 60.001}`, 400, "execute_seconds", "at most 60"},
		{"PATCH", "ratings/27", `{"execute_seconds": 1e999}`, 400, "execute_seconds", ""},
		{"PATCH", "ratings/27", `{"execute_seconds": NaN}`, 400, "", "line 1, character 21"},
		{"DELETE", "ratings/99", ``, 400, "oll", ""},
		{"DELETE", "ratings/27/recall", ``, 404, "", ""},

		{"PUT", "scale/recognise/5", `{"seconds": 61}`, 400, "seconds", "at most 60"},
		{"PUT", "scale/recognise/5", `{}`, 400, "seconds", "missing"},
		{"PUT", "scale/recognise/6", `{"seconds": 1}`, 400, "rating", "“6”"},
		{"PUT", "scale/think/5", `{"seconds": 1}`, 400, "step", "“think”"},
		{"DELETE", "scale/think/5", ``, 400, "step", ""},

		{"PUT", "names/27", `{"name": "` + long + `"}`, 400, "name", "at most 60"},
		{"PUT", "names/27", `{"name": "  "}`, 400, "name", "missing"},
		{"PUT", "names/27", `{"name": "a\u0000b"}`, 400, "name", "control"},
		{"PUT", "names/27", `{"name": 5}`, 400, "name", ""},
		{"PUT", "names/58", `{"name": "x"}`, 400, "oll", ""},

		{"PUT", "own-sequences", `{"oll": 26, "turns": "` + orients27 + `"}`, 422, "turns", "27"},
		{"PUT", "own-sequences", `{"oll": 27, "turns": "R U R' U'"}`, 422, "turns", "keep"},
		{"PUT", "own-sequences", `{"oll": 27, "turns": "R U Q"}`, 400, "turns", "“Q”"},
		{"PUT", "own-sequences", `{"oll": 27, "turns": " "}`, 400, "turns", "no turns"},
		{"PUT", "own-sequences", `{"oll": 27, "turns": "(R U)99"}`, 400, "turns", "at most 100"},
		{"PUT", "own-sequences", `{"oll": 27, "turns": "` + strings.Repeat("R ", 3000) + `"}`, 400, "turns", "4096"},
		{"PUT", "own-sequences", `{"oll": 0, "turns": "` + orients27 + `"}`, 400, "oll", ""},
		{"PUT", "own-sequences", `{"turns": "` + orients27 + `"}`, 400, "oll", "missing"},
		{"DELETE", "own-sequences/0", ``, 400, "oll", ""},

		{"PUT", "own-insertions", `{"turns": "R U"}`, 422, "turns", "keep"},
		{"PUT", "own-insertions", `{"turns": "U"}`, 422, "turns", ""},
		{"PUT", "own-insertions", `{"turns": ""}`, 400, "turns", "no turns"},
		{"PUT", "own-insertions", `{"slot": "FR", "turns": "L' U L"}`, 422, "turns", ""},
		{"PUT", "own-insertions", `{"slot": "RF", "turns": "R U R'"}`, 400, "slot", "“RF”"},
		{"PUT", "own-insertions", `{"turns": "R U R'", "known": true, "hidden": true}`, 400, "hidden", ""},
		{"PUT", "own-insertions", `{"turns": "R U R'", "rating": 9}`, 400, "rating", ""},
		{"PUT", "own-insertions", `{"turns": "R U R'", "seconds": -0.1}`, 400, "seconds", ""},
		{"PUT", "own-insertions", `{"turns": "R U R'", "known": 1}`, 400, "known", "true or false"},
		{"DELETE", "own-insertions/FR", ``, 400, "turns", "missing"},
		{"DELETE", "own-insertions/XX?turns=R", ``, 400, "slot", ""},

		{"PUT", "preferences/theme", `{"value": "grey"}`, 400, "value", "light, dark"},
		{"PUT", "preferences/theme", `{"value": ""}`, 400, "value", "missing"},
		{"PUT", "preferences/theme", `{}`, 400, "value", "missing"},
		{"PUT", "preferences/theme", `{"value": 1}`, 400, "value", "number"},
		{"PUT", "preferences/mood", `{"value": "light"}`, 400, "name", "“mood”"},
		{"PUT", "preferences/speed", `{"value": "fast"}`, 400, "value", "no number"},
		{"PUT", "preferences/speed", `{"value": "0.2"}`, 400, "value", "at least 0.25"},
		{"PUT", "preferences/speed", `{"value": "4.01"}`, 400, "value", "at most 4"},
		{"PUT", "preferences/speed", `{"value": "NaN"}`, 400, "value", ""},
		{"DELETE", "preferences/mood", ``, 400, "name", "theme, text"},
		{"PUT", "kept-cases/ABC", `{}`, 400, "code", ""},
		{"PUT", "kept-cases/" + codeAt(7), `{"note": "` + strings.Repeat("ü", 501) + `"}`, 400, "note", "at most 500"},
		{"PUT", "kept-cases/" + codeAt(7), `{"note": "a\u0000b"}`, 400, "note", "control"},
		{"DELETE", "kept-cases/" + codeAt(7) + "0", ``, 400, "code", ""},
		{"POST", "import", in("preferences", `{"name": "text", "value": "small"}`), 400, "preferences[0].value", "big"},
		{"POST", "import", in("kept", `{"case": "`+codeAt(1)+`", "since": "1970-01-01T00:00:00Z"}`), 400, "kept[0].since", "before 2020"},
		{"POST", "import", in("kept", `{"case": "`+codeAt(1)+`", "since": "yesterday"}`), 400, "kept[0]", ""},
		{"POST", "import", in("kept", `{"case": "`+codeAt(1)+`"}`), 400, "kept[0].since", "missing"},
		{"POST", "import", in("recent", `{"case": "AAAAA", "looked": "2026-03-01T12:00:00Z"}`), 400, "recent[0].case", ""},
		{"POST", "import", in("recent", `{"case": "`+codeAt(1)+`", "looked": "9999-03-01T12:00:00Z"}`), 400, "recent[0].looked", "future"},
		{"POST", "import", in("recent", strings.Repeat(`{"case": "x"},`, 50)+`{"case": "x"}`), 422, "recent", "51 in the list; a profile has at most 50"},
		{"POST", "import", ``, 400, "", "empty"},
		{"POST", "import", `{}`, 400, "format", ""},
		{"POST", "import", `{"format": "slotcast", "version": 2}`, 400, "version", "2"},
		{"POST", "import", `{"format": "slotcast", "version": 1, "ratings": {}}`, 400, "ratings", "list"},
		{"POST", "import", `{"format": "slotcast", "version": 1, "extra": []}`, 400, "extra", "unknown"},
		{"POST", "import", "{\"format\": \"slotcast\",\n\"version\": 1,\n\"names\": [}", 400, "", "line 3, character 11"},
		{"POST", "import", in("ratings", `{"oll": 2, "recognise": 1}, {"oll": 1, "recognise": 9}`), 400, "ratings[1].recognise", "ratings[1]"},
		{"POST", "import", in("ratings", `{"oll": 2}`), 400, "ratings[0]", "nothing to rate"},
		{"POST", "import", in("ratings", `{"oll": 2, "recognize": 1}`), 400, "ratings[0].recognize", "unknown"},
		{"POST", "import", in("ratings", `{"oll": 2, "recognise": "1"}`), 400, "ratings[0].recognise", "whole number"},
		{"POST", "import", in("ratings", `7`), 400, "ratings[0]", "object"},
		{"POST", "import", in("scale", `{"step": "recognise", "rating": 5, "seconds": 99}`), 400, "scale[0].seconds", ""},
		{"POST", "import", in("scale", `{"step": "x", "rating": 5, "seconds": 9}`), 400, "scale[0].step", ""},
		{"POST", "import", `{"format": "slotcast", "version": 1, "names": [{"oll": 1, "name": "a"}, {"oll": 2, "name": "` + long + `"}]}`, 400, "names[1].name", ""},
		{"POST", "import", in("sequences", `{"oll": 1, "turns": "`+orients27+`"}`), 422, "sequences[0].turns", ""},
		{"POST", "import", in("insertions", `{"slot": "FR", "turns": "R U R'"}, {"slot": "FR", "turns": "F"}`), 422, "insertions[1].turns", ""},
		{"POST", "import", strings.Repeat(" ", 50<<20), 413, "", "bytes"},
		{"POST", "profiles?keep=file", ``, 400, "keep", "cookie"},
		{"POST", "device-links/use", `{"token": 5}`, 400, "token", ""},
		{"POST", "device-links/use", `{}`, 410, "token", ""},
		{"DELETE", "shares/none", ``, 404, "share", ""},
		{"DELETE", "shares/%00", ``, 404, "share", ""},
		{"DELETE", "shares/AAAAAAAAAAAAAAAAAAAAAA", ``, 404, "share", ""},
		{"GET", "forecast?case=25YYY&share=%00%ff", ``, 404, "share", ""},
		{"GET", "forecast?case=25YYY&share=", ``, 404, "share", ""},
		{"GET", "forecast?case=25YYY&share=AAAAAAAAAAAAAAAAAAAAAA", ``, 404, "share", ""},
		{"DELETE", "own-sequences/27?turns=%00", ``, 400, "turns", ""},
		{"DELETE", "own-sequences/27?turns=", ``, 400, "turns", "no turns"},
		{"DELETE", "own-sequences/27?turns=R&turns=U", ``, 400, "turns", "2 times"},
		{"DELETE", "own-sequences/27?turns=%zz", ``, 400, "", "encoded"},
		{"DELETE", "own-insertions/FR?turns=%ff", ``, 400, "turns", ""},
		{"PUT", "names/27", `{"name": "a\u0085b"}`, 400, "name", "control"},
	} {
		field, detail := s.ask(tt.method, "/api/v1/"+tt.address, key, tt.body).refused(t, tt.status)
		body := tt.body[:min(len(tt.body), 200)]
		assert.Equal(t, tt.field, field, "%s %s", tt.address, body)
		assert.Contains(t, detail, tt.says, "%s %s", tt.address, body)
	}
	assert.JSONEq(t, filled, s.export(t, key))
}

// routes are all that need a profile. Each does something, or would.
var routes = [][3]string{
	{"GET", "ratings", ""},
	{"PUT", "ratings/5", `{"recognise": 1, "execute": 1}`},
	{"PATCH", "ratings/5", `{"recognise": 1}`},
	{"DELETE", "ratings/27", ""},
	{"DELETE", "ratings/27/execute", ""},
	{"GET", "scale", ""},
	{"PUT", "scale/execute/1", `{"seconds": 9}`},
	{"DELETE", "scale/recognise/5", ""},
	{"GET", "names", ""},
	{"PUT", "names/27", `{"name": "other"}`},
	{"DELETE", "names/27", ""},
	{"GET", "own-sequences", ""},
	{"PUT", "own-sequences", `{"oll": 26, "turns": "` + orients26 + `"}`},
	{"DELETE", "own-sequences/27", ""},
	{"DELETE", "own-sequences/27?turns=" + url.QueryEscape(orients27), ""},
	{"GET", "own-insertions", ""},
	{"PUT", "own-insertions", `{"turns": "R U R'"}`},
	{"DELETE", "own-insertions/FR?turns=" + url.QueryEscape("R U R'"), ""},
	{"GET", "preferences", ""},
	{"PUT", "preferences/theme", `{"value": "light"}`},
	{"DELETE", "preferences/theme", ""},
	{"GET", "recent-cases", ""},
	{"DELETE", "recent-cases", ""},
	{"GET", "kept-cases", ""},
	{"PUT", "kept-cases/" + codeAt(7), `{"note": "other"}`},
	{"DELETE", "kept-cases/" + codeAt(7), ""},
	{"GET", "export", ""},
	{"POST", "import", `{"format": "slotcast", "version": 1, "names": [{"oll": 27, "name": "imported"}]}`},
	{"POST", "device-links", ""},
	{"GET", "shares", ""},
	{"POST", "shares", ""},
	{"DELETE", "shares/SHARE", ""},
	{"DELETE", "profiles/me", ""},
}

// Every route is tried without a key, with wrong ones, with a share's id for a
// key, and with another's: nobody sees or changes anything of a profile. On both
// databases.
func TestProfilesNeverSeeEachOther(t *testing.T) {
	for name, database := range databases(t) {
		t.Run(name, func(t *testing.T) {
			s := serviceAt(t, database, "")
			key := s.newKey(t)
			s.fill(t, key)
			share := s.ask("POST", "/api/v1/shares", key, "").must(t)["share"].(string)
			assert.NotContains(t, share, key)
			for _, route := range routes {
				address := "/api/v1/" + strings.ReplaceAll(route[1], "SHARE", share)
				for _, wrong := range []string{"", "x", share, key + "x", strings.ToUpper(key), key[:21]} {
					a := s.ask(route[0], address, wrong, route[2])
					a.refused(t, http.StatusUnauthorized)
					assert.Equal(t, "Bearer", a.Header().Get("WWW-Authenticate"))
				}
				other := s.newKey(t)
				a := s.ask(route[0], address, other, route[2])
				for _, secret := range []string{key, share, "Kürze", orients27, `"oll":21`} {
					assert.NotContains(t, a.Body.String(), secret, "%s %s", route[0], address)
				}
				assert.JSONEq(t, filled, s.export(t, key), "%s %s", route[0], address)
				shares := s.ask("GET", "/api/v1/shares", key, "")
				assert.JSONEq(t, `{"shares": [{"share": "`+share+`"}]}`, shares.Body.String(), "%s %s", route[0], address)
			}
		})
	}
}

func TestDeletedProfileIsGone(t *testing.T) {
	s := newService(t)
	key := s.newKey(t)
	s.fill(t, key)
	share := s.ask("POST", "/api/v1/shares", key, "").must(t)["share"].(string)
	token := s.ask("POST", "/api/v1/device-links", key, "").must(t)["token"].(string)
	address := "/api/v1/forecast?case=" + lastslot.CaseAt(7).Code()
	s.ask("GET", address, key, "").must(t)
	assert.Equal(t, http.StatusNoContent, s.ask("DELETE", "/api/v1/profiles/me", key, "").Code)
	s.ask("GET", "/api/v1/export", key, "").refused(t, http.StatusUnauthorized)
	s.ask("GET", address, key, "").refused(t, http.StatusUnauthorized)
	s.ask("GET", address+"&share="+share, "", "").refused(t, http.StatusNotFound)
	s.ask("POST", "/api/v1/device-links/use", "", `{"token": "`+token+`"}`).refused(t, http.StatusGone)
}

func TestDeviceLink(t *testing.T) {
	s := newService(t)
	key := s.newKey(t)
	s.fill(t, key)
	before := time.Now()
	link := s.ask("POST", "/api/v1/device-links", key, "").must(t)
	after := time.Now()
	expires, err := time.Parse(time.RFC3339, link["expires"].(string))
	require.NoError(t, err)
	const life = 10 * time.Minute
	// It is told to the second.
	assert.WithinRange(t, expires, before.Add(life-time.Second), after.Add(life+time.Second))
	use := `{"token": "` + link["token"].(string) + `"}`
	second := s.ask("POST", "/api/v1/device-links/use", "", use).must(t)["key"].(string)
	assert.NotEqual(t, key, second)
	assert.JSONEq(t, filled, s.export(t, second))
	s.ask("POST", "/api/v1/device-links/use", "", use).refused(t, http.StatusGone)
	s.ask("PUT", "/api/v1/names/1", second, `{"name": "x"}`).must(t)
	assert.Contains(t, s.export(t, key), `"x"`)
}

func TestShare(t *testing.T) {
	s := newService(t)
	key := s.newKey(t)
	s.fill(t, key)
	code := lastslot.CaseAt(7).Code()
	share := s.ask("POST", "/api/v1/shares", key, "").must(t)["share"].(string)
	own := s.ask("GET", "/api/v1/forecast?case="+code, key, "")
	assert.Equal(t, "private, no-cache", own.Header().Get("Cache-Control"))
	shared := s.ask("GET", "/api/v1/forecast?case="+code+"&share="+share, "", "")
	assert.JSONEq(t, own.Body.String(), shared.Body.String())
	assert.NotEqual(t, s.ask("GET", "/api/v1/forecast?case="+code, "", "").Body.String(), shared.Body.String())
	s.ask("GET", "/api/v1/forecast?case="+code+"&view=known&share="+share, "", "").must(t)
	s.ask("DELETE", "/api/v1/shares/"+share, s.newKey(t), "").refused(t, http.StatusNotFound)
	assert.Equal(t, http.StatusNoContent, s.ask("DELETE", "/api/v1/shares/"+share, key, "").Code)
	s.ask("GET", "/api/v1/forecast?case="+code+"&share="+share, "", "").refused(t, http.StatusNotFound)
	s.ask("DELETE", "/api/v1/shares/"+share, key, "").refused(t, http.StatusNotFound)
}

type options struct {
	Options []struct {
		Turns    string
		Leaves   struct{ OLL int }
		Sequence string
		Known    bool
		Gain     float64
		Seconds  struct{ Insert, Recognise, Execute, Total float64 }
	}
}

func (s service) forecast(t testing.TB, key, query string) (o options) {
	t.Helper()
	a := s.ask("GET", "/api/v1/forecast?"+query, key, "")
	a.must(t)
	require.NoError(t, json.Unmarshal(a.Body.Bytes(), &o))
	return o
}

// What is rated counts in the next forecast, whichever of two programs is asked.
func TestForecastIsTheProfilesOwn(t *testing.T) {
	database := filepath.Join(t.TempDir(), "slotcast.db")
	one, two := serviceAt(t, database, ""), serviceAt(t, database, "")
	key := one.newKey(t)
	query := "limit=500&scramble=" + url.QueryEscape("R U' R'")
	anyone := two.forecast(t, "", query)
	assert.Equal(t, anyone, two.forecast(t, key, query), "nothing is known yet")
	pattern := anyone.Options[0].Leaves.OLL
	put := func(method, address, body string) { one.ask(method, "/api/v1/"+address, key, body).must(t) }
	best := func(asked options) (seconds struct{ Insert, Recognise, Execute, Total float64 }) {
		for _, o := range asked.Options {
			if o.Turns == anyone.Options[0].Turns {
				return o.Seconds
			}
		}
		require.Fail(t, "not offered any more")
		return seconds
	}
	put("PUT", fmt.Sprintf("ratings/%d", pattern), `{"recognise": 1, "execute": 1}`)
	rated := two.forecast(t, key, query)
	assert.Equal(t, 1.3, best(rated).Recognise)
	put("PUT", "scale/recognise/1", `{"seconds": 1.7}`)
	assert.Equal(t, 1.7, best(two.forecast(t, key, query)).Recognise)
	put("PATCH", fmt.Sprintf("ratings/%d", pattern), `{"recognise_seconds": 0.123}`)
	assert.Equal(t, 0.123, best(two.forecast(t, key, query)).Recognise)
	assert.Zero(t, best(two.forecast(t, key, query+"&predicted=true")).Recognise)
	assert.Equal(t, anyone, two.forecast(t, "", query))

	assert.Empty(t, two.forecast(t, key, query+"&view=known").Options)
	put("PUT", "own-insertions", `{"turns": "R U R'", "known": true, "seconds": 9}`)
	known := two.forecast(t, key, query+"&view=known").Options
	require.Len(t, known, 1)
	assert.Equal(t, "R U R'", known[0].Turns)
	assert.True(t, known[0].Known)
	assert.Equal(t, 9.0, known[0].Seconds.Insert)
	all := two.forecast(t, key, query).Options
	assert.Positive(t, all[0].Gain)

	put("PUT", "own-insertions", `{"turns": "R U R'", "hidden": true}`)
	assert.Empty(t, two.forecast(t, key, query+"&view=known").Options)
	for _, o := range two.forecast(t, key, query).Options {
		assert.NotEqual(t, "R U R'", o.Turns)
	}

	// The own sequence is told with what follows each option that leaves it, in
	// whatever hold it is written.
	put("PUT", "own-sequences", `{"oll": 27, "turns": "y2 `+orients27+` U"}`)
	left := 0
	for _, o := range two.forecast(t, key, query).Options {
		if o.Leaves.OLL == 27 {
			left++
			assert.Equal(t, "y2 "+orients27, o.Sequence)
		}
	}
	assert.Positive(t, left)
}

// A browser keeps the key where scripts cannot read it, and another site's page
// cannot use it.
func TestCookie(t *testing.T) {
	for _, tt := range []struct {
		publicURL string
		secure    bool
	}{{"", false}, {"http://cubes.example", false}, {"https://cubes.example", true}} {
		s := serviceAt(t, filepath.Join(t.TempDir(), "slotcast.db"), tt.publicURL)
		made := s.ask("POST", "/api/v1/profiles?keep=cookie", "", "")
		assert.JSONEq(t, `{}`, made.Body.String(), "no script sees the key")
		cookies := made.Result().Cookies()
		require.Len(t, cookies, 1)
		cookie := cookies[0]
		assert.Equal(t, "slotcast", cookie.Name)
		assert.True(t, cookie.HttpOnly)
		assert.Equal(t, http.SameSiteLaxMode, cookie.SameSite)
		assert.Equal(t, tt.secure, cookie.Secure)
		assert.Equal(t, "/", cookie.Path)
		assert.Greater(t, cookie.MaxAge, 365*24*60*60)

		rate := func(headers ...string) answer {
			r := httptest.NewRequest("PUT", "/api/v1/ratings/1", strings.NewReader(`{"recognise": 1, "execute": 1}`))
			r.AddCookie(cookie)
			for i := 0; i < len(headers); i += 2 {
				r.Header.Set(headers[i], headers[i+1])
			}
			return s.do(r)
		}
		_, detail := rate("Sec-Fetch-Site", "cross-site").refused(t, http.StatusForbidden)
		assert.Contains(t, detail, "another site")
		rate("Origin", "https://evil.example").refused(t, http.StatusForbidden)
		rate("Authorization", "Bearer x").refused(t, http.StatusUnauthorized)
		assert.JSONEq(t, empty, s.export(t, cookie.Value))
		rate("Sec-Fetch-Site", "same-origin").must(t)
		rate().must(t)
		if tt.publicURL != "" {
			rate("Origin", tt.publicURL).must(t)
		}

		r := httptest.NewRequest("DELETE", "/api/v1/profiles/me", nil)
		r.AddCookie(cookie)
		gone := s.do(r)
		assert.Equal(t, http.StatusNoContent, gone.Code)
		require.Len(t, gone.Result().Cookies(), 1)
		assert.Negative(t, gone.Result().Cookies()[0].MaxAge)
		// A browser that was not told yet can look cases up all the same.
		r = httptest.NewRequest("GET", "/api/v1/forecast?case="+lastslot.CaseAt(7).Code(), nil)
		r.AddCookie(cookie)
		s.do(r).must(t)
	}
}
