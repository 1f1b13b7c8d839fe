package web

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

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/forecast/technique"
)

// access says whose key a request needs.
type access int

const (
	ownKey access = iota
	// anyKey is one that changes the answer, but need not be there.
	anyKey
	noKey
)

// operation is what the description says of a route. What follows from the rest,
// such as 401 where a key is needed, is not repeated in it.
type operation struct {
	method, path string
	// summary is one sentence, and in further ones what else there is to know.
	summary string
	access  access
	// query names the parameters after the path, must those that have to be there.
	query, must []string
	// body and answer are values of the types that are decoded and encoded; nil for
	// none.
	body, answer any
	// status is that of the answer, 0 for the usual one.
	status int
	// problems are statuses that other operations do not have.
	problems []int
}

// operations are all routes of the interface, in the order of [New].
var operations = []operation{
	{method: "GET", path: "/healthz", access: noKey, answer: healthAnswer{}, problems: []int{503},
		summary: "Whether the program can answer, its database included."},
	{method: "GET", path: "/api/v1/openapi.json", access: noKey, answer: object{},
		summary: "This description."},
	{method: "GET", path: "/api/v1/forecast", access: anyKey, query: parameters, answer: forecastAnswer{}, problems: []int{404, 422},
		summary: "The ways to insert the last slot's pair and what each leaves, the fastest first. Exactly one of case and scramble is needed; solution and slot belong to a scramble. With a key, or the id of a share, it is that profile's forecast."},
	{method: "GET", path: "/api/v1/insertions", access: anyKey, query: slices.Concat(parameters, wishParameters), answer: insertionsAnswer{}, problems: []int{404, 422},
		summary: "The ways to insert the last slot's pair that leave a wanted pattern, or one with wanted edges: exactly one of oll and edges is needed. The case is told as for a forecast."},
	{method: "GET", path: "/api/v1/learning", access: anyKey, must: []string{"place"}, answer: learningAnswer{},
		summary: "What to learn for a place of the pair: what is known, then the insertions that each save most seconds on average over all cases of the place, at most 20 in all."},
	{method: "GET", path: "/api/v1/learning/places", access: anyKey, must: []string{"slot"}, answer: learningPlacesAnswer{},
		summary: "The 42 places of a slot's pair up to AUF, each with how much of its list is known."},
	{method: "GET", path: "/api/v1/patterns", access: noKey, answer: patternsAnswer{},
		summary: "The 58 orientation patterns of the top, each with the book's sequence for it."},

	{method: "GET", path: "/api/v1/practice-scramble", access: noKey, query: []string{"case"}, answer: scrambleAnswer{},
		summary: "A scramble in face turns that leads from the solved puzzle, white on top and green in front, to the case with the yellow cross down. What the case leaves free is drawn anew each time."},

	{method: "POST", path: "/api/v1/profiles", access: noKey, query: []string{"keep"}, answer: keyAnswer{}, status: 201,
		summary: "Makes an empty profile and answers its key, which is told only here."},
	{method: "DELETE", path: "/api/v1/profiles/me",
		summary: "Deletes the profile with all that is in it, its other keys and its shares."},
	{method: "GET", path: "/api/v1/ratings", answer: ratingsAnswer{},
		summary: "The ratings and measured times that were given."},
	{method: "PUT", path: "/api/v1/ratings/{oll}", body: ratingValues{}, answer: patternRating{},
		summary: "Rates both steps of a pattern, each by a rating, by measured seconds or by both. Where both are there, the seconds count."},
	{method: "PATCH", path: "/api/v1/ratings/{oll}", body: ratingValues{}, answer: patternRating{},
		summary: "Rates a step of a pattern, or both; a step that is not given stays as it is."},
	{method: "DELETE", path: "/api/v1/ratings/{oll}",
		summary: "Removes what was given for a pattern."},
	{method: "DELETE", path: "/api/v1/ratings/{oll}/{step}", problems: []int{404},
		summary: "Removes what was given for one step of a pattern."},
	{method: "GET", path: "/api/v1/scale", answer: scaleAnswer{},
		summary: "The seconds that each rating of each step stands for."},
	{method: "PUT", path: "/api/v1/scale/{step}/{rating}", body: scaleValue{}, answer: scaleAnswerStep{},
		summary: "Changes the seconds that a rating stands for."},
	{method: "DELETE", path: "/api/v1/scale/{step}/{rating}",
		summary: "Lets a rating stand for the usual seconds again."},
	{method: "GET", path: "/api/v1/names", answer: namesAnswer{},
		summary: "The profile's own names of patterns."},
	{method: "PUT", path: "/api/v1/names/{oll}", body: nameValue{}, answer: namedPattern{},
		summary: "Names a pattern."},
	{method: "DELETE", path: "/api/v1/names/{oll}",
		summary: "Removes the name of a pattern."},
	{method: "GET", path: "/api/v1/own-sequences", answer: ownSequencesAnswer{},
		summary: "The profile's own sequences for patterns."},
	{method: "PUT", path: "/api/v1/own-sequences", body: ownSequence{}, answer: ownSequence{}, problems: []int{422},
		summary: "Adds a sequence for a pattern. It has to orient exactly that pattern and keep the first two layers; the answer has it without the AUF at its ends."},
	{method: "DELETE", path: "/api/v1/own-sequences/{oll}", query: []string{"turns"},
		summary: "Removes a sequence for a pattern; without turns, all of the pattern's."},
	{method: "GET", path: "/api/v1/own-insertions", answer: ownInsertionsAnswer{},
		summary: "What the profile says of insertions, its own among them."},
	{method: "PUT", path: "/api/v1/own-insertions", body: ownInsertionChange{}, answer: ownInsertionsAnswer{}, problems: []int{422},
		summary: "Says of an insertion that it is known, hidden, rated, timed or added, in place of what was said of it before."},
	{method: "DELETE", path: "/api/v1/own-insertions/{slot}", must: []string{"turns"},
		summary: "Removes what was said of an insertion."},
	{method: "GET", path: "/api/v1/preferences", answer: preferencesAnswer{},
		summary: "How the person wants things to be, where not as is usual."},
	{method: "PUT", path: "/api/v1/preferences/{name}", body: preferenceChange{}, answer: preferenceAnswer{},
		summary: "Chooses one. Values of theme are light and dark; of text big; of thumb left; of notation Rw; of top white, green, blue, red and orange; of colours stepped and parted; of hands right and left; of speed a number from 0.25 to 4 that estimates of turning are multiplied by."},
	{method: "DELETE", path: "/api/v1/preferences/{name}",
		summary: "Lets what is usual count again."},
	{method: "GET", path: "/api/v1/recent-cases", answer: recentCasesAnswer{},
		summary: "The last 50 cases whose pages were looked at, the last one first."},
	{method: "DELETE", path: "/api/v1/recent-cases",
		summary: "Forgets the cases that were looked up."},
	{method: "GET", path: "/api/v1/kept-cases", answer: keptCasesAnswer{},
		summary: "The cases that the person keeps, the last kept first."},
	{method: "PUT", path: "/api/v1/kept-cases/{code}", body: keptCaseChange{}, answer: keptCase{}, problems: []int{404, 422},
		summary: "Keeps a case, with a note in place of the one before."},
	{method: "DELETE", path: "/api/v1/kept-cases/{code}",
		summary: "Keeps a case no more."},
	{method: "GET", path: "/api/v1/export", answer: exported{},
		summary: "Everything in the profile as one document."},
	{method: "POST", path: "/api/v1/import", body: exported{}, problems: []int{422},
		summary: "Adds all of an exported document to the profile, each record in place of the one of the same thing, or nothing where anything in it is wrong."},
	{method: "POST", path: "/api/v1/device-links", answer: deviceLinkAnswer{}, status: 201,
		summary: "Makes a link that opens the profile on another device: once, and until it expires."},
	{method: "POST", path: "/api/v1/device-links/use", access: noKey, query: []string{"keep"}, body: deviceLinkUse{}, answer: keyAnswer{}, status: 201, problems: []int{410},
		summary: "Uses a device link up and answers another key of its profile."},
	{method: "GET", path: "/api/v1/shares", answer: sharesAnswer{},
		summary: "The profile's shares."},
	{method: "POST", path: "/api/v1/shares", answer: shareAnswer{}, status: 201, problems: []int{422},
		summary: "Makes a share: whoever has its id sees how the profile ranks, and can change nothing."},
	{method: "DELETE", path: "/api/v1/shares/{share}", problems: []int{404},
		summary: "Takes a share back."},
}

