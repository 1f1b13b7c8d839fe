// Package web is what Slotcast shows: its pages and its JSON interface.
//
// A page is three small acts: read the request, build a value that has all its
// words ready, render it with the template of the same name.
package web

import (
	"context"
	"log/slog"
	"net/http"
	"net/url"
	"runtime/debug"
	"strings"
	"sync"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"

	"slotcast/forecast"
	"slotcast/forecast/atlas"
)

// Config is what the pages and the interface need from outside.
type Config struct {
	Book *forecast.Book
	// Atlas has the shortest insertions.
	Atlas *atlas.Atlas
	// PublicURL is the address that links carry, without a slash at its end; ""
	// takes that of each request.
	PublicURL string
	Log       *slog.Logger
	// Healthy says whether the program can answer.
	Healthy func(context.Context) error
	// Store has the profiles.
	Store Store
}

type site struct {
	Config
	static   *staticFiles
	people   people
	learning learningLists
	// description is the interface as OpenAPI.
	description []byte
	// ofAnyone makes the forecasts for those of whom nothing is known.
	ofAnyone func() *forecast.Forecaster
}

// New is the handler of all that Slotcast serves.
func New(c Config) http.Handler {
	s := &site{Config: c, static: newStaticFiles(), description: newDescription(), ofAnyone: sync.OnceValue(func() *forecast.Forecaster { return c.Book.For(forecast.Anyone()) })}
	r := chi.NewRouter()
	// HEAD is answered wherever GET is. Pages are ten times smaller packed, and the
	// quickest packing is enough for that.
	r.Use(middleware.GetHead, s.recovered, secured, s.shortURL, s.sameOrigin(), middleware.Compress(1, "text/html", "application/json", "text/css", "text/javascript", "image/svg+xml"))

	r.Get("/", s.page(s.lookup))
	r.Get("/case/{code}", s.page(s.sharedCase))
	r.Get("/case/{code}/way", s.page(s.openedOption))
	r.Get("/case/{code}/patterns", s.page(s.casePatterns))
	r.Get("/case/{code}/patterns/{oll}", s.page(s.casePattern))
	r.Get("/case/{code}/picture.png", s.page(s.casePicture))
	r.Get("/compare", s.page(s.compareCase))
	r.Get("/help", s.page(s.help))

	r.Get("/ratings", s.personal(s.ratings))
	r.Post("/ratings/{oll}", s.change(s.saveRating))
	r.Get("/patterns/{oll}", s.personal(s.sequences))
	r.Get("/patterns/{oll}/reach", s.personal(s.patternReach))
	r.Post("/patterns/{oll}/sequences", s.change(s.addSequence))
	r.Post("/patterns/{oll}/sequences/remove", s.change(s.removeSequence))
	r.Get("/insertions", s.personal(s.insertions))
	r.Post("/insertions", s.change(s.addInsertion))
	r.Get("/insertions/one", s.personal(s.oneInsertion))
	r.Post("/insertions/marks", s.change(s.markInsertions))
	r.Post("/insertions/time", s.change(s.timeInsertion))
	r.Post("/insertions/remove", s.change(s.removeInsertion))
	r.Get("/learn", s.personal(s.learn))
	r.Get("/learn/{place}", s.personal(s.learnPlace))
	r.Get("/cases", s.personal(s.cases))
	r.Post("/cases", s.change(s.keepCase))
	r.Post("/cases/remove", s.change(s.removeCase))
	r.Post("/cases/forget", s.change(s.forgetRecent))
	r.Get("/profile", s.personal(s.profile))
	r.Post("/profile/preferences", s.change(s.changePreferences))
	r.Post("/profile/scale", s.change(s.changeScale))
	r.Post("/profile/device-link", s.change(s.newDeviceLink))
	r.Get("/device/{token}", s.personal(s.device))
	r.Post("/device/{token}", s.change(s.useDevice))
	r.Post("/profile/shares", s.change(s.newShare))
	r.Post("/profile/shares/revoke", s.change(s.revokeShare))
	r.Get("/profile/export", s.personal(s.export))
	r.Post("/profile/import", s.change(s.importFile))
	r.Post("/profile/delete", s.change(s.deleteProfile))

	r.Get("/print/patterns", s.personal(s.printPatterns))
	r.Get("/print/place", s.personal(s.placeByStickers))
	r.Get("/print/place/{code}", s.personal(s.printPlace))
	r.Get("/print/case/{code}", s.personal(s.printCase))

	r.Get("/static/{name}", s.page(s.static.serve))
	r.Get("/manifest.webmanifest", s.page(s.manifestFile))
	r.Get("/worker.js", s.page(s.workerFile))
	r.Get("/offline", s.page(s.offline))

	r.Get("/healthz", answering(s.Log, s.healthz))
	r.Get("/api/v1/forecast", answering(s.Log, s.forecastAPI))
	r.Get("/api/v1/insertions", answering(s.Log, s.insertionsAPI))
	r.Get("/api/v1/learning", answering(s.Log, s.learningAPI))
	r.Get("/api/v1/learning/places", answering(s.Log, s.learningPlacesAPI))
	r.Get("/api/v1/patterns", answering(s.Log, s.patternsAPI))
	r.Get("/api/v1/practice-scramble", answering(s.Log, s.practiceScrambleAPI))
	r.Get("/api/v1/openapi.json", answering(s.Log, s.descriptionAPI))

	r.Post("/api/v1/profiles", answering(s.Log, s.newProfileAPI))
	r.Delete("/api/v1/profiles/me", s.own(s.deleteProfileAPI))
	r.Get("/api/v1/ratings", s.own(s.ratingsAPI))
	r.Put("/api/v1/ratings/{oll}", s.own(s.putRatingAPI))
	r.Patch("/api/v1/ratings/{oll}", s.own(s.patchRatingAPI))
	r.Delete("/api/v1/ratings/{oll}", s.own(s.deleteRatingAPI))
	r.Delete("/api/v1/ratings/{oll}/{step}", s.own(s.deleteRatingAPI))
	r.Get("/api/v1/scale", s.own(s.scaleAPI))
	r.Put("/api/v1/scale/{step}/{rating}", s.own(s.putScaleAPI))
	r.Delete("/api/v1/scale/{step}/{rating}", s.own(s.deleteScaleAPI))
	r.Get("/api/v1/names", s.own(s.namesAPI))
	r.Put("/api/v1/names/{oll}", s.own(s.putNameAPI))
	r.Delete("/api/v1/names/{oll}", s.own(s.deleteNameAPI))
	r.Get("/api/v1/own-sequences", s.own(s.ownSequencesAPI))
	r.Put("/api/v1/own-sequences", s.own(s.putOwnSequenceAPI))
	r.Delete("/api/v1/own-sequences/{oll}", s.own(s.deleteOwnSequenceAPI))
	r.Get("/api/v1/own-insertions", s.own(s.ownInsertionsAPI))
	r.Put("/api/v1/own-insertions", s.own(s.putOwnInsertionAPI))
	r.Delete("/api/v1/own-insertions/{slot}", s.own(s.deleteOwnInsertionAPI))
	r.Get("/api/v1/preferences", s.own(s.preferencesAPI))
	r.Put("/api/v1/preferences/{name}", s.own(s.putPreferenceAPI))
	r.Delete("/api/v1/preferences/{name}", s.own(s.deletePreferenceAPI))
	r.Get("/api/v1/recent-cases", s.own(s.recentCasesAPI))
	r.Delete("/api/v1/recent-cases", s.own(s.deleteRecentCasesAPI))
	r.Get("/api/v1/kept-cases", s.own(s.keptCasesAPI))
	r.Put("/api/v1/kept-cases/{code}", s.own(s.putKeptCaseAPI))
	r.Delete("/api/v1/kept-cases/{code}", s.own(s.deleteKeptCaseAPI))
	r.Get("/api/v1/export", s.own(s.exportAPI))
	r.Post("/api/v1/import", s.own(s.importAPI))
	r.Post("/api/v1/device-links", s.own(s.newDeviceLinkAPI))
	r.Post("/api/v1/device-links/use", answering(s.Log, s.useDeviceLinkAPI))
	r.Get("/api/v1/shares", s.own(s.sharesAPI))
	r.Post("/api/v1/shares", s.own(s.newShareAPI))
	r.Delete("/api/v1/shares/{share}", s.own(s.revokeShareAPI))

	r.NotFound(s.either(http.StatusNotFound))
	r.MethodNotAllowed(func(w http.ResponseWriter, q *http.Request) {
		w.Header().Set("Allow", methods(r, q.URL.Path))
		s.either(http.StatusMethodNotAllowed)(w, q)
	})
	return r
}

