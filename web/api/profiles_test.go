package api_test

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/server/store"
	"slotcast/server/store/storetest"
	"slotcast/web"
	"slotcast/web/profile"
	"slotcast/web/webtest/site"
)

// logged is the same service with a log that the test can read.
func logged(t testing.TB, data *store.Store, log io.Writer) http.Handler {
	t.Helper()
	book := forecasttest.Book()
	return web.New(web.Config{Book: book, Log: slog.New(slog.NewTextHandler(log, nil)), Healthy: data.Ping, Store: data})
}

var filled = `{
	"format": "slotcast", "version": 7,
	"scale": [{"step": "execute", "rating": 5, "factor": 0.75}, {"step": "recognise", "rating": 5, "seconds": 0.1}, {"step": "track", "seconds": 0.04}],
	"ratings": [{"oll": 0, "recognise": 1, "execute": 2}, {"oll": 21, "execute_seconds": 1.25}, {"oll": 27, "recognise": 4, "execute": 5}],
	"plls": [{"pll": "T", "rating": 4, "turns": "R U R' U' R' F R2 U' R' U' R U R' F'"}],
	"names": [{"oll": 27, "name": "Kürze 🧊"}],
	"sequences": [{"oll": 27, "turns": "R U R' U R U2 R'"}],
	"insertions": [
		{"slot": "BL", "turns": "L U' L'", "own": false, "hidden": true},
		{"slot": "FL", "turns": "L' U' L", "own": false, "known": true, "hidden": false},
		{"slot": "FR", "turns": "R U R'", "own": false, "known": true, "hidden": false},
		{"slot": "FR", "turns": "R U2 R'", "own": true, "known": true, "hidden": false, "rating": 3, "seconds": 0.8}
	],
	"steps": [{"open": "FR,FL", "turns": "D R U R' D'", "known": true, "hidden": false, "seconds": 0.75}, {"open": "FR,FL", "turns": "M F M'", "hidden": true}],
	"preferences": [{"name": "speed", "value": "0.85"}, {"name": "theme", "value": "dark"}],
	"kept": [{"case": "` + site.CodeAt(7) + `", "note": "Kürze,\nthen look left", "since": "2026-03-01T12:00:01Z"}, {"case": "` + site.CodeAt(8) + `", "since": "2026-03-01T12:00:00Z"}],
	"recent": [{"case": "` + site.CodeAt(9) + `", "looked": "2026-03-01T12:00:00.002Z"}, {"case": "` + site.CodeAt(7) + `", "looked": "2026-03-01T12:00:00.001Z"}],
	"expected": [{"day": "2026-02-28", "seconds": 2.5}, {"day": "2026-03-01", "seconds": 2.345}],
	"results": [
		{"id": "BBBBBBBBBBBBBBBBBBBBBB", "exercise": "execute", "item": "FR R U R'", "at": "2026-03-01T12:00:02.003Z", "seconds": 0.9, "right": false, "grade": 1},
		{"id": "AAAAAAAAAAAAAAAAAAAAAB", "exercise": "recognise", "item": "27", "at": "2026-03-01T12:00:01Z", "seconds": 1.234, "right": true, "grade": 4, "withdrawn": true}
	]}`

const empty = `{"format": "slotcast", "version": 7, "scale": [], "ratings": [], "plls": [], "names": [], "sequences": [], "insertions": [], "steps": [], "preferences": [], "kept": [], "recent": [], "expected": [], "results": []}`

func TestRatingsAsTheContractSays(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	assert.JSONEq(t, `{"ratings": []}`, s.Ask("GET", "/api/v1/ratings", key, "").Body.String())
	assert.JSONEq(t, `{"oll": 27, "recognise": 4, "execute": 5}`, s.Ask("PUT", "/api/v1/ratings/27", key, `{"recognise": 4, "execute": 5}`).Body.String())
	assert.JSONEq(t, `{"ratings": [{"oll": 27, "recognise": 4, "execute": 5}]}`, s.Ask("GET", "/api/v1/ratings", key, "").Body.String())
	s.Ask("PUT", "/api/v1/ratings/27", key, `{"execute": 1, "recognise": 2}`).Must(t)
	s.Ask("PATCH", "/api/v1/ratings/27", key, `{"recognise_seconds": 0.4}`).Must(t)
	s.Ask("PATCH", "/api/v1/ratings/3", key, `{"execute": 3}`).Must(t)
	assert.JSONEq(t, `{"ratings": [{"oll": 3, "execute": 3}, {"oll": 27, "recognise_seconds": 0.4, "execute": 1}]}`, s.Ask("GET", "/api/v1/ratings", key, "").Body.String())
	assert.Equal(t, http.StatusNoContent, s.Ask("DELETE", "/api/v1/ratings/27/recognise", key, "").Code)
	assert.Equal(t, http.StatusNoContent, s.Ask("DELETE", "/api/v1/ratings/3", key, "").Code)
	assert.JSONEq(t, `{"ratings": [{"oll": 27, "execute": 1}]}`, s.Ask("GET", "/api/v1/ratings", key, "").Body.String())
}

