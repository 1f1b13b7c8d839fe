package web

import (
	"fmt"
	"net/url"
	"strconv"
	"time"

	"slotcast/forecast"
)

// waysShown is how many ways to a pattern are listed, the best one included:
// those after it are seconds slower and nobody reads them at the puzzle.
const waysShown = 5

// answerView is a forecast with all its words ready.
type answerView struct {
	Code, Path string
	Words      caseWords
	// Hold is the rotation to do first, "" for none.
	Hold string
	// KeyWords say how to read the seconds.
	KeyWords string
	// Shared says that the page is the case's own.
	Shared bool
	// Summary says in one line what a change of the answer was.
	Summary  string
	Patterns []patternView
	// Views are what can be shown where something is marked as known.
	Views []filterView
	// Note says why it is not what one would expect.
	Note string
	// Back is where marking leads back to.
	Back string
}

// patternView is a pattern that one can have, and the ways to it.
type patternView struct {
	Name, Words string
	// Picture is how the top looks after the best way.
	Picture string
	Best    wayView
	Others  []wayView
	// OthersWords says how many others are listed.
	OthersWords string
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
	// Scale is the bar's view box: as wide as the slowest pattern of the answer.
	Scale string
}

// partView is a part of the seconds: insert, recognise or execute. From and
// Length are where it is on the bar, in milliseconds.
type partView struct {
	Name, Seconds string
	From, Length  string
}

// all takes the limit from a query that names none: a page folds what the
// interface would cut off.
func (q query) all(asked url.Values) query {
	if !asked.Has("limit") {
		q.Limit = 0
	}
	return q
}

// answer forecasts the query's case and words what comes out.
func (s *site) answer(q query, f *forecast.Forecaster, records Records) answerView {
	options := q.options(f)
	v := answerView{
		Code:     q.Case.Code(),
		Path:     "/case/" + q.Case.Code(),
		Words:    wordsOf(q.Case),
		Hold:     q.Hold.Turns().String(),
		KeyWords: "in about so many seconds, the fastest first",
	}
	if q.Predicted {
		v.KeyWords += "; recognised in advance"
	}
	var byPattern [forecast.Patterns][]forecast.Option
	// Patterns stand in the order of their best options.
	var order []forecast.Pattern
	for _, o := range options {
		p := o.Leaves.Pattern()
		if byPattern[p] == nil {
			order = append(order, p)
		}
		byPattern[p] = append(byPattern[p], o)
	}
	var scale time.Duration
	for _, p := range order {
		scale = max(scale, byPattern[p][0].Seconds.Total())
	}
	for _, p := range order {
		ways := byPattern[p]
		view := patternView{
			Name:    records.patternName(p),
			Words:   outcomeWords(ways[0].Leaves),
			Picture: patternPictures[ways[0].Leaves],
			More:    max(0, len(ways)-waysShown),
		}
		for i, o := range listed(ways) {
			way := wayOf(o, q.Case.Slot)
			if i == 0 {
				way.Seconds = way.Seconds.drawn(scale)
				view.Best = way
			} else {
				view.Others = append(view.Others, way)
			}
		}
		view.OthersWords = fmt.Sprintf("%d other ways", len(view.Others))
		if len(view.Others) == 1 {
			view.OthersWords = "1 other way"
		}
		v.Patterns = append(v.Patterns, view)
	}
	if len(v.Patterns) == 0 {
		v.Summary = fmt.Sprintf("Case %s: you know no insertion for it.", v.Code)
		return v
	}
	best := v.Patterns[0]
	v.Summary = fmt.Sprintf("Case %s: %s to choose from. Fastest: %s, about %s s.", v.Code, counted(len(v.Patterns), "pattern"), best.Name, best.Best.Seconds.Total)
	return v
}

func listed(ways []forecast.Option) []forecast.Option { return ways[:min(len(ways), waysShown)] }

func patternName(p forecast.Pattern) string {
	if p == 0 {
		return "All oriented"
	}
	return fmt.Sprintf("OLL %d", p)
}

func wayOf(o forecast.Option, open forecast.Slot) wayView {
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
	v := secondsView{Total: inSeconds(s.Total()), Parts: make([]partView, 0, 3)}
	var from time.Duration
	for _, part := range []struct {
		class  string
		length time.Duration
	}{{"insert", s.Insert()}, {"recognise", s.Recognise}, {"execute", s.Execute()}} {
		if part.length == 0 {
			continue
		}
		v.Parts = append(v.Parts, partView{part.class, inSeconds(part.length), inMilliseconds(from), inMilliseconds(part.length)})
		from += part.length
	}
	return v
}

// drawn adds what the bar needs: its scale and its words.
func (v secondsView) drawn(scale time.Duration) secondsView {
	v.Scale = "0 0 " + inMilliseconds(scale) + " 10"
	v.Words = "About " + v.Total + " seconds"
	for i, part := range v.Parts {
		v.Words += [...]string{": ", ", ", ", "}[i] + part.Name + " " + part.Seconds
	}
	return v
}

// inSeconds writes a duration to the hundredth: more would pretend to know.
func inSeconds(d time.Duration) string { return strconv.FormatFloat(d.Seconds(), 'f', 2, 64) }

func inMilliseconds(d time.Duration) string { return strconv.FormatInt(d.Milliseconds(), 10) }
