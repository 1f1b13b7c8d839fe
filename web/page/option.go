package page

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
	"slotcast/forecast/looks"
	"slotcast/forecast/technique"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"
	"slotcast/web/words"
)

// openedView is one option of a case, opened.
type openedView struct {
	pageView
	Code  string
	Words words.CaseWords
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
	// Looks are those that they are made of, nil where one is enough; Gap says that nothing
	// learnt orients what is left.
	Looks []lookView
	Gap   bool
	Next  *stripView
	// Finish is what follows until all is solved, nil where the whole position is not known.
	Finish *finishView
	// OtherHand is the same in the mirror.
	OtherHand, OtherHandPath string
	// SetUp brings a solved puzzle to the case; "" where it shows it as it is.
	SetUp string
	// ID tells the insertion apart where it is marked, "" for doing nothing; Page is
	// its own, and Address this one's.
	ID, Page, Address string
	Known, Hidden     bool
	// Predicted says that the person predicts what the insertion leaves, and Predicts what
	// they said of it: yes, no or "".
	Predicted bool
	Predicts  string
	// Techniques are what the hands do.
	Techniques []techniqueView
	Sharing    sharingView
}

// insertionMarksView is the form that marks an insertion where it stands. Part is the form's
// id; Hides says that it can be hidden here, too.
type insertionMarksView struct {
	ID, Page, Address, Turns, Part string
	Known, Hides, Hidden           bool
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

// OpenedOption answers GET /case/{code}/option: one option of the case, told by its
// turns.
func (s *Server) OpenedOption(w http.ResponseWriter, r *http.Request) error {
	err := s.answerOption(w, r)
	if wrong := (*problem.Problem)(nil); errors.As(err, &wrong) && wrong.Field != "" && wrong.Field != "case" {
		// The address has several sequences: say which one is wrong.
		told := *wrong
		told.Detail = told.Field + ": " + told.Detail
		return &told
	}
	return err
}

// MovedOption answers GET /case/{code}/way, where options were once: links to them
// were shared.
func (s *Server) MovedOption(w http.ResponseWriter, r *http.Request) error {
	c, err := profile.CheckCode("case", chi.URLParam(r, "code"))
	if err != nil {
		return err
	}
	address := url.URL{Path: "/case/" + c.Code() + "/option", RawQuery: r.URL.RawQuery}
	http.Redirect(w, r, address.String(), http.StatusMovedPermanently)
	return nil
}

func (s *Server) answerOption(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return problem.NotEncoded()
	}
	q, err := readOptionCase(chi.URLParam(r, "code"), values)
	if err != nil {
		return err
	}
	turns, err := readOptionTurns(values)
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	f, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return err
	}
	if visitor.Profile != nil {
		session.Private(w)
	}
	if q.Predicted {
		f = f.Predicted()
	}
	o, err := f.Option(q.Case, turns)
	if err != nil {
		return problem.Unprocessable("turns", err)
	}
	var finish *forecast.Finish
	if q.Puzzle != nil {
		solved := f.Solved(o, *q.Puzzle)
		finish = solved.Finish
		if q.Solved {
			o = solved
		}
	}
	view, err := s.optionView(r, q, o, finish, visitor.Records, values)
	if err != nil {
		return err
	}
	s.sessions.Visit(r, q.Case)
	return render(w, r, http.StatusOK, optionPage(view))
}

// readOptionCase reads the case and, where the address carries them, the scramble
// and the solution that led to it.
func readOptionCase(code string, values url.Values) (query.Query, error) {
	c, err := profile.CheckCode("case", code)
	if err != nil {
		return query.Query{}, err
	}
	q, err := query.About(c, values, "predicted")
	if err != nil {
		return q, err
	}
	return withPosition(q, values)
}

// withPosition is what is asked about the case with the whole position, where the address
// carries the scramble and the solution that led to it.
func withPosition(q query.Query, values url.Values) (query.Query, error) {
	if !values.Has("scramble") {
		return q, nil
	}
	position := query.PositionValues(values)
	if until, ok := values["until"]; ok {
		position["until"] = until
	}
	whole, err := query.Read(position)
	if err != nil {
		return query.Query{}, err
	}
	if whole.Case != q.Case {
		return query.Query{}, &problem.Problem{
			Status: http.StatusUnprocessableEntity, Title: "Another case", Field: "scramble",
			Detail: fmt.Sprintf("this scramble and solution lead to the case %s, not to %s", whole.Case.Code(), q.Case.Code()),
		}
	}
	q.Hold, q.Puzzle, q.Solved = whole.Hold, whole.Puzzle, whole.Solved
	return q, nil
}

// readOptionTurns reads the turns of an option, which may be none.
func readOptionTurns(values url.Values) (cube.Sequence, error) {
	switch given := values["turns"]; {
	case len(given) == 0:
		return nil, problem.BadRequest("turns", "missing: give the turns of an option, with rotation and AUF")
	case len(given) > 1:
		return nil, problem.Repeated("turns", len(given))
	case given[0] == "":
		return cube.Sequence{}, nil
	}
	return profile.CheckTurns(values.Get("turns"))
}