func TestBookIsTakenAlong(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key, other := s.NewKey(t), s.NewKey(t)
	s.Fill(t, key)
	assert.JSONEq(t, filled, s.Export(t, key))
	for range 2 {
		s.Ask("POST", "/api/v1/import", other, s.Export(t, key)).Must(t)
		assert.Equal(t, s.Export(t, key), s.Export(t, other))
	}
	assert.JSONEq(t, `{"names": [{"oll": 27, "name": "Kürze 🧊"}]}`, s.Ask("GET", "/api/v1/names", other, "").Body.String())
	assert.JSONEq(t, `{"sequences": [{"oll": 27, "turns": "R U R' U R U2 R'"}]}`, s.Ask("GET", "/api/v1/own-sequences", other, "").Body.String())
	assert.Len(t, s.Ask("GET", "/api/v1/own-insertions", other, "").Must(t)["insertions"], 4)
	assert.JSONEq(t, `{"steps": [{"open": "FR,FL", "turns": "D R U R' D'", "known": true, "hidden": false, "seconds": 0.75}, {"open": "FR,FL", "turns": "M F M'", "hidden": true}]}`,
		s.Ask("GET", "/api/v1/own-steps", other, "").Body.String())
	scale := s.Ask("GET", "/api/v1/scale", other, "").Must(t)["scale"].([]any)
	assert.Equal(t, map[string]any{"step": "recognise", "rating": 5.0, "seconds": 0.1, "own": true}, scale[0])
	assert.Equal(t, map[string]any{"step": "execute", "rating": 1.0, "factor": 1.8, "own": false}, scale[9])
	assert.Equal(t, map[string]any{"step": "track", "seconds": 0.04, "own": true}, scale[10])

	for _, gone := range []string{
		"ratings/0", "ratings/21", "ratings/27", "scale/recognise/5", "scale/execute/5", "scale/track", "names/27", "own-sequences/27?turns=" + url.QueryEscape(site.Orients27),
		"own-insertions/BL?turns=" + url.QueryEscape("L U' L'"), "own-insertions/FL?turns=" + url.QueryEscape("L' U' L"),
		"own-insertions/FR?turns=" + url.QueryEscape("R U R'"), "own-insertions/FR?turns=" + url.QueryEscape("R U2 R'"),
		"own-steps/FR,FL?turns=" + url.QueryEscape("D R U R' D'"), "own-steps/fl,fr?turns=" + url.QueryEscape("M F M'"),
		"plls/T", "preferences/speed", "preferences/theme", "kept-cases/" + site.CodeAt(7), "kept-cases/" + strings.ToLower(site.CodeAt(8)), "recent-cases", "results",
	} {
		assert.Equal(t, http.StatusNoContent, s.Ask("DELETE", "/api/v1/"+gone, other, "").Code, gone)
	}
	assert.JSONEq(t, empty, s.Export(t, other))
	assert.JSONEq(t, filled, s.Export(t, key))
}

// whatFollows are the manual's remarks on the lines of its example.
var whatFollows = regexp.MustCompile(`([\[{},\]"])   .*$`)

// The example of an exported file that the manual shows is one.
func TestTheManualsExportIsRead(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	example := site.Get(t, s, "/manual").Find(func(n *html.Node) bool { return site.Attribute(n, "id") == "export" })[0].FirstChild.Data
	var lines []string
	for line := range strings.Lines(example) {
		lines = append(lines, whatFollows.ReplaceAllString(strings.TrimSpace(line), "$1"))
	}
	file := strings.Join(lines, "\n")
	key := s.NewKey(t)
	imported := s.Ask("POST", "/api/v1/import", key, file)
	require.Equal(t, http.StatusNoContent, imported.Code, "%s\n%s", imported.Body, file)
	assert.JSONEq(t, file, s.Export(t, key))
}

// Of a request that fails, the log has no secret that its address has: a device
// link that was not used still opens its profile.
func TestNoSecretIsLogged(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	var log strings.Builder
	s.Handler = logged(t, s.Store, &log)
	key := s.NewKey(t)
	token := s.Ask("POST", "/api/v1/device-links", key, "").Must(t)["token"].(string)
	share := s.Ask("POST", "/api/v1/shares", key, "").Must(t)["share"].(string)
	for _, address := range []string{"/device/" + token, "/api/v1/shares/" + share, "/nothing/" + key} {
		assert.GreaterOrEqual(t, s.Ask("PATCH", address, "", "").Code, 400, address)
	}
	assert.Equal(t, http.StatusUnauthorized, s.Ask("DELETE", "/api/v1/shares/"+share, "", "").Code)
	assert.Equal(t, 4, strings.Count(log.String(), "request not answered"), log.String())
	assert.Contains(t, log.String(), "route=/api/v1/shares/{share}")
	for _, secret := range []string{key, token, share} {
		assert.NotContains(t, log.String(), secret)
	}
}

