package page

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strconv"

	"slotcast/forecast/atlas"
	"slotcast/web/picture"
	"slotcast/web/words"
)

// reachView is the page on which a pattern is told how near it is.
type reachView struct {
	pageView
	Name, Picture, Own string
	Summary            string
	Steps              []reachStep
	Places             []placeReachView
}

// reachStep is one number of turns.
type reachStep struct {
	Turns           int
	Exactly, Within string
	// Percent is of all cases, and From and To Length where the step is on a bar of a
	// thousand: from what fewer turns reach to what these do.
	Percent      string
	From, Length string
}

// placeReachView is how near the pattern is from one place of the pair.
type placeReachView struct {
	Picture, Words, Path string
	// Some says what the first case needs, Half and All what half of the cases and
	// all do at most.
	Some, Half, All int
	// Bars are the cases that need each number of turns.
	Bars []reachBar
}

// reachBar is a column of the picture, as high as its share.
type reachBar struct{ X, Y, Height string }

// PatternReach answers GET /patterns/{oll}/reach.
func (s *Server) PatternReach(w http.ResponseWriter, r *http.Request) error {
	pattern, err := patternOf(r)
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	whole, places := s.atlas.Reach(pattern)
	name := words.WithSkip(visitor.Records.PatternName(pattern), pattern)
	v := reachView{
		pageView: s.pageView("Reach of "+name+" – Slotcast", "How many cases reach a pattern, by number of turns.", ""),
		Name:     name, Picture: picture.Pattern(pattern.Outcome()), Own: fmt.Sprintf("/patterns/%d", pattern),
	}
	v.Summary = fmt.Sprintf("Half of the %s cases need at most %d turns, all of them at most %d.", words.Thousands(whole.Cases()), share(whole, 2), share(whole, 1))
	for n := range whole {
		within := whole.Within(n)
		v.Steps = append(v.Steps, reachStep{
			Turns: n, Exactly: words.Thousands(whole[n]), Within: words.Thousands(within), Percent: words.Percent(within, whole.Cases()),
			From: strconv.Itoa((within - whole[n]) * 1000 / whole.Cases()), Length: strconv.Itoa(whole[n] * 1000 / whole.Cases()),
		})
	}
	slices.SortStableFunc(places, func(a, b atlas.PlaceReach) int {
		return cmp.Or(cmp.Compare(share(a.Reach, 2), share(b.Reach, 2)), cmp.Compare(b.Within(share(b.Reach, 2)), a.Within(share(a.Reach, 2))))
	})
	for _, p := range places {
		v.Places = append(v.Places, placeReachOf(p))
	}
	return render(w, r, http.StatusOK, reachPage(v))
}

// share is with how many turns one in so many of the cases can be had.
func share(r atlas.Reach, of int) int {
	n := 0
	for r.Within(n)*of < r.Cases() {
		n++
	}
	return n
}

func placeReachOf(p atlas.PlaceReach) placeReachView {
	v := placeReachView{
		Picture: picture.Place(p.Place).SVG(), Words: words.Place(p.Place), Path: "/learn/" + p.Place.String(),
		Some: share(p.Reach, p.Cases()), Half: share(p.Reach, 2), All: share(p.Reach, 1),
	}
	most := slices.Max(p.Reach[:])
	for n, cases := range p.Reach {
		height := cases * 40 / most
		if cases > 0 {
			// Few are not none.
			height = max(height, 1)
		}
		v.Bars = append(v.Bars, reachBar{strconv.Itoa(n * 10), strconv.Itoa(40 - height), strconv.Itoa(height)})
	}
	return v
}
