package web

import (
	"log/slog"
	"math"
	"net/http"
	"net/url"
	"runtime/debug"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"
	"github.com/go-chi/httprate"

	"slotcast/web/page"
	"slotcast/web/problem"
	"slotcast/web/session"
)

// wrapper has what wraps every request.
type wrapper struct {
	pages     *page.Server
	sessions  *session.Sessions
	log       *slog.Logger
	publicURL string
}

// either answers a status as a page to whoever asks for one, otherwise as the
// interface does.
func (w wrapper) either(status int) http.HandlerFunc {
	fail := func(http.ResponseWriter, *http.Request) error { return &problem.Problem{Status: status} }
	api, page := problem.JSON(w.log, fail), w.pages.Page(fail)
	return func(w http.ResponseWriter, r *http.Request) {
		if wantsPage(r) {
			page.ServeHTTP(w, r)
			return
		}
		api.ServeHTTP(w, r)
	}
}

// refuse is [wrapper.either] for what is refused for want of time: it asks no
// database whose page it is.
func (w wrapper) refuse(p *problem.Problem) http.HandlerFunc {
	api := problem.JSON(w.log, func(http.ResponseWriter, *http.Request) error { return p })
	return func(rw http.ResponseWriter, r *http.Request) {
		if wantsPage(r) {
			w.pages.Refuse(rw, r, p)
			return
		}
		api.ServeHTTP(rw, r)
	}
}

// wantsPage says whether a page is the answer that the sender can read.
func wantsPage(r *http.Request) bool {
	return !strings.HasPrefix(r.URL.Path, "/api/") && strings.Contains(r.Header.Get("Accept"), "text/html")
}

// rateWindow is over how long the requests of an address are counted: a page asks
// for what it needs at once, and nobody who is refused waits long.
const rateWindow = 5 * time.Second

// limited refuses an address more than so many requests a second on average; 0 is no
// limit.
func (w wrapper) limited(rate float64) func(http.Handler) http.Handler {
	if rate == 0 {
		return func(next http.Handler) http.Handler { return next }
	}
	return httprate.LimitBy(int(math.Ceil(rate*rateWindow.Seconds())), rateWindow,
		func(r *http.Request) (string, error) { return client(r), nil },
		httprate.WithLimitHandler(w.refuse(&problem.Problem{Status: http.StatusTooManyRequests, RetryAfter: rateWindow})),
		httprate.WithResponseHeaders(httprate.ResponseHeaders{}))
}

// sameOrigin refuses what another site makes a browser send with the cookie.
func (w wrapper) sameOrigin() func(http.Handler) http.Handler {
	protection := http.NewCrossOriginProtection()
	if u, err := url.Parse(w.publicURL); err == nil && u.Host != "" {
		// Behind a proxy the request may name another host than the browser does.
		if err := protection.AddTrustedOrigin(u.Scheme + "://" + u.Host); err != nil {
			w.log.Error("the public address is no origin", "error", err)
		}
	}
	protection.SetDenyHandler(w.either(http.StatusForbidden))
	return protection.Handler
}

// logged writes a line for each request, at a level that is off unless it was asked for:
// the route's pattern, as an address may hold a secret, and nothing of who asked.
func (w wrapper) logged(next http.Handler) http.Handler {
	return http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) {
		if !w.log.Enabled(r.Context(), slog.LevelDebug) {
			next.ServeHTTP(rw, r)
			return
		}
		begun, seen := time.Now(), middleware.NewWrapResponseWriter(rw, r.ProtoMajor)
		next.ServeHTTP(seen, r)
		w.log.DebugContext(r.Context(), "request", "method", r.Method, "route", problem.Route(r), "status", seen.Status(), "bytes", seen.BytesWritten(), "took", time.Since(begun))
	})
}

// recovered keeps the service going when a handler panics, and answers 500.
func (w wrapper) recovered(next http.Handler) http.Handler {
	return http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) {
		defer func() {
			trouble := recover()
			switch trouble {
			case nil:
				return
			case http.ErrAbortHandler:
				panic(trouble)
			}
			w.log.ErrorContext(r.Context(), "panic", "method", r.Method, "route", problem.Route(r), "trouble", trouble, "stack", string(debug.Stack()))
			w.either(http.StatusInternalServerError)(rw, r)
		}()
		next.ServeHTTP(rw, r)
	})
}

// contentPolicy lets a page load only what this service serves, and run no
// script or style that is written into it.
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// transportPolicy has a browser that came over TLS never come without it again, for
// a year (RFC 6797). The host's other names are not the service's to speak for.
const transportPolicy = "max-age=31536000"

func (w wrapper) secured(next http.Handler) http.Handler {
	return http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) {
		w.secure(rw, r)
		next.ServeHTTP(rw, r)
	})
}

// secure has the headers that every answer has.
func (w wrapper) secure(rw http.ResponseWriter, r *http.Request) {
	if w.sessions.OverTLS(r) {
		rw.Header().Set("Strict-Transport-Security", transportPolicy)
	}
	rw.Header().Set("Content-Security-Policy", contentPolicy)
	rw.Header().Set("X-Content-Type-Options", "nosniff")
	rw.Header().Set("Referrer-Policy", "same-origin")
}

// shortURL refuses addresses that nobody writes.
func (w wrapper) shortURL(next http.Handler) http.Handler {
	refused := w.either(http.StatusRequestURITooLong)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if len(r.RequestURI) > problem.MaxURL {
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