// databases are an empty one of each kind, in a short run a file.
func databases(t *testing.T) map[string]string {
	t.Helper()
	databases := map[string]string{"SQLite": filepath.Join(t.TempDir(), "slotcast.db")}
	if !testing.Short() {
		databases["PostgreSQL"] = storetest.StartPostgres(t, false).NewDatabase(t)
	}
	return databases
}

// Whatever is wrong is told with its field, and changes nothing.
func TestBadInputChangesNothing(t *testing.T) {
	t.Parallel()
	for name, database := range databases(t) {
		t.Run(name, func(t *testing.T) { testBadInput(t, site.At(t, database, "")) })
	}
}

func testBadInput(t *testing.T, s site.Service) {
	key := s.NewKey(t)
	s.Fill(t, key)
	long := strings.Repeat("x", 61)
	in := func(list, objects string) string {
		return `{"format": "slotcast", "version": 6, "names": [{"oll": 1, "name": "new"}], "` + list + `": [` + objects + `]}`
	}
	for _, tt := range []struct {
		method, address, body string
		status                int
		field, says           string
	}{
		{"PUT", "ratings/27", `{"recognise": 0, "execute": 5}`, 400, "recognise", "1 (weak) to 5"},
		{"PUT", "ratings/27", `{"recognise": 1, "execute": 6}`, 400, "execute", "6 is not a rating"},
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
		{"PUT", "ratings/27", `{"recognise": 4, "execute": 5} {}`, 400, "", "after the end"},
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
		{"PUT", "scale/think/5", `{"seconds": 1}`, 404, "", ""},
		{"DELETE", "scale/think/5", ``, 404, "", ""},
		{"PUT", "scale/execute/5", `{"seconds": 0.7}`, 400, "seconds", "unknown"},
		{"POST", "import", in("scale", `{"step": "execute", "rating": 5, "seconds": 0.7}`), 400, "scale[0].seconds", "give factor"},
		{"POST", "import", in("scale", `{"step": "track", "rating": 5, "seconds": 0.7}`), 400, "scale[0].rating", "not rated"},
		{"POST", "import", in("scale", `{"step": "recognise", "rating": 5, "factor": 0.7}`), 400, "scale[0].factor", "no factor"},
		{"PUT", "scale/execute/5", `{}`, 400, "factor", "missing"},
		{"PUT", "scale/execute/5", `{"factor": 0.09}`, 400, "factor", "at least 0.1"},
		{"PUT", "scale/execute/1", `{"factor": 10.01}`, 400, "factor", "at most 10"},
		{"PUT", "scale/execute/4", `{"factor": 1.01}`, 422, "scale", "a 4 would be slower than a 3"},
		{"PUT", "scale/recognise/2", `{"seconds": 0.5}`, 422, "scale", "a 3 would be slower than a 2"},
		{"PUT", "scale/track", `{"factor": 1}`, 400, "factor", "unknown"},
		{"PUT", "scale/track", `{}`, 400, "seconds", "missing"},

		{"PUT", "names/27", `{"name": "` + long + `"}`, 400, "name", "at most 60"},
		{"PUT", "names/27", `{"name": "  "}`, 400, "name", "missing"},
		{"PUT", "names/27", `{"name": "a\u0000b"}`, 400, "name", "control"},
		{"PUT", "names/27", `{"name": 5}`, 400, "name", ""},
		{"PUT", "names/58", `{"name": "x"}`, 400, "oll", ""},

		{"PUT", "own-sequences", `{"oll": 26, "turns": "` + site.Orients27 + `"}`, 422, "turns", "27"},
		{"PUT", "own-sequences", `{"oll": 27, "turns": "R U R' U'"}`, 422, "turns", "keep"},
		{"PUT", "own-sequences", `{"oll": 27, "turns": "R U Q"}`, 400, "turns", "“Q”"},
		{"PUT", "own-sequences", `{"oll": 27, "turns": " "}`, 400, "turns", "no turns"},
		{"PUT", "own-sequences", `{"oll": 27, "turns": "(R U)99"}`, 400, "turns", "at most 100"},
		{"PUT", "own-sequences", `{"oll": 27, "turns": "` + strings.Repeat("R ", 3000) + `"}`, 400, "turns", "4096"},
		{"PUT", "own-sequences", `{"oll": 0, "turns": "` + site.Orients27 + `"}`, 400, "oll", ""},
		{"PUT", "own-sequences", `{"turns": "` + site.Orients27 + `"}`, 400, "oll", "missing"},
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
		{"PUT", "own-steps", `{"open": "FR,FL", "turns": "R U"}`, 422, "turns", "keep"},
		{"PUT", "own-steps", `{"open": "FR,FL", "turns": "R U R'"}`, 422, "turns", "they are an insertion"},
		{"PUT", "own-steps", `{"open": "FR", "turns": "D R U R' D'"}`, 400, "open", "“FR”"},
		{"PUT", "own-steps", `{"turns": "D R U R' D'"}`, 400, "open", ""},
		{"PUT", "own-steps", `{"open": "FR,FL", "turns": ""}`, 400, "turns", "no turns"},
		{"PUT", "own-steps", `{"open": "FR,FL", "turns": "D R U R' D'", "known": true, "hidden": true}`, 400, "hidden", ""},
		{"PUT", "own-steps", `{"open": "FR,FL", "turns": "D R U R' D'", "seconds": -1}`, 400, "seconds", ""},
		{"PUT", "own-steps", `{"open": "FR,FL", "turns": "D R U R' D'", "rating": 1}`, 400, "rating", ""},
		{"DELETE", "own-steps/FR,FL", ``, 400, "turns", "missing"},
		{"DELETE", "own-steps/FR,XX?turns=R", ``, 400, "open", ""},
		{"DELETE", "own-insertions/XX?turns=R", ``, 400, "slot", ""},

		{"PUT", "preferences/theme", `{"value": "grey"}`, 400, "value", "light, dark"},
		{"PUT", "preferences/theme", `{"value": ""}`, 400, "value", "missing"},
		{"PUT", "preferences/theme", `{}`, 400, "value", "missing"},
		{"PUT", "preferences/theme", `{"value": 1}`, 400, "value", "number"},
		{"PUT", "preferences/mood", `{"value": "light"}`, 400, "name", "“mood”"},
		{"PUT", "preferences/speed", `{"value": "fast"}`, 400, "value", "not a number"},
		{"PUT", "preferences/speed", `{"value": "0.2"}`, 400, "value", "at least 0.25"},
		{"PUT", "preferences/speed", `{"value": "4.01"}`, 400, "value", "at most 4"},
		{"PUT", "preferences/speed", `{"value": "NaN"}`, 400, "value", ""},
		{"DELETE", "preferences/mood", ``, 400, "name", "theme, text"},
		{"PUT", "kept-cases/ABC", `{}`, 400, "code", ""},
		{"PUT", "kept-cases/" + site.CodeAt(7), `{"note": "` + strings.Repeat("ü", 501) + `"}`, 400, "note", "at most 500"},
		{"PUT", "kept-cases/" + site.CodeAt(7), `{"note": "a\u0000b"}`, 400, "note", "control"},
		{"DELETE", "kept-cases/" + site.CodeAt(7) + "0", ``, 400, "code", ""},
		{"POST", "import", in("preferences", `{"name": "text", "value": "small"}`), 400, "preferences[0].value", "big"},
		{"POST", "import", in("kept", `{"case": "`+site.CodeAt(1)+`", "since": "1970-01-01T00:00:00Z"}`), 400, "kept[0].since", "before 2020"},
		{"POST", "import", in("kept", `{"case": "`+site.CodeAt(1)+`", "since": "yesterday"}`), 400, "kept[0]", ""},
		{"POST", "import", in("kept", `{"case": "`+site.CodeAt(1)+`"}`), 400, "kept[0].since", "missing"},
		{"POST", "import", in("recent", `{"case": "AAAAA", "looked": "2026-03-01T12:00:00Z"}`), 400, "recent[0].case", ""},
		{"POST", "import", in("recent", `{"case": "`+site.CodeAt(1)+`", "looked": "9999-03-01T12:00:00Z"}`), 400, "recent[0].looked", "future"},
		{"POST", "import", in("recent", strings.Repeat(`{"case": "x"},`, 50)+`{"case": "x"}`), 422, "recent", "51 in the list; a profile has at most 50"},
		{"POST", "import", ``, 400, "", "empty"},
		{"POST", "import", `{}`, 400, "format", ""},
		{"POST", "import", `{"format": "slotcast", "version": 99}`, 400, "version", "99"},
		{"POST", "import", `{"format": "slotcast", "version": 6, "expected": [{"day": "2026-02-30", "seconds": 2}]}`, 400, "expected[0].day", "2026-02-30"},
		{"POST", "import", `{"format": "slotcast", "version": 6, "expected": [{"day": "2026-02-20", "seconds": 0}]}`, 400, "expected[0].seconds", "more than 0"},
		{"POST", "import", `{"format": "slotcast", "version": 1, "ratings": {}}`, 400, "ratings", "list"},
		{"POST", "import", `{"format": "slotcast", "version": 1, "extra": []}`, 400, "extra", "unknown"},
		{"POST", "import", "{\"format\": \"slotcast\",\n\"version\": 1,\n\"names\": [}", 400, "", "line 3, character 11"},
		{"POST", "import", in("ratings", `{"oll": 2, "recognise": 1}, {"oll": 1, "recognise": 9}`), 400, "ratings[1].recognise", "ratings[1]"},
		{"POST", "import", in("ratings", `{"oll": 2}`), 400, "ratings[0]", "nothing to rate"},
		{"POST", "import", in("ratings", `{"oll": 2, "recognize": 1}`), 400, "ratings[0].recognize", "unknown"},
		{"POST", "import", in("ratings", `{"oll": 2, "recognise": "1"}`), 400, "ratings[0].recognise", "whole number"},
		{"POST", "import", in("ratings", `7`), 400, "ratings[0]", "object"},
		{"POST", "import", in("scale", `{"step": "recognise", "rating": 5, "seconds": 99}`), 400, "scale[0].seconds", ""},
		{"POST", "import", in("scale", `{"step": "execute", "rating": 4, "factor": 1.5}`), 422, "scale", "a 4 would be slower"},
		{"POST", "import", in("scale", `{"step": "x", "rating": 5, "seconds": 9}`), 400, "scale[0].step", ""},
		{"POST", "import", `{"format": "slotcast", "version": 1, "names": [{"oll": 1, "name": "a"}, {"oll": 2, "name": "` + long + `"}]}`, 400, "names[1].name", ""},
		{"POST", "import", in("sequences", `{"oll": 1, "turns": "`+site.Orients27+`"}`), 422, "sequences[0].turns", ""},
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
		field, detail := s.Ask(tt.method, "/api/v1/"+tt.address, key, tt.body).Refused(t, tt.status)
		body := tt.body[:min(len(tt.body), 200)]
		assert.Equal(t, tt.field, field, "%s %s", tt.address, body)
		assert.Contains(t, detail, tt.says, "%s %s", tt.address, body)
	}
	assert.JSONEq(t, filled, s.Export(t, key))
}

