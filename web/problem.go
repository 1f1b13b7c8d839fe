package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"strings"

	"github.com/go-chi/chi/v5"

	"slotcast/cube"
	"slotcast/forecast"
)

// problem is an answer that says what is wrong with a request (RFC 9457). Its
// words are for the person who sent it; nothing from inside belongs here.
type problem struct {
	Status int
	// Title is the heading on a page; "" takes the status's own words.
	Title  string
	Detail string
	// Field is the parameter that is wrong, "" where none is.
	Field string
	// Offset is where in the parameter the trouble starts, in characters from 0.
	Offset *int
}

func (p *problem) Error() string {
	if p.Field != "" {
		return p.Field + ": " + p.Detail
	}
	return p.Detail
}

// problemAnswer has the members that RFC 9457 names and the project's own two.
type problemAnswer struct {
	Type   string `json:"type"`
	Title  string `json:"title"`
	Status int    `json:"status"`
	Detail string `json:"detail"`
	Field  string `json:"field,omitempty"`
	Offset *int   `json:"offset,omitempty"`
}

// MarshalJSON writes a [problemAnswer]. Where the type is about:blank its title is
// to be the status's own words (RFC 9457, 4.2.1).
func (p *problem) MarshalJSON() ([]byte, error) {
	return json.Marshal(problemAnswer{"about:blank", http.StatusText(p.Status), p.Status, p.Detail, p.Field, p.Offset})
}

// statusDetails has what is said where a problem brings no words of its own.
var statusDetails = map[int]string{
	http.StatusForbidden:           "another site asked for this; it has to come from a page of this one",
	http.StatusNotFound:            "there is nothing at this address",
	http.StatusMethodNotAllowed:    "this address is there, but is not asked for in this way",
	http.StatusRequestURITooLong:   fmt.Sprintf("the address has more than %d bytes", maxURL),
	http.StatusInternalServerError: "something went wrong here; it was written down, and trying again may help",
}

// handler answers a request, or returns why it cannot and has written nothing.
type handler func(http.ResponseWriter, *http.Request) error

// answering makes a handler one of net/http's that answers an error with
// problem+json, and logs it.
func answering(log *slog.Logger, h handler) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if err := h(w, r); err != nil {
			writeProblem(w, reported(log, r, err))
		}
	}
}

// told is the problem that an error describes, nil where a person cannot mend it.
func told(err error) *problem {
	if p := (*problem)(nil); errors.As(err, &p) {
		return p
	}
	if describes := (interface{ Problem() *problem })(nil); errors.As(err, &describes) {
		return describes.Problem()
	}
	return nil
}

// reported is the problem that a person reads about an error, all words filled in,
// after the error was logged. What is no problem is a fault of the program: it is
// answered without its insides.
func reported(log *slog.Logger, r *http.Request, err error) *problem {
	p := problem{Status: http.StatusInternalServerError}
	if wrong := told(err); wrong != nil {
		p = *wrong
	}
	if p.Title == "" {
		p.Title = http.StatusText(p.Status)
	}
	if p.Detail == "" {
		p.Detail = statusDetails[p.Status]
	}
	level := slog.LevelInfo
	if p.Status >= http.StatusInternalServerError {
		level = slog.LevelError
	}
	log.Log(r.Context(), level, "request not answered", "method", r.Method, "route", loggedRoute(r), "status", p.Status, "error", err)
	return &p
}

// writeProblem answers with the problem.
func writeProblem(w http.ResponseWriter, p *problem) {
	w.Header().Set("Content-Type", "application/problem+json")
	// A wrong request may be right tomorrow: codes and routes are added.
	w.Header().Set("Cache-Control", "no-store")
	writeJSON(w, p.Status, p)
}

// writeJSON answers with the value; the content type is JSON where the caller
// has set none.
func writeJSON(w http.ResponseWriter, status int, value any) {
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

// unreadable is the problem that a parameter cannot be read from the offset on.
func unreadable(field string, offset int, detail string) *problem {
	return &problem{Status: http.StatusBadRequest, Title: "Cannot be read", Detail: detail, Field: field, Offset: &offset}
}

// unclear is the problem that a request asks for what nobody can answer: of a
// parameter that is missing, wrong, given twice or beside one that excludes it.
func unclear(field, detail string) *problem {
	return &problem{Status: http.StatusBadRequest, Title: "Cannot be read", Detail: detail, Field: field}
}

// unfit is the problem that a parameter reads well but does not do what is needed.
func unfit(field string, err error) *problem {
	return &problem{Status: http.StatusUnprocessableEntity, Title: "Not what is needed", Detail: err.Error(), Field: field}
}

// unparsed is the problem with a parameter whose text has a wrong token, as the
// error of its parser says. Any other error is passed on.
func unparsed(field string, err error) error {
	if wrong := (*cube.ParseError)(nil); errors.As(err, &wrong) {
		return unreadable(field, wrong.Offset, wrong.Error())
	}
	if wrong := (*forecast.CodeError)(nil); errors.As(err, &wrong) {
		return unreadable(field, wrong.Offset, wrong.Error())
	}
	return fmt.Errorf("read %s: %w", field, err)
}

// notEncoded is the problem that an address's parameters cannot be told apart.
func notEncoded() *problem {
	return unclear("", "the address’s parameters are not encoded as they should be; a “;” is %3B, a “%” is %25")
}

// repeated is the problem of a parameter that is given n times.
func repeated(field string, n int) *problem {
	return unclear(field, fmt.Sprintf("given %d times; once is enough", n))
}

// noSlot is the problem of a parameter that names no slot.
func noSlot(text string) *problem {
	return unreadable("slot", 0, fmt.Sprintf("no slot “%s”: a slot is FR, FL, BL or BR", shortened(text)))
}

// maxURL is the longest address that is looked into, in bytes. A scramble and a
// solution with as many characters as a sequence may have, each percent-encoded
// in nine bytes, take less than 75,000; what is longer than they may be should
// still be told so, up to here.
const maxURL = 512 << 10

// shortURL refuses addresses that nobody writes.
func (s *site) shortURL(next http.Handler) http.Handler {
	refused := s.either(http.StatusRequestURITooLong)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if len(r.RequestURI) > maxURL {
			refused(w, r)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// methods lists what an address can be asked for with, as the header Allow does.
// HEAD is answered wherever GET is.
func methods(routes chi.Routes, path string) string {
	var found []string
	for _, method := range []string{http.MethodGet, http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete} {
		if !routes.Match(chi.NewRouteContext(), method, path) {
			continue
		}
		found = append(found, method)
		if method == http.MethodGet {
			found = append(found, http.MethodHead)
		}
	}
	return strings.Join(found, ", ")
}

// loggedRoute is the route of a request as it may stand in the log. What stands in
// its place in the address may be a secret: a device link opens a profile.
func loggedRoute(r *http.Request) string {
	if routed := chi.RouteContext(r.Context()); routed != nil && routed.RoutePattern() != "" {
		return routed.RoutePattern()
	}
	return "none"
}

// shortened is a text that a request brought, cut to what a message can hold.
func shortened(text string) string {
	const longest = 60
	if characters := []rune(text); len(characters) > longest {
		return string(characters[:longest]) + "…"
	}
	return text
}
