package page

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"strconv"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/session"
	"slotcast/web/words"
)

// paysView is the page with what pays for the visitor.
type paysView struct {
	pageView
	Slots   []linkView
	Summary string
	Learn   string
	Advice  []adviceView
	// Left is how often each group of patterns is left, now and with the next insertions.
	Left []leftShareView
	// With says with how many insertions, "" where nothing is left to learn.
	With string
}

// adviceView is one thing to do.
type adviceView struct {
	Words, Saves, Path, Link string
}

// leftShareView is how often a group of patterns is left: in words, and as lengths of bars
// of a thousand.
type leftShareView struct {
	Name, Words string
	Now, Then   string
}

// Pays answers GET /pays.
func (s *Server) Pays(w http.ResponseWriter, r *http.Request) error {
	slot := lastslot.FR
	if name := r.URL.Query().Get("slot"); name != "" {
		var err error
		if slot, err = lastslot.ParseSlot(name); err != nil {
			return problem.NoSlot(name)
		}
	}
	visitor, f, err := s.visitorForecaster(r)
	if err != nil {
		return err
	}
	pays, err := s.sessions.Paying(r.Context(), visitor.Profile, f, profile.PersonOf(s.book, visitor.Records, s.log), slot)
	if err != nil {
		return err
	}
	v := paysView{
		pageView: s.pageView("What pays – Slotcast", "What would save you most time in the last slot, for the effort that it takes.", ""),
		Learn:    "/learn?slot=" + slot.String(),
	}
	for other := range lastslot.Slot(lastslot.Slots) {
		v.Slots = append(v.Slots, linkView{words.Capital(other.Words()), "/pays?slot=" + other.String(), other == slot})
	}
	for _, a := range pays.Advice {
		v.Advice = append(v.Advice, adviceOf(visitor.Records, a))
	}
	v.Summary = "Nothing that is looked at here would save you a hundredth of a second on average."
	if len(pays.Advice) > 0 {
		v.Summary = fmt.Sprintf("The first would save you %s s a solve on average.", words.Thousandths(pays.Advice[0].Saves))
	}
	v.addShares(pays)
	return render(w, r, http.StatusOK, paysPage(v))
}

// addShares adds how often each group of patterns is left.
func (v *paysView) addShares(pays *session.Paying) {
	if pays.Next > 0 {
		v.With = "with the next " + strconv.Itoa(pays.Next)
	}
	now, then := &pays.Now, &pays.Then
	share := func(name string, of func(*learn.Known) int) {
		n, m := of(now), of(then)
		view := leftShareView{Name: name, Now: thousandths(n, now.Cases-now.Without), Then: thousandths(m, then.Cases-then.Without)}
		view.Words = oneIn(n, now.Cases-now.Without) + " now"
		if v.With != "" {
			view.Words += ", " + oneIn(m, then.Cases-then.Without) + " " + v.With
		}
		v.Left = append(v.Left, view)
	}
	share("all oriented", func(k *learn.Known) int { return k.Leaves[0] })
	for _, group := range []struct {
		kind lastslot.Edges
		name string
	}{{lastslot.Cross, "a cross"}, {lastslot.L, "an L"}, {lastslot.Line, "a line"}, {lastslot.Dot, "a dot"}} {
		share(group.name, func(k *learn.Known) int { return k.Edges(group.kind) })
	}
}

// thousandths is a share of a thousand.
func thousandths(n, of int) string {
	if of == 0 {
		return "0"
	}
	return strconv.Itoa((n*1000 + of/2) / of)
}

// oneIn says how often something is: in how many cases once.
func oneIn(n, of int) string {
	if n == 0 {
		return "never"
	}
	in := float64(of) / float64(n)
	if in < 10 {
		return "1 in " + strconv.FormatFloat(math.Round(in*10)/10, 'f', -1, 64)
	}
	return fmt.Sprintf("1 in %.0f", in)
}

// adviceOf words an advice, with the link to doing it.
func adviceOf(records profile.Records, a learn.Advice) adviceView {
	v := adviceView{Saves: words.Thousandths(a.Saves)}
	l := records.Appearance()
	switch {
	case a.Track > 0:
		v.Words, v.Path, v.Link = fmt.Sprintf("Track %s through an insertion, one more than now.", words.Counted(a.Track, "piece")), "/profile#liking", "Say how many you track"
	case a.Plan != nil:
		v.Words = fmt.Sprintf("Where the pair is %s: a plan, in place of always %s.", words.Place(a.Place), doingWords(records, a.Plan.Best))
		v.Path, v.Link = "/plan/"+a.Place.String(), "The plan"
	case a.Lesson != nil:
		v.Words = fmt.Sprintf("Learn %s for the pair %s.", l.Notated(a.Lesson.Turns().String()), words.Place(a.Place))
		v.Path, v.Link = "/learn/"+a.Place.String(), "Learn it"
	case a.Level > 0:
		how := "Recognise"
		if a.Step == forecast.Execute {
			how = "Execute"
		}
		v.Words = fmt.Sprintf("%s %s one rating better: %d.", how, records.PatternName(a.Better), a.Level)
		v.Path, v.Link = fmt.Sprintf("/ratings#oll-%d", a.Better), "Rate it"
	default:
		v.Words = fmt.Sprintf("Learn an algorithm for %s.", records.PatternName(a.Learn))
		v.Path, v.Link = fmt.Sprintf("/patterns/%d", a.Learn), "Its algorithms"
	}
	return v
}

// crossesRise says how much oftener the quickest that is known leaves a cross than it would if
// every pattern were learnt; "" for who has learnt them all.
func (s *Server) crossesRise(ctx context.Context, visitor session.Visitor, f *forecast.Forecaster, slot lastslot.Slot) (string, error) {
	if visitor.Records.LearntCount() == lastslot.Patterns-1 {
		return "", nil
	}
	now, err := learn.KnownOf(ctx, f, slot)
	if err != nil {
		return "", err
	}
	all := profile.PersonOf(s.book, visitor.Records, s.log)
	all.Unlearnt = [lastslot.Patterns]bool{}
	then, err := learn.KnownOf(ctx, s.book.For(all), slot)
	if err != nil {
		return "", err
	}
	leavesCross := func(k *learn.Known) int { return k.Leaves[0] + k.Edges(lastslot.Cross) }
	of := now.Cases - now.Without
	return fmt.Sprintf("Insertions that leave a cross rise for you: the quickest that you know leaves one in %s of the cases, and in %s if you had learnt all 57.",
		words.Percent(leavesCross(&now), of), words.Percent(leavesCross(&then), of)), nil
}