// A file of the first version, in which executing had seconds, is read: each level is
// its share of what 3 stood for there, 1.4 s where the file does not say; and what was
// out of order in it counts in order.
func TestAFileOfTheFirstVersionIsRead(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	factors := func(file string) (all []any) {
		key := s.NewKey(t)
		s.Ask("POST", "/api/v1/import", key, file).Must(t)
		for _, step := range s.Ask("GET", "/api/v1/scale", key, "").Must(t)["scale"].([]any) {
			if factor, ok := step.(map[string]any)["factor"]; ok {
				all = append(all, factor)
			}
		}
		return all
	}
	assert.Equal(t, []any{0.75, 0.9, 1.0, 1.35, 1.8}, factors(`{"format": "slotcast", "version": 1, "scale": [{"step": "execute", "rating": 5, "seconds": 1.5}, {"step": "execute", "rating": 3, "seconds": 2}]}`))
	assert.Equal(t, []any{0.5, 0.9, 1.0, 1.35, 10.0}, factors(`{"format": "slotcast", "version": 1, "scale": [{"step": "execute", "rating": 5, "seconds": 0.7}, {"step": "execute", "rating": 1, "seconds": 59}]}`))
	assert.Equal(t, []any{0.8, 0.9, 1.0, 1.0, 1.8}, factors(`{"format": "slotcast", "version": 1, "scale": [{"step": "execute", "rating": 2, "seconds": 0.7}]}`))
}

