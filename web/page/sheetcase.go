package page

import (
	"net/http"

	"slotcast/web/picture"
	"slotcast/web/words"
)

// caseSheetView is the sheet of a case.
type caseSheetView struct {
	sheetView
	Code    string
	Words   words.CaseWords
	Picture string
	Summary string
	Rows    []caseSheetRow
	Note    string
}

// caseSheetRow is the best option to a pattern.
type caseSheetRow struct {
	Name, Picture, Total  string
	Turns, Then, Sequence string
	Looks                 []lookView
	Known                 bool
}

// PrintCase answers GET /print/case/{code}.
func (s *Server) PrintCase(w http.ResponseWriter, r *http.Request) error {
	sheet, q, err := s.sheetOf(r, "Case %s", "/print/case/")
	if err != nil {
		return err
	}
	q.Limit, q.PerPattern = 0, true
	options, note, err := s.options(r, &sheet, q, "/print/case/")
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	view := caseSheetView{
		sheetView: sheet, Code: q.Case.Code(), Words: words.Case(q.Case), Note: note, Picture: picture.PositionOf(q.Case).Picture().Named(),
		Summary: words.Counted(len(options), "pattern") + " to choose from, yours first",
	}
	for _, o := range options {
		view.Rows = append(view.Rows, caseSheetRow{
			Name: visitor.Records.PatternName(o.Leaves.Pattern()), Picture: picture.Pattern(o.Leaves), Total: words.Seconds(o.Seconds.Total()),
			Turns: o.Turns.String(), Then: o.Then.String(), Sequence: o.Sequence.String(), Looks: looksOf(o.Looks), Known: o.Known && len(o.Turns) > 0,
		})
	}
	return render(w, r, http.StatusOK, caseSheet(view))
}
