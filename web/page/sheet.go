package page

import (
	"fmt"
	"net/http"
	"net/url"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast"
	"slotcast/web/problem"
	"slotcast/web/query"
)

// sheetView is what every page to be printed has.
type sheetView struct {
	pageView
	// Class names the size of paper in the style sheet.
	Class string
	// Choices are what of the sheet can be chosen, and are not printed themselves.
	Choices []sheetChoice
	// Drill says that the sheet is for practice, which hands should rest from.
	Drill bool
}

// sheetChoice is a matter that can be chosen, such as the paper.
type sheetChoice struct {
	Label   string
	Choices []linkView
}

// papers are the sizes of paper: A4 of ISO 216, 210 by 297 mm, and Letter of
// ANSI/ASME Y14.1, 8.5 by 11 inches.
var papers = []struct{ value, label string }{{"a4", "A4"}, {"letter", "Letter"}}

// sheet reads the paper, and makes what every sheet has. The path is the page's.
func (s *Server) sheet(title, path string, values url.Values) (sheetView, error) {
	paper := values.Get("paper")
	if !values.Has("paper") {
		paper = papers[0].value
	}
	v := sheetView{pageView: s.pageView(title+" – Slotcast", "", ""), Class: "sheet sheet-" + paper}
	choice := sheetChoice{Label: "Paper"}
	known := false
	for _, p := range papers {
		known = known || p.value == paper
		choice.Choices = append(choice.Choices, linkView{p.label, withValue(path, values, "paper", p.value), p.value == paper})
	}
	if !known {
		return v, problem.BadRequest("paper", fmt.Sprintf("“%s” is unknown; it can be a4 or letter", problem.Shortened(paper)))
	}
	v.Choices = []sheetChoice{choice}
	return v, nil
}

// withValue is the address of the same page with another value of a parameter.
func withValue(path string, values url.Values, name, value string) string {
	changed := url.Values{}
	for n, v := range values {
		changed[n] = v
	}
	changed.Set(name, value)
	return path + "?" + changed.Encode()
}

// sheetOf reads the case and the view that a sheet is asked for.
func (s *Server) sheetOf(r *http.Request, title, path string) (sheetView, query.Query, error) {
	values := r.URL.Query()
	asked := url.Values{"case": {chi.URLParam(r, "code")}}
	if v, ok := values["view"]; ok {
		asked["view"] = v
	}
	q, err := query.Read(asked)
	if err != nil {
		return sheetView{}, q, err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return sheetView{}, q, err
	}
	if !values.Has("view") {
		q.View = visitor.Records.UsualView()
	}
	path += q.Case.Code()
	sheet, err := s.sheet(fmt.Sprintf(title, q.Case.Code()), path, values)
	if err != nil {
		return sheet, q, err
	}
	if visitor.Records.KnowsAny() || q.View == forecast.Known {
		sheet.Choices = append(sheet.Choices, sheetChoice{"Insertions", []linkView{
			{"What I know", withValue(path, values, "view", "known"), q.View == forecast.Known},
			{"Everything", withValue(path, values, "view", "all"), q.View == forecast.All},
		}})
	}
	return sheet, q, nil
}

// optionsFor are the options of a sheet; where the visitor knows none for the case and
// did not ask for a view, all of them.
func (s *Server) optionsFor(r *http.Request, q query.Query) (options []forecast.Option, note string, err error) {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return nil, "", err
	}
	f, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return nil, "", err
	}
	options = q.Options(f)
	if len(options) > 0 || q.View == forecast.All {
		return options, "", nil
	}
	if r.URL.Query().Has("view") {
		return nil, "None of the insertions that you know is for this place.", nil
	}
	q.View = forecast.All
	return q.Options(f), "None of the insertions that you know is for this place: here is everything.", nil
}
