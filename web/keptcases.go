package web

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"slotcast/forecast/lastslot"
)

// casesView is the page with the cases that a person comes back to.
type casesView struct {
	pageView
	// Again is what was not kept, and Problem why: "" for nothing.
	Again   keepView
	Problem string
	// Wanted is what the kept cases were asked to have in their note, code or slot,
	// and Summary how many have.
	Wanted, Summary string
	Kept            []keptView
	// Pages are there where the kept cases do not fit on one.
	Pages []filterView
	// First says that this is the first page, which has the recent ones too.
	First  bool
	Recent []recentView
}

// keptOnPage is how many kept cases are on a page: each has a picture of some
// kilobytes.
const keptOnPage = 50

// keepView is the form that keeps a case, or changes what is kept of it.
type keepView struct {
	Code string
	// Kept says that the case is kept; Since is since which day.
	Kept        bool
	Note, Since string
	// Open says that the note can be written at once.
	Open bool
	// Back is the page to return to.
	Back string
}

// keptView is a case that is kept.
type keptView struct {
	caseLink
	Keep keepView
}

// recentView is a case that was looked up lately.
type recentView struct {
	caseLink
	Looked string
}

// caseLink leads to a case's page: a picture with words, and the slot.
type caseLink struct{ Code, Path, Picture, Slot string }

func linkTo(c lastslot.Case) caseLink {
	return caseLink{c.Code(), "/case/" + c.Code(), positionOf(c).picture().SVG(), c.Slot.Words()}
}

// longestNote is how long a note may be, in characters.
const longestNote = 500

// checkNote is the note without white space around it, "" for none.
func checkNote(note string) (string, error) {
	// A form ends its lines as mail does.
	note = strings.TrimSpace(strings.ReplaceAll(note, "\r\n", "\n"))
	if n := utf8.RuneCountInString(note); n > longestNote {
		return "", unclear("note", fmt.Sprintf("%d characters; a note has at most %d", n, longestNote))
	}
	if strings.ContainsFunc(note, func(c rune) bool { return unicode.IsControl(c) && c != '\n' }) {
		return "", unclear("note", "a note has no control characters but line breaks")
	}
	return note, nil
}

// checkCode is the case that a code stands for.
func checkCode(field, code string) (lastslot.Case, error) {
	var q query
	err := q.readCode(code)
	if wrong := told(err); wrong != nil {
		wrong.Field = field
	}
	return q.Case, err
}

// cases answers GET /cases.
func (s *site) cases(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	values := r.URL.Query()
	page := 1
	if values.Has("page") {
		if page, err = strconv.Atoi(values.Get("page")); err != nil || page < 1 || page > MaxKept {
			return &problem{Status: http.StatusBadRequest, Detail: fmt.Sprintf("“%s” is no number of a page", shortened(values.Get("page"))), Field: "page"}
		}
	}
	return render(w, r, http.StatusOK, casesPage(s.casesView(visitor.Records, strings.TrimSpace(values.Get("with")), page)))
}

// casesView has the kept cases with the wanted words, those of one page.
func (s *site) casesView(records Records, wanted string, page int) casesView {
	v := casesView{pageView: s.pageView("Your cases – Slotcast", "The cases that you keep, and those that you looked up lately.", ""), Wanted: wanted, First: page == 1 && wanted == ""}
	path := func(page int) string {
		values := url.Values{}
		if wanted != "" {
			values.Set("with", wanted)
		}
		if page > 1 {
			values.Set("page", strconv.Itoa(page))
		}
		if len(values) == 0 {
			return "/cases"
		}
		return "/cases?" + values.Encode()
	}
	var found []lastslot.Case
	for _, kept := range records.Kept {
		if c, err := checkCode("", kept.Code); err == nil && has(kept.Code+" "+c.Slot.Words()+" "+kept.Note, wanted) {
			found = append(found, c)
		}
	}
	v.Summary = counted(len(found), "case")
	if pages := (len(found) + keptOnPage - 1) / keptOnPage; pages > 1 {
		for n := 1; n <= pages; n++ {
			v.Pages = append(v.Pages, filterView{strconv.Itoa(n), path(n), n == page})
		}
	}
	from := min((page-1)*keptOnPage, len(found))
	for _, c := range found[from:min(from+keptOnPage, len(found))] {
		v.Kept = append(v.Kept, keptView{linkTo(c), keepOf(records, c, path(page))})
	}
	if !v.First {
		return v
	}
	for _, recent := range records.Recent {
		if c, err := checkCode("", recent.Code); err == nil {
			v.Recent = append(v.Recent, recentView{linkTo(c), onDay(recent.Looked)})
		}
	}
	return v
}

