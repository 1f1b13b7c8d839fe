package api_test

import (
	"bytes"
	"encoding/json"
	"net/http"
	"net/url"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/go-chi/chi/v5"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
	"slotcast/web/webtest/site"
)

// description is /api/v1/openapi.json as it is read outside.
type description struct {
	OpenAPI string
	Info    struct{ Title, Version string }
	// Paths has the operations by path and by method in small letters.
	Paths      map[string]map[string]describedOperation
	Components struct {
		Schemas         map[string]any
		Responses       map[string]describedResponse
		SecuritySchemes map[string]struct{ Type, Scheme, In, Name string }
	}

	compiler *jsonschema.Compiler
}

type describedOperation struct {
	Summary    string
	Parameters []struct {
		Name, In string
		Required bool
		Schema   map[string]any
	}
	RequestBody *struct {
		Content map[string]struct{ Schema map[string]any }
	}
	Responses map[string]describedResponse
	Security  []map[string][]string
}

type describedResponse struct {
	Ref         string `json:"$ref"`
	Description string
	Content     map[string]struct{ Schema map[string]any }
}

func described(t testing.TB, s site.Service) (d description) {
	t.Helper()
	a := s.Ask("GET", "/api/v1/openapi.json", "", "")
	a.Must(t)
	assert.Equal(t, "public, max-age=3600", a.Header().Get("Cache-Control"))
	require.NoError(t, json.Unmarshal(a.Body.Bytes(), &d))
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(a.Body.Bytes()))
	require.NoError(t, err)
	d.compiler = jsonschema.NewCompiler()
	d.compiler.DefaultDraft(jsonschema.Draft2020)
	d.compiler.AssertFormat()
	require.NoError(t, d.compiler.AddResource("openapi.json", document))
	return d
}

// schema compiles the one at the place in the document that the words lead to.
func (d description) schema(t testing.TB, place ...string) *jsonschema.Schema {
	t.Helper()
	escape := strings.NewReplacer("~", "~0", "/", "~1")
	pointer := ""
	for _, word := range place {
		pointer += "/" + url.PathEscape(escape.Replace(word))
	}
	schema, err := d.compiler.Compile("openapi.json#" + pointer)
	require.NoError(t, err, place)
	return schema
}

// jsonValue is the text as JSON, or itself where it is none.
func jsonValue(text string) any {
	value, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		return text
	}
	return value
}

// Whoever adds a route describes it in the operations of openapi.go, and takes
// out there what is gone.
func TestOpenAPIDescribesEveryRoute(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	var routes, operations []string
	require.NoError(t, chi.Walk(s.Handler.(chi.Routes), func(method, route string, _ http.Handler, _ ...func(http.Handler) http.Handler) error {
		if strings.HasPrefix(route, "/api/") || route == "/healthz" {
			routes = append(routes, method+" "+route)
		}
		return nil
	}))
	for path, methods := range described(t, s).Paths {
		for method := range methods {
			operations = append(operations, strings.ToUpper(method)+" "+path)
		}
	}
	assert.NotEmpty(t, routes)
	assert.ElementsMatch(t, routes, operations)
}

