package web

import (
	"net/http"
	"net/url"

	"github.com/go-chi/chi/v5"
)

// caseView is a case's own page.
type caseView struct {
	pageView
	Answer answerView
	// Change is where the case can be changed.
	Change string
}

// sharedCase answers GET /case/{code}.
func (s *site) sharedCase(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return &problem{Status: http.StatusBadRequest, Title: "Cannot be read", Detail: "the address’s parameters are not encoded as they should be"}
	}
	// The address says which case it is; only how it is answered is asked beside.
	asked := url.Values{"case": {chi.URLParam(r, "code")}}
	for _, name := range []string{"predicted", "limit", "per", "view"} {
		if v, ok := values[name]; ok {
			asked[name] = v
		}
	}
	q, err := readQuery(asked)
	if err != nil {
		return err
	}
	f, _, err := s.forecasterFor(r, nil, q.View)
	if err != nil {
		return err
	}
	answer := s.answer(q.all(asked), f)
	answer.Shared = true
	words := answer.Words
	view := caseView{
		pageView: s.pageView("Case "+answer.Code+": last slot "+words.Slot+" – Slotcast", words.String(), s.publicURL(r)+answer.Path),
		Answer:   answer,
		Change:   "/?case=" + answer.Code,
	}
	return render(w, r, http.StatusOK, casePage(view))
}
