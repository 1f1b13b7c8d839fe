package page

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/words"
)

// sequencesView is a pattern's own page.
type sequencesView struct {
	pageView
	Name, Action string
	// Reach is where in how many cases it can be had.
	Reach string
	Form  patternFormView
	Own   []ownSequenceView
	// Usual is the sequence that is forecast where there is none of one's own.
	Usual string
	// Choices are other easy ones that were found.
	Choices []ownSequenceView
	Typed   string
	Wrong   map[string]fieldError
}

type ownSequenceView struct{ Turns, Seconds string }

// Sequences answers GET /patterns/{oll}.
func (s *Server) Sequences(w http.ResponseWriter, r *http.Request) error {
	pattern, err := patternOf(r)
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	view, status := s.sequencesView(visitor.Records, pattern), http.StatusOK
	if typed := r.URL.Query(); typed.Get("turns") != "" {
		// What was refused is so again.
		if _, err := checkedSequence(typed, pattern); err != nil {
			wrong := problem.Of(err)
			if wrong == nil {
				return err
			}
			status = wrong.Status
			view.Typed, view.Wrong = typed.Get("turns"), wrongAt("turns", wrong, typed)
		}
	}
	return render(w, r, status, sequencesPage(view))
}

func (s *Server) sequencesView(records profile.Records, p lastslot.Pattern) sequencesView {
	path := fmt.Sprintf("/patterns/%d", p)
	book := profile.BookOf(s.book, records)
	v := sequencesView{
		pageView: s.pageView(records.PatternName(p)+" – Slotcast", "Your ratings and algorithms for this pattern.", ""),
		Name:     words.WithSkip(records.PatternName(p), p), Action: path + "/sequences", Reach: path + "/reach",
		Form: patternForm(records, p, path), Usual: book.FollowUp(p).String(),
	}
	// The page is where the link would lead.
	v.Form.Path = ""
	person := profile.PersonOf(s.book, records, s.log)
	for _, own := range records.Sequences {
		if own.Pattern != p {
			continue
		}
		view := ownSequenceView{Turns: own.Turns}
		if turns, err := cube.Parse(own.Turns); err == nil {
			view.Seconds = words.Seconds(person.Estimate(turns))
		}
		v.Own = append(v.Own, view)
	}
	for _, turns := range append([]cube.Sequence{book.FollowUp(p)}, book.Choices(p)...) {
		mine := slices.ContainsFunc(records.Sequences, func(own profile.OwnSequence) bool { return own.Pattern == p && own.Turns == turns.String() })
		if len(turns) > 0 && !mine {
			v.Choices = append(v.Choices, ownSequenceView{turns.String(), words.Seconds(person.Estimate(turns))})
		}
	}
	return v
}

// AddSequence answers POST /patterns/{oll}/sequences. A sequence that does
// something else is shown again with what it does.
func (s *Server) AddSequence(w http.ResponseWriter, r *http.Request) error {
	pattern, err := patternOf(r)
	if err != nil {
		return err
	}
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	own, err := checkedSequence(values, pattern)
	page := fmt.Sprintf("/patterns/%d", pattern)
	if problem.Of(err) != nil && values.Get("turns") != "" && shownAgain(w, r, page, url.Values{"turns": values["turns"]}) {
		return nil
	}
	if err == nil {
		err = s.sessions.Save(w, r, profile.Records{Sequences: []profile.OwnSequence{own}}, profile.Records{})
	}
	if wrong := problem.Of(err); wrong != nil {
		view := s.sequencesView(visitor.Records, pattern)
		view.Typed, view.Wrong = values.Get("turns"), wrongAt("turns", wrong, values)
		return render(w, r, wrong.Status, sequencesPage(view))
	}
	if err != nil {
		return err
	}
	return saved(w, r, page)
}

// checkedSequence reads a sequence for the pattern, as it is kept: without the
// AUF that it may start or end with.
func checkedSequence(values url.Values, p lastslot.Pattern) (profile.OwnSequence, error) {
	oll := int(p)
	return profile.SequenceValues{OLL: &oll, Turns: values.Get("turns")}.Record()
}

// RemoveSequence answers POST /patterns/{oll}/sequences/remove.
func (s *Server) RemoveSequence(w http.ResponseWriter, r *http.Request) error {
	pattern, err := patternOf(r)
	if err != nil {
		return err
	}
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	turns, err := profile.CheckTurns(values.Get("turns"))
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	if visitor.Profile != nil {
		gone := profile.Records{Sequences: []profile.OwnSequence{{Pattern: pattern, Turns: turns.String()}}}
		if err := s.sessions.Save(w, r, profile.Records{}, gone); err != nil {
			return err
		}
	}
	return saved(w, r, fmt.Sprintf("/patterns/%d", pattern))
}
