package web

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"testing"
	"unicode/utf8"

	"slotcast/forecast"
)

// Whatever the address asks, the query is read or it is said what of it cannot
// be: never a panic, never a fault of the program's own.
func FuzzQuery(f *testing.F) {
	h := newHandler(f)
	f.Fuzz(func(t *testing.T, raw string) {
		r := httptest.NewRequest(http.MethodGet, "/api/v1/forecast", nil)
		r.URL.RawQuery = raw
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)

		values, err := url.ParseQuery(raw)
		if err != nil {
			if w.Code != http.StatusBadRequest {
				t.Fatalf("status %d for what cannot be decoded", w.Code)
			}
			return
		}
		q, err := readQuery(values)
		if err == nil {
			checkQuery(t, q)
			if w.Code != http.StatusOK {
				t.Fatalf("status %d: %s", w.Code, w.Body)
			}
			return
		}
		var p *problem
		if !errors.As(err, &p) {
			t.Fatalf("no problem: %v", err)
		}
		if p.Status != http.StatusBadRequest && p.Status != http.StatusUnprocessableEntity || w.Code != p.Status {
			t.Fatalf("status %d, answered %d", p.Status, w.Code)
		}
		if !slices.Contains(parameters, p.Field) || p.Detail == "" {
			t.Fatalf("it does not say what is wrong: %+v", p)
		}
		if p.Offset != nil && (*p.Offset < 0 || *p.Offset > utf8.RuneCountInString(values.Get(p.Field))) {
			t.Fatalf("offset %d is not in %q", *p.Offset, values.Get(p.Field))
		}
	})
}

func checkQuery(t *testing.T, q query) {
	t.Helper()
	again, err := forecast.ParseCode(q.Case.Code())
	if err != nil || again != q.Case {
		t.Fatalf("%+v has the code %s, which reads as %+v, %v", q.Case, q.Case.Code(), again, err)
	}
	if q.Limit < 1 || q.Limit > maxLimit {
		t.Fatalf("%+v", q)
	}
}
