package page

import (
	"errors"
	"fmt"
	"mime"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"
	"slotcast/web/words"
)

// fieldError is what is wrong with a field. Where it is in the field, Before,
// Bad and After are what was typed.
type fieldError struct {
	Detail             string
	Marked             bool
	Before, Bad, After string
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

// linkView is a choice that is a link.
type linkView struct {
	Label, Path string
	Current     bool
}

// changed is a field's new value; it is none where the form says that the field
// was so when it was shown.
func changed(values url.Values, field string) (value string, ok bool) {
	if !values.Has(field) || values.Has("was-"+field) && values.Get("was-"+field) == values.Get(field) {
		return "", false
	}
	return strings.TrimSpace(values.Get(field)), true
}

// readLevel reads a rating; "" is none.
func readLevel(field, text string) (int, error) {
	if text == "" {
		return 0, nil
	}
	level, err := strconv.Atoi(text)
	if err != nil {
		return 0, problem.BadRequest(field, fmt.Sprintf("“%s” is not a rating: use 1 (weak) to 5 (strong)", problem.Shortened(text)))
	}
	return profile.CheckRating(field, &level)
}

// readSeconds reads a measured time, with a decimal comma too.
func readSeconds(field, text string) (time.Duration, error) {
	seconds, err := readDecimal(field, text)
	if err != nil {
		return 0, err
	}
	return profile.CheckSeconds(field, &seconds)
}

// readDecimal reads a number, with a decimal comma too.
func readDecimal(field, text string) (float64, error) {
	number, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil {
		return 0, problem.BadRequest(field, fmt.Sprintf("“%s” is not a number", problem.Shortened(text)))
	}
	return number, nil
}

// wrongAt is [wrongIn], at a field where the problem names none.
func wrongAt(field string, p *problem.Problem, values url.Values) map[string]fieldError {
	at := *p
	if at.Field == "" {
		at.Field = field
	}
	return wrongIn(&at, values)
}

// wrongIn tells what is wrong beside its field, and marks the place.
func wrongIn(p *problem.Problem, values url.Values) map[string]fieldError {
	e := fieldError{Detail: words.Sentence(p.Detail)}
	if p.Offset != nil {
		e.mark(values.Get(p.Field), *p.Offset)
	}
	return map[string]fieldError{p.Field: e}
}

// choice is one of a row of choices. Words say what the label is short for, "" where
// it is not.
type choice struct {
	Value, Label, Words string
	Checked             bool
}

// choicesOf are one for each value, which are given with their labels in turn.
func choicesOf(chosen string, valuesAndLabels ...string) (all []choice) {
	for pair := range slices.Chunk(valuesAndLabels, 2) {
		all = append(all, choice{Value: pair[0], Label: pair[1], Checked: pair[0] == chosen})
	}
	return all
}

// slotChoices are the slots after one that leaves it open which.
func slotChoices(open, chosen string) []choice {
	all := choicesOf(chosen, "", open)
	for slot := range lastslot.Slot(lastslot.Slots) {
		all = append(all, choicesOf(chosen, slot.String(), slot.Words())...)
	}
	return all
}

// levelChoices are the ratings after none, which is 0.
func levelChoices(chosen int) []choice {
	all := choicesOf("", "", "–")
	all[0].Checked = chosen == 0
	for level := 1; level <= 5; level++ {
		all = append(all, choice{Value: strconv.Itoa(level), Label: strconv.Itoa(level), Checked: chosen == level})
	}
	return all
}

// hiddenView are parameters that a form sends along, in order.
type hiddenView []hiddenParameter

type hiddenParameter struct{ Name, Value string }

// hiddenOf are those of the parameters that say how it is answered.
func hiddenOf(values url.Values) (how hiddenView) {
	for _, name := range query.AnswerParameters {
		if value := values.Get(name); value != "" {
			how = append(how, hiddenParameter{name, value})
		}
	}
	return how
}

// maxForm is the most that a form may bring, in bytes: a sequence of the longest
// kind, each character percent-encoded in nine bytes, and room for the rest.
const maxForm = 64 << 10

// readForm reads a form that was posted.
func readForm(w http.ResponseWriter, r *http.Request) (url.Values, error) {
	r.Body = http.MaxBytesReader(w, r.Body, maxForm)
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/x-www-form-urlencoded" {
		return nil, &problem.Problem{Status: http.StatusUnsupportedMediaType, Detail: "this address takes form data"}
	}
	err := r.ParseForm()
	if tooLarge := (*http.MaxBytesError)(nil); errors.As(err, &tooLarge) {
		return nil, &problem.Problem{Status: http.StatusRequestEntityTooLarge, Detail: fmt.Sprintf("a form has at most %d bytes", maxForm)}
	}
	if err != nil {
		return nil, &problem.Problem{Status: http.StatusBadRequest, Detail: "the form’s data is not encoded properly"}
	}
	for _, values := range r.PostForm {
		// Not every database can hold other texts.
		if !utf8.ValidString(strings.Join(values, "")) {
			return nil, &problem.Problem{Status: http.StatusBadRequest, Detail: "the form’s data is not UTF-8"}
		}
	}
	return r.PostForm, nil
}

// saved answers that a change is kept: a script is told no more than that, and a
// browser is sent on to a page.
func saved(w http.ResponseWriter, r *http.Request, page string) error {
	session.Private(w)
	if byScript(r) {
		w.WriteHeader(http.StatusNoContent)
		return nil
	}
	http.Redirect(w, r, page, http.StatusSeeOther) // #nosec G710 -- localPath lets none lead elsewhere
	return nil
}

// shownAgain answers a form of turns that were refused with the page that has the form, at
// an address that carries what was typed and can be loaded again. Where that is too long
// for an address it answers false.
func shownAgain(w http.ResponseWriter, r *http.Request, page string, typed url.Values) bool {
	address := page + "?" + typed.Encode()
	if byScript(r) || len(address) > longestAddress {
		return false
	}
	session.Private(w)
	http.Redirect(w, r, address, http.StatusSeeOther) // #nosec G710 -- page is of this program
	return true
}

// longestAddress is what is sent without doubt: RFC 9110, 4.1 recommends 8,000 octets.
const longestAddress = 8000

// byScript says whether the pages' script asks, which shows what is wrong in
// words of its own place.
func byScript(r *http.Request) bool { return r.Header.Get("Accept") == "application/problem+json" }

// Change makes a handler of a change that a form asks for: a script is told what
// is wrong as the interface tells it, a browser by a page.
func (s *Server) Change(h problem.Handler) http.HandlerFunc {
	// Of two tabs that change one record at once, the later begins anew with what
	// the first has made of it.
	last := func(w http.ResponseWriter, r *http.Request) error {
		for {
			if err := h(w, r); !errors.Is(err, profile.ErrReadAgain) || r.Context().Err() != nil {
				return err
			}
			r = s.sessions.With(r)
		}
	}
	script, page := problem.JSON(s.log, last), s.Page(last)
	return func(w http.ResponseWriter, r *http.Request) {
		session.Private(w)
		if byScript(r) {
			script(w, s.sessions.With(r))
			return
		}
		page(w, r)
	}
}

// localPath is where a form wants to go afterwards, if that is a page of the
// service; a form that somebody else made cannot lead elsewhere.
func localPath(path, otherwise string) string {
	u, err := url.Parse(path)
	if err != nil || u.Scheme != "" || u.Host != "" || !strings.HasPrefix(path, "/") || strings.HasPrefix(path, "//") || strings.ContainsAny(path, "\\\r\n") {
		return otherwise
	}
	return path
}
