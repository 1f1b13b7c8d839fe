package page

import (
	"net/url"

	"slotcast/forecast"
	"slotcast/web/profile"
	"slotcast/web/query"
)

// untilView says until when the time counts by which a whole position's options are in order.
type untilView struct {
	// Orders are the two orders, none for who has not said how they do PLL.
	Orders []linkView
	// Ratings are asked of who has not.
	Ratings []choice
	Back    string
}

// untilOf is for a position that was pasted; nil where the whole of it is not known.
func untilOf(q query.Query, path string, asked url.Values, records profile.Records, back string) *untilView {
	if q.Puzzle == nil || !asked.Has("scramble") {
		return nil
	}
	v := &untilView{Back: back}
	if !records.SaysPLL() {
		v.Ratings = levelChoices(0)[1:]
	}
	if records.SaysPLL() || q.Solved {
		v.Orders = []linkView{
			{"oriented", query.With(path, asked, "until", ""), !q.Solved},
			{"solved", query.With(path, asked, "until", "solved"), q.Solved},
		}
	}
	return v
}

// ownPath is the case's own page, with the position where the order is until all is solved: so
// it is kept for when there is no network.
func ownPath(q query.Query, asked url.Values) string {
	path := "/case/" + q.Case.Code()
	if !q.Solved {
		return path
	}
	return query.With(path, query.PositionValues(asked), "until", "solved")
}

// finishView is what follows once the top is oriented.
type finishView struct{ Words, Turns, Last string }

// finishOf words it.
func finishOf(f *forecast.Finish) *finishView {
	if f == nil {
		return nil
	}
	v := &finishView{Turns: f.Turns.String(), Last: f.Last.String()}
	switch letters := f.PLL.String(); {
	case letters != "":
		v.Words = "PLL " + letters + " follows."
	case v.Turns != "" || v.Last != "":
		v.Words = "No PLL follows: after " + f.Turns.String() + f.Last.String() + " all is solved."
		if v.Turns != "" && v.Last != "" {
			v.Words = "No PLL follows: after " + v.Turns + " " + v.Last + " all is solved."
		}
		v.Turns, v.Last = "", ""
	default:
		v.Words = "No PLL follows: all is solved."
	}
	return v
}
