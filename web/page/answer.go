package page

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
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
	// Filters are what can be left out.
	Filters []filterView
	// FilterWords says how many of them are set.
	FilterWords string
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

// patternListView is one list of patterns.
type patternListView struct {
	// Name tells the lists apart.
	Name, Title string
	Patterns    []patternView
}

// patternView is a pattern that one can have, and the options to it.
type patternView struct {
	// Number is the pattern's, for what follows it from answer to answer.
	Number, Name string
	// Picture is how the top looks after the best option.
	Picture string
	Best    optionView
	Others  []optionView
	// MoreWords says what is folded away: the other options and the marks.
	MoreWords string
	// More is the number of options that are not listed.
	More int
}

// answerOf words the options of the query's case. asked has the
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
			scale = max(scale, drawable(*g[0]))
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
func patternOptions(q query.Query, leaving []*forecast.Option, best forecast.Option, scale time.Duration, records profile.Records, asked url.Values) patternView {
	p := leaving[0].Leaves.Pattern()
	listed := leaving[:min(len(leaving), optionsShown)]
	view := patternView{
		Number:  strconv.Itoa(int(p)),
		Name:    records.PatternName(p),
		Picture: picture.Pattern(leaving[0].Leaves),
		More:    len(leaving) - len(listed),
	}
	for i, o := range listed {
		option := optionOf(*o, q.Case.Slot)
		option.Opened = query.Option(q.Case, o.Turns, asked)
		if i == 0 {
			option.Gain = gainWords(*o, best)
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
	v.Filters, v.FilterWords = filtersOf(path, asked)
	v.AsksAverage, v.Assumes = !visitor.Records.SaysPace(), !visitor.Records.SaysKnown()
	if v.Share, err = s.shareOf(r, lastSlotShared(q.Case)); err != nil {
		return answerView{}, err
	}
	v.Back = path
	if len(asked) > 0 {
		v.Back += "?" + asked.Encode()
	}
	v.Until = untilOf(q, path, asked, visitor.Records, v.Back)
	return v, nil
}
