package page

import (
	"fmt"
	"net/url"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/looks"
	"slotcast/web/profile"
	"slotcast/web/words"
)

// optionView is one option.
type optionView struct {
	// Turns is "" where nothing is to be done.
	Turns string
	// Then is the AUF and Sequence what orients the top after it.
	Then, Sequence string
	// Looks are those that Then and Sequence are made of, nil where one is enough; Gap says
	// that nothing learnt orients what is left.
	Looks   []lookView
	Gap     bool
	Count   int
	Seconds secondsView
	// Opened is where the option is shown turn by turn.
	Opened string
	// ID tells the insertion apart where it is marked, "" for doing nothing; Page is
	// its own.
	ID, Page string
	Known    bool
	// Gain says how it compares to the best that is known here, "" for that and where
	// nothing is known.
	Gain string
	// Track is how many pieces are to be tracked, 0 where nothing is to be done; Predicted
	// says that the person does.
	Track     int
	Predicted bool
	// Finish is what follows once the top is oriented, nil where that is not asked for.
	Finish *finishView
	// Rate is how fast the insertion is turned by what it is said to take, "" for none.
	Rate string
}

// gapShare is more than any option takes that leaves what can be solved, and less than
// any other.
const gapShare = looks.Gap / 2

// gainWords say how an option that is not known compares to the best that is; what is
// slower says so only where the best is the first of all.
func gainWords(o, best forecast.Option) string {
	turns := words.Counted(o.Count, "turn")
	above := o.Seconds.Total() - best.Seconds.Total()
	switch {
	case o.Known:
		return ""
	case o.Gain >= gapShare:
		return "leaves what you can solve, " + turns
	case above >= gapShare:
		return "leaves what you cannot solve, " + turns
	case o.Gain > 0:
		return words.Seconds(o.Gain) + " s faster, " + turns
	case !best.Known:
		return ""
	case above > 0:
		return words.Seconds(above) + " s slower, " + turns
	}
	return "as fast, " + turns
}

func optionOf(o forecast.Option, open lastslot.Slot) optionView {
	option := optionView{
		Turns:    o.Turns.String(),
		Then:     o.Then.String(),
		Sequence: o.Sequence.String(),
		Looks:    looksOf(o.Looks),
		Gap:      o.Gap,
		Finish:   finishOf(o.Finish),
		Count:    o.Count,
		Seconds:  secondsOf(o.Seconds),
		Known:    o.Known,
		Track:    o.Track, Predicted: o.Predicted,
	}
	if slot, turns := o.Insertion(open); len(turns) > 0 {
		option.ID = profile.InsertionID(slot, turns.String())
		option.Page = "/insertions/one?insertion=" + url.QueryEscape(option.ID)
	}
	if took := o.Seconds.Insertion.Seconds(); o.Count > 0 && took > 0 {
		option.Rate = fmt.Sprintf("%.1f a second", float64(o.Count)/took)
	}
	return option
}

// trackWords say what the mark of an option is.
func trackWords(w optionView) string {
	if w.Predicted {
		return words.Counted(w.Track, "piece") + " to track: you predict this"
	}
	return words.Counted(w.Track, "piece") + " to track"
}
