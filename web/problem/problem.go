package problem

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"strconv"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Problem is an answer that says what is wrong with a request (RFC 9457). Its
// words are for the person who sent it; nothing from inside belongs here.
type Problem struct {
	Status int
	// Title is the heading on a page; "" takes the status's own words.
	Title  string
	Detail string
	// Field is the parameter that is wrong, "" where none is.
	Field string
	// Offset is where in the parameter the trouble starts, in characters from 0.
	Offset *int
	// RetryAfter is after how long the same may be asked again, 0 where it is wrong
	// for good.
	RetryAfter time.Duration
	// Cause is the error that the problem tells of, for a page that shows more of it; nil
	// for most.
	Cause error
}

// Unwrap is the problem's cause.
func (p *Problem) Unwrap() error { return p.Cause }

func (p *Problem) Error() string {
	if p.Field != "" {
		return p.Field + ": " + p.Detail
	}
	return p.Detail
}

// Answer has the members that RFC 9457 names and the project's own two.
type Answer struct {
	Type   string `json:"type"`
	Title  string `json:"title"`
	Status int    `json:"status"`
	Detail string `json:"detail"`
	Field  string `json:"field,omitempty"`
	Offset *int   `json:"offset,omitempty"`
}

// MarshalJSON writes a [Answer]. Where the type is about:blank its title is
// to be the status's own words (RFC 9457, 4.2.1).
func (p *Problem) MarshalJSON() ([]byte, error) {
	return json.Marshal(Answer{"about:blank", http.StatusText(p.Status), p.Status, p.Detail, p.Field, p.Offset})
}

// statusDetails has what is said where a problem brings no words of its own.
var statusDetails = map[int]string{
	http.StatusForbidden:           "this came from another site; use a page of this one",
	http.StatusNotFound:            "nothing at this address",
	http.StatusMethodNotAllowed:    "method not allowed here",
	http.StatusRequestURITooLong:   fmt.Sprintf("the address has more than %d bytes", MaxURL),
	http.StatusTooManyRequests:     "too many requests from this address; wait a moment",
	http.StatusInternalServerError: "something went wrong here; the error was logged, and trying again may help",
}

// Handler answers a request, or returns why it cannot and has written nothing.
type Handler func(http.ResponseWriter, *http.Request) error

// JSON makes a handler one of net/http's that answers an error with
// problem+json, and logs it.
func JSON(log *slog.Logger, h Handler) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if err := h(w, r); err != nil {
			Write(w, Reported(log, r, err))
		}
	}
}

// Of is the problem that an error describes, nil where a person cannot mend it.
func Of(err error) *Problem {
	if p := (*Problem)(nil); errors.As(err, &p) {
		return p
	}
	if describes := (interface{ Problem() *Problem })(nil); errors.As(err, &describes) {
		return describes.Problem()
	}
	return nil
}

// Reported is the problem that a person reads about an error, all words filled in,
// after the error was logged. What is no problem is a fault of the program: it is
// answered without its insides.
func Reported(log *slog.Logger, r *http.Request, err error) *Problem {
	p := Problem{Status: http.StatusInternalServerError}
	wrong := Of(err)
	if wrong != nil {
		p = *wrong
	}
	// Whoever went away reads no answer, and the service has no fault.
	givenUp := wrong == nil && r.Context().Err() != nil && errors.Is(err, context.Canceled)
	if givenUp {
		p.Status = http.StatusServiceUnavailable
	}
	if p.Title == "" {
		p.Title = http.StatusText(p.Status)
	}
	if p.Detail == "" {
		p.Detail = statusDetails[p.Status]
	}
	level, message := slog.LevelInfo, "request not answered"
	switch {
	case givenUp:
		message = "request given up by who sent it"
	case p.RetryAfter > 0 && wrong == err:
		// A refusal with nothing behind it: whoever asks too often writes no log full.
		level = slog.LevelDebug
	case p.Status >= http.StatusInternalServerError:
		level = slog.LevelError
	}
	log.Log(r.Context(), level, message, "method", r.Method, "route", Route(r), "status", p.Status, "error", err)
	return &p
}

// Write answers with the problem.
func Write(w http.ResponseWriter, p *Problem) {
	w.Header().Set("Content-Type", "application/problem+json")
	// A wrong request may be right tomorrow: codes and routes are added.
	w.Header().Set("Cache-Control", "no-store")
	p.TellRetry(w.Header())
	WriteJSON(w, p.Status, p)
}