// has says whether a text has all the words, in capitals or not.
func has(text, words string) bool {
	text = strings.ToLower(text)
	for _, word := range strings.Fields(strings.ToLower(words)) {
		if !strings.Contains(text, word) {
			return false
		}
	}
	return true
}

// keepOf is the form for a case; back is the page that shows it.
func keepOf(r Records, c lastslot.Case, back string) keepView {
	v := keepView{Code: c.Code(), Back: back}
	if at := slices.IndexFunc(r.Kept, func(k KeptCase) bool { return k.Code == v.Code }); at >= 0 {
		v.Kept, v.Note, v.Since = true, r.Kept[at].Note, onDay(r.Kept[at].Since)
	}
	return v
}

// onDay writes a day as anybody can read it.
func onDay(t time.Time) string { return t.UTC().Format("2 Jan 2006") }

// keepCase answers POST /cases: it keeps a case, or changes its note.
func (s *site) keepCase(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	c, err := checkCode("case", values.Get("case"))
	if err != nil {
		return err
	}
	note, err := checkNote(values.Get("note"))
	if err == nil {
		err = s.keep(w, r, Records{Kept: []KeptCase{{Code: c.Code(), Note: note, Since: time.Now()}}}, Records{})
	}
	if wrong := told(err); wrong != nil && !byScript(r) {
		visitor, err := s.visitor(r)
		if err != nil {
			return err
		}
		// What was typed is not lost.
		view := s.casesView(visitor.Records, "", 1)
		// Its form is shown once.
		view.Kept = slices.DeleteFunc(view.Kept, func(k keptView) bool { return k.Code == c.Code() })
		view.Again, view.Problem = keepOf(visitor.Records, c, "/cases"), sentence(wrong.Detail)
		view.Again.Note, view.Again.Open = values.Get("note"), true
		return render(w, r, wrong.Status, casesPage(view))
	}
	if err != nil {
		return err
	}
	return saved(w, r, localPath(values.Get("back"), "/cases")+"#keep-"+c.Code())
}

// removeCase answers POST /cases/remove.
func (s *site) removeCase(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	c, err := checkCode("case", values.Get("case"))
	if err != nil {
		return err
	}
	if err := s.removeOwn(r, Records{Kept: []KeptCase{{Code: c.Code()}}}); err != nil {
		return err
	}
	return saved(w, r, localPath(values.Get("back"), "/cases"))
}

// forgetRecent answers POST /cases/forget: the cases looked up lately go.
func (s *site) forgetRecent(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	if err := s.removeOwn(r, Records{Recent: visitor.Records.Recent}); err != nil {
		return err
	}
	return saved(w, r, "/cases")
}

// removeOwn removes records of the visitor's, who may have none.
func (s *site) removeOwn(r *http.Request, gone Records) error {
	visitor, err := s.visitor(r)
	if err != nil || visitor.Profile == nil {
		return err
	}
	if err := s.Store.Remove(r.Context(), visitor.Profile.ID, gone); err != nil {
		return fmt.Errorf("remove records: %w", err)
	}
	return nil
}

// submittedHeader is sent by the pages' script with what a person submitted, as
// against what is asked for with every tap.
const submittedHeader = "Slotcast-Submitted"

// rememberAfter is how long the case looked up last need not be remembered anew.
const rememberAfter = time.Minute

// remember puts a case first among those that the visitor looked up lately. A
// page says so when it was meant by the visitor: not what a browser fetches
// ahead, and not what the script asks for on the way. It is no reason to refuse
// the page.
func (s *site) remember(r *http.Request, c lastslot.Case) {
	if r.Method != http.MethodGet || !meant(r.Header) {
		return
	}
	visitor, err := s.visitor(r)
	if err != nil || visitor.Profile == nil {
		return
	}
	now := time.Now()
	if recent := visitor.Records.Recent; len(recent) > 0 && recent[0].Code == c.Code() && now.Sub(recent[0].Looked) < rememberAfter {
		return
	}
	// Whoever does not wait for the page looked it up all the same.
	if err := s.Store.Look(context.WithoutCancel(r.Context()), visitor.Profile.ID, c.Code(), now); err != nil {
		s.Log.WarnContext(r.Context(), "a case that was looked up is not remembered", "error", err)
	}
}

// meant says whether a person asked for the page: browsers ask for a page itself
// as HTML, and mark what they fetch ahead (Sec-Purpose, in the Fetch standard).
func meant(h http.Header) bool {
	if strings.Contains(h.Get("Sec-Purpose"), "prefetch") {
		return false
	}
	return strings.Contains(h.Get("Accept"), "text/html") || h.Get(submittedHeader) != ""
}
