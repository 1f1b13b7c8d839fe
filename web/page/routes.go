package page

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/routes"
	"slotcast/forecast/twoslots"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"
	"slotcast/web/tap"
	"slotcast/web/words"
)

// routesView is the page of a case with two slots open.
type routesView struct {
	pageView
	Code, Hold string
	// Slots are the two, each with a picture in which its own pair is marked.
	Slots   []openSlotView
	Summary string
	Routes  []routeView
	// Views are the steps and insertions that can be shown: known or all.
	Views []viewLink
	// Seen are what of the case can be taken as seen, and SeenWords what that means for the
	// seconds, "" where all is seen.
	Seen      []viewLink
	SeenWords string
	Share     caseShareView
	Keep      keepView
	// Print is its sheet, and Figure where it can be tapped otherwise.
	Print, Figure string
	// Learn is what to learn with these slots open.
	Learn string
	// Comparison is with somebody whose share the address carries.
	Comparison *routesComparison
}

type openSlotView struct{ Words, Picture string }

// viewLink leads to the same with something changed; Here is what is shown.
type viewLink struct {
	Label, Path string
	Here        bool
}

// routeView is a route in a list.
type routeView struct {
	Path string
	// First fills the slot that Fills says; Last is what fills the other.
	First, Fills, Last string
	Known, Near        bool
	// OnAverage says that what is left is not known: then there is no pattern, and no path.
	OnAverage bool
	// Pattern is a picture of what is left on top, and Name its name.
	Pattern, Name string
	Total, Parts  string
}

// routesListed is how many routes a page lists.
const routesListed = 30

// Routes answers GET /routes, where a position with two slots is pasted.
func (s *Server) Routes(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return problem.NotEncoded()
	}
	q, err := query.ReadRoutes(values)
	if err != nil {
		return err
	}
	return s.showRoutes(w, r, q, "/routes", values)
}

// CaseRoutes answers GET /routes/{code}.
func (s *Server) CaseRoutes(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return problem.NotEncoded()
	}
	q, err := routesOf(r, values)
	if err != nil {
		return err
	}
	asks, err := readQuestion(values)
	if err != nil {
		return err
	}
	if asks {
		return s.routesQuestion(w, r, q.Case, values)
	}
	return s.showRoutes(w, r, q, "/routes/"+q.Case.Code(), values)
}

// routesOf reads what is asked of the case that the address names.
func routesOf(r *http.Request, values url.Values) (query.Routes, error) {
	asked := url.Values{"case": {chi.URLParam(r, "code")}}
	for _, name := range []string{"view", "seen", "limit"} {
		if given, ok := values[name]; ok {
			asked[name] = given
		}
	}
	return query.ReadRoutes(asked)
}

func (s *Server) showRoutes(w http.ResponseWriter, r *http.Request, q query.Routes, path string, values url.Values) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	forecaster, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return err
	}
	if visitor.Profile != nil {
		session.Private(w)
	}
	list, all := s.sessions.Routes(forecaster).Routes(q.Asked(routesListed))
	code, open := q.Case.Code(), q.Case.Open.Words()
	v := routesView{
		pageView: s.pageView("Case "+code+": two slots, "+open+" – Slotcast", "What to fill first with two slots open, "+open+", by what it leaves for the last slot.", s.sessions.PublicURL(r)+"/routes/"+code),
		Code:     code, Hold: q.Hold.Turns().String(), Slots: openSlotsOf(q.Case),
		Summary: routesSummary(list, all), Print: "/print/routes/" + code, Learn: learnStepsPath(q.Case.Open), Figure: tapPath(tap.OfTwo(q.Case), nil, nil),
	}
	v.Keep = keepOf(visitor.Records, code, query.With(path, values))
	v.Picture = s.previewOfRoutes(r, q.Case, false)
	v.Views = routesViews(path, values)
	v.Seen, v.SeenWords = seenLinks(q, path, values), seenWords(q)
	v.Routes = routeViews(q, list, visitor.Records.PatternName)
	if v.Share, err = s.shareOf(r, twoSlotsShared(q.Case)); err != nil {
		return err
	}
	if share := values.Get(shareParameter); share != "" {
		comparison, err := s.compareRoutes(r, q, profile.ShareID(share), forecaster, visitor.Records)
		if err != nil {
			return err
		}
		v.Comparison = &comparison
	}
	return render(w, r, http.StatusOK, routesPage(v))
}

func openSlotsOf(c twoslots.Case) (views []openSlotView) {
	for _, shown := range openPictures(c) {
		views = append(views, openSlotView{shown.slot.Words(), shown.position.Picture().SVG()})
	}
	return views
}

// seenLinks lead to the same with more or less of the case taken as seen.
func seenLinks(q query.Routes, path string, values url.Values) (links []viewLink) {
	here := "all"
	switch q.Seen {
	case routes.SeenPairs:
		here = "pairs"
	case routes.SeenPair:
		here = q.Pair.String()
	}
	slots := q.Case.Open.Slots()
	for _, seen := range [][2]string{{"all", "All seen"}, {"pairs", "Only the pairs"}, {slots[0].String(), "Only the pair of " + slots[0].Words()}, {slots[1].String(), "Only the pair of " + slots[1].Words()}} {
		links = append(links, viewLink{seen[1], query.With(path, values, "seen", seen[0]), seen[0] == here})
	}
	return links
}