// TellRetry says when to ask again, in whole seconds (RFC 9110, 10.2.3).
func (p *Problem) TellRetry(h http.Header) {
	if p.RetryAfter > 0 {
		h.Set("Retry-After", strconv.Itoa(int((p.RetryAfter+time.Second-1)/time.Second)))
	}
}

// WriteJSON answers with the value; the content type is JSON where the caller
// has set none.
func WriteJSON(w http.ResponseWriter, status int, value any) {
	var body bytes.Buffer
	encoder := json.NewEncoder(&body)
	// The answer is no page: an apostrophe or "<" in it can stay readable.
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(value); err != nil {
		// Every value that is answered is of the program's own types.
		panic(fmt.Sprintf("web: %T is no JSON: %v", value, err))
	}
	if w.Header().Get("Content-Type") == "" {
		w.Header().Set("Content-Type", "application/json")
	}
	w.WriteHeader(status)
	// Whoever does not wait for the answer does not need it.
	_, _ = w.Write(body.Bytes())
}

// BadSyntax is the problem that a parameter cannot be read from the offset on.
func BadSyntax(field string, offset int, detail string) *Problem {
	return &Problem{Status: http.StatusBadRequest, Title: "Cannot be read", Detail: detail, Field: field, Offset: &offset}
}

// BadRequest is the problem that a request asks for what nobody can answer: of a
// parameter that is missing, wrong, given twice or beside one that excludes it.
func BadRequest(field, detail string) *Problem {
	return &Problem{Status: http.StatusBadRequest, Title: "Cannot be read", Detail: detail, Field: field}
}

// Unprocessable is the problem that a parameter reads well but does not do what is needed.
func Unprocessable(field string, err error) *Problem {
	return &Problem{Status: http.StatusUnprocessableEntity, Title: "Not what is needed", Detail: err.Error(), Field: field}
}

// Parse is the problem with a parameter whose text has a wrong token, as the
// error of its parser says. Any other error is passed on.
func Parse(field string, err error) error {
	if wrong := (*cube.ParseError)(nil); errors.As(err, &wrong) {
		return BadSyntax(field, wrong.Offset, wrong.Error())
	}
	if wrong := (*lastslot.CodeError)(nil); errors.As(err, &wrong) {
		return BadSyntax(field, wrong.Offset, wrong.Error())
	}
	return fmt.Errorf("read %s: %w", field, err)
}

// NotEncoded is the problem that an address's parameters cannot be told apart.
func NotEncoded() *Problem {
	return BadRequest("", "the address’s parameters are not encoded properly: “;” is %3B, “%” is %25")
}

// Repeated is the problem of a parameter that is given n times.
func Repeated(field string, n int) *Problem {
	return BadRequest(field, fmt.Sprintf("given %d times; once is enough", n))
}

// NoPattern is the problem of what names no pattern from the first on.
func NoPattern(named string, first lastslot.Pattern) *Problem {
	return BadSyntax("oll", 0, fmt.Sprintf("“%s” is not a pattern: they are numbered %d to %d", Shortened(named), first, lastslot.Patterns-1))
}

// NoSlot is the problem of a parameter that names no slot.
func NoSlot(text string) *Problem {
	return BadSyntax("slot", 0, fmt.Sprintf("no slot “%s”: a slot is FR, FL, BL or BR", Shortened(text)))
}

// NoSlots is the problem that a field names no two slots.
func NoSlots(field, text string) *Problem {
	return BadSyntax(field, 0, fmt.Sprintf("no two slots “%s”: write two of FR FL BL BR with a comma between them", Shortened(text)))
}

// MaxURL is the longest address that is looked into, in bytes. A scramble and a
// solution with as many characters as a sequence may have, each percent-encoded
// in nine bytes, take less than 75,000; what is longer than they may be should
// still be told so, up to here.
const MaxURL = 512 << 10

// Route is the route of a request as it may stand in the log. What stands in
// its place in the address may be a secret: a device link opens a profile.
func Route(r *http.Request) string {
	if routed := chi.RouteContext(r.Context()); routed != nil && routed.RoutePattern() != "" {
		return routed.RoutePattern()
	}
	return "none"
}

// Shortened is a text that a request brought, cut to what a message can hold.
func Shortened(text string) string {
	const longest = 60
	if characters := []rune(text); len(characters) > longest {
		return string(characters[:longest]) + "…"
	}
	return text
}