// The rules are those of the OpenAPI Specification 3.1.0; the section is named
// beside each. That schemas are JSON Schema 2020-12 (4.8.24) is seen as they are
// compiled.
func TestOpenAPIIsValid(t *testing.T) {
	t.Parallel()
	d := described(t, site.New(t))
	assert.Regexp(t, `^3\.1\.\d+$`, d.OpenAPI, "4.8.1")
	assert.NotEmpty(t, d.Info.Title, "4.8.2")
	assert.NotEmpty(t, d.Info.Version, "4.8.2")
	for name := range d.Components.Schemas {
		assert.Regexp(t, `^[a-zA-Z0-9._-]+$`, name, "4.8.7")
		d.schema(t, "components", "schemas", name)
	}
	for name, scheme := range d.Components.SecuritySchemes {
		switch scheme.Type {
		case "http":
			assert.Equal(t, "bearer", scheme.Scheme, "4.8.27: %s", name)
		case "apiKey":
			assert.NotEmpty(t, scheme.Name, "4.8.27: %s", name)
			assert.Contains(t, []string{"query", "header", "cookie"}, scheme.In, "4.8.27: %s", name)
		default:
			assert.Fail(t, "4.8.27: no such scheme", scheme.Type)
		}
	}
	for name, response := range d.Components.Responses {
		assert.NotEmpty(t, response.Description, "4.8.17: %s", name)
	}
	shapes := map[string]string{}
	for path, methods := range d.Paths {
		assert.True(t, strings.HasPrefix(path, "/"), "4.8.8: %s", path)
		shape := regexp.MustCompile(`\{\w+\}`).ReplaceAllString(path, "{}")
		assert.Empty(t, shapes[shape], "4.8.8: %s is the same", path)
		shapes[shape] = path
		for method, o := range methods {
			at := method + " " + path
			assert.Contains(t, []string{"get", "put", "post", "delete", "options", "head", "patch", "trace"}, method, "4.8.9: %s", at)
			assert.NotEmpty(t, o.Summary, at)
			inPath, seen := 0, map[string]bool{}
			for i, p := range o.Parameters {
				assert.False(t, seen[p.In+p.Name], "4.8.10: %s has %s twice", at, p.Name)
				seen[p.In+p.Name] = true
				switch p.In {
				case "path":
					inPath++
					assert.True(t, p.Required, "4.8.12: %s %s", at, p.Name)
					assert.Contains(t, path, "{"+p.Name+"}", "4.8.12: %s", at)
				default:
					assert.Equal(t, "query", p.In, "4.8.12: %s %s", at, p.Name)
				}
				d.schema(t, "paths", path, method, "parameters", strconv.Itoa(i), "schema")
			}
			assert.Equal(t, strings.Count(path, "{"), inPath, "4.8.9: %s", at)
			if o.RequestBody != nil {
				assert.NotContains(t, []string{"get", "head", "delete"}, method, "4.8.10: %s", at)
				assert.Len(t, o.RequestBody.Content, 1, "4.8.13: %s", at)
				d.schema(t, "paths", path, method, "requestBody", "content", "application/json", "schema")
			}
			succeeds := 0
			for status, response := range o.Responses {
				assert.Regexp(t, `^(default|[1-5]\d\d)$`, status, "4.8.16: %s", at)
				if status[0] == '2' {
					succeeds++
				}
				if name, ok := strings.CutPrefix(response.Ref, "#/components/responses/"); ok {
					assert.Contains(t, d.Components.Responses, name, "4.8.23: %s", at)
					continue
				}
				assert.NotEmpty(t, response.Description, "4.8.17: %s %s", at, status)
				for media := range response.Content {
					d.schema(t, "paths", path, method, "responses", status, "content", media, "schema")
				}
			}
			assert.Equal(t, 1, succeeds, "4.8.16: %s", at)
			require.NotNil(t, o.Security, at)
			for _, keys := range o.Security {
				for name := range keys {
					assert.Contains(t, d.Components.SecuritySchemes, name, "4.8.30: %s", at)
				}
			}
		}
	}
}

// accepts says whether the description allows the request.
func (d description) accepts(t testing.TB, route, method string, context *chi.Context, query url.Values, body string) bool {
	t.Helper()
	method = strings.ToLower(method)
	o := d.Paths[route][method]
	for i, p := range o.Parameters {
		schema := d.schema(t, "paths", route, method, "parameters", strconv.Itoa(i), "schema")
		text, given := context.URLParam(p.Name), true
		if p.In == "query" {
			text, given = query.Get(p.Name), query.Has(p.Name)
			query.Del(p.Name)
		}
		var value any = text
		if p.Schema["type"] != "string" {
			value = jsonValue(text)
		}
		if given && schema.Validate(value) != nil || !given && p.Required {
			return false
		}
	}
	assert.Empty(t, query, "%s %s: parameters that are not described", method, route)
	if o.RequestBody == nil {
		return body == ""
	}
	return d.schema(t, "paths", route, method, "requestBody", "content", "application/json", "schema").Validate(jsonValue(body)) == nil
}