func seenWords(q query.Routes) string {
	switch q.Seen {
	case routes.SeenPairs:
		return fmt.Sprintf("You see where the pairs are. The rest counts by the mean over all %s ways in which it can be turned.", words.Thousands(q.Seen.Unseen()))
	case routes.SeenPair:
		return fmt.Sprintf("You see the pair of %s alone. The rest counts by the mean over all %s cases that look the same.", q.Pair.Words(), words.Thousands(q.Seen.Unseen()))
	}
	return ""
}

// routesViews lead to everything and to what is known.
func routesViews(path string, values url.Values) (views []viewLink) {
	for _, view := range []struct{ name, label string }{{"all", "Everything"}, {"known", "What you know"}} {
		views = append(views, viewLink{view.label, query.With(path, values, "view", view.name), cmp.Or(values.Get("view"), "all") == view.name})
	}
	return views
}

// readBefore says of a route of a list that its turns stand there before: what fills both
// slots is a route of either, and once is enough to read.
func readBefore(list []routes.Route, i int) bool {
	return slices.ContainsFunc(list[:i], func(earlier routes.Route) bool { return slices.Equal(earlier.Step.Turns, list[i].Step.Turns) })
}

// routeViews are the routes of a list, each once.
func routeViews(q query.Routes, list []routes.Route, name func(lastslot.Pattern) string) (views []routeView) {
	for i := range list {
		if !readBefore(list, i) {
			views = append(views, routeViewOf(q, &list[i], &list[0], name))
		}
	}
	return views
}

// openPicture is a case with two slots open, seen so that one of them and its pair show.
type openPicture struct {
	slot     lastslot.Slot
	position picture.Position
}

func openPictures(c twoslots.Case) (shown [2]openPicture) {
	for i, slot := range c.Open.Slots() {
		shown[i] = openPicture{slot, picture.Position{Cube: c.Cube(), Slot: slot, Now: slot}}
	}
	return shown
}

// routesSummary says the list in one line: the best, and what is as good.
func routesSummary(list []routes.Route, all int) string {
	if len(list) == 0 {
		return "Nothing that you know fills one of these slots. Look at everything instead."
	}
	near := 0
	for i := range list {
		if list[i].Near(&list[0]) && !readBefore(list, i) {
			near++
		}
	}
	tied := "No other is as fast."
	if near > 1 {
		tied = fmt.Sprintf("%d are so close together that the estimates do not tell which is faster.", near)
	}
	about := "about"
	if list[0].Mean > 0 {
		about = "on average"
	}
	return fmt.Sprintf("Fill %s first: %s %s s until the top is oriented. %s In all %s routes are ranked.", list[0].Fills.Words(), about, words.Seconds(list[0].Total), tied, words.Thousands(all))
}

func routeViewOf(q query.Routes, route, best *routes.Route, name func(lastslot.Pattern) string) routeView {
	asked := url.Values{"fills": {route.Fills.String()}, "turns": {route.Step.Turns.String()}}
	if q.Seen != routes.SeenAll {
		return routeView{
			First: words.Turns(route.Step.Turns.String()), Fills: route.Fills.Words(), Last: route.Case.Slot.Words(), OnAverage: true,
			Known: route.Step.Known, Near: route != best && route.Near(best), Total: words.Seconds(route.Total),
			Parts: words.Seconds(route.Step.Takes()) + " s, then " + words.Seconds(route.Mean) + " s",
		}
	}
	if q.View == forecast.Known {
		// What follows is of what is known, too.
		asked.Set("view", "known")
	}
	return routeView{
		Path:  "/routes/" + q.Case.Code() + "/route?" + asked.Encode(),
		First: words.Turns(route.Step.Turns.String()), Fills: route.Fills.Words(), Last: words.Turns(route.Last.Turns.String()),
		Known: route.Step.Known && route.Last.Known, Near: route != best && route.Near(best),
		Pattern: picture.Pattern(route.Last.Leaves), Name: name(route.Last.Leaves.Pattern()),
		Total: words.Seconds(route.Total),
		Parts: words.Seconds(route.Step.Takes()) + " s, then " + words.Seconds(route.Last.Seconds.Total()) + " s",
	}
}

// twoOpen is where a position with two open slots is shown that somebody looks up as a
// last-slot case: by a code of seven characters, or by a scramble. Wrong is what is wrong
// with it as one: where it is only that another slot was named, that is said instead.
func twoOpen(values url.Values, wrong error) (path string, ok bool) {
	asked := query.PositionValues(values)
	asked.Del("slot")
	if code := values.Get("case"); code != "" {
		c, err := twoslots.ParseCode(code)
		return "/routes/" + c.Code(), err == nil
	}
	unsolved := (*lastslot.UnsolvedError)(nil)
	if !errors.As(wrong, &unsolved) || unsolved.Filled != nil {
		return "", false
	}
	if _, err := query.ReadRoutes(asked); err != nil {
		return "", false
	}
	return query.With("/routes", asked), true
}
