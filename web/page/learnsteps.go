package page

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"time"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/routes"
	"slotcast/forecast/twoslots"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/words"
)

// learnStepsView is the page with the steps to learn with two slots open.
type learnStepsView struct {
	pageView
	Opens   []openView
	Summary string
	Next    []nextStepView
	// Without says at how many places nothing is known, "" for none.
	Without string
	Names   []techniqueView
	// Places is over how many places of both pairs it is counted, and Rest how many ways there
	// are in which the rest can be turned.
	Places, Rest string
	// Insertions are what to learn with one slot open.
	Insertions string
}

// openView leads to what to learn with other slots open; Here are those that are shown.
type openView struct {
	Name, Words, Path string
	Here              bool
}

// nextStepView is a step that is worth learning next.
type nextStepView struct {
	// Picture is of a case in which it is used, and Route the page that shows it there.
	Picture, Route string
	Turns, Facts   string
	Techniques     []techniqueView
	// Saves is what it saves on average, with those before it learnt, and Within what where it
	// is quicker than what is known; Best is in how many of the places.
	Saves, Within, Best string
	Marks               ownStepView
}

// learnStepsPath is where the steps are that are to be learnt with these slots open.
func learnStepsPath(open twoslots.Open) string {
	return "/learn/steps?" + url.Values{"open": {open.String()}}.Encode()
}

// openBeside is a slot with the one beside it, left or right.
func openBeside(slot lastslot.Slot) twoslots.Open { return twoslots.OpenOf(slot, slot^1) }

// LearnSteps answers GET /learn/steps.
func (s *Server) LearnSteps(w http.ResponseWriter, r *http.Request) error {
	open := twoslots.OpenOf(lastslot.FR, lastslot.FL)
	if name := r.URL.Query().Get("open"); name != "" {
		var err error
		if open, err = twoslots.ParseOpen(name); err != nil {
			return problem.NoSlots("open", name)
		}
	}
	visitor, f, err := s.visitorForecaster(r)
	if err != nil {
		return err
	}
	found, err := s.sessions.LearningSteps(r.Context(), visitor.Profile, f, open)
	if err != nil {
		return err
	}
	v := learnStepsView{
		pageView:   s.pageView("Learn: two slots open – Slotcast", "Which steps with two slots open are worth learning next, by the seconds each saves.", ""),
		Insertions: "/learn?slot=" + open.Slots()[0].String(),
		Places:     words.Thousands(twoslots.JointPlaces - found.Without), Rest: words.Thousands(twoslots.Rests),
		Summary: stepsSummary(found),
	}
	if found.Without > 0 {
		v.Without = words.Thousands(found.Without)
	}
	for other := range twoslots.Open(twoslots.Opens) {
		v.Opens = append(v.Opens, openView{strings.ReplaceAll(other.String(), ",", ", "), other.Words(), learnStepsPath(other), other == open})
	}
	var techniques []lessonView
	for i := range found.Next {
		next := nextStepOf(visitor.Records, found, i)
		techniques = append(techniques, lessonView{Techniques: next.Techniques})
		v.Next = append(v.Next, next)
	}
	v.Names = techniqueNamesOf(techniques)
	return render(w, r, http.StatusOK, learnStepsPage(v))
}

// nextStepOf words one of the steps.
func nextStepOf(records profile.Records, found *routes.Lessons, i int) nextStepView {
	l := &found.Next[i]
	facts := fmt.Sprintf("%s, about %s s", words.Counted(l.Count, "turn"), words.Seconds(l.Takes))
	if l.Step.Open != found.Open {
		facts = fmt.Sprintf("after a rotation, with %s open; %s", l.Step.Open.Words(), facts)
	}
	asked := url.Values{"fills": {l.Fills.String()}, "turns": {l.Turns.String()}}
	return nextStepView{
		Picture: picture.Position{Cube: l.Example.Cube(), Slot: l.Fills, Now: l.Fills}.Picture().SVG(), Route: "/routes/" + l.Example.Code() + "/route?" + asked.Encode(),
		Turns: l.Step.Turns.String(), Facts: facts,
		Techniques: techniquesOf(l.Techniques()),
		Saves:      words.Thousandths(l.Saves), Best: words.Percent(l.Best, twoslots.JointPlaces-found.Without),
		Within: words.Seconds(l.Saves * time.Duration(twoslots.JointPlaces-found.Without) / time.Duration(l.Best)),
		Marks:  ownStepViewOf(records.Step(l.Step), learnStepsPath(found.Open)),
	}
}

// stepsNext is how many of the steps the summary adds up.
const stepsNext = 5

// stepsSummary says what the next steps save.
func stepsSummary(found *routes.Lessons) string {
	if found.Without == twoslots.JointPlaces {
		return fmt.Sprintf("You know no way with %s open. Mark some insertions first.", found.Open.Words())
	}
	now := fmt.Sprintf("With %s open you take %s s on average until the top is oriented. ", found.Open.Words(), words.Seconds(found.Mean))
	if len(found.Next) == 0 {
		return now + "Nothing left to learn saves time."
	}
	next := min(stepsNext, len(found.Next))
	var saves time.Duration
	for _, l := range found.Next[:next] {
		saves += l.Saves
	}
	these := fmt.Sprintf("these %d", next)
	switch {
	case next == 1:
		these = "this one"
	case next < len(found.Next):
		these = fmt.Sprintf("the first %d", next)
	}
	return now + fmt.Sprintf("Learn %s and save %s s.", these, words.Thousandths(saves))
}
