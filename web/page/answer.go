package page

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/looks"
	"slotcast/web/picture"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"
	"slotcast/web/words"
)

const (
	// patternsShown is how many patterns are listed, those that one's own insertions leave
	// first: one looks through so many beside the cube. Another page has all of them.
	patternsShown = 12
	// bestShown is how many stay in sight while one taps.
	bestShown = 2
	// gainsShown is how many at least are shown of what would gain time, and of the rest.
	gainsShown = 4
	// optionsShown is how many options to a pattern are listed, the best one included:
	// those after it are seconds slower and nobody reads them at the puzzle.
	optionsShown = 4
)

// answerView is a forecast with all its words ready.
type answerView struct {
	Code, Path string
	// Own is the case's own page as it is answered here.
	Own   string
	Words words.CaseWords
	// Hold is the rotation to do first, "" for none.
	Hold string
	// ScaleWords say how long the longest bar is.
	ScaleWords string
	// Shared says that the page is the case's own.
	Shared bool
	// Summary says in one line what a change of the answer was.
	Summary string
	// Lists are what the person knows, and what learning would gain; Best are the first two
	// of all.
	Lists []patternListView
	Best  []patternView
	// All is where all patterns are, and AllWords says how many; "" where the page
	// has them.
	All, AllWords string
	// Bounds are what can be left out.
	Bounds []filterView
	// BoundsWords says how many of the bounds are set.
	BoundsWords string
	// Share is how the case is handed on.
	Share caseShareView
	// Until is where the whole position is known, else nil.
	Until *untilView
	// PLL says that the bars have a part for it.
	PLL bool
	// Back is where marking leads back to.
	Back string
	// AsksAverage says that nothing is known of the person's pace, Assumes that nothing is
	// said of what they know.
	AsksAverage, Assumes bool
}

// chips are the filters that are set, each with where it is taken off: a filter's first
// choice leaves nothing out.
func (v answerView) chips() (chips []linkView) {
	for _, b := range v.Bounds {
		for _, c := range b.Choices[1:] {
			if c.Current {
				chips = append(chips, linkView{Label: b.Name + ": " + c.Label, Path: b.Choices[0].Path})
			}
		}
	}
	return chips
}