// What the service does is what its description says: it takes what is allowed,
// refuses what is not, and each answer is of the described status and schema.
func TestOpenAPIIsWhatTheServiceDoes(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	d := described(t, s)
	key := s.NewKey(t)
	s.Fill(t, key)
	share := s.Ask("POST", "/api/v1/shares", key, "").Must(t)["share"].(string)
	token := s.Ask("POST", "/api/v1/device-links", key, "").Must(t)["token"].(string)
	s.Ask("PUT", "/api/v1/own-insertions", key, `{"slot": "FR", "turns": "R U R' F R U R' U' F'", "known": true}`).Must(t)
	twice, err := lastslot.CheckInsertion(new(lastslot.FR), site.MustParse(t, "R U R'"))
	require.NoError(t, err)
	planned := twice.Case().Place().String()
	succeeded := map[string]bool{}

	check := func(method, address, key, body string) int {
		t.Helper()
		u, err := url.Parse(address)
		require.NoError(t, err)
		context := chi.NewRouteContext()
		require.True(t, s.Handler.(chi.Routes).Match(context, method, u.Path), address)
		route := context.RoutePattern()
		accepted := d.accepts(t, route, method, context, u.Query(), body)
		a := s.Ask(method, address, key, body)
		succeeds := a.Code >= 200 && a.Code < 300
		if succeeds {
			succeeded[method+" "+route] = true
		}
		// What keys, records and whole positions are is beyond a schema.
		if succeeds || a.Code == http.StatusBadRequest {
			assert.Equal(t, succeeds, accepted, "%s %s %s: %s", method, address, body, a.Body)
		}
		status := strconv.Itoa(a.Code)
		response, ok := d.Paths[route][strings.ToLower(method)].Responses[status]
		require.True(t, ok, "%s %s: %d is not described", method, route, a.Code)
		if response.Content == nil {
			assert.Empty(t, a.Body.String())
			return a.Code
		}
		media := a.Header().Get("Content-Type")
		require.Contains(t, response.Content, media, "%s %s", method, address)
		schema := d.schema(t, "paths", route, strings.ToLower(method), "responses", status, "content", media, "schema")
		assert.NoError(t, schema.Validate(jsonValue(a.Body.String())), "%s %s", method, address)
		return a.Code
	}

	code, twoOpen := lastslot.CaseAt(7).Code(), twoslots.CaseAt(12_345_678).Code()
	find := func(scramble string) string { return "scramble=" + url.QueryEscape(scramble) }
	for _, address := range []string{
		"/healthz", "/api/v1/openapi.json", "/api/v1/patterns", "/api/v1/practice-scramble?case=1T0WT", "/api/v1/practice-scramble?case=" + twoOpen,
		"/api/v1/learning?place=FR-UFR.R-UB.U", "/api/v1/learning?place=BL-DBL.D-BL.B", "/api/v1/learning/places?slot=BR", "/api/v1/learning/places?count=met&slot=BR", "/api/v1/learning?count=cases&place=FR-UFR.R-UB.U", "/api/v1/learning/steps?open=BL,FR", "/api/v1/plan?place=" + planned,
		"/api/v1/forecast?limit=500&case=" + code,
		"/api/v1/forecast?view=known&predicted=true&per=pattern&case=" + strings.ToLower(code),
		"/api/v1/forecast?view=all&predicted=false&share=" + share + "&case=" + code,
		"/api/v1/forecast?slot=BL&" + find("U"),
		"/api/v1/forecast?until=solved&" + find("R U R'"), "/api/v1/forecast?until=oriented&case=" + code, "/api/v1/pll-sequences",
		"/api/v1/insertions?oll=27&case=" + code, "/api/v1/insertions?edges=cross&order=easiest&" + find("R U R'"), "/api/v1/insertions?edges=no-dot&case=" + code,
		"/api/v1/forecast?" + find("R U R'") + "&solution=" + url.QueryEscape("x2 y' U"),
		"/api/v1/forecast?" + find("F U F'"), "/api/v1/forecast?" + find("F D F'"), "/api/v1/forecast?" + find("R D R'"),
		"/api/v1/routes?case=" + twoOpen, "/api/v1/routes?limit=100&view=known&case=" + strings.ToLower(twoOpen), "/api/v1/routes?share=" + share + "&case=" + twoOpen,
		"/api/v1/routes?open=BR,FL&" + find("U"), "/api/v1/routes?" + find("R U R' L' U L") + "&solution=" + url.QueryEscape("z U"),
		"/api/v1/forecast?" + find("F R F'"), "/api/v1/forecast?" + find("R F R'"), "/api/v1/forecast?" + find("B L B'"),
	} {
		for _, key := range []string{key, ""} {
			check("GET", address, key, "")
		}
	}
	for _, wrong := range [][3]string{
		{"GET", "forecast?limit=0&case=" + code, ""},
		{"GET", "insertions?oll=58&case=" + code, ""},
		{"GET", "insertions?edges=l&case=" + code, ""},
		{"GET", "insertions?oll=0&order=longest&case=" + code, ""},
		{"GET", "forecast?limit=501&case=" + code, ""},
		{"GET", "routes?case=" + twoOpen + "00", ""},
		{"GET", "routes?limit=101&case=" + twoOpen, ""},
		{"GET", "routes?view=mine&case=" + twoOpen, ""},
		{"GET", "routes?open=FR&scramble=U", ""},
		{"GET", "learning", ""},
		{"GET", "learning?place=FR", ""},
		{"GET", "plan?place=FR", ""},
		{"GET", "learning/places?slot=RF", ""},
		{"GET", "learning/places?slot=FR&count=often", ""},
		{"GET", "learning?place=FR-UFR.R-UB.U&count=", ""},
		{"GET", "learning/steps", ""},
		{"GET", "learning/steps?open=FR", ""},
		{"GET", "forecast?limit=1.5&case=" + code, ""},
		{"GET", "forecast?per=case&case=" + code, ""},
		{"GET", "forecast?predicted=yes&case=" + code, ""},
		{"GET", "forecast?view=mine&case=" + code, ""},
		{"GET", "forecast?slot=RF&scramble=U", ""},
		{"GET", "forecast?until=done&scramble=U", ""},
		{"PUT", "plls/X", `{"rating": 1}`},
		{"PUT", "plls/H", `{"rating": 6}`},
		{"DELETE", "plls/h", ""},
		{"GET", "forecast?case=" + code + "000", ""},
		{"GET", "forecast?scramble=" + strings.Repeat("U", 4097), ""},
		{"POST", "profiles?keep=file", ""},
		{"PUT", "ratings/58", `{"recognise": 1, "execute": 5}`},
		{"PUT", "ratings/57", `{"recognise": 0, "execute": 5}`},
		{"PUT", "ratings/57", `{"recognise": 1, "execute": 6}`},
		{"PUT", "ratings/57", `{"recognise": 1, "execute": 5, "colour": 1}`},
		{"PATCH", "ratings/57", `{"recognise_seconds": 0}`},
		{"PATCH", "ratings/57", `{"execute_seconds": 60.5}`},
		{"PUT", "scale/execute/6", `{"factor": 1}`},
		{"PUT", "scale/track", `{"factor": 1}`},
		{"PUT", "scale/execute/1", `{}`},
		{"PUT", "names/27", `{"name": "` + strings.Repeat("x", 61) + `"}`},
		{"PUT", "names/27", `{"name": ""}`},
		{"PUT", "own-sequences", `{"oll": 0, "turns": "` + site.Orients27 + `"}`},
		{"PUT", "own-sequences", `{"turns": "` + site.Orients27 + `"}`},
		{"DELETE", "own-sequences/0", ""},
		{"PUT", "own-insertions", `{"slot": "RF", "turns": "R U R'"}`},
		{"PUT", "own-insertions", `{"turns": "R U R'", "rating": 9}`},
		{"DELETE", "own-insertions/FR", ""},
		{"PUT", "own-steps", `{"open": "FR", "turns": "D R U R' D'"}`},
		{"DELETE", "own-steps/FR,FL", ""},
		{"PUT", "preferences/theme", `{}`},
		{"PUT", "preferences/theme", `{"value": ""}`},
		{"PUT", "preferences/mood", `{"value": "light"}`},
		{"DELETE", "preferences/mood", ""},
		{"PUT", "kept-cases/" + code, `{"note": "` + strings.Repeat("x", 501) + `"}`},
		{"PUT", "kept-cases/" + code + "0000", `{}`},
		{"DELETE", "kept-cases/-", ""},
		{"GET", "results?limit=0", ""},
		{"GET", "results?exercise=juggle", ""},
		{"GET", "results?before=x", ""},
		{"DELETE", "results/x", ""},
		{"PATCH", "results/AAAAAAAAAAAAAAAAAAAAAA", `{}`},
		{"PATCH", "results/x", `{"withdrawn": true}`},
		{"POST", "results", `{"results": [{"id": "x", "exercise": "recognise", "item": "27", "at": "2026-03-01T12:00:01Z", "seconds": 1, "right": true}]}`},
		{"POST", "results", `{"results": [{"id": "AAAAAAAAAAAAAAAAAAAAAA", "exercise": "juggle", "item": "27", "at": "2026-03-01T12:00:01Z", "seconds": 1, "right": true}]}`},
		{"POST", "results", `{"results": [{"id": "AAAAAAAAAAAAAAAAAAAAAA", "exercise": "recognise", "item": "27", "at": "yesterday", "seconds": 1, "right": true}]}`},
		{"POST", "results", `{"results": [{"id": "AAAAAAAAAAAAAAAAAAAAAA", "exercise": "recognise", "item": "27", "at": "2026-03-01T12:00:01Z", "seconds": 0, "right": true}]}`},
		{"POST", "results", `{"results": [{"id": "AAAAAAAAAAAAAAAAAAAAAA", "exercise": "recognise", "item": "27", "at": "2026-03-01T12:00:01Z", "seconds": 1}]}`},
		{"POST", "results", `{"results": [{"id": "AAAAAAAAAAAAAAAAAAAAAA", "exercise": "recognise", "item": "27", "at": "2026-03-01T12:00:01Z", "seconds": 1, "right": true, "grade": 3}]}`},
		{"POST", "import", `{"format": "slotcast", "version": 99}`},
		{"POST", "import", `{"version": 1}`},
		{"POST", "import", `{"format": "slotcast", "version": 1, "names": [{"name": "x"}]}`},
	} {
		assert.Equal(t, http.StatusBadRequest, check(wrong[0], "/api/v1/"+wrong[1], key, wrong[2]), wrong)
	}
	assert.Equal(t, http.StatusUnprocessableEntity, check("GET", "/api/v1/forecast?"+find("R U R' F"), key, ""))
	assert.Equal(t, http.StatusUnprocessableEntity, check("GET", "/api/v1/routes?open=FL,BL&"+find("R U R'"), key, ""))
	assert.Equal(t, http.StatusUnprocessableEntity, check("PUT", "/api/v1/own-insertions", key, `{"turns": "R U"}`))
	assert.Equal(t, http.StatusUnprocessableEntity, check("PUT", "/api/v1/own-steps", key, `{"open": "FR,FL", "turns": "R U R'"}`))
	assert.Equal(t, http.StatusRequestEntityTooLarge, check("PUT", "/api/v1/names/1", key, `{"name": "x"}`+strings.Repeat(" ", 1<<17)))

	check("POST", "/api/v1/profiles", "", "")
	check("POST", "/api/v1/profiles?keep=cookie", "", "")
	use := `{"token": "` + token + `"}`
	check("POST", "/api/v1/device-links/use", "", use)
	assert.Equal(t, http.StatusGone, check("POST", "/api/v1/device-links/use", "", use))
	check("GET", "/api/v1/names", key, "")
	check("POST", "/api/v1/import", key, s.Export(t, key))
	var mark string
	for _, one := range s.Ask("GET", "/api/v1/keys", key, "").Must(t)["keys"].([]any) {
		if key := one.(map[string]any); key["this"] == false {
			mark = key["mark"].(string)
		}
	}
	assert.Equal(t, http.StatusNotFound, check("DELETE", "/api/v1/keys/0123456789abcdef", key, ""))
	assert.Equal(t, http.StatusBadRequest, check("PUT", "/api/v1/keys/"+mark, key, `{"name": "`+strings.Repeat("x", 41)+`"}`))
	for _, route := range routes {
		address := "/api/v1/" + strings.NewReplacer("SHARE", share, "MARK", mark).Replace(route[1])
		assert.Equal(t, http.StatusUnauthorized, check(route[0], address, "", route[2]), address)
		check(route[0], address, key, route[2])
	}
	for path, methods := range d.Paths {
		for method := range methods {
			assert.True(t, succeeded[strings.ToUpper(method)+" "+path], "%s %s never succeeded here", method, path)
		}
	}
}

