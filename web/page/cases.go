package page

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/practice"
	"slotcast/forecast/twoslots"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/words"
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
	// Practise are sessions of the kept cases.
	Practise []linkView
	// Pages are there where the kept cases do not fit on one.
	Pages []linkView
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
	return caseLink{c.Code(), "/case/" + c.Code(), picture.PositionOf(c).Picture().SVG(), c.Slot.Words()}
}

// keptSlot is the slot of a kept case, or the two that are open.
func keptSlot(code string) (slot string, ok bool) {
	if two, err := twoslots.ParseCode(code); err == nil {
		return "two slots open, " + two.Open.Words(), true
	}
	c, err := lastslot.ParseCode(code)
	return c.Slot.Words(), err == nil
}

// linkToKept leads to a kept case. Of two open slots the first one's pair is seen.
func linkToKept(code string) caseLink {
	if two, err := twoslots.ParseCode(code); err == nil {
		slot, _ := keptSlot(code)
		return caseLink{code, "/routes/" + code, openPictures(two)[0].position.Picture().SVG(), slot}
	}
	c, err := lastslot.ParseCode(code)
	if err != nil {
		panic("page: " + err.Error()) // whoever lists kept cases has looked
	}
	return linkTo(c)
}

// Cases answers GET /cases.
func (s *Server) Cases(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	values := r.URL.Query()
	page := 1
	if values.Has("page") {
		if page, err = strconv.Atoi(values.Get("page")); err != nil || page < 1 || page > profile.MaxKept {
			return &problem.Problem{Status: http.StatusBadRequest, Detail: fmt.Sprintf("“%s” is not a page number", problem.Shortened(values.Get("page"))), Field: "page"}
		}
	}
	return render(w, r, http.StatusOK, casesPage(s.casesView(visitor.Records, strings.TrimSpace(values.Get("with")), page)))
}

// casesView has the kept cases with the wanted words, those of one page.
func (s *Server) casesView(records profile.Records, wanted string, page int) casesView {
	v := casesView{pageView: s.pageView("Your cases – Slotcast", "The cases you keep, and those you looked up recently.", ""), Wanted: wanted, First: page == 1 && wanted == ""}
	v.Practise = practiseSet("kept", "", practice.Choose, practice.Whole, practice.Recognise, practice.Execute)
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
	var found []string
	for _, kept := range records.Kept {
		if slot, ok := keptSlot(kept.Code); ok && has(kept.Code+" "+slot+" "+kept.Note, wanted) {
			found = append(found, kept.Code)
		}
	}
	v.Summary = words.Counted(len(found), "case")
	if pages := (len(found) + keptOnPage - 1) / keptOnPage; pages > 1 {
		for n := 1; n <= pages; n++ {
			v.Pages = append(v.Pages, linkView{strconv.Itoa(n), path(n), n == page})
		}
	}
	from := min((page-1)*keptOnPage, len(found))
	for _, code := range found[from:min(from+keptOnPage, len(found))] {
		v.Kept = append(v.Kept, keptView{linkToKept(code), keepOf(records, code, path(page))})
	}
	if !v.First {
		return v
	}
	for _, recent := range records.Recent {
		if c, err := profile.CheckCode("", recent.Code); err == nil {
			v.Recent = append(v.Recent, recentView{linkTo(c), words.Day(recent.Looked)})
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
func keepOf(r profile.Records, code, back string) keepView {
	v := keepView{Code: code, Back: back}
	if at := slices.IndexFunc(r.Kept, func(k profile.KeptCase) bool { return k.Code == v.Code }); at >= 0 {
		v.Kept, v.Note, v.Since = true, r.Kept[at].Note, words.Day(r.Kept[at].Since)
	}
	return v
}

// KeepCase answers POST /cases: it keeps a case, or changes its note.
func (s *Server) KeepCase(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	code, err := profile.CheckKept("case", values.Get("case"))
	if err != nil {
		return err
	}
	note, err := profile.CheckNote(values.Get("note"))
	if err == nil {
		err = s.sessions.Save(w, r, profile.Records{Kept: []profile.KeptCase{{Code: code, Note: note, Since: time.Now()}}}, profile.Records{})
	}
	if wrong := problem.Of(err); wrong != nil && !byScript(r) {
		visitor, err := s.sessions.Visitor(r)
		if err != nil {
			return err
		}
		// What was typed is not lost.
		view := s.casesView(visitor.Records, "", 1)
		// Its form is shown once.
		view.Kept = slices.DeleteFunc(view.Kept, func(k keptView) bool { return k.Code == code })
		view.Again, view.Problem = keepOf(visitor.Records, code, "/cases"), words.Sentence(wrong.Detail)
		view.Again.Note, view.Again.Open = values.Get("note"), true
		return render(w, r, wrong.Status, casesPage(view))
	}
	if err != nil {
		return err
	}
	return saved(w, r, localPath(values.Get("back"), "/cases")+"#keep-"+code)
}

// RemoveCase answers POST /cases/remove.
func (s *Server) RemoveCase(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	code, err := profile.CheckKept("case", values.Get("case"))
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	if visitor.Profile != nil {
		if err := s.sessions.Save(w, r, profile.Records{}, profile.Records{Kept: []profile.KeptCase{{Code: code}}}); err != nil {
			return err
		}
	}
	return saved(w, r, localPath(values.Get("back"), "/cases"))
}

// ForgetRecent answers POST /cases/forget: the cases looked up lately go.
func (s *Server) ForgetRecent(w http.ResponseWriter, r *http.Request) error {
	if _, err := readForm(w, r); err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	if visitor.Profile != nil {
		if err := s.sessions.Save(w, r, profile.Records{}, profile.Records{Recent: visitor.Records.Recent}); err != nil {
			return err
		}
	}
	return saved(w, r, "/cases")
}
