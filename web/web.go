// Package web is what Slotcast shows: its pages and its JSON interface.
//
// A page is three small acts: read the request, build a value that has all its
// words ready, render it with the template of the same name.
package web

import (
	"context"
	"log/slog"
	"net/http"
	"runtime/debug"
	"strings"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"

	"slotcast/forecast"
)

// Config is what the pages and the interface need from outside.
type Config struct {
	Book *forecast.Book
	// PublicURL is the address that links carry, without a slash at its end; ""
	// takes that of each request.
	PublicURL string
	Log       *slog.Logger
	// Healthy says whether the program can answer.
	Healthy func(context.Context) error
}

type site struct {
	Config
	static *staticFiles
}

// New is the handler of all that Slotcast serves.
func New(c Config) http.Handler {
	s := &site{Config: c, static: newStaticFiles()}
	r := chi.NewRouter()
	// HEAD is answered wherever GET is. Pages are ten times smaller packed, and the
	// quickest packing is enough for that.
	r.Use(middleware.GetHead, s.recovered, secured, s.shortURL, middleware.Compress(1, "text/html", "application/json"))

	r.Get("/", s.page(s.lookup))
	r.Get("/case/{code}", s.page(s.sharedCase))
	r.Get("/static/{name}", s.page(s.staticFile))

	r.Get("/healthz", s.api(s.healthz))
	r.Get("/api/v1/forecast", s.api(s.forecastAPI))
	r.Get("/api/v1/patterns", s.api(s.patternsAPI))

	r.NotFound(s.either(http.StatusNotFound))
	r.MethodNotAllowed(func(w http.ResponseWriter, q *http.Request) {
		w.Header().Set("Allow", methods(r, q.URL.Path))
		s.either(http.StatusMethodNotAllowed)(w, q)
	})
	return r
}

// either answers a status as the interface does or as a page, by where it was
// asked.
func (s *site) either(status int) http.HandlerFunc {
	fail := func(http.ResponseWriter, *http.Request) error { return &problem{Status: status} }
	api, page := s.api(fail), s.page(fail)
	return func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/healthz" || strings.HasPrefix(r.URL.Path, "/api/") {
			api.ServeHTTP(w, r)
			return
		}
		page.ServeHTTP(w, r)
	}
}

// recovered keeps the service going when a handler panics, and answers 500.
func (s *site) recovered(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			trouble := recover()
			switch trouble {
			case nil:
				return
			case http.ErrAbortHandler:
				panic(trouble)
			}
			s.Log.ErrorContext(r.Context(), "panic", "method", r.Method, "path", r.URL.Path, "trouble", trouble, "stack", string(debug.Stack()))
			s.either(http.StatusInternalServerError)(w, r)
		}()
		next.ServeHTTP(w, r)
	})
}

// contentPolicy lets a page load only what this service serves, and run no
// script or style that is written into it.
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

func secured(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", contentPolicy)
		w.Header().Set("X-Content-Type-Options", "nosniff")
		w.Header().Set("Referrer-Policy", "same-origin")
		next.ServeHTTP(w, r)
	})
}
