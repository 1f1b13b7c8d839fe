package web

import (
	"fmt"
	"net/http"
	"net/url"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
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
	Typed string
	Wrong map[string]fieldError
}

type ownSequenceView struct{ Turns, Seconds string }

// sequences answers GET /patterns/{oll}.
func (s *site) sequences(w http.ResponseWriter, r *http.Request) error {
	pattern, err := patternOf(r)
	if err != nil {
		return err
	}
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	return render(w, r, http.StatusOK, sequencesPage(s.sequencesView(visitor.Records, pattern)))
}

func (s *site) sequencesView(records Records, p lastslot.Pattern) sequencesView {
	path := fmt.Sprintf("/patterns/%d", p)
	v := sequencesView{
		pageView: s.pageView(records.patternName(p)+" – Slotcast", "Your ratings and sequences for this pattern.", ""),
		Name:     records.patternName(p), Action: path + "/sequences", Reach: path + "/reach",
		Form: patternForm(records, p, path), Usual: s.bookOf(records).FollowUp(p).String(),
	}
	// The page is where the link would lead.
	v.Form.Path = ""
	person := personOf(records, s.Log)
	for _, own := range records.Sequences {
		if own.Pattern != p {
			continue
		}
		view := ownSequenceView{Turns: own.Turns}
		if turns, err := cube.Parse(own.Turns); err == nil {
			view.Seconds = inSeconds(person.Estimate(turns))
		}
		v.Own = append(v.Own, view)
	}
	return v
}

// addSequence answers POST /patterns/{oll}/sequences. A sequence that does
// something else is shown again with what it does.
func (s *site) addSequence(w http.ResponseWriter, r *http.Request) error {
	pattern, err := patternOf(r)
	if err != nil {
		return err
	}
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	own, err := checkedSequence(values, pattern)
	if err == nil {
		err = s.keep(w, r, Records{Sequences: []OwnSequence{own}}, Records{})
	}
	if wrong := told(err); wrong != nil {
		view := s.sequencesView(visitor.Records, pattern)
		view.Typed, view.Wrong = values.Get("turns"), wrongAt("turns", wrong, values)
		return render(w, r, wrong.Status, sequencesPage(view))
	}
	if err != nil {
		return err
	}
	return saved(w, r, fmt.Sprintf("/patterns/%d", pattern))
}

// checkedSequence reads a sequence for the pattern, as it is kept: without the
// AUF that it may start or end with.
func checkedSequence(values url.Values, p lastslot.Pattern) (OwnSequence, error) {
	oll := int(p)
	return ownSequence{&oll, values.Get("turns")}.record()
}

// wrongAt is [wrongIn], at a field where the problem names none.
func wrongAt(field string, p *problem, values url.Values) map[string]fieldError {
	at := *p
	if at.Field == "" {
		at.Field = field
	}
	return wrongIn(&at, values)
}

// wrongIn tells what is wrong beside its field, and marks the place.
func wrongIn(p *problem, values url.Values) map[string]fieldError {
	e := fieldError{Detail: sentence(p.Detail)}
	if p.Offset != nil {
		e.mark(values.Get(p.Field), *p.Offset)
	}
	return map[string]fieldError{p.Field: e}
}

// removeSequence answers POST /patterns/{oll}/sequences/remove.
func (s *site) removeSequence(w http.ResponseWriter, r *http.Request) error {
	pattern, err := patternOf(r)
	if err != nil {
		return err
	}
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	turns, err := checkTurns(values.Get("turns"))
	if err != nil {
		return err
	}
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	if visitor.Profile != nil {
		gone := Records{Sequences: []OwnSequence{{pattern, turns.String()}}}
		if err := s.Store.Remove(r.Context(), visitor.Profile.ID, gone); err != nil {
			return fmt.Errorf("remove a sequence: %w", err)
		}
	}
	return saved(w, r, fmt.Sprintf("/patterns/%d", pattern))
}
