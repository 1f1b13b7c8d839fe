package page

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
	"slotcast/web/problem"
	"slotcast/web/query"
	"slotcast/web/tap"
	"slotcast/web/words"
)

// The example that is on screen at first, so that there is something to read and
// to change. Its case has a test.
const (
	exampleScramble = "D L2 F2 R2 D B2 D' F2 R' U' R' F' U' L2 U' L D' B' U' R'"
	exampleSolution = "z2\nR' D' L D2 // cross\nR' U' R U2 F U F' // front left\nU B' U2 B2 U B' // back right\nF' U' F U L U L' // back left"
)

// lookupView is the page on which a case is looked up.
type lookupView struct {
	pageView
	// Part says that the page's script asks, which has what no tap changes.
	Part bool
	// Example says that nothing was asked yet.
	Example bool
	// PasteOpen says whether the other options in are unfolded.
	PasteOpen bool
	Paste     pasteView
	Tap       tapView
	Code      string
	// Errors has what is wrong, by field; "" is what belongs to no field shown.
	Errors map[string]fieldError
	// Status says in one line what was found, or what is missing or wrong.
	Status string
	// Answer is nil where something is missing or wrong.
	Answer *answerView
	// Unsolved shows what was pasted where it is not before the last slot, and Filled says
	// so where no slot is open; nil otherwise.
	Unsolved *unsolvedView
	Filled   *filledView
	// Two is the case that was tapped with two slots open, and Routes what answers it; nil
	// otherwise.
	Two    *twoslots.Case
	Routes *tappedRoutesView
}

// pasteView is the form for a scramble and the solution so far.
type pasteView struct {
	Scramble, Solution string
	Slots              []choice
	// Hidden are the parameters that the form sends along.
	Hidden hiddenView
}

// Lookup answers GET /. With the parameter part=answer it answers only what of
// the page a tap can change, which the page's script puts in its place.
func (s *Server) Lookup(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return problem.NotEncoded()
	}
	view := lookupView{
		Part:     values.Get("part") == "answer",
		pageView: s.pageView("Slotcast – what your last slot leaves on top", "Every insertion for the last slot and the OLL pattern it leaves, fastest first.", s.sessions.PublicURL(r)+"/"),
		Errors:   map[string]fieldError{},
	}
	values.Del("part")
	colours := coloursOf(appearanceOf(r.Context()).Top)
	q, shown, err := s.looked(values, &view)
	status := http.StatusOK
	if path, ok := twoOpen(values, err); err != nil && ok {
		http.Redirect(w, r, path, http.StatusSeeOther) // #nosec G710 -- a path of the service itself, with a code or encoded parameters
		return nil
	}
	if wrong := (*problem.Problem)(nil); errors.As(err, &wrong) {
		wrong = problem.Reported(s.log, r, err)
		status = wrong.Status
		view.tell(wrong, values)
		if view.Unsolved = unsolvedOf(wrong, values, colours); view.Unsolved != nil {
			// What is unsolved stands right below.
			view.Status, _, _ = strings.Cut(view.Status, ":")
			view.Status = words.Sentence(view.Status)
		}
	} else if err != nil {
		return err
	} else if view.Two != nil {
		if view.Routes, view.Status, err = s.tappedRoutes(w, r, *view.Two); err != nil {
			return err
		}
		view.Status += " " + assumedWords(shown.Assumed())
	} else if view.Status == "" {
		answer, err := s.answerFor(w, r, q, "/", values)
		if err != nil {
			return err
		}
		view.Answer, view.Status = &answer, answer.Summary
		view.Filled = filledOf(q, values)
		if tap.Asked(values) {
			view.Status += " " + assumedWords(shown.Assumed())
		}
		if !view.Example {
			s.sessions.Visit(r, q.Case)
		}
	}
	view.PasteOpen = values.Has("scramble") || values.Has("solution")
	how := hiddenOf(values)
	view.Paste.Hidden = how
	if view.Example {
		view.Status = "An example. " + view.Status + " Tap the puzzle to begin your own."
		view.Tap = exampleTap(shown, how, colours)
	} else {
		view.Tap = tapOf(shown, tap.ReadHistory(values), how, colours)
	}
	if view.Part {
		return render(w, r, status, lookupPart(view))
	}
	if view.Answer != nil {
		view.Picture = s.pictureOf(r, q.Case)
	}
	return render(w, r, status, lookupPage(view))
}

