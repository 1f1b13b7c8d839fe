package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// comparisonView is how a sharer ranks a case, beside how the visitor does.
type comparisonView struct {
	Summary string
	Rows    []comparedView
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
	Theirs, Mine  *comparedWay
	// Words say how the two differ.
	Words string
	Agree bool
	// Copy is the sharer's insertion if the visitor could copy it, else "".
	Copy string
}

// comparedWay is somebody's best way to a pattern, and its place in the order.
type comparedWay struct {
	Place, Turns, Total string
}

// comparison compares the visitor's best way to each pattern with the sharer's:
// in the sharer's order, then what only the visitor has. Of each it is what they
// know, or everything where they know nothing for the case.
func (s *site) comparison(r *http.Request, q query, share ShareID) (comparisonView, error) {
	if !isSecret(string(share)) {
		return comparisonView{}, noShare()
	}
	profile, err := s.Store.Shared(r.Context(), share)
	var records Records
	if err == nil {
		profile, records, err = s.Store.Records(r.Context(), profile.ID)
	}
	if errors.Is(err, ErrNotFound) {
		return comparisonView{}, noShare()
	}
	if err != nil {
		return comparisonView{}, fmt.Errorf("read the share: %w", err)
	}
	sharer, err := s.forecaster(r.Context(), profile)
	if err != nil {
		return comparisonView{}, err
	}
	visitor, err := s.visitor(r)
	if err != nil {
		return comparisonView{}, err
	}
	own, err := s.visitorForecaster(r, visitor)
	if err != nil {
		return comparisonView{}, err
	}

	best := func(f *forecast.Forecaster, view forecast.View) []forecast.Option {
		q := q
		q.View, q.PerPattern, q.Limit = view, true, 0
		options := q.options(f)
		if len(options) == 0 {
			q.View = forecast.All
			options = q.options(f)
		}
		return options
	}
	theirs, mine := best(sharer, records.usualView()), best(own, visitor.Records.usualView())
	v := compare(q.Case.Slot, theirs, mine, visitor.Records)
	v.Back, v.With = r.URL.RequestURI(), string(share)

	all := q
	all.View, all.PerPattern, all.Limit = forecast.Known, false, 0
	for _, o := range all.options(sharer) {
		if id := copyable(o, q.Case.Slot, visitor.Records); id != "" && !slices.Contains(v.Copies, id) {
			v.Copies = append(v.Copies, id)
		}
	}
	v.CopyWords = fmt.Sprintf("Copy all %d insertions that they know here and you do not", len(v.Copies))
	if len(v.Copies) == 1 {
		v.CopyWords = "Copy the one insertion that they know here and you do not"
	}
	return v, nil
}

// copyable is an insertion that its owner knows and the other person does not.
func copyable(o forecast.Option, open lastslot.Slot, other Records) string {
	slot, insertion := o.Insertion(open)
	if !o.Known || len(insertion) == 0 {
		return ""
	}
	turns := insertion.String()
	if slices.ContainsFunc(other.Insertions, func(own OwnInsertion) bool { return own.is(slot, turns) && own.Known }) {
		return ""
	}
	return insertionID(slot, turns)
}

func compare(open lastslot.Slot, theirs, mine []forecast.Option, records Records) comparisonView {
	places := func(options []forecast.Option) map[lastslot.Pattern]int {
		at := map[lastslot.Pattern]int{}
		for i, o := range options {
			at[o.Leaves.Pattern()] = i
		}
		return at
	}
	var v comparisonView
	l := records.look()
	myPlaces, theirPlaces := places(mine), places(theirs)
	agree := 0
	for i, o := range theirs {
		pattern := o.Leaves.Pattern()
		row := comparedView{
			Name: records.patternName(pattern), Picture: patternPictures[o.Leaves],
			Theirs: l.comparedWayOf(i, o), Copy: copyable(o, open, records), Words: "only they have a way to it",
		}
		if at, ok := myPlaces[pattern]; ok {
			row.Mine = l.comparedWayOf(at, mine[at])
			row.Agree = slices.Equal(o.Turns, mine[at].Turns)
			row.Words = differenceWords(row.Agree, mine[at].Seconds.Total()-o.Seconds.Total())
			if row.Agree {
				agree++
			}
		}
		v.Rows = append(v.Rows, row)
	}
	for i, o := range mine {
		if _, ok := theirPlaces[o.Leaves.Pattern()]; !ok {
			v.Rows = append(v.Rows, comparedView{
				Name: records.patternName(o.Leaves.Pattern()), Picture: patternPictures[o.Leaves],
				Mine: l.comparedWayOf(i, o), Words: "only you have a way to it",
			})
		}
	}
	switch {
	case slices.Equal(theirs[0].Turns, mine[0].Turns):
		v.Summary = "You would both do " + l.shownTurns(mine[0]) + ": " + differenceWords(true, mine[0].Seconds.Total()-theirs[0].Seconds.Total()) + "."
	default:
		v.Summary = fmt.Sprintf("They would do %s, you %s: %s.", l.shownTurns(theirs[0]), l.shownTurns(mine[0]), differenceWords(false, mine[0].Seconds.Total()-theirs[0].Seconds.Total()))
	}
	v.Summary += fmt.Sprintf(" You agree on the way to %d of %s.", agree, counted(len(v.Rows), "pattern"))
	return v
}

func (l look) shownTurns(o forecast.Option) string {
	if len(o.Turns) == 0 {
		return "nothing"
	}
	return l.notated(o.Turns.String())
}

func (l look) comparedWayOf(at int, o forecast.Option) *comparedWay {
	return &comparedWay{Place: fmt.Sprint(at + 1), Turns: l.shownTurns(o), Total: inSeconds(o.Seconds.Total())}
}

// differenceWords say by how much the visitor's time is above the sharer's.
func differenceWords(agree bool, above time.Duration) string {
	way := "another way"
	if agree {
		way = "the same way"
	}
	switch {
	case above > 0:
		return way + ", they are " + inSeconds(above) + " s faster"
	case above < 0:
		return way + ", you are " + inSeconds(-above) + " s faster"
	}
	return way + ", in the same time"
}

// caseShare is the address of a case that compares its reader with the visitor,
// "" where the visitor shares nothing.
func (s *site) caseShare(r *http.Request, path string) (string, error) {
	visitor, err := s.visitor(r)
	if err != nil || visitor.Profile == nil {
		return "", err
	}
	shares, err := s.Store.Shares(r.Context(), visitor.Profile.ID)
	if err != nil || len(shares) == 0 {
		return "", err
	}
	return s.shareAddress(r, path, shares[0]), nil
}

func (s *site) shareAddress(r *http.Request, path string, share ShareID) string {
	return s.publicURL(r) + path + "?with=" + url.QueryEscape(string(share))
}

// compareCase answers GET /compare: it leads to another case with the same share.
func (s *site) compareCase(w http.ResponseWriter, r *http.Request) error {
	values := r.URL.Query()
	var q query
	if err := q.readCode(values.Get("case")); err != nil {
		return err
	}
	http.Redirect(w, r, "/case/"+q.Case.Code()+"?with="+url.QueryEscape(values.Get("with")), http.StatusSeeOther)
	return nil
}
