// Package web is all that Slotcast serves, on one page: the routes, and what wraps
// every request. Whatever answers a route is in the room of its kind: page or api.
package web

import (
	"context"
	"log/slog"
	"net/http"
	"net/netip"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"

	"slotcast/forecast"
	"slotcast/forecast/atlas"
	"slotcast/web/api"
	"slotcast/web/page"
	"slotcast/web/profile"
	"slotcast/web/session"
	"slotcast/web/static"
)

// Config is what the pages and the interface need from outside.
type Config struct {
	Book *forecast.Book
	// Atlas has the shortest insertions.
	Atlas *atlas.Atlas
	// PublicURL is the address that links carry, without a slash at its end; ""
	// takes that of each request.
	PublicURL string
	// Rate is how many requests a second one address may send on average, 0 for any.
	Rate float64
	// Proxies are those whose word counts of who asks and how; see [session.Arrival].
	Proxies []netip.Prefix
	Log     *slog.Logger
	// Healthy says whether the program can answer.
	Healthy func(context.Context) error
	// Store has the profiles.
	Store profile.Store
}

// New is the handler of all that Slotcast serves.
func New(c Config) http.Handler {
	files := static.New()
	sessions := session.New(c.Book, c.Store, c.Log, c.PublicURL)
	pages := page.New(c.Book, c.Atlas, c.Store, c.Log, files, sessions, manualOf())
	answers := api.New(c.Book, c.Atlas, c.Store, c.Log, sessions, c.Healthy)
	wrap := wrapper{pages, sessions, c.Log, c.PublicURL}

	r := chi.NewRouter()
	// HEAD is answered wherever GET is. Pages are ten times smaller packed, and the
	// quickest packing is enough for that.
	r.Use(middleware.GetHead, session.Arrival(c.Proxies), wrap.logged, wrap.whole(newHeld()), wrap.recovered, wrap.secured, wrap.limited(c.Rate), wrap.shortURL, wrap.sameOrigin(), middleware.Compress(1, "text/html", "application/json", "text/css", "text/javascript", "image/svg+xml"))

	// What takes longer than a page stands in line, so that pages need not.
	dear := r.With(wrap.newLine(dearAtOnce()).stand)
	// So do files, once they are here: others need not wait for a slow network.
	file := r.With(wrap.arrived(newArriving()), wrap.newLine(1).stand)

	r.Get("/", pages.Page(pages.Lookup))
	r.Get("/case/{code}", pages.Page(pages.SharedCase))
	r.Get("/case/{code}/option", pages.Page(pages.OpenedOption))
	r.Get("/case/{code}/way", pages.Page(pages.MovedOption))
	r.Get("/case/{code}/patterns", pages.Page(pages.CasePatterns))
	r.Get("/case/{code}/patterns/{oll}", pages.Page(pages.CasePattern))
	dear.Get("/case/{code}/picture.png", pages.Page(pages.CasePicture))
	r.Get("/case/{code}/qr.png", pages.Page(pages.CaseQR))
	r.Get("/case/{code}/share", pages.Personal(pages.ShareCase))
	r.Post("/case/{code}/share", pages.Change(pages.MakeCaseShare))
	r.Get("/routes", pages.Page(pages.Routes))
	r.Get("/routes/{code}", pages.Page(pages.CaseRoutes))
	r.Get("/routes/{code}/route", pages.Page(pages.OpenedRoute))
	dear.Get("/routes/{code}/picture.png", pages.Page(pages.RoutesPicture))
	r.Get("/routes/{code}/qr.png", pages.Page(pages.CaseQR))
	r.Get("/routes/{code}/share", pages.Personal(pages.ShareCase))
	r.Post("/routes/{code}/share", pages.Change(pages.MakeCaseShare))
	r.Get("/compare", pages.Page(pages.CompareCase))
	r.Get("/help", pages.Page(pages.Help))
	r.Get("/manual", pages.Page(pages.Manual))

	r.Get("/ratings", pages.Personal(pages.Ratings))
	r.Get("/ratings/deck", pages.Personal(pages.Deck))
	r.Get("/ratings/pll", pages.Personal(pages.PLLs))
	r.Post("/ratings/pll/{pll}", pages.Change(pages.SavePLL))
	r.Post("/ratings/learnt", pages.Change(pages.SaveLearnt))
	r.Post("/ratings/{oll}", pages.Change(pages.SaveRating))
	r.Get("/patterns/{oll}", pages.Personal(pages.Sequences))
	r.Get("/patterns/{oll}/reach", pages.Personal(pages.PatternReach))
	r.Post("/patterns/{oll}/sequences", pages.Change(pages.AddSequence))
	r.Post("/patterns/{oll}/sequences/remove", pages.Change(pages.RemoveSequence))
	r.Get("/insertions", pages.Personal(pages.Insertions))
	r.Post("/insertions", pages.Change(pages.AddInsertion))
	r.Get("/insertions/one", pages.Personal(pages.OneInsertion))
	r.Post("/insertions/marks", pages.Change(pages.MarkInsertions))
	r.Post("/insertions/time", pages.Change(pages.TimeInsertion))
	r.Post("/insertions/remove", pages.Change(pages.RemoveInsertion))
	r.Get("/steps", pages.Personal(pages.Steps))
	r.Post("/steps/marks", pages.Change(pages.MarkSteps))
	r.Post("/steps/time", pages.Change(pages.TimeStep))
	r.Post("/steps/remove", pages.Change(pages.RemoveStep))
	dear.Get("/learn", pages.Personal(pages.Learn))
	dear.Get("/learn/steps", pages.Personal(pages.LearnSteps))
	dear.Post("/learn/marks", pages.Change(pages.MarkLessons))
	dear.Get("/pays", pages.Personal(pages.Pays))
	dear.Get("/plan/{place}", pages.Personal(pages.Plan))
	dear.Get("/learn/{place}", pages.Personal(pages.LearnPlace))
	dear.Get("/practice", pages.Personal(pages.Practice))
	r.Get("/practice/list", pages.Personal(pages.PracticeList))
	r.Get("/practice/results", pages.Personal(pages.PracticeProgress))
	dear.Get("/practice/scrambles", pages.Personal(pages.Scrambles))
	r.Post("/practice/results", pages.Change(pages.SaveResult))
	r.Post("/practice/results/withdraw", pages.Change(pages.WithdrawResult))
	r.Post("/practice/results/restore", pages.Change(pages.RestoreResult))
	r.Post("/drills", pages.Change(pages.NewDrill))
	r.Get("/drills/{drill}", pages.Personal(pages.Drill))
	r.Get("/cases", pages.Personal(pages.Cases))
	r.Post("/cases", pages.Change(pages.KeepCase))
	r.Post("/cases/remove", pages.Change(pages.RemoveCase))
	r.Post("/cases/forget", pages.Change(pages.ForgetRecent))
	r.Get("/profile", pages.Personal(pages.Profile))
	r.Post("/profile/preferences", pages.Change(pages.ChangePreferences))
	r.Post("/profile/average", pages.Change(pages.SaveAverage))
	r.Post("/profile/scale", pages.Change(pages.ChangeScale))
	r.Post("/profile/device-link", pages.Change(pages.NewDeviceLink))
	r.Get("/device/{token}", pages.Personal(pages.Device))
	r.Post("/device/{token}", pages.Change(pages.UseDevice))
	r.Post("/profile/keys/name", pages.Change(pages.NameKey))
	r.Post("/profile/keys/revoke", pages.Change(pages.RevokeKey))
	r.Post("/profile/shares", pages.Change(pages.NewShare))
	r.Post("/profile/shares/revoke", pages.Change(pages.RevokeShare))
	r.Get("/profile/export", pages.Personal(pages.Export))
	file.Post("/profile/import", pages.Change(pages.ImportFile))
	r.Post("/profile/delete", pages.Change(pages.DeleteProfile))

	r.Get("/print/patterns", pages.Personal(pages.PrintPatterns))
	r.Get("/print/place", pages.Personal(pages.PlaceByStickers))
	dear.Get("/print/place/{code}", pages.Personal(pages.PrintPlace))
	r.Get("/print/case/{code}", pages.Personal(pages.PrintCase))
	r.Get("/print/routes/{code}", pages.Personal(pages.PrintRoutes))

	r.Get("/static/{name}", pages.Page(files.Serve))
	r.Get("/manifest.webmanifest", pages.Page(pages.ManifestFile))
	r.Get("/worker.js", pages.Page(pages.WorkerFile))
	r.Get("/offline", pages.Page(pages.Offline))

	r.Get("/healthz", answers.JSON(answers.Healthz))
	r.Get("/api/v1/forecast", answers.JSON(answers.Forecast))
	r.Get("/api/v1/routes", answers.JSON(answers.Routes))
	r.Get("/api/v1/insertions", answers.JSON(answers.Insertions))
	dear.Get("/api/v1/learning", answers.JSON(answers.Learning))
	dear.Get("/api/v1/learning/steps", answers.JSON(answers.LearningSteps))
	dear.Get("/api/v1/learning/places", answers.JSON(answers.LearningPlaces))
	dear.Get("/api/v1/plan", answers.JSON(answers.Plan))
	r.Get("/api/v1/patterns", answers.JSON(answers.Patterns))
	r.Get("/api/v1/pll-sequences", answers.JSON(answers.PLLSequences))
	dear.Get("/api/v1/practice-scramble", answers.JSON(answers.PracticeScramble))
	r.Get("/api/v1/openapi.json", answers.JSON(answers.Description))

	r.Post("/api/v1/profiles", answers.JSON(answers.NewProfile))
	r.Delete("/api/v1/profiles/me", answers.Own(answers.DeleteProfile))
	r.Get("/api/v1/ratings", answers.Own(answers.Ratings))
	r.Put("/api/v1/ratings/{oll}", answers.Own(answers.PutRating))
	r.Patch("/api/v1/ratings/{oll}", answers.Own(answers.PatchRating))
	r.Delete("/api/v1/ratings/{oll}", answers.Own(answers.DeleteRating))
	r.Delete("/api/v1/ratings/{oll}/{step}", answers.Own(answers.DeleteRating))
	r.Get("/api/v1/plls", answers.Own(answers.PLLs))
	r.Put("/api/v1/plls/{pll}", answers.Own(answers.PutPLL))
	r.Delete("/api/v1/plls/{pll}", answers.Own(answers.DeletePLL))
	r.Get("/api/v1/scale", answers.Own(answers.Scale))
	r.Put("/api/v1/scale/recognise/{rating}", answers.Own(answers.PutScale(forecast.Recognise)))
	r.Delete("/api/v1/scale/recognise/{rating}", answers.Own(answers.DeleteScale(forecast.Recognise)))
	r.Put("/api/v1/scale/execute/{rating}", answers.Own(answers.PutScale(forecast.Execute)))
	r.Delete("/api/v1/scale/execute/{rating}", answers.Own(answers.DeleteScale(forecast.Execute)))
	r.Put("/api/v1/scale/track", answers.Own(answers.PutScale(forecast.Track)))
	r.Delete("/api/v1/scale/track", answers.Own(answers.DeleteScale(forecast.Track)))
	r.Get("/api/v1/names", answers.Own(answers.Names))
	r.Put("/api/v1/names/{oll}", answers.Own(answers.PutName))
	r.Delete("/api/v1/names/{oll}", answers.Own(answers.DeleteName))
	r.Get("/api/v1/own-sequences", answers.Own(answers.OwnSequences))
	r.Put("/api/v1/own-sequences", answers.Own(answers.PutOwnSequence))
	r.Delete("/api/v1/own-sequences/{oll}", answers.Own(answers.DeleteOwnSequence))
	r.Get("/api/v1/own-steps", answers.Own(answers.OwnSteps))
	r.Put("/api/v1/own-steps", answers.Own(answers.PutOwnStep))
	r.Delete("/api/v1/own-steps/{open}", answers.Own(answers.DeleteOwnStep))
	r.Get("/api/v1/own-insertions", answers.Own(answers.OwnInsertions))
	r.Put("/api/v1/own-insertions", answers.Own(answers.PutOwnInsertion))
	r.Delete("/api/v1/own-insertions/{slot}", answers.Own(answers.DeleteOwnInsertion))
	r.Get("/api/v1/preferences", answers.Own(answers.Preferences))
	r.Put("/api/v1/preferences/{name}", answers.Own(answers.PutPreference))
	r.Delete("/api/v1/preferences/{name}", answers.Own(answers.DeletePreference))
	r.Get("/api/v1/recent-cases", answers.Own(answers.RecentCases))
	r.Delete("/api/v1/recent-cases", answers.Own(answers.DeleteRecentCases))
	r.Get("/api/v1/kept-cases", answers.Own(answers.KeptCases))
	r.Put("/api/v1/kept-cases/{code}", answers.Own(answers.PutKeptCase))
	r.Delete("/api/v1/kept-cases/{code}", answers.Own(answers.DeleteKeptCase))
	r.Get("/api/v1/results", answers.Own(answers.Results))
	r.Post("/api/v1/results", answers.Own(answers.AddResults))
	r.Delete("/api/v1/results", answers.Own(answers.ForgetResults))
	r.Delete("/api/v1/results/{id}", answers.Own(answers.WithdrawResult))
	r.Patch("/api/v1/results/{id}", answers.Own(answers.PatchResult))
	r.Get("/api/v1/practised", answers.Own(answers.Practised))
	r.Get("/api/v1/export", answers.Own(answers.Export))
	file.Post("/api/v1/import", answers.Own(answers.Import))
	r.Post("/api/v1/device-links", answers.Own(answers.NewDeviceLink))
	r.Post("/api/v1/device-links/use", answers.JSON(answers.UseDeviceLink))
	r.Get("/api/v1/keys", answers.Own(answers.Keys))
	r.Put("/api/v1/keys/{mark}", answers.Own(answers.NameKey))
	r.Delete("/api/v1/keys/{mark}", answers.Own(answers.RevokeKey))
	r.Get("/api/v1/shares", answers.Own(answers.Shares))
	r.Post("/api/v1/shares", answers.Own(answers.NewShare))
	r.Delete("/api/v1/shares/{share}", answers.Own(answers.RevokeShare))

	r.NotFound(wrap.either(http.StatusNotFound))
	r.MethodNotAllowed(func(w http.ResponseWriter, q *http.Request) {
		w.Header().Set("Allow", methods(r, q.URL.Path))
		wrap.either(http.StatusMethodNotAllowed)(w, q)
	})
	return r
}
