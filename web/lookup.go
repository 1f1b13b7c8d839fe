package web

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"unicode"

	"slotcast/forecast/lastslot"
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
	// Example says that nothing was asked yet.
	Example bool
	// Fresh is where one's own case is tapped in.
	Fresh string
	// PasteOpen says whether the other ways in are unfolded.
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
}

// pasteView is the form for a scramble and the solution so far.
type pasteView struct {
	Scramble, Solution string
	Slots              []choice
	// Hidden are the parameters that the form sends along.
	Hidden hiddenView
}

// fieldError is what is wrong with a field. Where it is in the field, Before,
// Bad and After are what was typed.
type fieldError struct {
	Detail             string
	Marked             bool
	Before, Bad, After string
}

// lookup answers GET /. With the parameter part=answer it answers only what of
// the page a tap can change, which the page's script puts in its place.
func (s *site) lookup(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return &problem{Status: http.StatusBadRequest, Title: "Cannot be read", Detail: "the address’s parameters are not encoded as they should be"}
	}
	part := values.Get("part") == "answer"
	values.Del("part")
	view := lookupView{
		pageView: s.pageView("Slotcast – what your last slot leaves on top", "Every way to fill the last slot, and the OLL pattern that each leaves: fastest first.", s.publicURL(r)+"/"),
		Errors:   map[string]fieldError{},
	}
	q, shown, err := s.looked(values, &view)
	status := http.StatusOK
	if wrong := (*problem)(nil); errors.As(err, &wrong) {
		wrong = s.problemOf(r, err)
		status = wrong.Status
		view.tell(wrong, values)
	} else if err != nil {
		return err
	} else if view.Status == "" {
		answer, err := s.answerFor(w, r, q, "/", values)
		if err != nil {
			return err
		}
		view.Answer, view.Status = &answer, answer.Summary
		if !view.Example {
			s.remember(r, q.Case)
		}
	}
	view.PasteOpen = values.Has("scramble") || values.Has("solution")
	how := howOf(values)
	view.Tap = tapOf(shown, readHistory(values), how, lookOf(r.Context()).shownColours())
	view.Paste.Hidden = how
	if view.Example {
		view.Status = "An example. " + view.Status
		view.Fresh = tapPath(emptyFigure(shown.slot), figureHistory{shown}, how)
	}
	if part {
		return render(w, r, status, lookupPart(view))
	}
	if view.Answer != nil {
		view.Picture = s.pictureOf(r, q.Case)
	}
	return render(w, r, status, lookupPage(view))
}

// looked reads what was asked, in any of the three ways, and fills the forms with
// it. There is a figure even where something is wrong.
func (s *site) looked(values url.Values, view *lookupView) (q query, shown figure, err error) {
	// Forms send their empty fields; the scramble alone must not be empty.
	asked := url.Values{}
	for name, v := range values {
		if name == "scramble" || name == "case" || !slices.Equal(v, []string{""}) {
			asked[name] = v
		}
	}
	if isTapped(asked) {
		view.Paste = pasteOf(url.Values{})
		shown, err = readFigure(asked)
		if err != nil {
			return q, shown, err
		}
		if !shown.told() {
			view.Status = "Your case: first where the pair’s corner is, then its edge. Two taps, and the forecast begins."
			if shown.corner.spot != untold {
				view.Status = "Now where the pair’s edge is. One tap, and the forecast begins."
			}
			return q, shown, nil
		}
		found, err := shown.forecastCase()
		if err != nil {
			return q, shown, err
		}
		byCode := url.Values{"case": {found.Code()}}
		for _, name := range howParameters {
			if v, ok := asked[name]; ok {
				byCode[name] = v
			}
		}
		if q, err = readQuery(byCode); err != nil {
			return q, shown, err
		}
		return q.all(byCode), shown, nil
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
	if q, err = readQuery(asked); err != nil {
		// The figure is there all the same, with nothing on it that nobody told.
		slot, wrong := lastslot.ParseSlot(asked.Get("slot"))
		if wrong != nil {
			slot = lastslot.FR
		}
		return q, emptyFigure(slot), err
	}
	return q.all(asked), figureOf(q.Case), nil
}

func pasteOf(asked url.Values) pasteView {
	v := pasteView{
		Scramble: asked.Get("scramble"),
		Solution: asked.Get("solution"),
		Slots:    []choice{{"", "the one that is open", asked.Get("slot") == ""}},
	}
	for s := range lastslot.Slot(lastslot.Slots) {
		v.Slots = append(v.Slots, choice{s.String(), s.Words(), asked.Get("slot") == s.String()})
	}
	return v
}

// fieldsShown are the fields that have a place for what is wrong beside them.
var fieldsShown = []string{"scramble", "solution", "slot", "case", "top"}

// tell puts a problem beside its field.
func (v *lookupView) tell(p *problem, values url.Values) {
	e := fieldError{Detail: sentence(p.Detail)}
	field := p.Field
	if !slices.Contains(fieldsShown, field) {
		field = ""
		if p.Field != "" {
			e.Detail = p.Field + ": " + e.Detail
		}
	}
	if isTapped(values) && field != "" {
		field = "top"
	}
	if p.Offset != nil && (field == "scramble" || field == "solution" || field == "case") {
		e.mark(values.Get(field), *p.Offset)
	}
	v.Errors[field], v.Status = e, "No forecast yet. "+e.Detail
}

// mark splits what was typed around the token at the offset.
func (e *fieldError) mark(typed string, offset int) {
	letters := []rune(typed)
	if offset >= len(letters) {
		return
	}
	bracket := func(at int) bool { return strings.ContainsRune("()[]", letters[at]) }
	end := offset + 1
	for end < len(letters) && !bracket(offset) && !bracket(end) && !unicode.IsSpace(letters[end]) {
		end++
	}
	e.Marked = true
	// What is far from the trouble is left out: a pasted text can be long.
	const around = 60
	from, to := max(0, offset-around), min(len(letters), end+around)
	if from > 0 {
		e.Before = "…"
	}
	e.Before += string(letters[from:offset])
	e.Bad = string(letters[offset:min(end, offset+around)])
	if end > offset+around {
		e.Bad += "…"
		e.After = ""
		return
	}
	e.After = string(letters[end:to])
	if to < len(letters) {
		e.After += "…"
	}
}