// either answers a status as a page to whoever asks for one, otherwise as the
// interface does.
func (s *site) either(status int) http.HandlerFunc {
	fail := func(http.ResponseWriter, *http.Request) error { return &problem{Status: status} }
	api, page := answering(s.Log, fail), s.page(fail)
	return func(w http.ResponseWriter, r *http.Request) {
		if !strings.HasPrefix(r.URL.Path, "/api/") && strings.Contains(r.Header.Get("Accept"), "text/html") {
			page.ServeHTTP(w, r)
			return
		}
		api.ServeHTTP(w, r)
	}
}

// sameOrigin refuses what another site makes a browser send with the cookie.
func (s *site) sameOrigin() func(http.Handler) http.Handler {
	protection := http.NewCrossOriginProtection()
	if u, err := url.Parse(s.PublicURL); err == nil && u.Host != "" {
		// Behind a proxy the request may name another host than the browser does.
		if err := protection.AddTrustedOrigin(u.Scheme + "://" + u.Host); err != nil {
			s.Log.Error("the public address is no origin", "error", err)
		}
	}
	protection.SetDenyHandler(s.either(http.StatusForbidden))
	return protection.Handler
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
			s.Log.ErrorContext(r.Context(), "panic", "method", r.Method, "route", loggedRoute(r), "trouble", trouble, "stack", string(debug.Stack()))
			s.either(http.StatusInternalServerError)(w, r)
		}()
		next.ServeHTTP(w, r)
	})
}

// contentPolicy lets a page load only what this service serves, and run no
// script or style that is written into it.
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

func secured(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", contentPolicy)
		w.Header().Set("X-Content-Type-Options", "nosniff")
		w.Header().Set("Referrer-Policy", "same-origin")
		next.ServeHTTP(w, r)
	})
}
