package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"net/http"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/go-chi/chi/v5"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// The longest bodies that are read, in bytes. One record is a sequence or a note and
// a few numbers. An exported profile with as many records as it may have, each of
// the longest kind, has less than 6 MiB.
const (
	maxBody   = 64 << 10
	maxImport = 8 << 20
)

// readBody reads a request's JSON: one value of that shape and nothing besides.
// An error is a [*problem].
func readBody(w http.ResponseWriter, r *http.Request, longest int64, into any) error {
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, longest))
	if tooLong := (*http.MaxBytesError)(nil); errors.As(err, &tooLong) {
		return &problem{Status: http.StatusRequestEntityTooLarge, Title: "Too long", Detail: fmt.Sprintf("more than %d bytes", longest)}
	}
	if err != nil {
		return unclear("", "the body did not arrive")
	}
	return decode(body, into)
}

// decode is strict: an unknown field is a mistake that would be lost silently.
func decode(body []byte, into any) error {
	if !utf8.Valid(body) {
		return unclear("", "the body is no UTF-8")
	}
	decoder := json.NewDecoder(bytes.NewReader(body))
	decoder.DisallowUnknownFields()
	err := decoder.Decode(into)
	if err == nil {
		if _, err := decoder.Token(); !errors.Is(err, io.EOF) {
			return unclear("", place(body, decoder.InputOffset())+"something follows the JSON's end")
		}
		return nil
	}
	var (
		syntax *json.SyntaxError
		shape  *json.UnmarshalTypeError
	)
	switch {
	case errors.As(err, &syntax):
		return unclear("", place(body, syntax.Offset-1)+"no JSON: "+syntax.Error())
	case errors.Is(err, io.EOF):
		return unclear("", "the body is empty; JSON is needed")
	case errors.Is(err, io.ErrUnexpectedEOF):
		return unclear("", place(body, int64(len(body)))+"no JSON: it ends too early")
	case errors.As(err, &shape):
		// Before the last point stand names of this program's types; no object that
		// is read has one inside.
		field := shape.Field[strings.LastIndexByte(shape.Field, '.')+1:]
		return unclear(field, fmt.Sprintf("%s is not what belongs here; %s", shape.Value, kindWords(shape)))
	}
	if name, ok := strings.CutPrefix(err.Error(), "json: unknown field "); ok {
		name = strings.Trim(name, `"`)
		return unclear(shortened(name), "a field that is unknown here")
	}
	return unclear("", "cannot be read as JSON of this shape")
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
	told := (*problem)(nil)
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

// pathPattern is the pattern that the address names, of those from the first on.
func pathPattern(r *http.Request, first lastslot.Pattern) (lastslot.Pattern, error) {
	text := chi.URLParam(r, "oll")
	for p := first; p < lastslot.Patterns; p++ {
		if text == fmt.Sprint(p) {
			return p, nil
		}
	}
	return 0, unclear("oll", fmt.Sprintf("“%s” is no pattern: they are numbered from %d to %d", shortened(text), first, lastslot.Patterns-1))
}

func checkPattern(oll *int, first lastslot.Pattern) (lastslot.Pattern, error) {
	switch {
	case oll == nil:
		return 0, unclear("oll", "missing: the number of a pattern")
	case *oll < int(first) || *oll >= lastslot.Patterns:
		return 0, unclear("oll", fmt.Sprintf("%d is no pattern: they are numbered from %d to %d", *oll, first, lastslot.Patterns-1))
	}
	return lastslot.Pattern(*oll), nil
}

// checkRating is a rating, 0 for none.
func checkRating(field string, rating *int) (int, error) {
	switch {
	case rating == nil:
		return 0, nil
	case *rating < 1 || *rating > 5:
		return 0, unclear(field, fmt.Sprintf("%d is no rating: it is 1 (weak) to 5 (strong)", *rating))
	}
	return *rating, nil
}

// longestTime is more than any part of a last slot takes anyone who times it.
const longestTime = time.Minute

// checkSeconds is a time that somebody measured, 0 for none.
func checkSeconds(field string, seconds *float64) (time.Duration, error) {
	if seconds == nil {
		return 0, nil
	}
	ms := math.Round(*seconds * 1000)
	if !(ms >= 1 && *seconds <= longestTime.Seconds()) {
		return 0, unclear(field, fmt.Sprintf("%v seconds: a time is more than 0 and at most %v", *seconds, longestTime.Seconds()))
	}
	return time.Duration(ms) * time.Millisecond, nil
}

// writtenSeconds and writtenRating are a record's values as they are written: nil for none.
func writtenSeconds(d time.Duration) *float64 {
	if d == 0 {
		return nil
	}
	s := float64(d.Milliseconds()) / 1000
	return &s
}

func writtenRating(n int) *int {
	if n == 0 {
		return nil
	}
	return &n
}

// longestOwn is the most turns that a sequence of one's own may have; nobody
// executes a last slot or OLL half as long.
const longestOwn = 100

func checkTurns(text string) (cube.Sequence, error) {
	turns, err := cube.Parse(text)
	if wrong := (*cube.ParseError)(nil); errors.As(err, &wrong) {
		return nil, unreadable("turns", wrong.Offset, wrong.Error())
	}
	if err != nil {
		return nil, fmt.Errorf("read a sequence: %w", err)
	}
	switch {
	case len(turns) == 0:
		return nil, unreadable("turns", 0, "no turns in it")
	case len(turns) > longestOwn:
		return nil, unclear("turns", fmt.Sprintf("%d turns; a sequence of one’s own has at most %d", len(turns), longestOwn))
	}
	return turns, nil
}

// unfit is the problem that turns read well but do not do what is needed.
func unfit(err error) *problem {
	return &problem{Status: http.StatusUnprocessableEntity, Title: "Not what is needed", Detail: err.Error(), Field: "turns"}
}

// pathSlot is the slot that the address names.
func pathSlot(r *http.Request) (lastslot.Slot, error) {
	text := chi.URLParam(r, "slot")
	slot, err := lastslot.ParseSlot(text)
	if err != nil {
		return 0, unclear("slot", fmt.Sprintf("no slot “%s”: a slot is FR, FL, BL or BR", shortened(text)))
	}
	return slot, nil
}
