package page

import (
	"fmt"
	"net/http"
	"slices"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/words"
)

// patternSheetView is the sheet of a person's patterns.
type patternSheetView struct {
	sheetView
	Summary string
	Groups  []patternSheetGroup
}

type patternSheetGroup struct {
	Title, Words string
	Patterns     []patternSheetRow
}

// patternSheetRow is a pattern, seen as its first sequence takes it.
type patternSheetRow struct {
	Name, OwnName, Picture string
	Sequences              []sheetSequence
	// Usual says that the sequence is the book's, as the person has none.
	Usual bool
	// Times are the person's ratings and measured times.
	Times []sheetTime
}

// sheetSequence is a sequence and the AUF before it.
type sheetSequence struct{ AUF, Turns string }

// sheetTime is how a step is rated or what was measured, "–" for neither.
type sheetTime struct{ Step, Value string }

// PrintPatterns answers GET /print/patterns.
func (s *Server) PrintPatterns(w http.ResponseWriter, r *http.Request) error {
	const path = "/print/patterns"
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	values := r.URL.Query()
	sheet, err := s.sheet("Patterns to print", path, values)
	if err != nil {
		return err
	}
	shown := values.Get("show")
	at := slices.IndexFunc(ratingFilters, func(f ratingFilter) bool { return f.value == shown })
	if at < 0 {
		return problem.BadRequest("show", fmt.Sprintf("“%s” is unknown: show unrated, slow or mine", problem.Shortened(shown)))
	}
	choice := sheetChoice{Label: "Patterns"}
	for i, f := range ratingFilters {
		choice.Choices = append(choice.Choices, linkView{f.label, query.With(path, values, "show", f.value), i == at})
	}
	sheet.Choices = append(sheet.Choices, choice)
	sheet.Drill = true
	view := patternSheetView{sheetView: sheet}
	book := profile.BookOf(s.book, visitor.Records)
	count := 0
	for _, group := range edgeGroups {
		g := patternSheetGroup{Title: group.title, Words: group.words}
		for p := range lastslot.Pattern(lastslot.Patterns) {
			// The oriented one has no sequence to look up.
			if p != 0 && p.Outcome().Edges() == group.edges && ratingFilters[at].chosen(visitor.Records, p, book) {
				g.Patterns = append(g.Patterns, s.patternRow(visitor.Records, p))
			}
		}
		count += len(g.Patterns)
		if len(g.Patterns) > 0 {
			view.Groups = append(view.Groups, g)
		}
	}
	view.Summary = words.Counted(count, "pattern")
	return render(w, r, http.StatusOK, patternSheet(view))
}

func (s *Server) patternRow(records profile.Records, p lastslot.Pattern) patternSheetRow {
	row := patternSheetRow{Name: words.Pattern(p), OwnName: records.OwnName(p)}
	var turns []cube.Sequence
	for _, own := range records.Sequences {
		if own.Pattern != p {
			continue
		}
		// What cannot be read any more is not forecast with either.
		if sequence, err := cube.Parse(own.Turns); err == nil {
			turns = append(turns, sequence)
		}
	}
	if len(turns) == 0 {
		row.Usual = true
		turns = []cube.Sequence{profile.BookOf(s.book, records).FollowUp(p)}
	}
	first := takenBy(turns[0])
	row.Picture = picture.Pattern(lastslot.OutcomeOf(first))
	for _, sequence := range turns {
		row.Sequences = append(row.Sequences, sheetSequence{aufTo(first, sequence).String(), sequence.String()})
	}
	for _, step := range profile.RatedSteps(p) {
		row.Times = append(row.Times, sheetTime{step.String(), ratedAs(records.Rating(p, step))})
	}
	return row
}

// takenBy is a position that the sequence orients the top of, in the hold in
// which the sequence begins.
func takenBy(sequence cube.Sequence) cube.Cube {
	after := sequence.Cube()
	return after.Then(after.Hold().Inverse().Cube()).Inverse()
}

// aufTo is the turn of U after which the sequence orients the top of the
// position; there is one, as the sequence is for the same pattern.
func aufTo(position cube.Cube, sequence cube.Sequence) cube.Sequence {
	want := lastslot.OutcomeOf(takenBy(sequence))
	for quarters := range 4 {
		auf := cube.Sequence{}
		if quarters > 0 {
			auf = cube.Sequence{cube.TurnOf(cube.U, quarters)}
		}
		if lastslot.OutcomeOf(position.Do(auf)) == want {
			return auf
		}
	}
	panic("web: a sequence that is for another pattern")
}

func ratedAs(r profile.Rating) string {
	switch {
	case r.Time != 0:
		return words.Seconds(r.Time) + " s"
	case r.Rating != 0:
		return fmt.Sprint(r.Rating)
	}
	return "–"
}
