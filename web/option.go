package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/facts"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/pll"
	"slotcast/forecast/technique"
)

// optionView is one option of a case, opened.
type optionView struct {
	pageView
	Code  string
	Words caseWords
	// Back is where the case's other options are.
	Back string
	// Hold is the rotation to do first, "" for none or where it is not known.
	Hold string
	// Turns is "" where nothing is to be done.
	Turns string
	Strip stripView
	// Seeing is nil where nothing is to be done; Here says what comes of the case,
	// and Pieces the same piece by piece.
	Seeing  *seeingView
	Here    string
	Pieces  []pieceView
	Seconds secondsView
	Parts   []optionPart
	// Pattern is what is left.
	Pattern leftView
	// Then and Sequence orient the top; Next shows them, nil where there is nothing
	// to do.
	Then, Sequence string
	Next           *stripView
	// Follows says which PLL does, "" where the whole position is not known.
	Follows string
	// OtherHand is the same in the mirror.
	OtherHand, OtherHandPath string
	// SetUp brings a solved puzzle to the case; "" where it shows it as it is.
	SetUp string
	// ID tells the insertion apart where it is marked, "" for doing nothing; Page is
	// its own, and Address this one's.
	ID, Page, Address string
	Known, Hidden     bool
	// Techniques are what the hands do.
	Techniques []techniqueView
	Sharing    sharingView
}

// stripView is a film strip: a position after each turn.
type stripView struct {
	Label  string
	Frames []frameView
}

// frameView is one picture of a film strip.
type frameView struct {
	// Turn led here, "" for none.
	Turn    string
	Picture string
	// Part says what the turn belongs to where that is not the insertion.
	Part string
}

// optionPart is a part of the seconds, in full.
type optionPart struct{ Class, Label, Seconds string }

// leftView is the pattern that an option leaves.
type leftView struct{ Name, Words, Picture, Path string }

// pieceView is what becomes of one last-layer piece of the case.
type pieceView struct{ Piece, Now, To, Then string }

// openedOption answers GET /case/{code}/way: one option of the case, told by its
// turns.
func (s *site) openedOption(w http.ResponseWriter, r *http.Request) error {
	err := s.answerOption(w, r)
	if wrong := (*problem)(nil); errors.As(err, &wrong) && wrong.Field != "" && wrong.Field != "case" {
		// The address has several sequences: say which one is wrong.
		told := *wrong
		told.Detail = told.Field + ": " + told.Detail
		return &told
	}
	return err
}

func (s *site) answerOption(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return &problem{Status: http.StatusBadRequest, Title: "Cannot be read", Detail: "the address’s parameters are not encoded as they should be"}
	}
	q, err := readOptionCase(chi.URLParam(r, "code"), values)
	if err != nil {
		return err
	}
	turns, err := readOptionTurns(values)
	if err != nil {
		return err
	}
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	f, err := s.visitorForecaster(r, visitor)
	if err != nil {
		return err
	}
	if visitor.Profile != nil {
		private(w)
	}
	if q.Predicted {
		f = f.Predicted()
	}
	o, err := f.Option(q.Case, turns)
	if err != nil {
		return unfit(err)
	}
	view, err := s.optionView(r, q, o, visitor.Records, values)
	if err != nil {
		return err
	}
	s.remember(r, q.Case)
	return render(w, r, http.StatusOK, optionPage(view))
}

// readOptionCase reads the case and, where the address carries them, the scramble
// and the solution that led to it.
func readOptionCase(code string, values url.Values) (query, error) {
	asked := url.Values{"case": {code}}
	if v, ok := values["predicted"]; ok {
		asked["predicted"] = v
	}
	q, err := readQuery(asked)
	if err != nil || !values.Has("scramble") {
		return q, err
	}
	scrambled := positionValues(values)
	if v, ok := asked["predicted"]; ok {
		scrambled["predicted"] = v
	}
	whole, err := readQuery(scrambled)
	if err != nil {
		return query{}, err
	}
	if whole.Case != q.Case {
		return query{}, &problem{
			Status: http.StatusUnprocessableEntity, Title: "Another case", Field: "scramble",
			Detail: fmt.Sprintf("this scramble and solution lead to the case %s, not to %s", whole.Case.Code(), q.Case.Code()),
		}
	}
	return whole, nil
}