// routes are all that need a profile. Each does something, or would.
var routes = [][3]string{
	{"GET", "results", ""},
	{"GET", "results?exercise=recognise&item=27&limit=1000&before=AAAAAAAAAAAAAAAAAAAAAA", ""},
	{"POST", "results", `{"results": [{"id": "AAAAAAAAAAAAAAAAAAAAAA", "exercise": "recognise", "item": "27", "at": "2026-03-01T12:00:01Z", "seconds": 1.234, "right": true}]}`},
	{"GET", "practised", ""},
	{"DELETE", "results/AAAAAAAAAAAAAAAAAAAAAA", ""},
	{"PATCH", "results/AAAAAAAAAAAAAAAAAAAAAA", `{"withdrawn": false}`},
	{"DELETE", "results", ""},
	{"GET", "ratings", ""},
	{"PUT", "ratings/5", `{"recognise": 1, "execute": 1}`},
	{"PATCH", "ratings/5", `{"recognise": 1}`},
	{"DELETE", "ratings/27", ""},
	{"DELETE", "ratings/27/execute", ""},
	{"GET", "plls", ""},
	{"PUT", "plls/H", `{"rating": 2}`},
	{"DELETE", "plls/T", ""},
	{"GET", "scale", ""},
	{"PUT", "scale/execute/1", `{"factor": 9}`},
	{"PUT", "scale/track", `{"seconds": 0.1}`},
	{"DELETE", "scale/track", ""},
	{"DELETE", "scale/execute/1", ""},
	{"PUT", "scale/recognise/1", `{"seconds": 9}`},
	{"DELETE", "scale/recognise/5", ""},
	{"GET", "names", ""},
	{"PUT", "names/27", `{"name": "other"}`},
	{"DELETE", "names/27", ""},
	{"GET", "own-sequences", ""},
	{"PUT", "own-sequences", `{"oll": 26, "turns": "` + site.Orients26 + `"}`},
	{"DELETE", "own-sequences/27", ""},
	{"DELETE", "own-sequences/27?turns=" + url.QueryEscape(site.Orients27), ""},
	{"GET", "own-insertions", ""},
	{"PUT", "own-insertions", `{"turns": "R U R'"}`},
	{"DELETE", "own-insertions/FR?turns=" + url.QueryEscape("R U R'"), ""},
	{"GET", "own-steps", ""},
	{"PUT", "own-steps", `{"open": "FR,FL", "turns": "D R U R' D'"}`},
	{"DELETE", "own-steps/FR,FL?turns=" + url.QueryEscape("D R U R' D'"), ""},
	{"GET", "preferences", ""},
	{"PUT", "preferences/theme", `{"value": "light"}`},
	{"DELETE", "preferences/theme", ""},
	{"GET", "recent-cases", ""},
	{"DELETE", "recent-cases", ""},
	{"GET", "kept-cases", ""},
	{"PUT", "kept-cases/" + site.CodeAt(7), `{"note": "other"}`},
	{"DELETE", "kept-cases/" + site.CodeAt(7), ""},
	{"GET", "export", ""},
	{"POST", "import", `{"format": "slotcast", "version": 1, "names": [{"oll": 27, "name": "imported"}]}`},
	{"POST", "device-links", ""},
	{"GET", "shares", ""},
	{"POST", "shares", ""},
	{"DELETE", "shares/SHARE", ""},
	{"GET", "keys", ""},
	{"PUT", "keys/MARK", `{"name": "phone"}`},
	{"DELETE", "keys/MARK", ""},
	{"DELETE", "profiles/me", ""},
}

