package page

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"
	"slotcast/web/words"
)

const (
	// patternsShown is how many patterns are listed, the best one first: one looks
	// through so many beside the cube. Another page has all of them.
	patternsShown = 12
	// waysShown is how many leaving to a pattern are listed, the best one included:
	// those after it are seconds slower and nobody reads them at the puzzle.
	optionsShown = 5
)

// answerView is a forecast with all its words ready.
type answerView struct {
	Code, Path string
	Words      words.CaseWords
	// Hold is the rotation to do first, "" for none.
	Hold string
	// ScaleWords say how long the longest bar is.
	ScaleWords string
	// Shared says that the page is the case's own.
	Shared bool
	// Summary says in one line what a change of the answer was.
	Summary  string
	Patterns []patternView
	// All is where all patterns are, and AllWords says how many; "" where the page
	// has them.
	All, AllWords string
	// Views are what can be shown where something is marked as known.
	Views []linkView
	// Bounds are what else can be left out.
	Bounds []filterView
	// BoundsWords says how many of the bounds are set.
	BoundsWords string
	// Note says why it is not what one would expect.
	Note string
	// Back is where marking leads back to.
	Back string
}

// filterView is one thing by which leaving are left out, and its choices.
type filterView struct {
	Name    string
	Choices []linkView
}

// patternView is a pattern that one can have, and the leaving to it.
type patternView struct {
	// Number is the pattern's, for what follows it from answer to answer.
	Number, Name string
	// Picture is how the top looks after the best option.
	Picture string
	Best    optionView
	Others  []optionView
	// MoreWords says what is folded away: the other leaving and the marks.
	MoreWords string
	// More is the number of leaving that are not listed.
	More int
}

// optionView is one option.
type optionView struct {
	// Turns is "" where nothing is to be done.
	Turns string
	// Then is the AUF and Sequence what orients the top after it.
	Then, Sequence string
	Count          int
	Seconds        secondsView
	// Opened is where the option is shown turn by turn.
	Opened string
	// ID tells the insertion apart where it is marked, "" for doing nothing; Page is
	// its own.
	ID, Page string
	Known    bool
	// Gain says what knowing it would gain here, "" for nothing.
	Gain string
	// Track says how many pieces are to be tracked, "" where nothing is to be done.
	Track string
}

// answer forecasts the query's case and words what comes out. asked has the
// position where it was told by a scramble, so that an option can show all of it.
func answerOf(q query.Query, options []forecast.Option, records profile.Records, asked url.Values) answerView {
	v := answerView{
		Code:  q.Case.Code(),
		Path:  "/case/" + q.Case.Code(),
		Words: words.Case(q.Case),
		Hold:  q.Hold.Turns().String(),
	}
	var byPattern [lastslot.Patterns][]forecast.Option
	// Patterns stand in the order of their best options.
	var order []lastslot.Pattern
	for _, o := range options {
		p := o.Leaves.Pattern()
		if byPattern[p] == nil {
			order = append(order, p)
		}
		byPattern[p] = append(byPattern[p], o)
	}
	if len(order) == 0 {
		v.Summary = fmt.Sprintf("Case %s: you know no insertion for it.", v.Code)
		if q.Filter != (forecast.Filter{}) {
			v.Summary = fmt.Sprintf("Case %s: no way is within the bounds that you set.", v.Code)
		}
		return v
	}
	best := byPattern[order[0]][0]
	v.Summary = fmt.Sprintf("Case %s: %s, fastest %s, %s s.", v.Code, words.Counted(len(order), "pattern"), records.PatternName(order[0]), words.Seconds(best.Seconds.Total()))
	if len(order) > patternsShown {
		v.All, v.AllWords = v.Path+"/patterns", fmt.Sprintf("What can I get here? All %d patterns", len(order))
		order = order[:patternsShown]
	}
	// Patterns stand in the order of their best options, so the last has the longest
	// bar.
	scale := byPattern[order[len(order)-1]][0].Seconds.Total()
	v.ScaleWords = "the longest bar is " + words.Seconds(scale) + " s"
	if q.Predicted {
		v.ScaleWords += "; as if you predicted all"
	}
	for _, p := range order {
		leaving := byPattern[p]
		listed := leaving[:min(len(leaving), optionsShown)]
		view := patternView{
			Number:  strconv.Itoa(int(p)),
			Name:    records.PatternName(p),
			Picture: picture.Pattern(leaving[0].Leaves),
			More:    len(leaving) - len(listed),
		}
		for i, o := range listed {
			option := optionOf(o, q.Case.Slot)
			option.Opened = query.Option(q.Case, o.Turns, asked)
			if i == 0 {
				option.Seconds = option.Seconds.drawn(scale)
				view.Best = option
			} else {
				view.Others = append(view.Others, option)
			}
		}
		view.MoreWords = "More on " + view.Name
		if n := len(view.Others); n > 0 {
			view.MoreWords = words.Counted(n, "other way") + " to " + view.Name
		}
		v.Patterns = append(v.Patterns, view)
	}
	return v
}