// readOptionTurns reads the turns of an option, which may be none.
func readOptionTurns(values url.Values) (cube.Sequence, error) {
	switch given := values["turns"]; {
	case len(given) == 0:
		return nil, unclear("turns", "missing: give the turns of an option, rotation and AUF included")
	case len(given) > 1:
		return nil, unclear("turns", fmt.Sprintf("given %d times; once is enough", len(given)))
	case given[0] == "":
		return cube.Sequence{}, nil
	}
	return checkTurns(values.Get("turns"))
}

func (s *site) optionView(r *http.Request, q query, o forecast.Option, records Records, values url.Values) (optionView, error) {
	c := q.Case
	l := records.look()
	turns := o.Turns.String()
	path := optionPath(c, o.Turns, values)
	v := optionView{
		Code: c.Code(), Words: wordsOf(c), Back: "/case/" + c.Code(),
		Hold: q.Hold.Turns().String(), Turns: turns,
		Then: o.Then.String(), Sequence: o.Sequence.String(),
		Seconds: secondsOf(o.Seconds).drawn(o.Seconds.Total()), Parts: optionParts(o.Seconds),
		Address: path,
	}
	pattern := o.Leaves.Pattern()
	v.Pattern = leftView{records.patternName(pattern), outcomeWords(o.Leaves), patternPictures[o.Leaves], fmt.Sprintf("/patterns/%d", pattern)}
	v.pageView = s.pageView(fmt.Sprintf("%s in case %s – Slotcast", orNothing(l.notated(turns)), v.Code),
		fmt.Sprintf("%s It leaves %s: %s.", v.Words, v.Pattern.Name, v.Pattern.Words), s.publicURL(r)+path)
	if q.Puzzle != nil {
		v.Back = "/?" + positionValues(values).Encode()
		v.Follows = followsWords(*q.Puzzle, o)
	}

	rotation, before, insertion := o.Split()
	var filled netPosition
	v.Strip, filled = strip("Turn by turn until the slot is filled", positionOf(c), l, stripPart{"rotation", rotation}, stripPart{"AUF", before}, stripPart{"", insertion})
	if len(o.Then)+len(o.Sequence) > 0 {
		next, _ := strip("Turn by turn until the top is oriented", filled, l, stripPart{"AUF", o.Then}, stripPart{"", o.Sequence})
		v.Next = &next
	}

	if slot, insertion := o.Insertion(c.Slot); len(insertion) > 0 {
		i, err := lastslot.NewInsertion(slot, insertion)
		if err != nil {
			return optionView{}, fmt.Errorf("the insertion of an option: %w", err)
		}
		coming := seeingOf(i)
		v.Seeing = &coming
		v.Techniques = techniquesOf(technique.Of(i.Slot, i.Turns, len(rotation) > 0))
		v.Pieces = piecesOf(facts.Of(i), o.Begins(c))
		v.Here = hereWords(v.Pieces, v.Pattern.Name)
		// A rotation alone is no insertion that can be kept.
		if kept, err := readInsertion(&slot, insertion); err == nil {
			own := s.recordOf(records, kept)
			v.ID = insertionID(kept.Slot, kept.Turns.String())
			v.Page = insertionPage(v.ID)
			v.Known, v.Hidden = o.Known || own.Known, own.Hidden
		}
		mirrored := o.Turns.Mirror(cube.MirrorLR)
		v.OtherHand = mirrored.String()
		v.OtherHandPath = optionPath(c.Mirror(), mirrored, nil)
	}
	v.SetUp = s.setUp(c).String()
	var err error
	if v.Sharing, err = sharingOf("link", "Link and QR code", v.Title, v.URL); err != nil {
		return optionView{}, err
	}
	return v, nil
}

// positionValues are the parameters that tell a whole position, without those that
// are empty.
func positionValues(values url.Values) url.Values {
	told := url.Values{}
	for _, name := range []string{"scramble", "solution", "slot"} {
		if v, ok := values[name]; ok && (name == "scramble" || values.Get(name) != "") {
			told[name] = v
		}
	}
	return told
}

// optionPath is the address of an option; what else tells the position goes along.
func optionPath(c lastslot.Case, turns cube.Sequence, values url.Values) string {
	asked := url.Values{}
	if values.Has("scramble") {
		asked = positionValues(values)
	}
	if values.Has("predicted") {
		asked["predicted"] = values["predicted"]
	}
	asked.Set("turns", turns.String())
	return "/case/" + c.Code() + "/way?" + asked.Encode()
}

