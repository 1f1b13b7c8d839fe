package api

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/technique"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/session"
)

// object is a JSON object of the description.
type object = map[string]any

// goTypes are those whose JSON their kind does not tell.
var goTypes = map[reflect.Type]object{
	reflect.TypeFor[time.Time]():           {"type": "string", "format": "date-time"},
	reflect.TypeFor[secondsNumber]():       {"type": "number", "minimum": 0, "description": "Seconds, to the millisecond."},
	reflect.TypeFor[lastslot.Edges]():      {"type": "string", "enum": edgeTypes},
	reflect.TypeFor[technique.Technique](): {"type": "string", "enum": technique.All},
	reflect.TypeFor[object]():              {"type": "object"},
}

// schemas are the named ones that a description has so far.
type schemas map[string]object

// of is the schema of a Go type, as it is decoded or as it is encoded. A struct
// gets a name.
func (s schemas) of(t reflect.Type, decoded bool) object {
	if known, ok := goTypes[t]; ok {
		return known
	}
	switch t.Kind() {
	case reflect.Pointer:
		return s.of(t.Elem(), decoded)
	case reflect.Bool:
		return object{"type": "boolean"}
	case reflect.Int, reflect.Uint8:
		return object{"type": "integer"}
	case reflect.Float64:
		return object{"type": "number"}
	case reflect.String:
		return object{"type": "string"}
	case reflect.Slice:
		return object{"type": "array", "items": s.of(t.Elem(), decoded)}
	case reflect.Struct:
		return s.named(t, decoded)
	default:
		panic(fmt.Sprintf("web: the interface has no words for %v", t))
	}
}

// schemaNames are those of types whose own name says less outside their package.
// Names of schemas stay: programs are made from them.
var schemaNames = map[reflect.Type]string{
	reflect.TypeFor[problem.Answer]():           "Problem",
	reflect.TypeFor[profile.Export]():           "Exported",
	reflect.TypeFor[profile.SequenceValues]():   "OwnSequence",
	reflect.TypeFor[profile.InsertionValues]():  "OwnInsertion",
	reflect.TypeFor[profile.OwnStepValues]():    "OwnStep",
	reflect.TypeFor[profile.PreferenceValues](): "Preference",
	reflect.TypeFor[profile.RecentValues]():     "RecentCase",
	reflect.TypeFor[profile.KeptValues]():       "KeptCase",
	reflect.TypeFor[profile.PLLValues]():        "PLL",
	reflect.TypeFor[pllsAnswer]():               "PLLs",
	reflect.TypeFor[pllChange]():                "PLLChange",
	reflect.TypeFor[pllSequencesAnswer]():       "PLLSequences",
	reflect.TypeFor[pllSequences]():             "PLLSequencesOfOne",
	reflect.TypeFor[profile.ResultValues]():     "Result",
}

func (s schemas) named(t reflect.Type, decoded bool) object {
	scope, ok := schemaNames[t]
	if !ok {
		scope = strings.ReplaceAll(strings.ToUpper(t.Name()[:1])+t.Name()[1:], "Answer", "")
	}
	name := scope
	if decoded {
		name += "Input"
	}
	ref := object{"$ref": "#/components/schemas/" + name}
	if s[name] != nil {
		return ref
	}
	properties, required := object{}, []string{}
	for _, field := range reflect.VisibleFields(t) {
		if field.Anonymous {
			continue
		}
		name, options, _ := strings.Cut(field.Tag.Get("json"), ",")
		schema := s.of(field.Type, decoded)
		plain := schema["$ref"] == nil && schema["type"] != "array"
		if plain {
			schema = maps.Clone(schema)
			said := meaning(scope, name)
			if said["type"] != nil && said["type"] != schema["type"] {
				panic(fmt.Sprintf("api: %s.%s is described as another type than it has", scope, name))
			}
			maps.Copy(schema, said)
		}
		properties[name] = schema
		// What is left out of a request is false or an empty list, but for what is a pointer so
		// that it can be missed; and the turns can tell a slot.
		pointed := field.Type.Kind() == reflect.Pointer
		usual := decoded && (schema["type"] == "boolean" && !pointed || schema["type"] == "array" || name == "slot")
		if options == "" && !usual {
			required = append(required, name)
		}
	}
	s[name] = object{"type": "object", "properties": properties, "required": required}
	if decoded {
		s[name]["additionalProperties"] = false
	}
	return ref
}

