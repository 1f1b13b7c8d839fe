package page

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"

	"github.com/go-chi/chi/v5"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/routes"
	"slotcast/forecast/twoslots"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/query"
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
	Link  *sharingView
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
	return s.showRoutes(w, r, q, "/routes/"+q.Case.Code(), values)
}

// routesOf reads what is asked of the case that the address names.
func routesOf(r *http.Request, values url.Values) (query.Routes, error) {
	asked := url.Values{"case": {chi.URLParam(r, "code")}}
	for _, name := range []string{"view", "limit"} {
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
	list, all := s.sessions.Routes(forecaster).Routes(routes.Request{Case: q.Case, View: q.View, Limit: routesListed})
	code, open := q.Case.Code(), q.Case.Open.Words()
	v := routesView{
		pageView: s.pageView("Case "+code+": two slots, "+open+" – Slotcast", "What to fill first with two slots open, "+open+", by what it leaves for the last slot.", s.sessions.PublicURL(r)+"/routes/"+code),
		Code:     code, Hold: q.Hold.Turns().String(), Slots: openSlotsOf(q.Case),
		Summary: routesSummary(list, all),
	}
	for _, view := range []struct{ name, label string }{{"all", "Everything"}, {"known", "What you know"}} {
		v.Views = append(v.Views, viewLink{view.label, query.With(path, values, "view", view.name), cmp.Or(values.Get("view"), "all") == view.name})
	}
	for i := range list {
		// What fills both is a route of either; once is enough to read.
		if slices.ContainsFunc(list[:i], func(earlier routes.Route) bool { return slices.Equal(earlier.Step.Turns, list[i].Step.Turns) }) {
			continue
		}
		v.Routes = append(v.Routes, routeViewOf(code, &list[i], &list[0], visitor.Records.PatternName))
	}
	link, err := sharingOf("link", "Link and QR code", v.Title, v.URL)
	if err != nil {
		return err
	}
	v.Link = &link
	return render(w, r, http.StatusOK, routesPage(v))
}

func openSlotsOf(c twoslots.Case) (views []openSlotView) {
	position := c.Cube()
	for _, slot := range c.Open.Slots() {
		shown := picture.Position{Cube: position, Slot: slot, Now: slot}
		views = append(views, openSlotView{slot.Words(), shown.Picture().SVG()})
	}
	return views
}

// routesSummary says the list in one line: the best, and what is as good.
func routesSummary(list []routes.Route, all int) string {
	if len(list) == 0 {
		return "Nothing that you know fills one of these slots. Look at everything instead."
	}
	near := 0
	for i := range list {
		if list[i].Near(&list[0]) {
			near++
		}
	}
	tied := "No other is as fast."
	if near > 1 {
		tied = fmt.Sprintf("%d are so close together that the estimates do not tell which is faster.", near)
	}
	return fmt.Sprintf("Fill %s first: about %s s until the top is oriented. %s In all %s ways are ranked.", list[0].Fills.Words(), words.Seconds(list[0].Total), tied, words.Thousands(all))
}

func routeViewOf(code string, route, best *routes.Route, name func(lastslot.Pattern) string) routeView {
	return routeView{
		Path:  "/routes/" + code + "/route?" + url.Values{"fills": {route.Fills.String()}, "turns": {route.Step.Turns.String()}}.Encode(),
		First: words.Turns(route.Step.Turns.String()), Fills: route.Fills.Words(), Last: words.Turns(route.Last.Turns.String()),
		Known: route.Step.Known && route.Last.Known, Near: route != best && route.Near(best),
		Pattern: picture.Pattern(route.Last.Leaves), Name: name(route.Last.Leaves.Pattern()),
		Total: words.Seconds(route.Total),
		Parts: words.Seconds(route.Step.Takes()) + " s, then " + words.Seconds(route.Last.Seconds.Total()) + " s",
	}
}

// openedRouteView is a route, opened over both steps.
type openedRouteView struct {
	pageView
	Back, Code string
	Route      routeView
	Techniques []techniqueView
	// Strips are the step, the insertion for the last slot, and the top's sequence.
	Strips []routeStrip
	// Case is where the last slot's case is shown.
	Case, CaseCode string
}

// routeStrip is a row of turns, with what it is and how long it takes.
type routeStrip struct {
	Title, Turns, Seconds string
	Strip                 stripView
}

// OpenedRoute answers GET /routes/{code}/route.
func (s *Server) OpenedRoute(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return problem.NotEncoded()
	}
	q, err := routesOf(r, values)
	if err != nil {
		return err
	}
	turns, err := cube.Parse(values.Get("turns"))
	if err != nil {
		return problem.Parse("turns", err)
	}
	fills, err := lastslot.ParseSlot(values.Get("fills"))
	if err != nil {
		return problem.BadSyntax("fills", 0, err.Error())
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	forecaster, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return err
	}
	code := q.Case.Code()
	if slots := q.Case.Open.Slots(); !slices.Contains(slots[:], fills) {
		return problem.BadRequest("fills", "that slot is solved in the case "+code)
	}
	route, ok := s.sessions.Routes(forecaster).Route(routes.Request{Case: q.Case, View: q.View}, fills, turns)
	if !ok {
		return &problem.Problem{Status: http.StatusNotFound, Title: "No such way", Detail: "these turns are not among the ways for the case " + code, Field: "turns"}
	}
	appearance := appearanceOf(r.Context())
	v := openedRouteView{
		pageView: s.pageView("Case "+code+": "+words.Turns(turns.String())+" – Slotcast", "", ""),
		Back:     "/routes/" + code, Code: code,
		Route:      routeViewOf(code, &route, &route, visitor.Records.PatternName),
		Techniques: techniquesOf(route.Techniques(q.Case)),
		Case:       query.Option(route.Case, route.Last.Turns, nil), CaseCode: route.Case.Code(),
	}
	rotation, auf, rest := route.Step.Split()
	start := picture.Position{Cube: q.Case.Cube(), Slot: route.Fills, Now: route.Fills}
	first, _ := strip("Turn by turn until the first slot is filled", start, appearance, stripPart{"rotation", rotation}, stripPart{"AUF", auf}, stripPart{"", rest})
	v.Strips = append(v.Strips, routeStrip{"Fill " + route.Fills.Words(), words.Turns(route.Step.Turns.String()), words.Seconds(route.Step.Takes()), first})
	last := &route.Last
	rotation, auf, rest = (&routes.Step{Turns: last.Turns}).Split()
	second, filled := strip("Turn by turn until the last slot is filled", picture.PositionOf(route.Case), appearance, stripPart{"rotation", rotation}, stripPart{"AUF", auf}, stripPart{"", rest})
	v.Strips = append(v.Strips, routeStrip{"Then the last slot, " + route.Case.Slot.Words(), words.Turns(last.Turns.String()), words.Seconds(last.Seconds.Insert()), second})
	if len(last.Then)+len(last.Sequence) > 0 {
		third, _ := strip("Turn by turn until the top is oriented", filled, appearance, stripPart{"AUF", last.Then}, stripPart{"", last.Sequence})
		v.Strips = append(v.Strips, routeStrip{"Then the top: " + v.Route.Name, cube.Join(last.Then, last.Sequence).String(), words.Seconds(last.Seconds.Recognise + last.Seconds.Execute()), third})
	}
	return render(w, r, http.StatusOK, openedRoutePage(v))
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
