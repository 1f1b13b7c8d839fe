package api

import (
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"

	"github.com/go-chi/chi/v5"

	"slotcast/web/problem"
)

// parametersOf has the names of the parameters that a request may have, by method and
// route, as the description has them.
var parametersOf = sync.OnceValue(func() map[string][]string {
	of := map[string][]string{}
	for _, o := range operations {
		of[o.method+" "+o.path] = slices.Concat(o.must, o.query)
	}
	return of
})

// checkParameters refuses a parameter that the route does not have: whoever mistypes
// one is told, instead of having it passed over.
func checkParameters(r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return problem.NotEncoded()
	}
	method := r.Method
	if method == http.MethodHead {
		method = http.MethodGet
	}
	known := parametersOf()[method+" "+chi.RouteContext(r.Context()).RoutePattern()]
	for _, name := range slices.Sorted(maps.Keys(values)) {
		if slices.Contains(known, name) {
			continue
		}
		detail := "unknown here; there are no parameters"
		if len(known) > 0 {
			detail = "unknown here; there are " + strings.Join(slices.Sorted(slices.Values(known)), ", ")
		}
		return problem.BadRequest(problem.Shortened(name), detail)
	}
	return nil
}