func (s *Server) optionView(r *http.Request, q query.Query, o forecast.Option, finish *forecast.Finish, records profile.Records, values url.Values) (openedView, error) {
	c := q.Case
	l := records.Appearance()
	turns := o.Turns.String()
	path := query.Option(c, o.Turns, values)
	v := openedView{
		Code: c.Code(), Words: words.Case(c), Back: "/case/" + c.Code(),
		Hold: q.Hold.Turns().String(), Turns: turns,
		Then: o.Then.String(), Sequence: o.Sequence.String(), Looks: looksOf(o.Looks), Gap: o.Gap,
		Seconds: secondsOf(o.Seconds).drawn(drawable(o)), Parts: optionParts(o.Seconds),
		Address: path,
	}
	pattern := o.Leaves.Pattern()
	v.Pattern = leftView{records.PatternName(pattern), words.Outcome(o.Leaves), picture.Pattern(o.Leaves), fmt.Sprintf("/patterns/%d", pattern)}
	v.pageView = s.pageView(fmt.Sprintf("%s in case %s – Slotcast", words.Turns(l.Notated(turns)), v.Code),
		fmt.Sprintf("%s It leaves %s: %s.", v.Words, v.Pattern.Name, v.Pattern.Words), s.sessions.PublicURL(r)+path)
	if q.Puzzle != nil {
		v.Back = query.With("/", query.PositionValues(values), "until", values.Get("until"))
		v.Finish = finishOf(finish)
	}

	rotation, before, insertion := o.Split()
	var filled picture.Position
	v.Strip, filled = strip("Turn by turn until the slot is filled", picture.PositionOf(c), l, stripPart{"rotation", rotation}, stripPart{"AUF", before}, stripPart{"", insertion})
	if len(o.Then)+len(o.Sequence) > 0 {
		next, _ := strip("Turn by turn until the top is oriented", filled, l, stripPart{"AUF", o.Then}, stripPart{"", o.Sequence})
		v.Next = &next
	}

	if slot, insertion := o.Insertion(c.Slot); len(insertion) > 0 {
		i, err := lastslot.NewInsertion(slot, insertion)
		if err != nil {
			return openedView{}, fmt.Errorf("the insertion of an option: %w", err)
		}
		coming := seeingOf(i)
		v.Seeing = &coming
		v.Techniques = techniquesOf(technique.Of(i.Slot, i.Turns, len(rotation) > 0))
		v.Pieces = piecesOf(facts.Of(i), o.Begins(c))
		v.Here = hereWords(v.Pieces, v.Pattern.Name)
		// A rotation alone is no insertion that can be kept.
		if kept, err := profile.ReadInsertion(&slot, insertion); err == nil {
			own := s.recordOf(records, kept)
			v.ID = profile.InsertionID(kept.Slot, kept.Turns.String())
			v.Page = insertionPage(v.ID)
			v.Known, v.Hidden = o.Known, own.Hidden
			v.Predicted = o.Predicted
			for _, p := range predictChoices(own.Predict) {
				if p.Checked {
					v.Predicts = p.Value
				}
			}
		}
		mirrored := o.Turns.Mirror(cube.MirrorLR)
		v.OtherHand = mirrored.String()
		v.OtherHandPath = query.Option(c.Mirror(), mirrored, nil)
	}
	v.SetUp = s.setUp(c).String()
	var err error
	if v.Sharing, err = sharingOf("link", "Link and QR code", v.Title, v.URL); err != nil {
		return openedView{}, err
	}
	return v, nil
}

// stripPart is a row of turns and what it is; "" for the insertion or sequence.
type stripPart struct {
	name  string
	turns cube.Sequence
}

// strip draws the position and what each turn makes of it, and gives the last.
func strip(label string, position picture.Position, a profile.Appearance, parts ...stripPart) (stripView, picture.Position) {
	position.Last = nil
	frames, last := framesOf(position, a, parts...)
	return stripView{Label: label, Frames: append([]frameView{{Picture: position.Picture().SVG()}}, frames...)}, last
}

// framesOf draws what each turn makes of the position, and gives the last.
func framesOf(position picture.Position, a profile.Appearance, parts ...stripPart) (frames []frameView, last picture.Position) {
	for _, part := range parts {
		for _, t := range part.turns {
			position = position.Turned(t)
			frames = append(frames, frameView{Turn: a.Notated(t.String()), Picture: position.Picture().SVG(), Part: part.name})
		}
	}
	return frames, position
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
		{"pll", "PLL", s.PLL},
	} {
		if part.length > 0 && s.Total() < looks.Gap {
			parts = append(parts, optionPart{part.class, part.label, words.Seconds(part.length)})
		}
	}
	return parts
}

// piecesOf says of each last-layer piece of a case what the insertion makes of it.
func piecesOf(s facts.Facts, c lastslot.Case) (pieces []pieceView) {
	corners, edges := s.All()
	for _, f := range edges {
		piece := pieceView{Piece: "edge " + words.EdgeAt(c, f.From), To: words.EdgeSpots[f.To]}
		piece.Now = c.Slot.EdgePlace(f.From).Facelets()[c.Flips[f.From]].Words()
		piece.Then = cube.EdgePlace(f.To).Facelets()[c.Flips[f.From]^f.Turned].Words()
		pieces = append(pieces, piece)
	}
	for _, f := range corners {
		piece := pieceView{Piece: "corner " + words.CornerAt(c, f.From), To: words.CornerSpots[f.To]}
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
		return "Nothing oriented here: " + pattern + "."
	case len(pieces):
		return "All oriented here (OLL skip)."
	}
	return "Oriented here: " + strings.Join(up, ", ") + "; the rest not: " + pattern + "."
}

// setUp brings a solved puzzle, cross down, to the case: a shortest way from it to
// the oriented top, undone. Only one case is oriented by those turns.
func (s *Server) setUp(c lastslot.Case) cube.Sequence {
	return s.atlas.Shortest(c, 0).Turns().Inverse()
}
