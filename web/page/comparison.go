package page

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"
	"slotcast/web/words"
)

// comparisonView is how a sharer ranks a case, beside how the visitor does.
type comparisonView struct {
	Summary string
	// RatedNothing says that the visitor has rated no pattern, so that their order is not
	// theirs yet.
	RatedNothing bool
	Rows         []comparedView
	// Copies are the sharer's known insertions for the case that the visitor does
	// not know.
	Copies []string
	// CopyWords says how many they are.
	CopyWords string
	Back      string
	// With is the share, for other cases.
	With string
}

// comparedView is a pattern as both would have it.
type comparedView struct {
	Name, Picture string
	Theirs, Mine  *comparedOption
	// Words say how the two differ, "" where the visitor has no order yet.
	Words string
	Agree bool
	// Copy is the sharer's insertion if the visitor could copy it, else "".
	Copy string
}

// comparedOption is somebody's best option to a pattern, and its place in the order.
type comparedOption struct {
	Place, Turns, Total string
	// Looks are those that what is left takes them, nil where one is enough; Gap says that
	// nothing they have learnt solves it.
	Looks []lookView
	Gap   bool
}

// comparison compares the visitor's best option to each pattern with the sharer's:
// in the sharer's order, then what only the visitor has. Of each it is what they
// know of the ways to it, where they know any.
func (s *Server) comparison(r *http.Request, q query.Query, share profile.ShareID) (comparisonView, error) {
	if !profile.IsSecret(string(share)) {
		return comparisonView{}, session.NoShare()
	}
	found, err := s.store.Shared(r.Context(), share)
	if errors.Is(err, profile.ErrNotFound) {
		return comparisonView{}, session.NoShare()
	}
	if err != nil {
		return comparisonView{}, fmt.Errorf("read the share: %w", err)
	}
	sharer, err := s.sessions.Forecaster(r.Context(), found)
	if err != nil {
		return comparisonView{}, err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return comparisonView{}, err
	}
	own, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return comparisonView{}, err
	}

	each := q
	each.View, each.PerPattern, each.Limit = forecast.KnownFirst, true, 0
	theirs, mine := each.Options(sharer), each.Options(own)
	if saysNothing(visitor.Records) {
		// What would stand beside the sharer's order is everybody's.
		mine = nil
	}
	known := q
	known.View, known.PerPattern, known.Limit = forecast.Known, false, 0
	iKnow := map[string]bool{}
	for _, o := range known.Options(own) {
		slot, insertion := o.Insertion(q.Case.Slot)
		iKnow[profile.InsertionID(slot, insertion.String())] = true
	}
	v := compare(q.Case.Slot, theirs, mine, visitor.Records, iKnow)
	v.RatedNothing = len(visitor.Records.Ratings) == 0
	v.Back, v.With = r.URL.RequestURI(), string(share)

	for _, o := range known.Options(sharer) {
		if id := copyable(o, q.Case.Slot, iKnow); id != "" && !slices.Contains(v.Copies, id) {
			v.Copies = append(v.Copies, id)
		}
	}
	v.CopyWords = fmt.Sprintf("Copy all %d insertions that they know here and you do not", len(v.Copies))
	if len(v.Copies) == 1 {
		v.CopyWords = "Copy the one insertion that they know here and you do not"
	}
	return v, nil
}

// saysNothing says whether somebody has said nothing that makes an order their own.
func saysNothing(k profile.Records) bool {
	return len(k.Ratings) == 0 && len(k.Sequences) == 0 && len(k.Insertions) == 0 && len(k.Steps) == 0 && !k.SaysPace() && !k.SaysKnown() && k.Preference("learnt") == ""
}

// copyable is an insertion that its owner knows and the other person, who knows those,
// does not.
func copyable(o forecast.Option, open lastslot.Slot, known map[string]bool) string {
	slot, insertion := o.Insertion(open)
	if !o.Known || len(insertion) == 0 {
		return ""
	}
	id := profile.InsertionID(slot, insertion.String())
	if known[id] {
		return ""
	}
	return id
}