// object is a JSON object of the description.
type object = map[string]any

// What several names stand for.
var (
	slots                 = []string{"FR", "FL", "BL", "BR"}
	secretText            = "^[A-Za-z0-9_-]{22}$" // as newSecret makes it
	ratingSchema          = object{"type": "integer", "minimum": 1, "maximum": 5, "description": "1 (weak) to 5 (strong)."}
	timeSchema            = object{"type": "number", "exclusiveMinimum": 0, "maximum": longestTime.Seconds(), "description": "Measured seconds, kept to the millisecond."}
	preferenceName        = object{"type": "string", "enum": preferenceNames(), "description": "What can be chosen."}
	preferenceValueSchema = object{"type": "string", "minLength": 1, "description": "A value other than the usual one; what it can be depends on the name."}
	ownOLL                = object{"type": "integer", "minimum": 1, "maximum": lastslot.Patterns - 1, "description": "The number of a pattern."}
)

var edgeTypes = []lastslot.Edges{lastslot.Dot, lastslot.Line, lastslot.L, lastslot.Cross}

// vocabulary is what a name says that its Go type does not. A name means the same in
// the whole interface; where its range differs, that of one path or schema is
// found under both.
var vocabulary = map[string]object{
	"case":      {"type": "string", "pattern": "^[0-9A-Za-z]{1,6}$", "description": "The code of a case; it is read in either case."},
	"scramble":  {"type": "string", "maxLength": cube.MaxLength, "description": "Turns from the solved puzzle, white on top and green in front."},
	"solution":  {"type": "string", "maxLength": cube.MaxLength, "description": "The turns done since the scramble, rotations included."},
	"slot":      {"type": "string", "enum": slots, "description": "The open slot, with the cross down."},
	"limit":     {"type": "integer", "minimum": 1, "maximum": maxLimit, "default": defaultLimit, "description": "The most options in the answer."},
	"per":       {"type": "string", "enum": []string{"pattern"}, "description": "Answer only the best option for each pattern."},
	"predicted": {"type": "boolean", "default": false, "description": "The pattern is recognised in advance, so that this takes no time."},
	"view":      {"type": "string", "enum": []string{"all", "known"}, "default": "all", "description": "The insertions that are offered: all, or those that the profile has marked as known."},
	"rotation":  {"type": "string", "enum": []string{"none"}, "description": "Offer no way with a rotation, first or on the way."},
	"hand":      {"type": "string", "enum": []string{"right", "left"}, "description": "Offer only ways that leave the other hand's side, L or R, alone or wide, as it is."},
	"max_count": {"type": "integer", "minimum": 1, "maximum": maxMaxCount, "description": "Offer only insertions of at most so many turns, as count has them."},
	"share":     {"type": "string", "pattern": secretText, "description": "The id of a share."},
	"order":     {"type": "string", "enum": []string{"shortest", "easiest"}, "default": "shortest", "description": "What comes first: the fewest turns, written in face turns only, or the fewest seconds to insert."},
	"keep":      {"type": "string", "enum": []string{"cookie"}, "description": "Give the key to the browser, in a cookie that scripts cannot read, and not in the answer."},

	"hold":             {"enum": []string{"", "x2", "x'", "x", "z", "z'"}, "description": "The rotation to do first, so that the cross is down."},
	"turns":            {"type": "string", "maxLength": cube.MaxLength, "description": "Turns in the usual notation."},
	"then":             {"enum": []string{"", "U", "U2", "U'"}, "description": "The AUF to do next, in the hold where the turns ended."},
	"sequence":         {"description": "The turns that orient the pattern; empty where all is oriented."},
	"count":            {"minimum": 0, "description": "Face and wide turns count 1, slices 2, rotations and AUF at either end of the insertion 0."},
	"ways":             {"minimum": 0, "description": "How many ways to what is asked for were found, of which those answered are the first."},
	"searched":         {"description": "What the ways were searched in, in a sentence."},
	"gain":             {"description": "The seconds that knowing the insertion would gain here; missing where it is known."},
	"oll":              {"type": "integer", "minimum": 0, "maximum": lastslot.Patterns - 1, "description": "The number of a pattern; 0 is all oriented."},
	"edges":            {"type": "string", "enum": edgeTypes, "description": "Which edges of the top are oriented."},
	"corners_oriented": {"minimum": 0, "maximum": 4},
	"facing":           {"pattern": "^[URFBL]{8}$", "description": "Where the top colour of each place of the top faces."},

	"place":          {"type": "string", "pattern": `^(FR|FL|BL|BR)-[UDLRFB]{3}\.[UDLRFB]-[UDLRFB]{2}\.[UDLRFB]$`, "description": "Where the pair stands, up to AUF: the slot, the sticker that shows the bottom colour of its corner, and the one that shows the front colour of its edge, for a slot at the back its back colour."},
	"cases":          {"description": "The cases of the place, over which averages are: each as likely as any other."},
	"known_lessons":  {"description": "How many insertions of the list are known; they come first."},
	"average":        {"description": "The average over all cases of the place of the best option's total with this and all lessons before it. Of a place, with what is known; where nothing is, with the first lesson."},
	"saves":          {"description": "By how much the average is less than without this lesson; 0 for the first where nothing is known."},
	"level":          {"minimum": 1, "maximum": len(learn.Levels), "description": "The level of the list that the lesson belongs to: up to 1, 3, 8 and 20 insertions."},
	"best":           {"minimum": 0, "description": "In how many of the cases it is quicker than all lessons before it. Then it leaves these patterns, the commonest first."},
	"insert":         {"description": "Seconds for the turns, without AUF."},
	"Seconds.insert": {},

	"recognise":              ratingSchema,
	"Seconds.recognise":      {},
	"execute":                ratingSchema,
	"Seconds.execute":        {},
	"recognise_seconds":      timeSchema,
	"execute_seconds":        timeSchema,
	"step":                   {"type": "string", "enum": []Step{Recognise, Execute}, "description": "A part of the time for a pattern."},
	"rating":                 ratingSchema,
	"seconds":                timeSchema,
	"ScaleStep.own":          {"description": "The profile changed it."},
	"name":                   {"minLength": 1, "maxLength": longestName, "description": "A name of the person's own; spaces at its ends do not count."},
	"OwnSequence.oll":        ownOLL,
	"own":                    {"description": "The person added it."},
	"known":                  {"description": "The person has learnt it."},
	"Option.known":           {"description": "The profile knows the insertion; missing without a profile."},
	"hidden":                 {"description": "It is not to be offered."},
	"mirror":                 {"description": "Say the same of its mirror image, for the other hand."},
	"code":                   {"type": "string", "pattern": "^[0-9A-Za-z]{1,6}$", "description": "The code of a case; it is read in either case."},
	"note":                   {"maxLength": longestNote, "description": "The person's own words; missing for none."},
	"since":                  {"description": "When the case was kept first."},
	"looked":                 {"description": "When the case was looked up last."},
	"Preference.name":        preferenceName,
	"Preference.value":       preferenceValueSchema,
	"PreferenceChange.value": preferenceValueSchema,
	"format":                 {"const": exportFormat},
	"version":                {"const": exportVersion},
	"key":                    {"pattern": secretText, "description": "Opens the profile: a secret. Missing where the browser keeps it."},
	"token":                  {"description": "Opens the profile once: a secret."},

	"Health.status": {"const": "ok"},

	"Problem.type":   {"format": "uri-reference"},
	"Problem.title":  {"description": "The status in words."},
	"Problem.status": {"minimum": 400, "maximum": 599},
	"Problem.detail": {"description": "What is wrong, for the person who asked."},
	"Problem.field":  {"description": "The parameter or field that is wrong."},
	"Problem.offset": {"minimum": 0, "description": "Where in it the trouble starts, in characters from 0."},

	"/api/v1/own-sequences/{oll}.oll": ownOLL,
	"/api/v1/preferences/{name}.name": preferenceName,
	"/api/v1/forecast.slot":           {"type": "string", "enum": slots, "description": "The slot that is open. It is found where it is not named; with all four solved it is the first of these."},
	"/api/v1/insertions.edges":        {"type": "string", "enum": []any{lastslot.Dot, lastslot.Line, lastslot.L, lastslot.Cross, noDot}, "description": "Which edges of the top are to be oriented; no-dot is any but a dot."},
	"/api/v1/forecast.share":          {"type": "string", "pattern": secretText, "description": "The id of a share, for the forecast of the profile that made it."},
}

