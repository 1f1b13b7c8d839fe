package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/atlas"
	"slotcast/forecast/lastslot"
)

// wish is what the insertions that are asked for are to leave, and their order.
type wish struct {
	patterns [lastslot.Patterns]bool
	easiest  bool
}

// wishParameters lists what [readWish] reads.
var wishParameters = []string{"oll", "edges", "order"}

// readWish reads the parameters that only insertions have. An error is a
// [*problem].
func readWish(values url.Values) (wish, error) {
	for _, field := range wishParameters {
		if n := len(values[field]); n > 1 {
			return wish{}, unclear(field, fmt.Sprintf("given %d times; once is enough", n))
		}
	}
	var w wish
	byPattern, byEdges := values.Has("oll"), values.Has("edges")
	switch {
	case byPattern && byEdges:
		return wish{}, unclear("oll", "given beside edges: give one of the two")
	case byPattern:
		pattern, err := strconv.ParseUint(values.Get("oll"), 10, 8)
		if err != nil || pattern >= lastslot.Patterns {
			return wish{}, unreadable("oll", 0, fmt.Sprintf("“%s” is no pattern: they are numbered from 0 to %d", shortened(values.Get("oll")), lastslot.Patterns-1))
		}
		w.patterns[pattern] = true
	case byEdges:
		var known bool
		if w.patterns, known = edgesWished(values.Get("edges")); !known {
			return wish{}, unknownEdges(values.Get("edges"))
		}
	default:
		return wish{}, unclear("oll", "missing: give oll, the number of a pattern, or edges")
	}
	if values.Has("order") {
		switch order := values.Get("order"); order {
		case "shortest":
		case "easiest":
			w.easiest = true
		default:
			return wish{}, unreadable("order", 0, fmt.Sprintf("“%s” is unknown; it can be shortest or easiest", shortened(order)))
		}
	}
	return w, nil
}

// insertionsAPI answers GET /api/v1/insertions.
func (s *site) insertionsAPI(w http.ResponseWriter, r *http.Request) error {
	asked, err := s.readAsked(w, r)
	if err != nil {
		return err
	}
	wished, err := readWish(asked.values)
	if err != nil {
		return err
	}
	options, ways, err := s.wishedOptions(wished, asked.query, asked.forecaster)
	if err != nil {
		return err
	}
	answer := insertionsAnswer{answerForecast(asked.query, options, asked.own), ways, s.Book.Searched()}
	if !wished.easiest {
		answer.Searched = atlas.Searched
	}
	writeJSON(w, http.StatusOK, answer)
	return nil
}

// wishedOptions are the ways to what is wished, in the order wished, and how many
// there are before the limit. The easiest are those of the book, which has some
// for every case and pattern; the shortest are those of the atlas.
func (s *site) wishedOptions(wished wish, q query, f *forecast.Forecaster) (options []forecast.Option, ways int, err error) {
	if q.Predicted {
		f = f.Predicted()
	}
	request := forecast.Request{Case: q.Case, View: q.View, Filter: q.Only}
	wanted := func(p lastslot.Pattern) bool { return wished.patterns[p] }
	// What a person knows is theirs, however it is written.
	if wished.easiest || q.View == forecast.Known {
		options = slices.DeleteFunc(f.Forecast(request), func(o forecast.Option) bool { return !wanted(o.Leaves.Pattern()) })
	} else {
		var rows []cube.Sequence
		for _, way := range s.Atlas.Options(q.Case, wanted) {
			rows = append(rows, way.Turns())
		}
		if options, err = f.Options(request, rows); err != nil {
			return nil, 0, err
		}
		options = slices.DeleteFunc(options, func(o forecast.Option) bool { return !q.Only.Offers(o.Turns, o.Count) })
	}
	if wished.easiest {
		slices.SortFunc(options, forecast.CompareInsert)
	} else {
		slices.SortFunc(options, forecast.CompareCount)
	}
	ways = len(options)
	if q.PerPattern {
		var seen [lastslot.Patterns]bool
		options = slices.DeleteFunc(options, func(o forecast.Option) bool {
			before := seen[o.Leaves.Pattern()]
			seen[o.Leaves.Pattern()] = true
			return before
		})
	}
	return options[:min(len(options), q.Limit)], ways, nil
}
