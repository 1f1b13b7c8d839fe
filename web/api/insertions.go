package api

import (
	"net/http"
	"slices"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/atlas"
	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
	"slotcast/web/query"
)

// Insertions answers GET /api/v1/insertions.
func (s *Server) Insertions(w http.ResponseWriter, r *http.Request) error {
	asked, err := s.readAsked(w, r)
	if err != nil {
		return err
	}
	wished, err := query.ReadWish(asked.values)
	if err != nil {
		return err
	}
	options, count, err := s.wishedOptions(wished, asked.Query, asked.forecaster)
	if err != nil {
		return err
	}
	answer := insertionsAnswer{answerForecast(asked.Query, options, asked.own), count, s.book.Searched()}
	if !wished.Easiest {
		answer.Searched = atlas.Searched
	}
	problem.WriteJSON(w, http.StatusOK, answer)
	return nil
}

// wishedOptions are the options that leave what is wished, in the order wished, and how many
// there are before the limit. The easiest are those of the book, which has some
// for every case and pattern; the shortest are those of the atlas.
func (s *Server) wishedOptions(wished query.Wish, q query.Query, f *forecast.Forecaster) (options []forecast.Option, count int, err error) {
	if q.Predicted {
		f = f.Predicted()
	}
	request := forecast.Request{Case: q.Case, View: q.View, Filter: q.Filter}
	wanted := func(p lastslot.Pattern) bool { return wished.Patterns[p] }
	// What a person knows is theirs, however it is written.
	if wished.Easiest || q.View == forecast.Known {
		options = slices.DeleteFunc(f.Forecast(request), func(o forecast.Option) bool { return !wanted(o.Leaves.Pattern()) })
	} else {
		var rows []cube.Sequence
		for _, option := range s.atlas.Options(q.Case, wanted) {
			rows = append(rows, option.Turns())
		}
		if options, err = f.Options(request, rows); err != nil {
			return nil, 0, err
		}
		options = slices.DeleteFunc(options, func(o forecast.Option) bool { return !q.Filter.Offers(o.Turns, o.Count) })
	}
	if wished.Easiest {
		slices.SortFunc(options, forecast.CompareInsert)
	} else {
		slices.SortFunc(options, forecast.CompareCount)
	}
	count = len(options)
	if q.PerPattern {
		var seen [lastslot.Patterns]bool
		options = slices.DeleteFunc(options, func(o forecast.Option) bool {
			before := seen[o.Leaves.Pattern()]
			seen[o.Leaves.Pattern()] = true
			return before
		})
	}
	return options[:min(len(options), q.Limit)], count, nil
}
