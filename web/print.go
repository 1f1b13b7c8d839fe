package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"github.com/go-chi/chi/v5"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
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
	Choices []filterView
}

// papers are the sizes of paper: A4 of ISO 216, 210 by 297 mm, and Letter of
// ANSI/ASME Y14.1, 8.5 by 11 inches.
var papers = []struct{ value, label string }{{"a4", "A4"}, {"letter", "Letter"}}

// sheet reads the paper, and makes what every sheet has. The path is the page's.
func (s *site) sheet(title, path string, values url.Values) (sheetView, error) {
	paper := values.Get("paper")
	if !values.Has("paper") {
		paper = papers[0].value
	}
	v := sheetView{pageView: s.pageView(title+" – Slotcast", "", ""), Class: "sheet sheet-" + paper}
	choice := sheetChoice{Label: "Paper"}
	known := false
	for _, p := range papers {
		known = known || p.value == paper
		choice.Choices = append(choice.Choices, filterView{p.label, withValue(path, values, "paper", p.value), p.value == paper})
	}
	if !known {
		return v, unclear("paper", fmt.Sprintf("“%s” is unknown; it can be a4 or letter", shortened(paper)))
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

// printPatterns answers GET /print/patterns.
func (s *site) printPatterns(w http.ResponseWriter, r *http.Request) error {
	const path = "/print/patterns"
	visitor, err := s.visitor(r)
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
		return unclear("show", fmt.Sprintf("“%s” is unknown; patterns can be shown that are unrated, slow or mine", shortened(shown)))
	}
	choice := sheetChoice{Label: "Patterns"}
	for i, f := range ratingFilters {
		choice.Choices = append(choice.Choices, filterView{f.label, withValue(path, values, "show", f.value), i == at})
	}
	sheet.Choices = append(sheet.Choices, choice)
	sheet.Drill = true
	view := patternSheetView{sheetView: sheet}
	count := 0
	for _, group := range edgeGroups {
		g := patternSheetGroup{Title: group.title, Words: group.words}
		for p := range lastslot.Pattern(lastslot.Patterns) {
			// The oriented one has no sequence to look up.
			if p != 0 && p.Outcome().Edges() == group.edges && ratingFilters[at].chosen(visitor.Records, p) {
				g.Patterns = append(g.Patterns, s.patternRow(visitor.Records, p))
			}
		}
		count += len(g.Patterns)
		if len(g.Patterns) > 0 {
			view.Groups = append(view.Groups, g)
		}
	}
	view.Summary = counted(count, "pattern")
	return render(w, r, http.StatusOK, patternSheet(view))
}

func (s *site) patternRow(records Records, p lastslot.Pattern) patternSheetRow {
	row := patternSheetRow{Name: patternName(p), OwnName: records.ownName(p)}
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
		turns = []cube.Sequence{s.bookOf(records).FollowUp(p)}
	}
	first := takenBy(turns[0])
	row.Picture = patternPictures[lastslot.OutcomeOf(first)]
	for _, sequence := range turns {
		row.Sequences = append(row.Sequences, sheetSequence{aufTo(first, sequence).String(), sequence.String()})
	}
	for _, step := range ratedSteps(p) {
		row.Times = append(row.Times, sheetTime{string(step), ratedAs(records.rating(p, step))})
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

func ratedAs(r Rating) string {
	switch {
	case r.Time != 0:
		return inSeconds(r.Time) + " s"
	case r.Rating != 0:
		return fmt.Sprint(r.Rating)
	}
	return "–"
}

// placeRows is how many insertions a place's sheet has at most: what a drawer
// beside the puzzle holds.
const placeRows = 20

// placeSheetView is the sheet of the insertions for where a pair stands.
type placeSheetView struct {
	sheetView
	Code    string
	Words   caseWords
	Picture string
	// Order says which insertions are listed, and in what order.
	Order string
	Rows  []placeRow
	Note  string
}

// placeRow is an insertion: what it leaves of the case, and each turn of it.
type placeRow struct {
	Turns, Count, Seconds string
	Known                 bool
	Leaves, Picture       string
	// Seeing is the map from this place, nil where nothing is done.
	Seeing *seeingView
	Frames []stripFrame
}

// stripFrame is the position after a turn.
type stripFrame struct{ Turn, Picture string }

// placeByStickers answers GET /print/place: it leads to the sheet of the place
// that the stickers tell, by the names that they are tapped in by.
func (s *site) placeByStickers(w http.ResponseWriter, r *http.Request) error {
	values := r.URL.Query()
	slot, err := lastslot.ParseSlot(values.Get("slot"))
	if err != nil {
		return unclear("slot", fmt.Sprintf("no slot “%s”: a slot is FR, FL, BL or BR", shortened(values.Get("slot"))))
	}
	c := lastslot.Case{Slot: slot}
	var twist, flip int
	if c.Corner, twist, err = pairSticker(values, "corner", cornerSpots, cornerFaces); err != nil {
		return err
	}
	if c.Edge, flip, err = pairSticker(values, "edge", edgeSpots, func(spot int) []string { return edgeFaces(slot, spot) }); err != nil {
		return err
	}
	c.Twists[c.Corner], c.Flips[c.Edge] = twist, flip
	if c, err = lastslot.NewCase(orientedBut(c)); err != nil {
		return fmt.Errorf("a case with the pair in that place: %w", err)
	}
	for _, name := range []string{"slot", "corner", "edge"} {
		values.Del(name)
	}
	address := "/print/place/" + c.Code()
	if len(values) > 0 {
		address += "?" + values.Encode()
	}
	http.Redirect(w, r, address, http.StatusSeeOther)
	return nil
}

// pairSticker reads where a piece of the pair has the sticker that it is told by:
// a place, a point and a face, such as UFR.R.
func pairSticker(values url.Values, name string, spots [lastslot.Spots]string, faces func(spot int) []string) (spot, turned int, err error) {
	place, face, _ := strings.Cut(values.Get(name), ".")
	if spot = slices.Index(spots[:], place); spot >= 0 {
		if turned = slices.Index(faces(spot), face); turned >= 0 {
			return spot, turned, nil
		}
	}
	return 0, 0, unclear(name, fmt.Sprintf("“%s” is no sticker of the pair’s %s: give a place, a point and a face, such as %s.%s", shortened(values.Get(name)), name, spots[0], faces(0)[0]))
}

// orientedBut turns one corner and one edge that are not the pair's, so that the
// case is one of a puzzle: those in the slot where they can be.
func orientedBut(c lastslot.Case) lastslot.Case {
	other := func(pair int) int {
		if pair == lastslot.InSlot {
			return lastslot.InSlot - 1
		}
		return lastslot.InSlot
	}
	twists, flips := 0, 0
	for spot := range lastslot.Spots {
		twists += c.Twists[spot]
		flips += c.Flips[spot]
	}
	corner, edge := other(c.Corner), other(c.Edge)
	c.Twists[corner] = (c.Twists[corner] + 2*twists) % 3
	c.Flips[edge] = (c.Flips[edge] + flips) % 2
	return c
}

// sheetOf reads the case and the view that a sheet is asked for.
func (s *site) sheetOf(r *http.Request, title, path string) (sheetView, query, error) {
	values := r.URL.Query()
	asked := url.Values{"case": {chi.URLParam(r, "code")}}
	if v, ok := values["view"]; ok {
		asked["view"] = v
	}
	q, err := readQuery(asked)
	if err != nil {
		return sheetView{}, q, err
	}
	visitor, err := s.visitor(r)
	if err != nil {
		return sheetView{}, q, err
	}
	if !values.Has("view") {
		q.View = visitor.Records.usualView()
	}
	path += q.Case.Code()
	sheet, err := s.sheet(fmt.Sprintf(title, q.Case.Code()), path, values)
	if err != nil {
		return sheet, q, err
	}
	if visitor.Records.knowsAny() || q.View == forecast.Known {
		sheet.Choices = append(sheet.Choices, sheetChoice{"Insertions", []filterView{
			{"What I know", withValue(path, values, "view", "known"), q.View == forecast.Known},
			{"Everything", withValue(path, values, "view", "all"), q.View == forecast.All},
		}})
	}
	return sheet, q, nil
}

// optionsFor are the options of a sheet; where the visitor knows none for the case and
// did not ask for a view, all of them.
func (s *site) optionsFor(r *http.Request, q query) (options []forecast.Option, note string, err error) {
	visitor, err := s.visitor(r)
	if err != nil {
		return nil, "", err
	}
	f, err := s.visitorForecaster(r, visitor)
	if err != nil {
		return nil, "", err
	}
	options = q.options(f)
	if len(options) > 0 || q.View == forecast.All {
		return options, "", nil
	}
	if r.URL.Query().Has("view") {
		return nil, "None of the insertions that you know is for this place.", nil
	}
	q.View = forecast.All
	return q.options(f), "None of the insertions that you know is for this place: here is everything.", nil
}

// printPlace answers GET /print/place/{code}.
func (s *site) printPlace(w http.ResponseWriter, r *http.Request) error {
	sheet, q, err := s.sheetOf(r, "Insertions for case %s", "/print/place/")
	if err != nil {
		return err
	}
	q.Limit = 0
	options, note, err := s.optionsFor(r, q)
	if err != nil {
		return err
	}
	sheet.Drill = true
	start := positionOf(q.Case)
	view := placeSheetView{sheetView: sheet, Code: q.Case.Code(), Words: wordsOf(q.Case), Picture: start.picture().SVG(), Note: note}
	options = easiest(options, q.Case.Slot)
	view.Order = fmt.Sprintf("%s, the easiest first", counted(len(options), "insertion"))
	if len(options) > placeRows {
		view.Order = fmt.Sprintf("The %d easiest of %d insertions", placeRows, len(options))
		options = options[:placeRows]
	}
	l := lookOf(r.Context())
	for _, o := range options {
		row := placeRow{
			Turns: o.Turns.String(), Count: counted(o.Count, "turn"), Seconds: inSeconds(o.Seconds.Insert()), Known: o.Known && len(o.Turns) > 0,
			Leaves: patternName(o.Leaves.Pattern()), Picture: patternPictures[o.Leaves],
		}
		if len(o.Turns) > 0 {
			// With its rotation and AUF it is an insertion too, from where the pair stands.
			whole, err := lastslot.NewInsertion(q.Case.Slot, o.Turns)
			if err != nil {
				return fmt.Errorf("the map of %s: %w", o.Turns, err)
			}
			row.Seeing = new(seeingOf(whole))
		}
		position := start
		for _, t := range o.Turns {
			position = position.turned(t)
			row.Frames = append(row.Frames, stripFrame{l.notated(t.String()), position.picture().SVG()})
		}
		view.Rows = append(view.Rows, row)
	}
	return render(w, r, http.StatusOK, placeSheet(view))
}

// easiest orders the ways to fill the slot by the seconds until it is filled, and
// keeps the first of each insertion. This is also their order by the seconds in
// all, averaged over the cases with the pair in this place: an insertion takes
// these one to one to the outcomes, so what follows is the same on average
// whichever is chosen.
func easiest(options []forecast.Option, slot lastslot.Slot) []forecast.Option {
	options = slices.Clone(options)
	slices.SortStableFunc(options, forecast.CompareInsert)
	seen := map[string]bool{}
	return slices.DeleteFunc(options, func(o forecast.Option) bool {
		at, turns := o.Insertion(slot)
		id := insertionID(at, turns.String())
		again := seen[id]
		seen[id] = true
		return again
	})
}

// caseSheetView is the sheet of a case.
type caseSheetView struct {
	sheetView
	Code    string
	Words   caseWords
	Picture string
	Summary string
	Rows    []caseSheetRow
	Note    string
}

// caseSheetRow is the best way to a pattern.
type caseSheetRow struct {
	Name, Picture, Total  string
	Turns, Then, Sequence string
	Known                 bool
}

// printCase answers GET /print/case/{code}.
func (s *site) printCase(w http.ResponseWriter, r *http.Request) error {
	sheet, q, err := s.sheetOf(r, "Case %s", "/print/case/")
	if err != nil {
		return err
	}
	q.Limit, q.PerPattern = 0, true
	options, note, err := s.optionsFor(r, q)
	if err != nil {
		return err
	}
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	view := caseSheetView{
		sheetView: sheet, Code: q.Case.Code(), Words: wordsOf(q.Case), Note: note, Picture: positionOf(q.Case).picture().SVG(),
		Summary: counted(len(options), "pattern") + " to choose from, the fastest first",
	}
	for _, o := range options {
		view.Rows = append(view.Rows, caseSheetRow{
			Name: visitor.Records.patternName(o.Leaves.Pattern()), Picture: patternPictures[o.Leaves], Total: inSeconds(o.Seconds.Total()),
			Turns: o.Turns.String(), Then: o.Then.String(), Sequence: o.Sequence.String(), Known: o.Known && len(o.Turns) > 0,
		})
	}
	return render(w, r, http.StatusOK, caseSheet(view))
}
