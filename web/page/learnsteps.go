package page

import (
	"fmt"
	"net/http"
	"net/url"
	"time"

	"slotcast/forecast/routes"
	"slotcast/web/session"
	"slotcast/web/words"
)

// stepLessonsView is the page of what to learn with two slots open.
type stepLessonsView struct {
	pageView
	// Summary says what is taken now, and what learning all saves.
	Summary string
	Lessons []stepLessonView
}

// stepLessonView is a step to be learnt.
type stepLessonView struct {
	Step ownStepView
	// Saves is on average, and Most where it saves most.
	Saves, Most string
	// Path is where that is shown.
	Path       string
	Techniques []techniqueView
}

// StepLessons answers GET /learn/steps.
func (s *Server) StepLessons(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	f, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return err
	}
	if visitor.Profile != nil {
		session.Private(w)
	}
	found, err := s.sessions.StepLessons(r.Context(), visitor.Profile, f)
	if err != nil {
		return err
	}
	v := stepLessonsView{
		pageView: s.pageView("Learn with two slots open – Slotcast", "The steps with two slots open that save you the most.", ""),
	}
	saved := time.Duration(0)
	for _, l := range found.Next {
		saved += l.Saves
		route := routes.Route{Fills: l.Fills, Step: routes.Step{Turns: l.Turns}}
		view := stepLessonView{
			Step: ownStepViewOf(visitor.Records.Step(l.Step), "/learn/steps"), Saves: words.Thousandths(l.Saves), Most: words.Seconds(l.Most),
			Path: "/routes/" + l.Case.Code() + "?" + url.Values{"seen": {"pairs"}}.Encode(), Techniques: techniquesOf(route.Techniques(l.Case)),
		}
		v.Lessons = append(v.Lessons, view)
	}
	switch {
	case len(found.Next) == 0 && found.Known < routes.Places/2:
		v.Summary = "You know no way from most places. Say on Profile what you know, or mark insertions, and what to learn next is found."
	case len(found.Next) == 0:
		v.Summary = fmt.Sprintf("You take %s s on average, and no step that you do not know yet saves anything.", words.Seconds(found.Mean))
	default:
		v.Summary = fmt.Sprintf("You take %s s on average until the top is oriented. Learn these %d and save %s s on average.", words.Seconds(found.Mean), len(found.Next), words.Thousandths(saved))
	}
	return render(w, r, http.StatusOK, stepLessonsPage(v))
}
