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
	v := s.answer(q, f, visitor.Records, asked)
	if len(v.Patterns) == 0 && q.View == forecast.Known && !asked.Has("view") {
		q.View = forecast.All
		v = s.answer(q, f, visitor.Records, asked)
		v.Note = "None of the insertions that you know is for this case: here is everything."
	}
	v.Bounds, v.BoundsWords = boundsOf(path, asked)
	v.Back = path
	if len(asked) > 0 {
		v.Back += "?" + asked.Encode()
	}
	if visitor.Records.knowsAny() || q.View == forecast.Known {
		v.Views = []filterView{
			{"What I know", askedPath(path, asked, "view", "known"), q.View == forecast.Known},
			{"Everything", askedPath(path, asked, "view", "all"), q.View == forecast.All},
		}
	}
	return v, nil
}

// askedPath is the address of the same page with a parameter changed, or left out.
func askedPath(path string, asked url.Values, name, value string) string {
	values := maps.Clone(asked)
	values.Set(name, value)
	if value == "" {
		values.Del(name)
	}
	if len(values) == 0 {
		return path
	}
	return path + "?" + values.Encode()
}