func optionOf(o forecast.Option, open lastslot.Slot) optionView {
	option := optionView{
		Turns:    o.Turns.String(),
		Then:     o.Then.String(),
		Sequence: o.Sequence.String(),
		Count:    o.Count,
		Seconds:  secondsOf(o.Seconds),
		Known:    o.Known,
	}
	if slot, turns := o.Insertion(open); len(turns) > 0 {
		option.ID = profile.InsertionID(slot, turns.String())
		option.Page = "/insertions/one?insertion=" + url.QueryEscape(option.ID)
	}
	if o.Track > 0 {
		option.Track = words.Counted(o.Track, "piece") + " to track"
		if o.Predicted {
			option.Track += ": you predict it"
		}
	}
	if o.Gain > 0 {
		option.Gain = "knowing it gains " + words.Seconds(o.Gain) + " s here"
	}
	return option
}

// maxCounts are the bounds of turns that are offered: no insertion takes less than
// three, and few people learn longer ones.
var maxCounts = []string{"", "6", "7", "8", "9", "10"}

// filtersOf are the bounds that can be set on the page at the path, which was asked
// for with the values.
func filtersOf(path string, asked url.Values) (bounds []filterView, words string) {
	set := 0
	add := func(name, parameter string, choices ...choice) {
		bound := filterView{Name: name}
		value := asked.Get(parameter)
		if !slices.ContainsFunc(choices, func(c choice) bool { return c.Value == value }) {
			choices = append(choices, choice{Value: value, Label: value})
		}
		for _, c := range choices {
			bound.Choices = append(bound.Choices, linkView{c.Label, query.With(path, asked, parameter, c.Value), c.Value == value})
		}
		if value != "" {
			set++
		}
		bounds = append(bounds, bound)
	}
	add("Rotation", "rotation", choice{Label: "any"}, choice{Value: "none", Label: "none"})
	add("Side", "hand", choice{Label: "both"}, choice{Value: "right", Label: "R, not L"}, choice{Value: "left", Label: "L, not R"})
	var counts []choice
	for _, count := range maxCounts {
		counts = append(counts, choice{Value: count, Label: cmp.Or(count, "any")})
	}
	add("Turns at most", "max_count", counts...)
	add("Predicting", "predicted", choice{Label: "as I do"}, choice{Value: "true", Label: "as if I predicted all"})
	words = "Filter"
	if set > 0 {
		words = fmt.Sprintf("Filter (%d set)", set)
	}
	return bounds, words
}

// answerFor answers the query for whoever asks, by the visitor's own book. The
// path is the page's, which asked belongs to.
func (s *Server) answerFor(w http.ResponseWriter, r *http.Request, q query.Query, path string, asked url.Values) (answerView, error) {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return answerView{}, err
	}
	f, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return answerView{}, err
	}
	if visitor.Profile != nil {
		session.Private(w)
	}
	usual := visitor.Records.UsualView()
	options, shown := q.Shown(f, asked.Has("view"), usual)
	v := answerOf(q, options, visitor.Records, asked)
	if !asked.Has("view") && shown != usual {
		v.Note = "None of the insertions that you know is for this case: here is everything."
	}
	v.Bounds, v.BoundsWords = filtersOf(path, asked)
	v.Back = path
	if len(asked) > 0 {
		v.Back += "?" + asked.Encode()
	}
	v.Views = viewLinks(visitor.Records, shown, func(view string) string { return query.With(path, asked, "view", view) })
	return v, nil
}

// viewLinks choose between what is known and everything, where anything is known.
func viewLinks(records profile.Records, shown forecast.View, path func(view string) string) []linkView {
	if !records.KnowsAny() && shown != forecast.Known {
		return nil
	}
	return []linkView{
		{"What I know", path("known"), shown == forecast.Known},
		{"Everything", path("all"), shown == forecast.All},
	}
}