// patternListView is one list of patterns.
type patternListView struct {
	// Name tells the lists apart.
	Name, Title string
	Patterns    []patternView
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

// answer forecasts the query's case and words what comes out. asked has the
// position where it was told by a scramble, so that an option can show all of it.
func answerOf(q query.Query, options []forecast.Option, records profile.Records, asked url.Values) answerView {
	v := answerView{
		Code:  q.Case.Code(),
		Path:  "/case/" + q.Case.Code(),
		Own:   ownPath(q, asked),
		Words: words.Case(q.Case),
		Hold:  q.Hold.Turns().String(),
	}
	if len(options) == 0 {
		v.Summary = fmt.Sprintf("Case %s: you know no insertion here.", v.Code)
		if q.Filter != (forecast.Filter{}) {
			v.Summary = fmt.Sprintf("Case %s: no option passes the filters you set.", v.Code)
		}
		return v
	}
	patterns := map[lastslot.Pattern]bool{}
	for _, o := range options {
		patterns[o.Leaves.Pattern()] = true
	}
	best := options[0]
	how := "fastest"
	if best.Known {
		how = "yours"
	}
	v.Summary = fmt.Sprintf("Case %s: %s, %s %s, %s s.", v.Code, words.Counted(len(patterns), "pattern"), how, records.PatternName(best.Leaves.Pattern()), words.Seconds(best.Seconds.Total()))
	if v.PLL = q.Solved; v.PLL {
		v.Summary = strings.TrimSuffix(v.Summary, ".") + " until all is solved."
	}
	lists := listsOf(q.View, options)
	shown, scale := 0, time.Duration(0)
	for i := range lists {
		lists[i].cut(patternsShown-shown, gainsShown)
		shown += len(lists[i].groups)
		for _, g := range lists[i].groups {
			scale = max(scale, drawable(g[0]))
		}
	}
	if len(patterns) > patternsShown {
		v.All, v.AllWords = v.Path+"/patterns", fmt.Sprintf("What can I get here? All %d patterns", len(patterns))
	}
	v.ScaleWords = "the longest bar is " + words.Seconds(scale) + " s"
	if q.Predicted {
		v.ScaleWords += ", as if you predicted everything"
	}
	for _, list := range lists {
		if len(list.groups) == 0 {
			continue
		}
		view := patternListView{Name: list.name, Title: list.title}
		for _, leaving := range list.groups {
			view.Patterns = append(view.Patterns, patternOptions(q, leaving, best, scale, records, asked))
		}
		v.Lists = append(v.Lists, view)
		v.Best = append(v.Best, view.Patterns...)
	}
	v.Best = v.Best[:min(len(v.Best), bestShown)]
	return v
}

// patternOptions words the options to a pattern beside the best one of the case.
func patternOptions(q query.Query, leaving []forecast.Option, best forecast.Option, scale time.Duration, records profile.Records, asked url.Values) patternView {
	p := leaving[0].Leaves.Pattern()
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
			option.Gain = gainWords(o, best)
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
	return view
}

// optionList has the options to some patterns, those of a pattern together.
type optionList struct {
	name, title string
	groups      [][]forecast.Option
}

// cut leaves so many patterns, and at least the least.
func (l *optionList) cut(most, least int) { l.groups = l.groups[:min(len(l.groups), max(most, least))] }

// listsOf puts the options, in the order of the view, into lists of patterns. With what is
// known first, there is a list of what is known, and then of the patterns to which something
// that is not known is quicker or the only way those that would gain time here, and the
// others; otherwise there is one list.
func listsOf(view forecast.View, options []forecast.Option) []optionList {
	known, gains, all := optionList{name: "known", title: "Yours"}, optionList{name: "gains", title: "Worth learning here"}, optionList{name: "all", title: "All, by time"}
	slower := optionList{name: "slower", title: "No faster for you"}
	if view == forecast.Known {
		all.title = "Yours"
	}
	var at [lastslot.Patterns]struct{ known, others []forecast.Option }
	var order, otherOrder []lastslot.Pattern
	for _, o := range options {
		p := o.Leaves.Pattern()
		switch {
		case o.Known || view != forecast.KnownFirst:
			if at[p].known == nil {
				order = append(order, p)
			}
			at[p].known = append(at[p].known, o)
		default:
			if at[p].others == nil {
				otherOrder = append(otherOrder, p)
			}
			at[p].others = append(at[p].others, o)
		}
	}
	if view != forecast.KnownFirst {
		for _, p := range order {
			all.groups = append(all.groups, at[p].known)
		}
		return []optionList{all}
	}
	quicker := func(p lastslot.Pattern) bool {
		return at[p].known == nil || at[p].others[0].Seconds.Total() < at[p].known[0].Seconds.Total()
	}
	for _, p := range order {
		group := at[p].known
		if at[p].others != nil && !quicker(p) {
			group = append(group, at[p].others...)
		}
		known.groups = append(known.groups, group)
	}
	for _, p := range otherOrder {
		switch others := at[p].others; {
		case !quicker(p):
		case len(known.groups) == 0 || others[0].Gain > 0:
			gains.groups = append(gains.groups, others)
		default:
			slower.groups = append(slower.groups, others)
		}
	}
	if len(known.groups) == 0 {
		gains.title = "You know none of these yet"
	}
	return []optionList{known, gains, slower}
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
	add("Insertions", "view", choice{Label: "yours first"}, choice{Value: "all", Label: "by time only"}, choice{Value: "known", Label: "only yours"})
	add("Rotation", "rotation", choice{Label: "any"}, choice{Value: "none", Label: "none"})
	add("Side", "hand", choice{Label: "both"}, choice{Value: "right", Label: "R, not L"}, choice{Value: "left", Label: "L, not R"})
	var counts []choice
	for _, count := range maxCounts {
		counts = append(counts, choice{Value: count, Label: cmp.Or(count, "any")})
	}
	add("Max turns", "max_count", counts...)
	add("Predicting", "predicted", choice{Label: "as I do"}, choice{Value: "true", Label: "as if I predicted everything"})
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
	q = q.OnPage(asked)
	v := answerOf(q, q.Options(f), visitor.Records, asked)
	v.Bounds, v.BoundsWords = filtersOf(path, asked)
	v.AsksAverage, v.Assumes = !visitor.Records.SaysPace(), !visitor.Records.SaysKnown()
	if v.Share, err = s.shareOf(r, q.Case); err != nil {
		return answerView{}, err
	}
	v.Back = path
	if len(asked) > 0 {
		v.Back += "?" + asked.Encode()
	}
	v.Until = untilOf(q, path, asked, visitor.Records, v.Back)
	return v, nil
}

// viewLinks choose which insertions are shown, and which of them first.
func viewLinks(shown forecast.View, path func(view string) string) []linkView {
	return []linkView{
		{"Yours first", path(""), shown == forecast.KnownFirst},
		{"By time only", path("all"), shown == forecast.All},
		{"Only yours", path("known"), shown == forecast.Known},
	}
}
