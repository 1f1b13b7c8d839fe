package page

import (
	"fmt"
	"net/http"
	"net/url"

	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/query"
	"slotcast/web/session"
	"slotcast/web/words"
)

// questionParameter is the parameter of a case's address, and of its preview's, that asks
// which option one would do: what is shown then has no option.
const questionParameter = "question"

// readQuestion reads whether the address asks.
func readQuestion(values url.Values) (asks bool, err error) {
	given := values[questionParameter]
	switch {
	case len(given) == 0:
		return false, nil
	case len(given) > 1:
		return false, problem.Repeated(questionParameter, len(given))
	case given[0] != "true":
		return false, problem.BadSyntax(questionParameter, 0, fmt.Sprintf("“%s” is unknown; it can be true", problem.Shortened(given[0])))
	}
	return true, nil
}

// questionView is a case's page that asks which option one would do. Nothing of the
// answer is in it, not even hidden: the next page has it.
type questionView struct {
	pageView
	// Case is what is asked about, in a word; Positions show it, once for each open slot.
	Case      string
	Positions []openSlotView
	Facts     []questionFact
	// Answer is where the answer is.
	Answer string
	Share  caseShareView
}

// questionFact is something of the case in words.
type questionFact struct{ Term, Words string }

// question answers with the page of a case that asks.
func (s *Server) question(w http.ResponseWriter, r *http.Request, c lastslot.Case, values url.Values) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	if visitor.Profile != nil {
		session.Private(w)
	}
	said := words.Case(c)
	path := "/case/" + c.Code()
	// The page's own address asks too: whoever makes a preview may go by it.
	address := s.sessions.PublicURL(r) + query.With(path, nil, questionParameter, "true")
	view := questionView{
		pageView: s.pageView("Which would you do? Last slot "+said.Slot+", case "+c.Code()+" – Slotcast", said.String()+" Which would you do?", address),
		Case:     "Last slot " + said.Slot, Positions: []openSlotView{{Picture: picture.PositionOf(c).Picture().Named()}},
		Facts:  []questionFact{{"Pair", said.Pair()}, {"Top", said.Top}},
		Answer: query.With(path, values, questionParameter, ""),
	}
	view.Picture = &pagePicture{s.sessions.PublicURL(r) + query.With(path+"/picture.png", nil, questionParameter, "true"), picture.QuestionWords(c)}
	if view.Share, err = s.shareOf(r, lastSlotShared(c)); err != nil {
		return err
	}
	s.sessions.Visit(r, c)
	return render(w, r, http.StatusOK, questionPage(view))
}
