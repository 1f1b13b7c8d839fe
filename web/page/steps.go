package page

import (
	"net/http"
	"strings"

	"slotcast/forecast"
	"slotcast/forecast/twoslots"
	"slotcast/web/profile"
	"slotcast/web/words"
)

// stepsView is the page with all that a person says of steps.
type stepsView struct {
	pageView
	// Steps are those of this page; Pages lead to the others.
	Steps []ownStepView
	Pages []linkView
}

// ownStepView is a step with two slots open, and what is said of it.
type ownStepView struct {
	// ID tells steps apart, as "FR,FL D R U R' D'".
	ID, Open, Turns string
	// Case is a page where it is offered, "" where it stands on one.
	Case string
	// Known says that it counts as known, NotKnown that it is said not to be.
	Known, NotKnown, Hidden bool
	Seconds                 string
	// Part is what of the page its marks show in, and Back the page to return to.
	Part, Back string
}

func ownStepViewOf(own profile.OwnStep, back string) ownStepView {
	return ownStepView{
		ID: profile.StepID(own.Open, own.Turns), Open: own.Open.Words(), Turns: own.Turns,
		Known: own.Known == forecast.Yes, NotKnown: own.Known == forecast.No, Hidden: own.Hidden,
		Seconds: words.Field(own.Time), Part: "answer", Back: back,
	}
}

// Steps answers GET /steps.
func (s *Server) Steps(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	v := stepsView{pageView: s.pageView("Steps – Slotcast", "The steps with two slots open that you know, hide or timed.", "")}
	page := cardPageOf(len(visitor.Records.Steps), "/steps", r.URL.Query().Get("page"))
	v.Pages = page.links
	for _, own := range visitor.Records.Steps[page.from:page.to] {
		view := ownStepViewOf(own, page.address)
		if step, err := profile.ReadStepID("step", view.ID); err == nil {
			c := twoslots.CaseOf(step.Turns.Inverse().Cube(), step.Open)
			view.Case = "/routes/" + c.Code()
		}
		v.Steps = append(v.Steps, view)
	}
	return render(w, r, http.StatusOK, stepsPage(v))
}

// MarkSteps answers POST /steps/marks: each field names steps and what is said of them.
func (s *Server) MarkSteps(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	var put profile.Records
	for _, mark := range []struct {
		field string
		say   func(*profile.OwnStep)
	}{
		{"know", func(own *profile.OwnStep) { own.Known, own.Hidden = forecast.Yes, false }},
		{"forget", func(own *profile.OwnStep) { own.Known = forecast.No }},
		{"hide", func(own *profile.OwnStep) { own.Hidden, own.Known = true, forecast.Unsaid }},
		{"show", func(own *profile.OwnStep) { own.Hidden = false }},
	} {
		for _, id := range values[mark.field] {
			step, err := profile.ReadStepID(mark.field, id)
			if err != nil {
				return err
			}
			own := visitor.Records.Step(step)
			mark.say(&own)
			put.Steps = append(put.Steps, own)
		}
	}
	if len(put.Steps) > 0 {
		if err := s.sessions.SaveFrom(w, r, put); err != nil {
			return err
		}
	}
	return saved(w, r, localPath(values.Get("back"), "/steps"))
}

// TimeStep answers POST /steps/time: a measured time of one step, or none.
func (s *Server) TimeStep(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	step, err := profile.ReadStepID("step", values.Get("step"))
	if err != nil {
		return err
	}
	own := visitor.Records.Step(step)
	own.Time = 0
	if text := strings.TrimSpace(values.Get("seconds")); text != "" {
		if own.Time, err = readSeconds("seconds", text); err != nil {
			return err
		}
	}
	if err := s.sessions.SaveFrom(w, r, profile.Records{Steps: []profile.OwnStep{own}}); err != nil {
		return err
	}
	return saved(w, r, localPath(values.Get("back"), "/steps"))
}

// RemoveStep answers POST /steps/remove.
func (s *Server) RemoveStep(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	step, err := profile.ReadStepID("step", values.Get("step"))
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	if visitor.Profile != nil {
		gone := profile.Records{Steps: []profile.OwnStep{{Open: step.Open, Turns: step.Turns.String()}}}
		if err := s.sessions.Save(w, r, profile.Records{}, gone); err != nil {
			return err
		}
	}
	return saved(w, r, "/steps")
}
