package page

import (
	"net/http"
	"net/url"

	"slotcast/forecast/routes"
	"slotcast/web/problem"
)

// routesSheetView is the sheet of a case with two slots open.
type routesSheetView struct {
	sheetView
	Code, Open, Summary string
	Slots               []openSlotView
	Rows                []routeView
}

// routesPrinted is how many routes a sheet lists: they fit on one page.
const routesPrinted = 16

// PrintRoutes answers GET /print/routes/{code}.
func (s *Server) PrintRoutes(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return problem.NotEncoded()
	}
	delete(values, "seen") // a sheet shows what follows
	q, err := routesOf(r, values)
	if err != nil {
		return err
	}
	code := q.Case.Code()
	path := "/print/routes/" + code
	paper, err := s.sheet("Case "+code, path, values)
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	forecaster, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return err
	}
	list, all := s.sessions.Routes(forecaster).Routes(routes.Request{Case: q.Case, View: q.View, Limit: routesPrinted})
	v := routesSheetView{sheetView: paper, Code: code, Open: q.Case.Open.Words(), Slots: openSlotsOf(q.Case), Summary: routesSummary(list, all)}
	views := sheetChoice{Label: "Steps and insertions"}
	for _, view := range routesViews(path, values) {
		views.Choices = append(views.Choices, linkView{view.Label, view.Path, view.Here})
	}
	v.Choices = append(v.Choices, views)
	v.Rows = routeViews(q, list, visitor.Records.PatternName)
	return render(w, r, http.StatusOK, routesSheet(v))
}
