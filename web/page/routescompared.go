package page

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"

	"slotcast/forecast"
	"slotcast/forecast/routes"
	"slotcast/forecast/twoslots"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"
	"slotcast/web/words"
)

// routesQuestion answers with the page of a case with two slots open that asks.
func (s *Server) routesQuestion(w http.ResponseWriter, r *http.Request, c twoslots.Case, values url.Values) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	if visitor.Profile != nil {
		session.Private(w)
	}
	shared := twoSlotsShared(c)
	address := s.sessions.PublicURL(r) + query.With(shared.Path, nil, questionParameter, "true")
	view := questionView{
		pageView: s.pageView("Which would you do? Case "+c.Code()+": "+shared.Words+" – Slotcast", words.Capital(shared.Words)+". Which would you do?", address),
		Case:     words.Capital(shared.Words), Positions: openSlotsOf(c),
		Answer: query.With(shared.Path, values, questionParameter, ""),
	}
	view.Picture = s.previewOfRoutes(r, c, true)
	if view.Share, err = s.shareOf(r, shared); err != nil {
		return err
	}
	return render(w, r, http.StatusOK, questionPage(view))
}

// routesComparison is how a sharer ranks the routes of a case, beside how the visitor does.
type routesComparison struct {
	Summary string
	Rows    []comparedRoute
}

// comparedRoute is one of the sharer's first routes, and where the visitor has one that
// fills the same slot and leaves the same case.
type comparedRoute struct {
	Name, Pattern, Fills string
	Theirs               comparedOption
	// Mine is nil where the visitor has none, or no order of their own.
	Mine *comparedOption
	// MineLast is what the visitor does for the last slot, and TheirsLast what the sharer does.
	TheirsLast, MineLast string
}

// routesCompared is how many of the sharer's routes are compared.
const routesCompared = 8

func (s *Server) compareRoutes(r *http.Request, q query.Routes, share profile.ShareID, own *forecast.Forecaster, records profile.Records) (routesComparison, error) {
	if !profile.IsSecret(string(share)) {
		return routesComparison{}, session.NoShare()
	}
	found, err := s.store.Shared(r.Context(), share)
	if errors.Is(err, profile.ErrNotFound) {
		return routesComparison{}, session.NoShare()
	}
	if err != nil {
		return routesComparison{}, fmt.Errorf("read the share: %w", err)
	}
	sharer, err := s.sessions.Forecaster(r.Context(), found)
	if err != nil {
		return routesComparison{}, err
	}
	q.Seen = routes.SeenAll // what follows is compared, too
	asked := q.Asked(routesCompared)
	theirs, _ := s.sessions.Routes(sharer).Routes(asked)
	if len(theirs) == 0 {
		return routesComparison{Summary: "They know nothing that fills one of these slots."}, nil
	}
	var mine []*routes.Placed
	if !saysNothing(records) {
		mine = s.sessions.Routes(own).Places(asked, theirs)
	}
	v := routesComparison{Summary: "Rate or mark something of your own, and your order stands beside theirs."}
	for i := range theirs {
		view := routeViewOf(q, &theirs[i], &theirs[0], records.PatternName)
		row := comparedRoute{
			Name: view.Name, Pattern: view.Pattern, Fills: view.Fills, TheirsLast: view.Last,
			Theirs: comparedOption{Place: fmt.Sprint(i + 1), Turns: view.First, Total: view.Total},
		}
		if mine != nil && mine[i] != nil {
			view := routeViewOf(q, &mine[i].Route, &mine[i].Route, records.PatternName)
			row.Mine, row.MineLast = &comparedOption{Place: words.Thousands(mine[i].Place), Turns: view.First, Total: view.Total}, view.Last
		}
		v.Rows = append(v.Rows, row)
	}
	if mine != nil {
		v.Summary = "You have nothing that does what their first route does."
		if mine[0] != nil {
			v.Summary = fmt.Sprintf("Their first route is number %s of yours.", words.Thousands(mine[0].Place))
		}
	}
	return v, nil
}