var pathNames = regexp.MustCompile(`\{(\w+)\}`)

// describe is the operation in the description's words.
func (o operation) describe(s schemas) object {
	asked := []object{}
	add := func(in, name string, required bool) {
		schema := meaning(o.path, name)
		if schema["type"] == nil {
			panic(fmt.Sprintf("web: the parameter %s of %s has no type", name, o.path))
		}
		asked = append(asked, object{"name": name, "in": in, "required": required, "schema": schema})
	}
	for _, match := range pathNames.FindAllStringSubmatch(o.path, -1) {
		add("path", match[1], true)
	}
	for _, name := range o.must {
		add("query", name, true)
	}
	for _, name := range o.query {
		add("query", name, false)
	}
	problems := slices.Clone(o.problems)
	if len(asked) > 0 || o.body != nil {
		problems = append(problems, http.StatusBadRequest)
	}
	summary, more, _ := strings.Cut(strings.TrimSuffix(o.summary, "."), ". ")
	described := object{"summary": summary, "parameters": asked}
	if more != "" {
		described["description"] = more + "."
	}
	if o.body != nil {
		described["requestBody"] = object{"required": true, "content": jsonOf(s.of(reflect.TypeOf(o.body), true))}
		problems = append(problems, http.StatusRequestEntityTooLarge)
	}
	key := []object{{"key": []string{}}, {"cookie": []string{}}}
	switch o.access {
	case ownKey:
		problems = append(problems, http.StatusUnauthorized)
	case anyKey:
		problems = append(problems, http.StatusUnauthorized)
		key = append(key, object{})
	case noKey:
		key = []object{}
	}
	described["security"] = key

	status, success := o.status, object{}
	switch {
	case o.answer != nil:
		success["content"] = jsonOf(s.of(reflect.TypeOf(o.answer), false))
		if status == 0 {
			status = http.StatusOK
		}
	default:
		status = http.StatusNoContent
	}
	success["description"] = http.StatusText(status)
	responses := object{strconv.Itoa(status): success, "default": object{"$ref": "#/components/responses/Problem"}}
	for _, status := range problems {
		responses[strconv.Itoa(status)] = object{"description": http.StatusText(status), "content": problemContent(s)}
	}
	described["responses"] = responses
	return described
}

func jsonOf(schema object) object { return object{"application/json": object{"schema": schema}} }

func problemContent(s schemas) object {
	return object{"application/problem+json": object{"schema": s.of(reflect.TypeFor[problem.Answer](), false)}}
}

// newDescription is the interface as OpenAPI 3.1. Its schemas are made from the
// types that are encoded and decoded, so that it cannot tell of other fields.
func newDescription() []byte {
	named, paths := schemas{}, map[string]object{}
	for _, o := range operations {
		if paths[o.path] == nil {
			paths[o.path] = object{}
		}
		paths[o.path][strings.ToLower(o.method)] = o.describe(named)
	}
	var document bytes.Buffer
	encoder := json.NewEncoder(&document)
	encoder.SetEscapeHTML(false)
	err := encoder.Encode(object{
		"openapi": "3.1.0",
		"info": object{
			"title":       "Slotcast",
			"version":     "1",
			"description": "What each insertion of the last slot’s pair leaves on top, and about how many seconds it takes. More fields, parameters and routes may come; those here keep their meaning.",
		},
		"paths": paths,
		"components": object{
			"schemas": named,
			"responses": object{"Problem": object{
				"description": "What is wrong (RFC 9457).",
				"content":     problemContent(named),
			}},
			"securitySchemes": object{
				"key":    object{"type": "http", "scheme": "bearer", "description": "A key of the profile."},
				"cookie": object{"type": "apiKey", "in": "cookie", "name": session.KeyCookie, "description": "The same key, as a browser keeps it; over TLS the cookie’s name is __Host-slotcast."},
			},
		},
	})
	if err != nil {
		panic(fmt.Sprintf("web: the description is no JSON: %v", err))
	}
	return document.Bytes()
}

// Description answers GET /api/v1/openapi.json.
func (s *Server) Description(w http.ResponseWriter, _ *http.Request) error {
	w.Header().Set("Content-Type", "application/json")
	// It changes only with the program, and what is new in it can wait an hour.
	w.Header().Set("Cache-Control", "public, max-age=3600")
	_, _ = w.Write(s.description)
	return nil
}