// Every route is tried without a key, with wrong ones, with a share's id for a
// key, and with another's: nobody sees or changes anything of a profile. On both
// databases.
func TestProfilesNeverSeeEachOther(t *testing.T) {
	t.Parallel()
	for name, database := range databases(t) {
		t.Run(name, func(t *testing.T) {
			s := site.At(t, database, "")
			key := s.NewKey(t)
			s.Fill(t, key)
			share := s.Ask("POST", "/api/v1/shares", key, "").Must(t)["share"].(string)
			assert.NotContains(t, share, key)
			for _, route := range routes {
				address := "/api/v1/" + strings.NewReplacer("SHARE", share, "MARK", string(profile.HashOf(key).ID())).Replace(route[1])
				for _, wrong := range []string{"", "x", share, key + "x", strings.ToUpper(key), key[:21]} {
					a := s.Ask(route[0], address, wrong, route[2])
					a.Refused(t, http.StatusUnauthorized)
					assert.Equal(t, "Bearer", a.Header().Get("WWW-Authenticate"))
				}
				other := s.NewKey(t)
				a := s.Ask(route[0], address, other, route[2])
				for _, secret := range []string{key, share, "Kürze", site.Orients27, `"oll":21`} {
					assert.NotContains(t, a.Body.String(), secret, "%s %s", route[0], address)
				}
				assert.JSONEq(t, filled, s.Export(t, key), "%s %s", route[0], address)
				shares := s.Ask("GET", "/api/v1/shares", key, "")
				assert.JSONEq(t, `{"shares": [{"share": "`+share+`"}]}`, shares.Body.String(), "%s %s", route[0], address)
			}
		})
	}
}

func TestDeletedProfileIsGone(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	s.Fill(t, key)
	share := s.Ask("POST", "/api/v1/shares", key, "").Must(t)["share"].(string)
	token := s.Ask("POST", "/api/v1/device-links", key, "").Must(t)["token"].(string)
	address := "/api/v1/forecast?case=" + lastslot.CaseAt(7).Code()
	s.Ask("GET", address, key, "").Must(t)
	assert.Equal(t, http.StatusNoContent, s.Ask("DELETE", "/api/v1/profiles/me", key, "").Code)
	s.Ask("GET", "/api/v1/export", key, "").Refused(t, http.StatusUnauthorized)
	s.Ask("GET", address, key, "").Refused(t, http.StatusUnauthorized)
	s.Ask("GET", address+"&share="+share, "", "").Refused(t, http.StatusNotFound)
	s.Ask("POST", "/api/v1/device-links/use", "", `{"token": "`+token+`"}`).Refused(t, http.StatusGone)
}

