package profile

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"slotcast/web/problem"
)

// The longest bodies that are read, in bytes. One record is a sequence or a note and
// a few numbers. An exported profile with as many records as it may have, each of
// the longest kind, has less than 6 MiB, and 21 of results.
const (
	MaxBody = 64 << 10
	// MaxResultsBody is for MostGiven results, each of the longest kind.
	MaxResultsBody = 256 << 10
	MaxImport      = 28 << 20
)

// Decode is strict: an unknown field is a mistake that would be lost silently.
func Decode(body []byte, into any) error {
	if !utf8.Valid(body) {
		return problem.BadRequest("", "the body is not UTF-8")
	}
	decoder := json.NewDecoder(bytes.NewReader(body))
	decoder.DisallowUnknownFields()
	err := decoder.Decode(into)
	if err == nil {
		if _, err := decoder.Token(); !errors.Is(err, io.EOF) {
			return problem.BadRequest("", place(body, decoder.InputOffset())+"there is something after the end of the JSON")
		}
		return nil
	}
	var (
		syntax *json.SyntaxError
		shape  *json.UnmarshalTypeError
	)
	switch {
	case errors.As(err, &syntax):
		return problem.BadRequest("", place(body, syntax.Offset-1)+"no JSON: "+syntax.Error())
	case errors.Is(err, io.EOF):
		return problem.BadRequest("", "the body is empty; JSON is needed")
	case errors.Is(err, io.ErrUnexpectedEOF):
		return problem.BadRequest("", place(body, int64(len(body)))+"not JSON: it ends too early")
	case errors.As(err, &shape):
		// Before the last point stand names of this program's types; no object that
		// is read has one inside.
		field := shape.Field[strings.LastIndexByte(shape.Field, '.')+1:]
		return problem.BadRequest(field, fmt.Sprintf("%s does not belong here; %s", shape.Value, kindWords(shape)))
	}
	if name, ok := strings.CutPrefix(err.Error(), "json: unknown field "); ok {
		name = strings.Trim(name, `"`)
		return problem.BadRequest(problem.Shortened(name), "a field that is unknown here")
	}
	return problem.BadRequest("", "cannot be read as JSON of this shape")
}

// kindWords says in JSON's words what a Go type is written as.
func kindWords(shape *json.UnmarshalTypeError) string {
	switch kind := shape.Type.Kind().String(); kind {
	case "int", "uint8":
		return "a whole number is"
	case "float64":
		return "a number is"
	case "bool":
		return "true or false is"
	case "slice":
		return "a list is"
	case "struct":
		return "an object is"
	default:
		return "a " + kind + " is"
	}
}

// place says where in a text of several lines a byte is.
func place(body []byte, offset int64) string {
	before := body[:max(0, min(offset, int64(len(body))))]
	line := bytes.Count(before, []byte("\n")) + 1
	column := utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:]) + 1
	return fmt.Sprintf("line %d, character %d: ", line, column)
}

// within puts a problem's field below another.
func within(field string, err error) error {
	told := (*problem.Problem)(nil)
	if !errors.As(err, &told) {
		return err
	}
	inner := *told
	if inner.Field != "" {
		field += "." + inner.Field
	}
	inner.Field = field
	// A person who reads only the detail is to know where, too.
	inner.Detail = field + ": " + inner.Detail
	return &inner
}
