package page

import (
	"cmp"
	"context"
	"fmt"
	"net/url"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/forecast/practice"
	"slotcast/web/problem"
	"slotcast/web/session"
)

// Sets of what other pages lead to: what Learn says is next, kept cases, one place and its plan.
var (
	lessonOfPatterns   = practiceSet{value: "lesson", label: "Next to learn", empty: nothingToLearn, candidates: lessonPatterns}
	keptOfPatterns     = practiceSet{value: "kept", label: "Kept cases", empty: nothingKept, candidates: patternsOfKept}
	planOfPatterns     = practiceSet{value: "plan", label: "Its plan", empty: noPlan, place: true, candidates: patternsOfPlan}
	lessonOfInsertions = practiceSet{value: "lesson", label: "Next to learn", empty: nothingToLearn, candidates: lessonInsertions}
	placeOfInsertions  = practiceSet{value: "place", label: "One place", empty: nothingKnown, place: true, candidates: insertionsOfPlace}
	planOfInsertions   = practiceSet{value: "plan", label: "Its plan", empty: noPlan, place: true, candidates: insertionsOfPlan}
	lessonOfPlaces     = practiceSet{value: "lesson", label: "Next to learn", empty: nothingToLearn, repeats: true, candidates: lessonPlaces}
	keptOfPlaces       = practiceSet{value: "kept", label: "Kept cases", empty: nothingKept, candidates: placesOfKept}
	onePlace           = practiceSet{value: "place", label: "One place", empty: nothingKnown, place: true, repeats: true, candidates: thePlace}
)

const (
	nothingToLearn = "Nothing left to learn saves time."
	nothingKept    = "You keep no case: open one’s page and keep it there."
	noPlan         = "There is no plan that pays for this place."
	nothingKnown   = "You know no insertion here: mark some under Learn."
)

// practicePlaceOf reads the place that a set may be of, nil for none.
func practicePlaceOf(values url.Values, set *practiceSet) (*lastslot.Place, error) {
	if !values.Has("place") {
		if set.place {
			return nil, problem.BadRequest("place", "missing: this set is of a place, such as FR-UFR.R-UB.U")
		}
		return nil, nil
	}
	place, err := lastslot.ParsePlace(problem.Shortened(values.Get("place")))
	if err != nil {
		return nil, problem.BadRequest("place", err.Error())
	}
	return &place, nil
}

// patternCandidate is the pattern, which comes that often.
func (p *practiser) patternCandidate(of lastslot.Pattern, comes float64) practice.Candidate {
	step := forecast.Recognise
	if p.kind.exercise == practice.Execute {
		step = forecast.Execute
	}
	return p.candidate(practice.PatternItem(of), comes, p.book.Takes(p.person, of, step))
}

// patternCandidates are the patterns with how often they come, in order of their numbers. There
// is nothing to practise of the oriented top.
func (p *practiser) patternCandidates(comes map[lastslot.Pattern]float64) (all []practice.Candidate) {
	for of := lastslot.Pattern(1); of < lastslot.Patterns; of++ {
		if comes[of] > 0 {
			all = append(all, p.patternCandidate(of, comes[of]))
		}
	}
	return all
}

// insertionCandidate is the insertion, which comes that often and takes so long; false for one
// that is too long to be an item.
func (p *practiser) insertionCandidate(i lastslot.Insertion, comes float64, insert time.Duration) (practice.Candidate, bool) {
	item := practice.InsertionItem(i)
	takes := insert
	if p.kind.exercise == practice.Predict {
		takes = p.forecaster.Tracking(max(1, i.Map().Track()))
	}
	return p.candidate(item, comes, takes), len(item) <= practice.LongestItem
}

// practiceLesson is what Learn says is next, with its place.
type practiceLesson struct {
	learn.Lesson
	place lastslot.Place
}

// nextLessons are those.
func (p *practiser) nextLessons(ctx context.Context) (next []practiceLesson, err error) {
	lists, err := p.sessions.LearningLists(ctx, p.profile, p.forecaster, lastslot.FR)
	if err != nil {
		return nil, err
	}
	for _, n := range learn.NextOf(lists, session.NextToLearn) {
		next = append(next, practiceLesson{lists[n.List].Lessons[n.Lesson], lists[n.List].Place})
	}
	return next, nil
}