// A parameter that a route does not have is refused by its name, and none that it has
// is.
func TestUnknownParametersAreRefused(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	routes := 0
	for path, methods := range described(t, s).Paths {
		for method, operation := range methods {
			routes++
			address := regexp.MustCompile(`\{\w+\}`).ReplaceAllString(path, "1")
			field, detail := s.Ask(strings.ToUpper(method), address+"?nonsense=1", key, "").Refused(t, http.StatusBadRequest)
			assert.Equal(t, "nonsense", field, "%s %s", method, path)
			assert.Contains(t, detail, "unknown here")
			for _, p := range operation.Parameters {
				if p.In != "query" {
					continue
				}
				assert.Contains(t, detail, p.Name, "%s %s says what it has", method, path)
				var said struct{ Detail string }
				_ = json.Unmarshal(s.Ask(strings.ToUpper(method), address+"?"+p.Name+"=1", key, "").Body.Bytes(), &said)
				assert.NotContains(t, said.Detail, "unknown here", "%s %s", method, path)
			}
		}
	}
	assert.Greater(t, routes, 40)
	// Pages pass over what they do not know: links carry what others add.
	assert.Equal(t, http.StatusOK, s.Ask("GET", "/ratings?nonsense=1", "", "").Code)
}

// The description is one by the official schema of OpenAPI 3.1
// (testdata/published/openapi31), which refuses a broken one.
func TestOpenAPIIsOneByTheOfficialSchema(t *testing.T) {
	t.Parallel()
	compiler := jsonschema.NewCompiler()
	for name, address := range map[string]string{
		"schema": "https://spec.openapis.org/oas/3.1/schema/WORK-IN-PROGRESS", "schema-base": "https://spec.openapis.org/oas/3.1/schema-base/WORK-IN-PROGRESS",
		"dialect": "https://spec.openapis.org/oas/3.1/dialect/WORK-IN-PROGRESS", "meta": "https://spec.openapis.org/oas/3.1/meta/WORK-IN-PROGRESS",
	} {
		file, err := os.Open("../../testdata/published/openapi31/" + name + ".json")
		require.NoError(t, err)
		schema, err := jsonschema.UnmarshalJSON(file)
		require.NoError(t, err)
		require.NoError(t, file.Close())
		require.Equal(t, address, schema.(map[string]any)["$id"], "%s names itself", name)
		require.NoError(t, compiler.AddResource(address, schema))
	}
	official, err := compiler.Compile("https://spec.openapis.org/oas/3.1/schema-base/WORK-IN-PROGRESS")
	require.NoError(t, err)
	document := func() map[string]any {
		value, err := jsonschema.UnmarshalJSON(site.New(t).Ask("GET", "/api/v1/openapi.json", "", "").Body)
		require.NoError(t, err)
		return value.(map[string]any)
	}
	require.NoError(t, official.Validate(document()))
	for what, damage := range map[string]func(map[string]any){
		"no paths":         func(d map[string]any) { delete(d, "paths"); delete(d, "components") },
		"another version":  func(d map[string]any) { d["openapi"] = "2.0" },
		"unknown member":   func(d map[string]any) { d["route"] = "x" },
		"a path without /": func(d map[string]any) { d["paths"].(map[string]any)["x"] = map[string]any{} },
	} {
		broken := document()
		damage(broken)
		assert.Error(t, official.Validate(broken), what)
	}
}
