package web

import (
	"maps"
	"net/http"
	"net/url"

	"slotcast/forecast"
)

// knowsAny says whether any insertion is marked as known: from then on a forecast
// without others is what the person wants to see first.
func (r Records) knowsAny() bool {
	for _, own := range r.Insertions {
		if own.Known && !own.Hidden {
			return true
		}
	}
	return false
}

// usualView is what a person is shown where no view is asked for.
func (r Records) usualView() forecast.View {
	if r.knowsAny() {
		return forecast.Known
	}
	return forecast.All
}

// answerFor answers the query for whoever asks, by the visitor's own book. The
// path is the page's, which asked belongs to.
func (s *site) answerFor(w http.ResponseWriter, r *http.Request, q query, path string, asked url.Values) (answerView, error) {
	visitor, err := s.visitor(r)
	if err != nil {
		return answerView{}, err
	}
	f, err := s.visitorForecaster(r, visitor)
	if err != nil {
		return answerView{}, err
	}
	if visitor.Profile != nil {
		private(w)
	}
	if !asked.Has("view") {
		q.View = visitor.Records.usualView()
	}
	v := s.answer(q, f, visitor.Records)
	if len(v.Patterns) == 0 && !asked.Has("view") {
		q.View = forecast.All
		v = s.answer(q, f, visitor.Records)
		v.Note = "None of the insertions that you know is for this case: here is everything."
	}
	v.Back = path
	if len(asked) > 0 {
		v.Back += "?" + asked.Encode()
	}
	if visitor.Records.knowsAny() || q.View == forecast.Known {
		v.Views = []filterView{
			{"What I know", viewPath(path, asked, "known"), q.View == forecast.Known},
			{"Everything", viewPath(path, asked, "all"), q.View == forecast.All},
		}
	}
	return v, nil
}

// viewPath is the address of the same page in another view.
func viewPath(path string, asked url.Values, view string) string {
	values := maps.Clone(asked)
	values.Set("view", view)
	return path + "?" + values.Encode()
}