func TestDeviceLink(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	s.Fill(t, key)
	before := time.Now()
	link := s.Ask("POST", "/api/v1/device-links", key, "").Must(t)
	after := time.Now()
	expires, err := time.Parse(time.RFC3339, link["expires"].(string))
	require.NoError(t, err)
	const life = 10 * time.Minute
	// It is told to the second.
	assert.WithinRange(t, expires, before.Add(life-time.Second), after.Add(life+time.Second))
	use := `{"token": "` + link["token"].(string) + `"}`
	second := s.Ask("POST", "/api/v1/device-links/use", "", use).Must(t)["key"].(string)
	assert.NotEqual(t, key, second)
	assert.JSONEq(t, filled, s.Export(t, second))
	s.Ask("POST", "/api/v1/device-links/use", "", use).Refused(t, http.StatusGone)
	s.Ask("PUT", "/api/v1/names/1", second, `{"name": "x"}`).Must(t)
	assert.Contains(t, s.Export(t, key), `"x"`)
}

func TestShare(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	s.Fill(t, key)
	code := lastslot.CaseAt(7).Code()
	share := s.Ask("POST", "/api/v1/shares", key, "").Must(t)["share"].(string)
	own := s.Ask("GET", "/api/v1/forecast?case="+code, key, "")
	assert.Equal(t, "private, no-cache", own.Header().Get("Cache-Control"))
	shared := s.Ask("GET", "/api/v1/forecast?case="+code+"&share="+share, "", "")
	assert.JSONEq(t, own.Body.String(), shared.Body.String())
	assert.NotEqual(t, s.Ask("GET", "/api/v1/forecast?case="+code, "", "").Body.String(), shared.Body.String())
	s.Ask("GET", "/api/v1/forecast?case="+code+"&view=known&share="+share, "", "").Must(t)
	s.Ask("DELETE", "/api/v1/shares/"+share, s.NewKey(t), "").Refused(t, http.StatusNotFound)
	assert.Equal(t, http.StatusNoContent, s.Ask("DELETE", "/api/v1/shares/"+share, key, "").Code)
	s.Ask("GET", "/api/v1/forecast?case="+code+"&share="+share, "", "").Refused(t, http.StatusNotFound)
	s.Ask("DELETE", "/api/v1/shares/"+share, key, "").Refused(t, http.StatusNotFound)
}

// What is rated counts in the next forecast, whichever of two programs is asked.
func TestForecastIsTheProfilesOwn(t *testing.T) {
	t.Parallel()
	database := filepath.Join(t.TempDir(), "slotcast.db")
	one, two := site.At(t, database, ""), site.At(t, database, "")
	key := one.NewKey(t)
	query := "limit=500&scramble=" + url.QueryEscape("R U' R'")
	anyone := two.Forecast(t, "", query)
	assert.Equal(t, anyone, two.Forecast(t, key, query), "nothing is known yet")
	pattern := anyone.Options[0].Leaves.OLL
	put := func(method, address, body string) { one.Ask(method, "/api/v1/"+address, key, body).Must(t) }
	best := func(asked site.Options) (seconds struct{ Insert, Recognise, Execute, Total float64 }) {
		for _, o := range asked.Options {
			if o.Turns == anyone.Options[0].Turns {
				return o.Seconds
			}
		}
		require.Fail(t, "not offered any more")
		return seconds
	}
	put("PUT", fmt.Sprintf("ratings/%d", pattern), `{"recognise": 1, "execute": 1}`)
	rated := two.Forecast(t, key, query)
	assert.Equal(t, 1.3, best(rated).Recognise)
	put("PUT", "scale/recognise/1", `{"seconds": 1.7}`)
	assert.Equal(t, 1.7, best(two.Forecast(t, key, query)).Recognise)
	put("PATCH", fmt.Sprintf("ratings/%d", pattern), `{"recognise_seconds": 0.123}`)
	assert.Equal(t, 0.123, best(two.Forecast(t, key, query)).Recognise)
	put("PUT", "scale/track", `{"seconds": 0.001}`)
	assert.Less(t, best(two.Forecast(t, key, query+"&predicted=true")).Recognise, 0.009, "eight pieces at most")
	assert.Equal(t, anyone, two.Forecast(t, "", query))

	// Who has said nothing knows the usual insertion, without a profile too.
	for _, who := range []string{"", key} {
		known := two.Forecast(t, who, query+"&view=known").Options
		require.Len(t, known, 1)
		assert.Equal(t, "R U R'", known[0].Turns)
	}
	put("PUT", "own-insertions", `{"turns": "R U R'", "known": false}`)
	assert.Empty(t, two.Forecast(t, key, query+"&view=known").Options, "withdrawn")
	put("PUT", "own-insertions", `{"turns": "R U R'", "rating": 4}`)
	assert.Len(t, two.Forecast(t, key, query+"&view=known").Options, 1, "nothing is said of knowing it")
	put("PUT", "preferences/usual", `{"value": "none"}`)
	assert.Empty(t, two.Forecast(t, key, query+"&view=known").Options)
	put("PUT", "own-insertions", `{"turns": "R U R'", "known": true, "predicted": true, "seconds": 9}`)
	known := two.Forecast(t, key, query+"&view=known").Options
	require.Len(t, known, 1)
	assert.Equal(t, "R U R'", known[0].Turns)
	assert.True(t, known[0].Known)
	assert.True(t, known[0].Predicted)
	assert.Equal(t, 9.0, known[0].Seconds.Insert)
	all := two.Forecast(t, key, query).Options
	assert.Positive(t, all[0].Gain)

	put("PUT", "own-insertions", `{"turns": "R U R'", "hidden": true}`)
	assert.Empty(t, two.Forecast(t, key, query+"&view=known").Options)
	for _, o := range two.Forecast(t, key, query).Options {
		assert.NotEqual(t, "R U R'", o.Turns)
	}

	// The own sequence is told with what follows each option that leaves it, in
	// whatever hold it is written.
	put("PUT", "own-sequences", `{"oll": 27, "turns": "y2 `+site.Orients27+` U"}`)
	left := 0
	for _, o := range two.Forecast(t, key, query).Options {
		if o.Leaves.OLL == 27 {
			left++
			assert.Equal(t, "y2 "+site.Orients27, o.Sequence)
		}
	}
	assert.Positive(t, left)
}

