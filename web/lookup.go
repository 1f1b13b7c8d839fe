package web

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"unicode"

	"slotcast/forecast"
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
	// PasteOpen says which of the two forms is unfolded.
	PasteOpen bool
	Paste     pasteView
	Tap       tapView
	Code      string
	// Errors has what is wrong, by field; "" is what belongs to no field shown.
	Errors map[string]fieldError
	// Trouble is the same for who listens to the status line.
	Trouble string
	// Answer is nil where something is wrong.
	Answer *answerView
}

// pasteView is the form for a scramble and the solution so far.
type pasteView struct {
	Scramble, Solution string
	Slots              []choice
	Predicted          bool
}

// fieldError is what is wrong with a field. Where it is in the field, Before,
// Bad and After are what was typed.
type fieldError struct {
	Detail             string
	Marked             bool
	Before, Bad, After string
}

// lookup answers GET /.
func (s *site) lookup(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return &problem{Status: http.StatusBadRequest, Title: "Cannot be read", Detail: "the address’s parameters are not encoded as they should be"}
	}
	view := lookupView{
		pageView: s.pageView("Slotcast – what your last slot leaves on top", "Every way to fill the last slot, and the OLL pattern that each leaves: fastest first.", s.publicURL(r)+"/"),
		Errors:   map[string]fieldError{},
	}
	q, tapped, err := s.looked(values, &view)
	status := http.StatusOK
	if wrong := (*problem)(nil); errors.As(err, &wrong) {
		wrong = s.problemOf(r, err)
		status = wrong.Status
		view.tell(wrong, values)
	} else if err != nil {
		return err
	} else {
		answer, err := s.answerFor(w, r, q, "/", values)
		if err != nil {
			return err
		}
		view.Answer = &answer
		if !view.Example {
			s.remember(r, q.Case)
		}
	}
	view.PasteOpen = view.Example || values.Has("scramble") || values.Has("solution")
	view.Tap = tapOf(tapped, values.Get("mark"), values.Get("predicted") == "true")
	return render(w, r, status, lookupPage(view))
}

// looked reads what was asked, in any of the three ways, and fills the forms with
// it. The case for the tapped form is told even where something is wrong.
func (s *site) looked(values url.Values, view *lookupView) (q query, tapped forecast.Case, err error) {
	// Forms send their empty fields; the scramble alone must not be empty.
	asked := url.Values{}
	for name, v := range values {
		if name == "scramble" || name == "case" || !slices.Equal(v, []string{""}) {
			asked[name] = v
		}
	}
	example := url.Values{"scramble": {exampleScramble}, "solution": {exampleSolution}}
	if isTapped(asked) {
		tapped, err = readTapped(asked)
		if err != nil {
			view.Paste = pasteOf(url.Values{})
			return q, tapped, err
		}
		byCode := url.Values{"case": {tapped.Code()}}
		for _, name := range parameters {
			if v, ok := asked[name]; ok && name != "slot" {
				byCode[name] = v
			}
		}
		asked = byCode
	}
	if !slices.ContainsFunc([]string{"case", "scramble", "solution", "slot", "corner", "edge"}, asked.Has) {
		view.Example = true
		for name, v := range example {
			asked[name] = v
		}
	}
	view.Paste = pasteOf(asked)
	if !isTapped(values) {
		view.Code = asked.Get("case")
	}
	if q, err = readQuery(asked); err != nil {
		if tapped == (forecast.Case{}) {
			// Something is on the figure all the same, and it is a case.
			shown, err := readQuery(example)
			if err != nil {
				panic(err)
			}
			tapped = shown.Case
		}
		return q, tapped, err
	}
	return q.all(asked), q.Case, nil
}

func pasteOf(asked url.Values) pasteView {
	v := pasteView{
		Scramble:  asked.Get("scramble"),
		Solution:  asked.Get("solution"),
		Predicted: asked.Get("predicted") == "true",
		Slots:     []choice{{"", "the one that is open", asked.Get("slot") == ""}},
	}
	for s := range forecast.Slot(forecast.Slots) {
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
	v.Errors[field], v.Trouble = e, e.Detail
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
