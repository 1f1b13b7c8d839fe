package web

import (
	"fmt"
	"net/http"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// helpView explains with one example how to read what the pages show.
type helpView struct {
	pageView
	Code, Path string
	// Case is the example's picture, and Frames the film strip of its insertion.
	Case   string
	Frames []helpFrame
	// Pattern is what the insertion leaves; Left and Adjusted are its pictures
	// before and after the AUF, and Sequence orients it then.
	Pattern, Left, Adjusted string
	AUF, Sequence           string
	Seconds                 secondsView
	// Recognise and Execute say what ratings stand for.
	Recognise, Execute string
}

// helpFrame is the picture after a turn.
type helpFrame struct{ Turn, Picture string }

// The example: an insertion that is short and has an AUF before it, and leaves a
// pattern that needs an AUF before its sequence.
var (
	helpTurns    = cube.Sequence{cube.TurnOf(cube.U, 1), cube.TurnOf(cube.R, 1), cube.TurnOf(cube.U, -1), cube.TurnOf(cube.R, -1)}
	helpAUF      = cube.Sequence{cube.TurnOf(cube.U, -1)}
	helpPattern  = lastslot.Pattern(27)
	helpOpenSlot = lastslot.FR
)

// help answers GET /help.
func (s *site) help(w http.ResponseWriter, r *http.Request) error {
	left := cube.Solved.Do(s.Book.FollowUp(helpPattern).Inverse()).Do(helpAUF.Inverse())
	position, err := lastslot.Find(left.Do(helpTurns.Inverse()), &helpOpenSlot)
	if err != nil {
		return err
	}
	options, err := s.anyone().Options(forecast.Request{Case: position.Case}, []cube.Sequence{helpTurns})
	if err != nil {
		return err
	}
	option, c := options[0], position.Case
	view := helpView{
		pageView:  s.pageView("Help – Slotcast", "What a case, its code, a film strip, an orientation pattern, AUF and seconds are, with an example.", s.publicURL(r)+"/help"),
		Code:      c.Code(),
		Path:      "/case/" + c.Code(),
		Pattern:   patternName(option.Leaves.Pattern()),
		Left:      patternPictures[option.Leaves],
		Adjusted:  patternPictures[lastslot.OutcomeOf(left.Do(option.Then))],
		AUF:       option.Then.String(),
		Sequence:  option.Sequence.String(),
		Seconds:   secondsOf(option.Seconds).drawn(option.Seconds.Total()),
		Recognise: ratingWords(forecast.DefaultScale.Recognise),
		Execute:   ratingWords(forecast.DefaultScale.Execute),
	}
	frame := positionOf(c)
	view.Case = frame.picture().SVG()
	for _, turn := range option.Turns {
		frame = frame.turned(turn)
		view.Frames = append(view.Frames, helpFrame{turn.String(), frame.picture().SVG()})
	}
	return render(w, r, http.StatusOK, helpPage(view))
}

// ratingWords say from where to where a rating's seconds go.
func ratingWords(scale [6]time.Duration) string {
	return fmt.Sprintf("5 = %s s to 1 = %s s", inSeconds(scale[5]), inSeconds(scale[1]))
}
