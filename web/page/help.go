package page

import (
	"fmt"
	"net/http"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/words"
)

// helpView explains with one example how to read what the pages show.
type helpView struct {
	pageView
	Code, Path string
	// Case is the example's picture, and Frames the film strip of its insertion.
	Case   string
	Frames []frameView
	// Pattern is what the insertion leaves; Left and Adjusted are its pictures
	// before and after the AUF, and Sequence orients it then.
	Pattern, Left, Adjusted string
	AUF, Sequence           string
	Seconds                 secondsView
	// Recognise and Execute say what ratings stand for.
	Recognise, Execute string
}

// The example: an insertion that is short and has an AUF before it, and leaves a
// pattern that needs an AUF before its sequence.
var (
	helpTurns    = cube.Sequence{cube.TurnOf(cube.U, 1), cube.TurnOf(cube.R, 1), cube.TurnOf(cube.U, -1), cube.TurnOf(cube.R, -1)}
	helpAUF      = cube.Sequence{cube.TurnOf(cube.U, -1)}
	helpPattern  = lastslot.Pattern(27)
	helpOpenSlot = lastslot.FR
)

// Help answers GET /help.
func (s *Server) Help(w http.ResponseWriter, r *http.Request) error {
	left := cube.Solved.Do(s.book.FollowUp(helpPattern).Inverse()).Do(helpAUF.Inverse())
	position, err := lastslot.Find(left.Do(helpTurns.Inverse()), &helpOpenSlot)
	if err != nil {
		return err
	}
	options, err := s.sessions.Anyone().Options(forecast.Request{Case: position.Case}, []cube.Sequence{helpTurns})
	if err != nil {
		return err
	}
	option, c := options[0], position.Case
	view := helpView{
		pageView:  s.pageView("Help – Slotcast", "What a case, its code, a film strip, an OLL pattern, AUF and seconds are, with an example.", s.sessions.PublicURL(r)+"/help"),
		Code:      c.Code(),
		Path:      "/case/" + c.Code(),
		Pattern:   words.Pattern(option.Leaves.Pattern()),
		Left:      picture.Pattern(option.Leaves),
		Adjusted:  picture.Pattern(lastslot.OutcomeOf(left.Do(option.Then))),
		AUF:       option.Then.String(),
		Sequence:  option.Sequence.String(),
		Seconds:   secondsOf(option.Seconds).drawn(option.Seconds.Total()),
		Recognise: fmt.Sprintf("5 = %s s to 1 = %s s", words.Seconds(forecast.DefaultScale.Recognise[5]), words.Seconds(forecast.DefaultScale.Recognise[1])),
		Execute:   fmt.Sprintf("5 = %s to 1 = %s times the estimate for your turns", words.Factor(forecast.DefaultScale.Execute[5]), words.Factor(forecast.DefaultScale.Execute[1])),
	}
	start := picture.PositionOf(c)
	view.Case = start.Picture().Named()
	view.Frames, _ = framesOf(start, appearanceOf(r.Context()), stripPart{"", option.Turns})
	return render(w, r, http.StatusOK, helpPage(view))
}