// meaning is what the vocabulary says of a name in a schema or path.
func meaning(scope, name string) object {
	if special, ok := vocabulary[scope+"."+name]; ok {
		return special
	}
	return vocabulary[name]
}

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

func (s schemas) named(t reflect.Type, decoded bool) object {
	scope := strings.ReplaceAll(strings.ToUpper(t.Name()[:1])+t.Name()[1:], "Answer", "")
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
				panic(fmt.Sprintf("web: %s.%s is described as another type than it has", scope, name))
			}
			maps.Copy(schema, said)
		}
		properties[name] = schema
		// What is left out of a request is false or an empty list, and the turns can
		// tell a slot.
		usual := decoded && (schema["type"] == "boolean" || schema["type"] == "array" || name == "slot")
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
	return object{"application/problem+json": object{"schema": s.of(reflect.TypeFor[problemAnswer](), false)}}
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
			"description": "What each way to insert the last slot's pair leaves on top, and about how many seconds it takes. More fields, parameters and routes may come; those here keep their meaning.",
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
				"cookie": object{"type": "apiKey", "in": "cookie", "name": keyCookie, "description": "The same key, as a browser keeps it."},
			},
		},
	})
	if err != nil {
		panic(fmt.Sprintf("web: the description is no JSON: %v", err))
	}
	return document.Bytes()
}

// descriptionAPI answers GET /api/v1/openapi.json.
func (s *site) descriptionAPI(w http.ResponseWriter, _ *http.Request) error {
	w.Header().Set("Content-Type", "application/json")
	// It changes only with the program, and what is new in it can wait an hour.
	w.Header().Set("Cache-Control", "public, max-age=3600")
	_, _ = w.Write(s.description)
	return nil
}
