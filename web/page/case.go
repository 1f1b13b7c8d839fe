package page

import (
	"net/http"
	"net/url"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast/practice"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
)

// caseView is a case's own page.
type caseView struct {
	pageView
	// Position is its picture.
	Position string
	Answer   answerView
	// Change is where the case can be changed.
	Change string
	Keep   keepView
	// Practise are sessions of the case alone.
	Practise []linkView
	// PrintCase and PrintPlace are sheets of the case and of where its pair stands.
	PrintCase, PrintPlace string
	// Comparison is with somebody whose share the address carries.
	Comparison *comparisonView
}

// SharedCase answers GET /case/{code}.
func (s *Server) SharedCase(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return problem.NotEncoded()
	}
	// The address says which case it is; how it is answered is asked beside, and the whole
	// position may be told.
	c, err := profile.CheckCode("case", chi.URLParam(r, "code"))
	if err != nil {
		return err
	}
	q, err := query.About(c, values)
	if err != nil {
		return err
	}
	if q, err = withPosition(q, values); err != nil {
		return err
	}
	asks, err := readQuestion(values)
	if err != nil {
		return err
	}
	if asks {
		return s.question(w, r, q.Case, values)
	}
	answer, err := s.answerFor(w, r, q.All(values), "/case/"+q.Case.Code(), values)
	if err != nil {
		return err
	}
	answer.Shared = true
	words := answer.Words
	view := caseView{
		pageView: s.pageView("Case "+answer.Code+": last slot "+words.Slot+" – Slotcast", words.String(), s.sessions.PublicURL(r)+answer.Path),
		Position: picture.PositionOf(q.Case).Picture().Named(),
		Answer:   answer,
		Change:   "/?case=" + answer.Code,

		PrintCase: "/print/case/" + answer.Code, PrintPlace: "/print/place/" + answer.Code,
	}
	s.sessions.Visit(r, q.Case)
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	for _, l := range practise([]practice.Exercise{practice.Choose, practice.Whole}, "items", q.Case.Code()) {
		view.Practise = append(view.Practise, linkView{Label: "Practise it: " + l.Label, Path: l.Path})
	}
	view.Keep = keepOf(visitor.Records, answer.Code, answer.Back)
	view.Picture = s.pictureOf(r, q.Case)
	if share := values.Get(shareParameter); share != "" {
		comparison, err := s.comparison(r, q, profile.ShareID(share))
		if err != nil {
			return err
		}
		view.Comparison = &comparison
	}
	return render(w, r, http.StatusOK, casePage(view))
}