// A browser keeps the key where scripts cannot read it, and another site's page
// cannot use it.
func TestCookie(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		publicURL string
		secure    bool
	}{{"", false}, {"http://cubes.example", false}, {"https://cubes.example", true}} {
		s := site.At(t, filepath.Join(t.TempDir(), "slotcast.db"), tt.publicURL)
		made := s.Ask("POST", "/api/v1/profiles?keep=cookie", "", "")
		assert.JSONEq(t, `{}`, made.Body.String(), "no script sees the key")
		cookies := made.Result().Cookies()
		require.Len(t, cookies, 1)
		cookie := cookies[0]
		assert.Equal(t, map[bool]string{false: "slotcast", true: "__Host-slotcast"}[tt.secure], cookie.Name)
		assert.True(t, cookie.HttpOnly)
		assert.Equal(t, http.SameSiteLaxMode, cookie.SameSite)
		assert.Equal(t, tt.secure, cookie.Secure)
		assert.Equal(t, "/", cookie.Path)
		assert.Greater(t, cookie.MaxAge, 365*24*60*60)

		rate := func(headers ...string) site.Answer {
			r := httptest.NewRequest("PUT", "/api/v1/ratings/1", strings.NewReader(`{"recognise": 1, "execute": 1}`))
			r.AddCookie(cookie)
			for i := 0; i < len(headers); i += 2 {
				r.Header.Set(headers[i], headers[i+1])
			}
			return s.Answer(r)
		}
		_, detail := rate("Sec-Fetch-Site", "cross-site").Refused(t, http.StatusForbidden)
		assert.Contains(t, detail, "another site")
		rate("Origin", "https://evil.example").Refused(t, http.StatusForbidden)
		rate("Authorization", "Bearer x").Refused(t, http.StatusUnauthorized)
		assert.JSONEq(t, empty, s.Export(t, cookie.Value))
		rate("Sec-Fetch-Site", "same-origin").Must(t)
		rate().Must(t)
		if tt.publicURL != "" {
			rate("Origin", tt.publicURL).Must(t)
		}

		r := httptest.NewRequest("DELETE", "/api/v1/profiles/me", nil)
		r.AddCookie(cookie)
		gone := s.Answer(r)
		assert.Equal(t, http.StatusNoContent, gone.Code)
		require.Len(t, gone.Result().Cookies(), 1)
		assert.Negative(t, gone.Result().Cookies()[0].MaxAge)
		// A browser that was not told yet can look cases up all the same.
		r = httptest.NewRequest("GET", "/api/v1/forecast?case="+lastslot.CaseAt(7).Code(), nil)
		r.AddCookie(cookie)
		s.Answer(r).Must(t)
	}
}

// Whoever does not wait for an answer is no trouble of the service: its log has no
// error.
func TestGivenUpRequestsAreNoErrors(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	var log strings.Builder
	ctx, giveUp := context.WithCancel(t.Context())
	giveUp()
	r := httptest.NewRequestWithContext(ctx, "GET", "/api/v1/ratings", nil)
	r.Header.Set("Authorization", "Bearer "+key)
	logged(t, s.Store, &log).ServeHTTP(httptest.NewRecorder(), r)
	assert.NotContains(t, log.String(), "ERROR")
	assert.Contains(t, log.String(), "given up")
}
