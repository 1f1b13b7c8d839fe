package page

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/tap"
	"slotcast/web/words"
)

// placeRows is how many insertions a place's sheet has at most: what a drawer
// beside the puzzle holds.
const placeRows = 20

// placeSheetView is the sheet of the insertions for where a pair stands.
type placeSheetView struct {
	sheetView
	Code    string
	Words   words.CaseWords
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
	Frames []frameView
}

// PlaceByStickers answers GET /print/place: it leads to the sheet of the place
// that the stickers tell, by the names that they are tapped in by.
func (s *Server) PlaceByStickers(w http.ResponseWriter, r *http.Request) error {
	values := r.URL.Query()
	slot, err := lastslot.ParseSlot(values.Get("slot"))
	if err != nil {
		return problem.NoSlot(values.Get("slot"))
	}
	c := lastslot.Case{Slot: slot}
	var twist, flip int
	if c.Corner, twist, err = pairSticker(values, "corner", words.CornerSpots, tap.CornerFaces); err != nil {
		return err
	}
	if c.Edge, flip, err = pairSticker(values, "edge", words.EdgeSpots, func(spot int) []string { return tap.EdgeFaces(slot, spot) }); err != nil {
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
	http.Redirect(w, r, address, http.StatusSeeOther) // #nosec G710 -- a page of this service
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
	return 0, 0, problem.BadRequest(name, fmt.Sprintf("“%s” is not a sticker of the pair’s %s: give a place, a point and a face, such as %s.%s", problem.Shortened(values.Get(name)), name, spots[0], faces(0)[0]))
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

// PrintPlace answers GET /print/place/{code}.
func (s *Server) PrintPlace(w http.ResponseWriter, r *http.Request) error {
	sheet, q, err := s.sheetOf(r, "Insertions for case %s", "/print/place/")
	if err != nil {
		return err
	}
	q.Limit = 0
	options, note, err := s.options(r, &sheet, q, "/print/place/")
	if err != nil {
		return err
	}
	sheet.Drill = true
	start := picture.PositionOf(q.Case)
	view := placeSheetView{sheetView: sheet, Code: q.Case.Code(), Words: words.Case(q.Case), Picture: start.Picture().SVG(), Note: note}
	options = easiest(options, q.Case.Slot)
	order := "the easiest first"
	if !r.URL.Query().Has("view") {
		slices.SortStableFunc(options, yoursFirst)
		order = "yours first, then the easiest"
	}
	view.Order = fmt.Sprintf("%s, %s", words.Counted(len(options), "insertion"), order)
	if len(options) > placeRows {
		view.Order = fmt.Sprintf("%d of %d insertions, %s", placeRows, len(options), order)
		options = options[:placeRows]
	}
	l := appearanceOf(r.Context())
	for _, o := range options {
		row := placeRow{
			Turns: o.Turns.String(), Count: words.Counted(o.Count, "turn"), Seconds: words.Seconds(o.Seconds.Insert()), Known: o.Known && len(o.Turns) > 0,
			Leaves: words.Pattern(o.Leaves.Pattern()), Picture: picture.Pattern(o.Leaves),
		}
		if len(o.Turns) > 0 {
			// With its rotation and AUF it is an insertion too, from where the pair stands.
			whole, err := lastslot.NewInsertion(q.Case.Slot, o.Turns)
			if err != nil {
				return fmt.Errorf("the map of %s: %w", o.Turns, err)
			}
			row.Seeing = new(seeingOf(whole))
		}
		row.Frames, _ = framesOf(start, l, stripPart{"", o.Turns})
		view.Rows = append(view.Rows, row)
	}
	return render(w, r, http.StatusOK, placeSheet(view))
}

// yoursFirst puts what is known before what is not.
func yoursFirst(a, b forecast.Option) int {
	switch {
	case a.Known == b.Known:
		return 0
	case a.Known:
		return -1
	}
	return 1
}

// easiest orders the options to fill the slot by the seconds until it is filled, and
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
		id := profile.InsertionID(at, turns.String())
		again := seen[id]
		seen[id] = true
		return again
	})
}