func orNothing(turns string) string {
	if turns == "" {
		return "Nothing to do"
	}
	return turns
}

// followsWords says which PLL follows after the option's turns and sequence.
func followsWords(puzzle cube.Cube, o forecast.Option) string {
	done := puzzle.Do(cube.Join(o.Turns, o.Then, o.Sequence))
	pll, ok := pll.Of(done)
	if !ok {
		panic("web: an option after which the top is not oriented")
	}
	if pll.String() != "" {
		return "PLL " + pll.String() + " follows."
	}
	for quarters := range 4 {
		var auf cube.Sequence
		if quarters > 0 {
			auf = cube.Sequence{cube.TurnOf(cube.U, quarters)}
		}
		if after := done.Do(auf); after == after.Hold().Cube() {
			if quarters == 0 {
				return "No PLL follows: all is solved."
			}
			return "No PLL follows: after " + auf.String() + " all is solved."
		}
	}
	panic("web: no PLL and not solved")
}

// stripPart is a row of turns and what it is; "" for the insertion or sequence.
type stripPart struct {
	name  string
	turns cube.Sequence
}

// strip draws the position and what each turn makes of it, and tells the last.
func strip(label string, position netPosition, l look, parts ...stripPart) (stripView, netPosition) {
	position.Last = nil
	v := stripView{Label: label, Frames: []frameView{{Picture: position.picture().SVG()}}}
	for _, part := range parts {
		for _, t := range part.turns {
			position = position.turned(t)
			v.Frames = append(v.Frames, frameView{Turn: l.notated(t.String()), Picture: position.picture().SVG(), Part: part.name})
		}
	}
	return v, position
}

// optionParts lists all that takes time.
func optionParts(s forecast.Seconds) (parts []optionPart) {
	for _, part := range []struct {
		class, label string
		length       time.Duration
	}{
		{"rotation", "rotation", s.Rotation},
		{"rotation", "AUF", s.AUF},
		{"insert", "insertion", s.Insertion},
		{"recognise", "recognise", s.Recognise},
		{"execute", "next AUF", s.ThenAUF},
		{"execute", "sequence", s.Sequence},
	} {
		if part.length > 0 {
			parts = append(parts, optionPart{part.class, part.label, inSeconds(part.length)})
		}
	}
	return parts
}

// piecesOf says of each last-layer piece of a case what the insertion makes of it.
func piecesOf(s facts.Facts, c lastslot.Case) (pieces []pieceView) {
	corners, edges := s.All()
	for _, f := range edges {
		piece := pieceView{Piece: "edge " + edgeAt(c, f.From), To: edgeSpots[f.To]}
		piece.Now = c.Slot.EdgePlace(f.From).Facelets()[c.Flips[f.From]].Words()
		piece.Then = cube.EdgePlace(f.To).Facelets()[c.Flips[f.From]^f.Turned].Words()
		pieces = append(pieces, piece)
	}
	for _, f := range corners {
		piece := pieceView{Piece: "corner " + cornerAt(c, f.From), To: cornerSpots[f.To]}
		piece.Now = c.Slot.CornerPlace(f.From).Facelets()[c.Twists[f.From]].Words()
		piece.Then = cube.CornerPlace(f.To).Facelets()[(c.Twists[f.From]+f.Turned)%3].Words()
		pieces = append(pieces, piece)
	}
	return pieces
}

// hereWords says which pieces come up oriented, and so what is left.
func hereWords(pieces []pieceView, pattern string) string {
	var up []string
	for _, p := range pieces {
		if p.Then == cube.FaceU.Words() {
			up = append(up, fmt.Sprintf("%s (top colour %s now)", p.Piece, p.Now))
		}
	}
	switch len(up) {
	case 0:
		return "In this case no piece comes up oriented: " + pattern + "."
	case len(pieces):
		return "In this case every piece comes up oriented."
	}
	return "In this case come up oriented: " + strings.Join(up, ", ") + "; the others do not: " + pattern + "."
}

// setUp brings a solved puzzle, cross down, to the case: a shortest way from it to
// the oriented top, undone. Only one case is oriented by those turns.
func (s *site) setUp(c lastslot.Case) cube.Sequence { return s.Atlas.Shortest(c, 0).Turns().Inverse() }
