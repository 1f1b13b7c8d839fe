package learn

import (
	"cmp"
	"context"
	"slices"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// Advice is one thing that somebody could learn, and what it would save. Exactly one of the
// kinds is set.
type Advice struct {
	// Saves is by how much the average over all cases of the slot would be less with this
	// alone; of a plan against always doing the best one insertion of its place.
	Saves time.Duration
	// Effort is about how much there is to learn, in insertions (own estimate).
	Effort float64

	// Track is how many pieces to track, one more than now.
	Track int
	// Plan is one to keep in mind.
	Plan *Plan
	// Lesson is an insertion of the place.
	Lesson *Lesson
	Place  lastslot.Place
	// Better is a pattern of which the step is to be one rating better, to the level.
	Better lastslot.Pattern
	Step   forecast.Step
	Level  int
	// Learn is a pattern to learn.
	Learn lastslot.Pattern
}

// The efforts, each in insertions to learn: own estimates.
const (
	lessonEffort = 1
	planEffort   = 1.5
	betterEffort = 1.5
	learnEffort  = 2
	trackEffort  = 6
)

// LeastAdvised is what advice saves at least.
const LeastAdvised = 10 * time.Millisecond

// How many of a kind are looked at, and how many of all are advised.
const (
	ofAKind    = 3
	mostAdvice = 8
)

// Pays is what pays for somebody, in the order of what it saves for its effort; what saves
// less than [LeastAdvised] is not in it. The lists are those of the slot's places.
func Pays(ctx context.Context, book *forecast.Book, p *forecast.Person, lists []List) (advice []Advice, err error) {
	slot := lists[0].Place.Slot
	now, err := KnownOf(ctx, book.For(p), slot)
	if err != nil {
		return nil, err
	}
	take := func(a Advice, with *forecast.Person) error {
		then, err := KnownOf(ctx, book.For(with), slot)
		a.Saves = (now.Total - then.Total) / time.Duration(now.Cases)
		advice = append(advice, a)
		return err
	}
	for _, a := range slices.Concat(moreTracked(p), better(book, p, &now), unlearnt(book, p, &now), lessons(lists)) {
		if err := take(a, a.Taken(p)); err != nil {
			return nil, err
		}
	}
	plans, err := plansOf(ctx, book.For(p), slot, now.Cases)
	if err != nil {
		return nil, err
	}
	advice = append(advice, plans...)
	advice = slices.DeleteFunc(advice, func(a Advice) bool { return a.Saves < LeastAdvised })
	slices.SortStableFunc(advice, func(a, b Advice) int {
		return cmp.Compare(float64(b.Saves)/b.Effort, float64(a.Saves)/a.Effort)
	})
	return advice[:min(len(advice), mostAdvice)], nil
}

// Taken is the person who has taken the advice, which is no plan.
func (a *Advice) Taken(p *forecast.Person) *forecast.Person {
	taken := *p
	switch {
	case a.Track > 0:
		taken.Track = a.Track
	case a.Lesson != nil:
		return Knowing(p, *a.Lesson)
	case a.Level > 0:
		taken.Ratings[a.Better][a.Step].Level = a.Level
	case a.Learn > 0:
		taken.Unlearnt[a.Learn] = false
	}
	return &taken
}

// Knowing is the person who knows the lessons too.
func Knowing(p *forecast.Person, lessons ...Lesson) *forecast.Person {
	knows := *p
	knows.Insertions = slices.Clone(p.Insertions)
	for _, l := range lessons {
		at := slices.IndexFunc(knows.Insertions, func(own forecast.OwnInsertion) bool {
			return own.Slot == l.Slot && slices.Equal(own.Turns, l.Insertion)
		})
		if at >= 0 {
			knows.Insertions[at].Known = forecast.Yes
			continue
		}
		insertion, err := lastslot.NewInsertion(l.Slot, l.Insertion)
		if err != nil {
			panic("learn: a lesson that is no insertion: " + err.Error())
		}
		knows.Insertions = append(knows.Insertions, forecast.OwnInsertion{Insertion: insertion, Known: forecast.Yes})
	}
	return &knows
}

func moreTracked(p *forecast.Person) []Advice {
	if p.Track >= 2*lastslot.InSlot {
		return nil
	}
	return []Advice{{Effort: trackEffort, Track: p.Track + 1}}
}

// lessons are the first that are not known of the places where something is, those that save
// most.
func lessons(lists []List) (all []Advice) {
	next := NextOf(lists, len(lists)*Levels[len(Levels)-1])
	seen := map[int]bool{}
	for _, n := range next {
		list := &lists[n.List]
		if seen[n.List] || list.Counted() > 0 || len(all) == ofAKind {
			continue
		}
		seen[n.List] = true
		all = append(all, Advice{Effort: lessonEffort, Lesson: &list.Lessons[n.Lesson], Place: list.Place})
	}
	return all
}

// likely takes those of which so many cases times what each saves there is most: what is
// saved then is worked out.
func likely(all []Advice) []Advice {
	slices.SortStableFunc(all, func(a, b Advice) int { return cmp.Compare(b.Saves, a.Saves) })
	return all[:min(len(all), ofAKind)]
}

// better are the patterns that are left now of which one rating more would save most.
func better(book *forecast.Book, p *forecast.Person, now *Known) (all []Advice) {
	f := book.For(p)
	for pattern := lastslot.Pattern(1); pattern < lastslot.Patterns; pattern++ {
		for step := range forecast.Step(forecast.Steps) {
			rating := p.Ratings[pattern][step]
			level := cmp.Or(rating.Level, 3)
			if now.Leaves[pattern] == 0 || rating.Time != nil || level == 5 || p.Unlearnt[pattern] {
				continue
			}
			a := Advice{Effort: betterEffort, Better: pattern, Step: step, Level: level + 1}
			o := pattern.Outcome()
			a.Saves = time.Duration(now.Leaves[pattern]) * (f.After(o, 0) - book.For(a.Taken(p)).After(o, 0))
			all = append(all, a)
		}
	}
	return likely(all)
}

// unlearnt are the patterns to learn that would save most.
func unlearnt(book *forecast.Book, p *forecast.Person, now *Known) (all []Advice) {
	f := book.For(p)
	for pattern := lastslot.Pattern(1); pattern < lastslot.Patterns; pattern++ {
		if !p.Unlearnt[pattern] || now.Leaves[pattern] == 0 {
			continue
		}
		a := Advice{Effort: learnEffort, Learn: pattern}
		o := pattern.Outcome()
		a.Saves = time.Duration(now.Leaves[pattern]) * (f.After(o, 0) - book.For(a.Taken(p)).After(o, 0))
		all = append(all, a)
	}
	return likely(all)
}

// plansOf are the plans of what is tracked that save most.
func plansOf(ctx context.Context, f *forecast.Forecaster, slot lastslot.Slot, cases int) (all []Advice, err error) {
	for _, place := range lastslot.Places(slot) {
		plan, err := PlanOf(ctx, f, place, true)
		if err != nil {
			return nil, err
		}
		if plan != nil {
			all = append(all, Advice{Effort: planEffort, Plan: plan, Place: place, Saves: plan.Saves() * time.Duration(place.Cases()) / time.Duration(cases)})
		}
	}
	return likely(all), nil
}
