package page

import (
	"fmt"
	"net/http"
	"net/url"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast"
	"slotcast/web/problem"
	"slotcast/web/profile"
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
		choice.Choices = append(choice.Choices, linkView{p.label, query.With(path, values, "paper", p.value), p.value == paper})
	}
	if !known {
		return v, problem.BadRequest("paper", fmt.Sprintf("“%s” is unknown: use a4 or letter", problem.Shortened(paper)))
	}
	v.Choices = []sheetChoice{choice}
	return v, nil
}

// sheetOf reads the case and the view that a sheet is asked for.
func (s *Server) sheetOf(r *http.Request, title, path string) (sheetView, query.Query, error) {
	values := r.URL.Query()
	c, err := profile.CheckCode("case", chi.URLParam(r, "code"))
	if err != nil {
		return sheetView{}, query.Query{}, err
	}
	q, err := query.About(c, values, "view")
	if err != nil {
		return sheetView{}, q, err
	}
	path += q.Case.Code()
	sheet, err := s.sheet(fmt.Sprintf(title, q.Case.Code()), path, values)
	if err != nil {
		return sheet, q, err
	}
	return sheet, q, nil
}

// options are those of the sheet's case, what the visitor knows first where no view was
// asked for. Which are shown can be chosen on the sheet.
func (s *Server) options(r *http.Request, sheet *sheetView, q query.Query, path string) (options []forecast.Option, note string, err error) {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return nil, "", err
	}
	f, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return nil, "", err
	}
	values := r.URL.Query()
	q = q.OnPage(values)
	options = q.Options(f)
	views := viewLinks(q.View, func(view string) string { return query.With(path+q.Case.Code(), values, "view", view) })
	sheet.Choices = append(sheet.Choices, sheetChoice{"Insertions", views})
	if len(options) == 0 {
		note = "You know no insertions for this place."
	}
	return options, note, nil
}