// compare sets both orders beside each other; mine is nil where the visitor has none of
// their own yet.
func compare(open lastslot.Slot, theirs, mine []forecast.Option, records profile.Records, iKnow map[string]bool) comparisonView {
	places := func(options []forecast.Option) map[lastslot.Pattern]int {
		at := map[lastslot.Pattern]int{}
		for i, o := range options {
			at[o.Leaves.Pattern()] = i
		}
		return at
	}
	var v comparisonView
	l := records.Appearance()
	myPlaces, theirPlaces := places(mine), places(theirs)
	agree := 0
	for i, o := range theirs {
		pattern := o.Leaves.Pattern()
		row := comparedView{
			Name: records.PatternName(pattern), Picture: picture.Pattern(o.Leaves),
			Theirs: comparedOptionOf(l, i, o), Copy: copyable(o, open, iKnow),
		}
		if at, ok := myPlaces[pattern]; ok {
			row.Mine = comparedOptionOf(l, at, mine[at])
			row.Agree = slices.Equal(o.Turns, mine[at].Turns)
			row.Words = differenceWords(row.Agree, mine[at].Seconds.Total()-o.Seconds.Total())
			if row.Agree {
				agree++
			}
		} else if mine != nil {
			row.Words = "only they can get it"
		}
		v.Rows = append(v.Rows, row)
	}
	for i, o := range mine {
		if _, ok := theirPlaces[o.Leaves.Pattern()]; !ok {
			v.Rows = append(v.Rows, comparedView{
				Name: records.PatternName(o.Leaves.Pattern()), Picture: picture.Pattern(o.Leaves),
				Mine: comparedOptionOf(l, i, o), Words: "only you can get it",
			})
		}
	}
	switch {
	case mine == nil:
		v.Summary = "They would do " + shownTurns(l, theirs[0]) + "."
		return v
	case slices.Equal(theirs[0].Turns, mine[0].Turns):
		v.Summary = "You would both do " + shownTurns(l, mine[0]) + ": " + differenceWords(true, mine[0].Seconds.Total()-theirs[0].Seconds.Total()) + "."
	default:
		v.Summary = fmt.Sprintf("They would do %s, you %s: %s.", shownTurns(l, theirs[0]), shownTurns(l, mine[0]), differenceWords(false, mine[0].Seconds.Total()-theirs[0].Seconds.Total()))
	}
	if len(records.Ratings) == 0 {
		return v
	}
	v.Summary += fmt.Sprintf(" You agree on %d of %s.", agree, words.Counted(len(v.Rows), "pattern"))
	return v
}

func shownTurns(l profile.Appearance, o forecast.Option) string {
	if len(o.Turns) == 0 {
		return "nothing"
	}
	return l.Notated(o.Turns.String())
}

func comparedOptionOf(l profile.Appearance, at int, o forecast.Option) *comparedOption {
	return &comparedOption{
		Place: fmt.Sprint(at + 1), Turns: shownTurns(l, o), Total: words.Seconds(o.Seconds.Total()),
		Looks: looksOf(o.Looks), Gap: o.Gap,
	}
}

// differenceWords say by how much the visitor's time is above the sharer's.
func differenceWords(agree bool, above time.Duration) string {
	how := "another way"
	if agree {
		how = "the same option"
	}
	switch {
	case above >= gapShare:
		return how + ", and they have learnt to solve what is left"
	case -above >= gapShare:
		return how + ", and you have learnt to solve what is left"
	case above > 0:
		return how + ", they are " + words.Seconds(above) + " s faster"
	case above < 0:
		return how + ", you are " + words.Seconds(-above) + " s faster"
	}
	return how + ", in the same time"
}

// shareParameter is the parameter of a case's address that compares its reader with
// whoever made the share.
const shareParameter = "with"

func (s *Server) shareAddress(r *http.Request, path string, share profile.ShareID) string {
	return s.sessions.PublicURL(r) + query.With(path, nil, shareParameter, string(share))
}

// CompareCase answers GET /compare: it leads to another case with the same share.
func (s *Server) CompareCase(w http.ResponseWriter, r *http.Request) error {
	values := r.URL.Query()
	c, err := profile.CheckCode("case", values.Get("case"))
	if err != nil {
		return err
	}
	http.Redirect(w, r, query.With("/case/"+c.Code(), nil, shareParameter, values.Get(shareParameter)), http.StatusSeeOther) // #nosec G710 -- a page of this service
	return nil
}