// lastLayerSet is how many last-layer pieces are to be told: of five corners and five edges
// one each is the pair's and one follows from the others.
const lastLayerSet = 2 * (lastslot.Spots - 2)

// assumedWords say what of the top is taken as oriented.
func assumedWords(assumed int) string {
	switch assumed {
	case 0:
		return "The top is complete."
	case lastLayerSet:
		return "Top assumed oriented so far."
	}
	return "The rest of the top assumed oriented."
}

// missingWords say which piece of a slot's pair is to be tapped next.
func missingWords(f tap.Figure, slot lastslot.Slot, piece string) string {
	told := 0
	for _, pair := range f.Pairs {
		for _, at := range []tap.Sticker{pair.Corner, pair.Edge} {
			if at.Spot != tap.Unset {
				told++
			}
		}
	}
	taps := [...]string{"", "One tap", "Two taps", "Three taps", "Four taps"}[2*len(f.Slots())-told]
	switch {
	case f.Two() && told == 0:
		return fmt.Sprintf("Two slots open: first where the corner of the %s pair is. %s, and the routes are ranked.", slot.Words(), taps)
	case f.Two():
		return fmt.Sprintf("Now where the %s of the %s pair is. %s, and the routes are ranked.", piece, slot.Words(), taps)
	case piece == "edge":
		return "Now where the pair’s edge is. One tap, and the forecast begins."
	}
	return "Your case: first where the pair’s corner is, then its edge. Two taps, and the forecast begins."
}

// looked reads what was asked, in any of the three options, and fills the forms with
// it. There is a figure even where something is wrong.
func (s *Server) looked(values url.Values, view *lookupView) (q query.Query, shown tap.Figure, err error) {
	// Forms send their empty fields; the scramble alone must not be empty.
	asked := url.Values{}
	for name, v := range values {
		if name == "scramble" || name == "case" || !slices.Equal(v, []string{""}) {
			asked[name] = v
		}
	}
	if tap.Asked(asked) {
		view.Paste = pasteOf(url.Values{})
		shown, err = tap.Read(asked)
		if err != nil {
			return q, shown, err
		}
		if slot, piece := shown.Missing(); piece != "" {
			view.Status = missingWords(shown, slot, piece)
			return q, shown, nil
		}
		if shown.Two() {
			c, err := shown.TwoCase()
			view.Two = &c
			return q, shown, err
		}
		found, err := shown.Case()
		if err != nil {
			return q, shown, err
		}
		if q, err = query.About(found, asked); err != nil {
			return q, shown, err
		}
		return q.All(asked), shown, nil
	}
	if !slices.ContainsFunc([]string{"case", "scramble", "solution", "slot"}, asked.Has) {
		view.Example = true
		asked.Set("scramble", exampleScramble)
		asked.Set("solution", exampleSolution)
	}
	view.Paste = pasteOf(asked)
	if view.Example {
		// The fields are for one's own.
		view.Paste = pasteOf(url.Values{})
	}
	view.Code = asked.Get("case")
	if q, err = query.Read(asked); err != nil {
		// The figure is there all the same, with nothing on it that nobody told.
		slot, wrong := lastslot.ParseSlot(asked.Get("slot"))
		if wrong != nil {
			slot = lastslot.FR
		}
		return q, tap.Empty(slot), err
	}
	return q.All(asked), tap.Of(q.Case), nil
}

func pasteOf(asked url.Values) pasteView {
	v := pasteView{
		Scramble: asked.Get("scramble"),
		Solution: asked.Get("solution"),
		Slots:    slotChoices("the one that is open", asked.Get("slot")),
	}
	return v
}

// fieldsShown are the fields that have a place for what is wrong beside them.
var fieldsShown = []string{"scramble", "solution", "slot", "second", "case", "top"}

// tell puts a problem beside its field.
func (v *lookupView) tell(p *problem.Problem, values url.Values) {
	e := fieldError{Detail: words.Sentence(p.Detail)}
	field := p.Field
	if !slices.Contains(fieldsShown, field) {
		field = ""
		if p.Field != "" {
			e.Detail = p.Field + ": " + e.Detail
		}
	}
	if tap.Asked(values) && field != "" {
		field = "top"
	}
	if p.Offset != nil && (field == "scramble" || field == "solution" || field == "case") {
		e.mark(values.Get(field), *p.Offset)
	}
	v.Errors[field], v.Status = e, "No forecast yet. "+e.Detail
}
