package page

import (
	"net/http"
	"net/url"
	"slices"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/routes"
	"slotcast/forecast/twoslots"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"
	"slotcast/web/words"
)

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
	// SetUp brings a solved puzzle to the case; "" where it shows it as it is.
	SetUp string
	// Mirrored is the code of the case for the other hand.
	Mirrored string
}

// routeStrip is a row of turns, with what it is and how long it takes.
type routeStrip struct {
	Title, Turns, Seconds string
	Strip                 stripView
	// Marks marks its insertion, if it is one; Usual says that it is none, and that the
	// person knows it all the same.
	Marks []insertionMarksView
	// Step marks it where it uses the other open slot.
	Step  *ownStepView
	Usual bool
}

// marksOf are for the insertion that the turns after rotation and AUF are. There is none where
// nothing is done, or where the other slot is used.
//
// They hide nothing: a page of a route that is offered no more could not be shown. The
// insertion's own page does.
func marksOf(slot lastslot.Slot, insertion cube.Sequence, part, address string, known bool) []insertionMarksView {
	kept, err := profile.ReadInsertion(&slot, insertion)
	if err != nil {
		return nil
	}
	id := profile.InsertionID(kept.Slot, kept.Turns.String())
	return []insertionMarksView{{id, insertionPage(id), address, insertion.String(), part, known, false, false}}
}

// OpenedRoute answers GET /routes/{code}/route.
func (s *Server) OpenedRoute(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return problem.NotEncoded()
	}
	delete(values, "seen") // what follows is shown, too
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
	if visitor.Profile != nil {
		session.Private(w)
	}
	code := q.Case.Code()
	if slots := q.Case.Open.Slots(); !slices.Contains(slots[:], fills) {
		return problem.BadRequest("fills", "that slot is solved in the case "+code)
	}
	route, ok := s.sessions.Routes(forecaster).Route(q.Asked(0), fills, turns)
	if !ok {
		// What was known when the page was shown may not be any more, or hidden since.
		q.View = forecast.All
		asked := q.Asked(0)
		asked.Hidden = true
		route, ok = s.sessions.Routes(forecaster).Route(asked, fills, turns)
	}
	if !ok {
		return &problem.Problem{Status: http.StatusNotFound, Title: "No such route", Detail: "these turns are not among the routes for the case " + code, Field: "turns"}
	}
	appearance := appearanceOf(r.Context())
	v := openedRouteView{
		pageView: s.pageView("Case "+code+": "+words.Turns(turns.String())+" – Slotcast", "", ""),
		Back:     query.With("/routes/"+code, nil, "view", values.Get("view")), Code: code,
		Route:      routeViewOf(q, &route, &route, visitor.Records.PatternName),
		Techniques: techniquesOf(route.Techniques(q.Case)),
		Case:       query.Option(route.Case, route.Last.Turns, nil), CaseCode: route.Case.Code(),
		SetUp: s.setUpByRoute(&route).String(), Mirrored: q.Case.Mirror().Code(),
	}
	rotation, auf, rest := route.Step.Split()
	start := picture.Position{Cube: q.Case.Cube(), Slot: route.Fills, Now: route.Fills}
	first, _ := strip("Turn by turn until the first slot is filled", start, appearance, stripPart{"rotation", rotation}, stripPart{"AUF", auf}, stripPart{"first slot", rest})
	v.Strips = append(v.Strips, routeStrip{"Fill " + route.Fills.Words(), words.Turns(route.Step.Turns.String()), words.Seconds(route.Step.Takes()), first, nil, nil, false})
	slot := lastslot.Slot((int(route.Fills) + quartersOf(rotation)) & 3)
	v.Strips[0].Marks = marksOf(slot, rest, "first-marks", r.URL.RequestURI(), route.Step.Known)
	if step, err := twoslots.CheckStep(q.Case.Open, route.Step.Turns); err == nil {
		view := ownStepViewOf(visitor.Records.Step(step), r.URL.RequestURI())
		view.Known, view.Part = route.Step.Known, "first-marks"
		v.Strips[0].Step = &view
	}
	v.Strips[0].Usual = route.Step.Known && len(rest) > 0 && len(v.Strips[0].Marks) == 0 && v.Strips[0].Step == nil
	last := &route.Last
	rotation, auf, rest = (&routes.Step{Turns: last.Turns}).Split()
	second, filled := strip("Turn by turn until the last slot is filled", picture.PositionOf(route.Case), appearance, stripPart{"rotation", rotation}, stripPart{"AUF", auf}, stripPart{"last slot", rest})
	v.Strips = append(v.Strips, routeStrip{"Then the last slot, " + route.Case.Slot.Words(), words.Turns(last.Turns.String()), words.Seconds(last.Seconds.Insert()), second, nil, nil, false})
	slot = lastslot.Slot((int(route.Case.Slot) + quartersOf(rotation)) & 3)
	v.Strips[1].Marks = marksOf(slot, rest, "last-marks", r.URL.RequestURI(), last.Known)
	if len(last.Then)+len(last.Sequence) > 0 {
		third, _ := strip("Turn by turn until the top is oriented", filled, appearance, stripPart{"AUF", last.Then}, stripPart{"top", last.Sequence})
		v.Strips = append(v.Strips, routeStrip{"Then the top: " + v.Route.Name, cube.Join(last.Then, last.Sequence).String(), words.Seconds(last.Seconds.Recognise + last.Seconds.Execute()), third, nil, nil, false})
	}
	return render(w, r, http.StatusOK, openedRoutePage(v))
}

// setUpByRoute brings a solved puzzle, cross down, to the route's case with two slots open: to
// the last slot's, and from there back by what fills the first.
func (s *Server) setUpByRoute(route *routes.Route) cube.Sequence {
	return cube.Join(s.setUp(route.Case), route.Step.Turns.Inverse())
}

// quartersOf is by how much a rotation, y or none, turns the puzzle.
func quartersOf(rotation cube.Sequence) (quarters int) {
	for _, turn := range rotation {
		quarters += turn.Quarters()
	}
	return quarters
}
