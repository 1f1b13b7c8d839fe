package web

import (
	"cmp"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

const (
	// patternsShown is how many patterns are listed, the best one first: one looks
	// through so many beside the cube. Another page has all of them.
	patternsShown = 12
	// waysShown is how many ways to a pattern are listed, the best one included:
	// those after it are seconds slower and nobody reads them at the puzzle.
	waysShown = 5
)

// answerView is a forecast with all its words ready.
type answerView struct {
	Code, Path string
	Words      caseWords
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
	Views []filterView
	// Bounds are what else can be left out.
	Bounds []boundView
	// BoundsWords says how many of the bounds are set.
	BoundsWords string
	// Note says why it is not what one would expect.
	Note string
	// Back is where marking leads back to.
	Back string
}

// boundView is one thing by which ways are left out, and its choices.
type boundView struct {
	Name    string
	Choices []filterView
}

// patternView is a pattern that one can have, and the ways to it.
type patternView struct {
	// Number is the pattern's, for what follows it from answer to answer.
	Number, Name string
	// Picture is how the top looks after the best way.
	Picture string
	Best    wayView
	Others  []wayView
	// MoreWords says what is folded away: the other ways and the marks.
	MoreWords string
	// More is the number of ways that are not listed.
	More int
}

// wayView is one option.
type wayView struct {
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
}

// secondsView has the seconds of an option in parts.
type secondsView struct {
	Total string
	Parts []partView
	Words string
	// Scale is the bar's view box: as wide as the slowest of those beside it.
	Scale string
}

// partView is a part of the seconds: Name is for the style sheet. From and Length
// are where it is on the bar, in milliseconds.
type partView struct {
	Name, Words, Seconds string
	From, Length         string
}

// all takes the limit from a query that names none: a page folds what the
// interface would cut off.
func (q query) all(asked url.Values) query {
	if !asked.Has("limit") {
		q.Limit = 0
	}
	return q
}

// answer forecasts the query's case and words what comes out. asked has the
// position where it was told by a scramble, so that an option can show all of it.
func (s *site) answer(q query, f *forecast.Forecaster, records Records, asked url.Values) answerView {
	options := q.options(f)
	v := answerView{
		Code:  q.Case.Code(),
		Path:  "/case/" + q.Case.Code(),
		Words: wordsOf(q.Case),
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
		if q.Only != (forecast.Filter{}) {
			v.Summary = fmt.Sprintf("Case %s: no way is within the bounds that you set.", v.Code)
		}
		return v
	}
	best := byPattern[order[0]][0]
	v.Summary = fmt.Sprintf("Case %s: %s, fastest %s, %s s.", v.Code, counted(len(order), "pattern"), records.patternName(order[0]), inSeconds(best.Seconds.Total()))
	if len(order) > patternsShown {
		v.All, v.AllWords = v.Path+"/patterns", fmt.Sprintf("What can I get here? All %d patterns", len(order))
		order = order[:patternsShown]
	}
	// Patterns stand in the order of their best options, so the last has the longest
	// bar.
	scale := byPattern[order[len(order)-1]][0].Seconds.Total()
	v.ScaleWords = "the longest bar is " + inSeconds(scale) + " s"
	if q.Predicted {
		v.ScaleWords += "; recognised in advance"
	}
	for _, p := range order {
		ways := byPattern[p]
		listed := ways[:min(len(ways), waysShown)]
		view := patternView{
			Number:  strconv.Itoa(int(p)),
			Name:    records.patternName(p),
			Picture: patternPictures[ways[0].Leaves],
			More:    len(ways) - len(listed),
		}
		for i, o := range listed {
			way := wayOf(o, q.Case.Slot)
			way.Opened = v.openedPath(way.Turns, asked)
			if i == 0 {
				way.Seconds = way.Seconds.drawn(scale)
				view.Best = way
			} else {
				view.Others = append(view.Others, way)
			}
		}
		view.MoreWords = "More on " + view.Name
		if n := len(view.Others); n > 0 {
			view.MoreWords = counted(n, "other way") + " to " + view.Name
		}
		v.Patterns = append(v.Patterns, view)
	}
	return v
}

func patternName(p lastslot.Pattern) string {
	if p == 0 {
		return "All oriented"
	}
	return fmt.Sprintf("OLL %d", p)
}

// openedPath is where an option of a case is shown turn by turn: with all of the
// position where it was told by a scramble.
func (v *answerView) openedPath(turns string, asked url.Values) string {
	values := url.Values{"turns": {turns}}
	for _, name := range []string{"scramble", "solution", "predicted"} {
		if value := asked.Get(name); value != "" {
			values.Set(name, value)
		}
	}
	return v.Path + "/way?" + values.Encode()
}

func wayOf(o forecast.Option, open lastslot.Slot) wayView {
	way := wayView{
		Turns:    o.Turns.String(),
		Then:     o.Then.String(),
		Sequence: o.Sequence.String(),
		Count:    o.Count,
		Seconds:  secondsOf(o.Seconds),
		Known:    o.Known,
	}
	if slot, turns := o.Insertion(open); len(turns) > 0 {
		way.ID = insertionID(slot, turns.String())
		way.Page = "/insertions/one?insertion=" + url.QueryEscape(way.ID)
	}
	if o.Gain > 0 {
		way.Gain = "knowing it gains " + inSeconds(o.Gain) + " s here"
	}
	return way
}

func secondsOf(s forecast.Seconds) secondsView {
	v := secondsView{Total: inSeconds(s.Total()), Parts: make([]partView, 0, 4)}
	var from time.Duration
	for _, part := range []struct {
		name, words string
		length      time.Duration
	}{
		{"rotation", "rotation and AUF", s.Rotation + s.AUF},
		{"insert", "insertion", s.Insertion},
		{"recognise", "recognise", s.Recognise},
		{"execute", "execute", s.Execute()},
	} {
		if part.length == 0 {
			continue
		}
		v.Parts = append(v.Parts, partView{part.name, part.words, inSeconds(part.length), inMilliseconds(from), inMilliseconds(part.length)})
		from += part.length
	}
	return v
}

// drawn adds what the bar needs: its scale and its words.
func (v secondsView) drawn(scale time.Duration) secondsView {
	v.Scale = "0 0 " + inMilliseconds(scale) + " 10"
	v.Words = "About " + v.Total + " seconds"
	for i, part := range v.Parts {
		separator := ", "
		if i == 0 {
			separator = ": "
		}
		v.Words += separator + part.Words + " " + part.Seconds
	}
	return v
}

// maxCounts are the bounds of turns that are offered: no insertion takes less than
// three, and few people learn longer ones.
var maxCounts = []string{"", "6", "7", "8", "9", "10"}

// boundsOf are the bounds that can be set on the page at the path, which was asked
// for with the values.
func boundsOf(path string, asked url.Values) (bounds []boundView, words string) {
	set := 0
	add := func(name, parameter string, choices ...choice) {
		bound := boundView{Name: name}
		value := asked.Get(parameter)
		if !slices.ContainsFunc(choices, func(c choice) bool { return c.Value == value }) {
			choices = append(choices, choice{Value: value, Label: value})
		}
		for _, c := range choices {
			bound.Choices = append(bound.Choices, filterView{c.Label, askedPath(path, asked, parameter, c.Value), c.Value == value})
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
	add("Pattern", "predicted", choice{Label: "recognised"}, choice{Value: "true", Label: "seen coming"})
	words = "Filter"
	if set > 0 {
		words = fmt.Sprintf("Filter (%d set)", set)
	}
	return bounds, words
}

// inSeconds writes a duration to the hundredth: more would pretend to know.
func inSeconds(d time.Duration) string { return strconv.FormatFloat(d.Seconds(), 'f', 2, 64) }

func inMilliseconds(d time.Duration) string { return strconv.FormatInt(d.Milliseconds(), 10) }
