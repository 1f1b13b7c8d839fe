package api_test

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"testing"
	"unicode/utf8"

	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
	"slotcast/web/query"
	"slotcast/web/webtest/site"
)

// Whatever the address asks, the query is read or it is said what of it cannot
// be: never a panic, never a fault of the program's own.
func FuzzQuery(f *testing.F) {
	h := site.NewHandler(f)
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
		q, err := query.Read(values)
		if err == nil {
			checkQuery(t, q)
			if w.Code != http.StatusOK {
				t.Fatalf("status %d: %s", w.Code, w.Body)
			}
			return
		}
		var p *problem.Problem
		if !errors.As(err, &p) {
			t.Fatalf("no problem: %v", err)
		}
		if p.Status != http.StatusBadRequest && p.Status != http.StatusUnprocessableEntity || w.Code != p.Status {
			t.Fatalf("status %d, answered %d", p.Status, w.Code)
		}
		if !slices.Contains(query.Parameters, p.Field) || p.Detail == "" {
			t.Fatalf("it does not say what is wrong: %+v", p)
		}
		if p.Offset != nil && (*p.Offset < 0 || *p.Offset > utf8.RuneCountInString(values.Get(p.Field))) {
			t.Fatalf("offset %d is not in %q", *p.Offset, values.Get(p.Field))
		}
	})
}

func checkQuery(t *testing.T, q query.Query) {
	t.Helper()
	again, err := lastslot.ParseCode(q.Case.Code())
	if err != nil || again != q.Case {
		t.Fatalf("%+v has the code %s, which reads as %+v, %v", q.Case, q.Case.Code(), again, err)
	}
	if q.Limit < 1 || q.Limit > query.MaxLimit {
		t.Fatalf("%+v", q)
	}
}

// fuzzedPaths are the addresses that read parameters, beside that of the forecast.
var fuzzedPaths = []string{
	"/", "/case/1T0WT", "/case/1T0WT/option", "/case/1T0WT/patterns", "/case/1T0WT/patterns/27", "/print/place", "/print/case/1T0WT", "/print/patterns",
	"/learn", "/insertions/one", "/ratings", "/cases", "/compare",
	"/api/v1/insertions", "/api/v1/routes", "/api/v1/learning", "/api/v1/learning/places", "/api/v1/learning/steps", "/api/v1/practice-scramble",
}

// Whatever a page or route is asked, it answers, or says what is wrong: never a
// panic, never a fault of the program's own.
func FuzzAddress(f *testing.F) {
	h := site.NewHandler(f)
	for i, seed := range []string{
		"slot=FR&corner=UFR.R&edge=UB.U&UBL=L", "max_count=8&view=known", "turns=U+R+U'+R'&scramble=R&solution=U", "edges=no-dot&predicted=true", "", "slot=BL&corner=DBL.D&edge=BL.B&paper=letter",
		"paper=a4", "show=mine", "slot=BR", "insertion=FR+R+U+R'", "show=slow", "page=2&find=x", "case=1T0WT&with=x",
		"case=1T0WT&oll=27&order=easiest", "place=FR-UFR.R-UB.U", "slot=FL", "case=1T0WT",
	} {
		f.Add(uint8(i), seed)
	}
	f.Fuzz(func(t *testing.T, path uint8, raw string) {
		r := httptest.NewRequest(http.MethodGet, fuzzedPaths[int(path)%len(fuzzedPaths)], nil)
		r.URL.RawQuery = raw
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code >= http.StatusInternalServerError {
			t.Fatalf("%s?%s: status %d: %s", r.URL.Path, raw, w.Code, w.Body)
		}
	})
}