// lessonPatterns are those for which the next insertions to learn are good.
func lessonPatterns(ctx context.Context, p *practiser) ([]practice.Candidate, error) {
	next, err := p.nextLessons(ctx)
	comes := map[lastslot.Pattern]float64{}
	for _, l := range next {
		for _, of := range l.Leaves {
			comes[of] += float64(of.Ways()) * float64(l.place.Cases())
		}
	}
	return p.patternCandidates(comes), err
}

// lessonInsertions are the next ones to learn.
func lessonInsertions(ctx context.Context, p *practiser) (all []practice.Candidate, err error) {
	next, err := p.nextLessons(ctx)
	if err != nil {
		return nil, err
	}
	for _, l := range next {
		i, err := lastslot.NewInsertion(l.Slot, l.Insertion)
		if err != nil {
			return nil, fmt.Errorf("an insertion to learn: %w", err)
		}
		if c, ok := p.insertionCandidate(i, float64(l.place.Cases()), l.Insert); ok {
			all = append(all, c)
		}
	}
	return all, nil
}

// lessonPlaces are the places for which there is something to learn next.
func lessonPlaces(ctx context.Context, p *practiser) (all []practice.Candidate, err error) {
	next, err := p.nextLessons(ctx)
	seen := map[lastslot.Place]bool{}
	for _, l := range next {
		if !seen[l.place] {
			seen[l.place] = true
			c := p.placeCandidate(l.place)
			c.Takes = cmp.Or(c.Takes, l.Average) // where nothing is known
			all = append(all, c)
		}
	}
	return all, err
}

// patternsOfKept are what the best that the person knows leaves in the cases they keep.
func patternsOfKept(_ context.Context, p *practiser) ([]practice.Candidate, error) {
	comes := map[lastslot.Pattern]float64{}
	for _, c := range p.records.KeptLastSlot() {
		comes[p.options(c, 1)[0].Leaves.Pattern()]++
	}
	return p.patternCandidates(comes), nil
}

// placesOfKept are the places of the cases that the person keeps: these are shown.
func placesOfKept(_ context.Context, p *practiser) (all []practice.Candidate, err error) {
	p.cases = map[practice.Item][]lastslot.Case{}
	var places []lastslot.Place
	for _, c := range p.records.KeptLastSlot() {
		item := practice.PlaceItem(c.Place())
		if p.cases[item] == nil {
			places = append(places, c.Place())
		}
		p.cases[item] = append(p.cases[item], c)
	}
	for _, place := range places {
		c := p.placeCandidate(place)
		c.Comes = float64(len(p.cases[c.Item]))
		c.Takes = max(c.Takes, time.Second) // where nothing is known
		all = append(all, c)
	}
	return all, nil
}

// patternsOfPlan are those with which the plan's first insertion is done.
func patternsOfPlan(ctx context.Context, p *practiser) ([]practice.Candidate, error) {
	plan, err := p.plan(ctx, *p.place)
	comes := map[lastslot.Pattern]float64{}
	if plan != nil {
		for _, of := range plan.Accept {
			comes[of] = float64(of.Ways())
		}
	}
	return p.patternCandidates(comes), err
}

// insertionsOfPlan are its two to execute, and that to track to predict.
func insertionsOfPlan(ctx context.Context, p *practiser) (all []practice.Candidate, err error) {
	plan, err := p.plan(ctx, *p.place)
	if err != nil || plan == nil {
		return nil, err
	}
	parts := []learn.PlanPart{plan.Predict, plan.Otherwise}
	if p.kind.exercise == practice.Predict {
		parts = parts[:1]
	}
	for _, part := range parts {
		if len(part.Insertion) == 0 {
			continue
		}
		i, err := lastslot.NewInsertion(part.Slot, part.Insertion)
		if err != nil {
			return nil, fmt.Errorf("an insertion of a plan: %w", err)
		}
		if c, ok := p.insertionCandidate(i, 1, time.Second); ok {
			all = append(all, c)
		}
	}
	return all, nil
}

// insertionsOfPlace are those that the person knows there.
func insertionsOfPlace(_ context.Context, p *practiser) (all []practice.Candidate, err error) {
	for _, known := range p.forecaster.KnownCandidates(*p.place) {
		if c, ok := p.insertionCandidate(*known.Insertion, 1, known.Insert); ok {
			all = append(all, c)
		}
	}
	return all, nil
}

// thePlace is the place itself.
func thePlace(_ context.Context, p *practiser) ([]practice.Candidate, error) {
	c := p.placeCandidate(*p.place)
	if c.Takes == 0 {
		return nil, nil
	}
	return []practice.Candidate{c}, nil
}
