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

// Route is a route of the interface, as it is described.
type Route struct {
	Method, Path, Summary string
	Parameters            []string
}

// Routes are all of the interface, in order.
func Routes() (routes []Route) {
	for _, o := range operations {
		routes = append(routes, Route{o.method, o.path, o.summary, slices.Concat(o.must, o.query)})
	}
	return routes
}

// Parameter is a parameter's name and what it means.
type Parameter struct{ Name, Meaning string }

// Parameters are all that routes take, by name.
func Parameters() (parameters []Parameter) {
	seen := map[string]bool{}
	for _, o := range operations {
		for _, name := range slices.Concat(o.must, o.query) {
			said := vocabulary[name]
			if said["type"] == nil {
				// Elsewhere the name is that of an answer's field.
				said = meaning(o.path, name)
			}
			if words, ok := said["description"].(string); ok && !seen[name] {
				seen[name] = true
				parameters = append(parameters, Parameter{name, words})
			}
		}
	}
	slices.SortFunc(parameters, func(a, b Parameter) int { return strings.Compare(a.Name, b.Name) })
	return parameters
}
