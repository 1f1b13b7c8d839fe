package page

import (
	"fmt"
	"net/http"
	"net/url"

	"slotcast/forecast/twoslots"
	"slotcast/web/query"
	"slotcast/web/session"
	"slotcast/web/words"
)

// tappedRoutesView answers a case that was tapped with two slots open.
type tappedRoutesView struct {
	// Path is the case's own page.
	Path   string
	Routes []routeView
}

// tappedListed is how many routes are listed under the figure; all are on the case's page.
const tappedListed = 10

// tappedRoutes ranks the routes of a case, and says in one line what there is.
func (s *Server) tappedRoutes(w http.ResponseWriter, r *http.Request, c twoslots.Case) (v *tappedRoutesView, status string, err error) {
	q, err := query.ReadRoutes(url.Values{"case": {c.Code()}})
	if err != nil {
		return nil, "", err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return nil, "", err
	}
	forecaster, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return nil, "", err
	}
	if visitor.Profile != nil {
		session.Private(w)
	}
	list, _ := s.sessions.Routes(forecaster).Routes(q.Asked(tappedListed))
	v = &tappedRoutesView{Path: "/routes/" + c.Code(), Routes: routeViews(q, list, visitor.Records.PatternName)}
	if len(list) == 0 {
		return v, routesSummary(list, 0), nil
	}
	return v, fmt.Sprintf("Case %s: fill %s first, about %s s until the top is oriented.", c.Code(), list[0].Fills.Words(), words.Seconds(list[0].Total)), nil
}
