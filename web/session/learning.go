package session

import (
	"context"
	"fmt"
	"sync"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/forecast/routes"
	"slotcast/forecast/twoslots"
	"slotcast/web/profile"
)

// keptLists is for how many people, and slots, the learning lists are kept: the 42
// of a slot have about 200 kB, and each takes as long as some 40 forecasts.
const keptLists = 50

// learningLists keeps what is to be learnt for a slot until a person's records change.
type learningLists struct {
	mu   sync.Mutex
	kept map[listsOf]*toLearn
}

// toLearn is what is kept for one person and slot: the lists of its places, what pays, and
// the steps, once they were asked for.
type toLearn struct {
	lists map[lastslot.Place]learn.List
	pays  *Paying
	// steps are what is to be learnt with another slot open beside it, the later in order.
	steps map[twoslots.Open]*routes.Lessons
}

// Paying is what pays for a person at a slot.
type Paying struct {
	// Advice is in the order of [learn.Pays].
	Advice []learn.Advice
	// Now is what the insertions leave that the person knows; Then with the Next to learn.
	Now, Then learn.Known
	// Next is how many insertions are meant.
	Next int
}

// listsOf tells whose lists they are; nobody's have no id.
type listsOf struct {
	id       profile.ID
	revision int64
	slot     lastslot.Slot
}

func (l *learningLists) get(of listsOf, p lastslot.Place) (learn.List, bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	kept := l.kept[of]
	if kept == nil {
		return learn.List{}, false
	}
	list, ok := kept.lists[p]
	return list, ok
}

func (l *learningLists) getPays(of listsOf) *Paying {
	l.mu.Lock()
	defer l.mu.Unlock()
	kept := l.kept[of]
	if kept == nil {
		return nil
	}
	return kept.pays
}

func (l *learningLists) getSteps(of listsOf, open twoslots.Open) *routes.Lessons {
	l.mu.Lock()
	defer l.mu.Unlock()
	kept := l.kept[of]
	if kept == nil {
		return nil
	}
	return kept.steps[open]
}

// keep lets what is kept be changed.
func (l *learningLists) keep(of listsOf, change func(*toLearn)) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.kept == nil {
		l.kept = map[listsOf]*toLearn{}
	}
	if l.kept[of] == nil {
		for other := range l.kept {
			// An older revision's are of no use, and of too many any may go: a map's order
			// is random.
			if other.id == of.id && other.revision < of.revision || len(l.kept) >= keptLists && other.id != 0 {
				delete(l.kept, other)
			}
		}
		l.kept[of] = &toLearn{lists: map[lastslot.Place]learn.List{}, steps: map[twoslots.Open]*routes.Lessons{}}
	}
	change(l.kept[of])
}

// listsFor are the profile's, or nobody's where that is nil.
func listsFor(p *profile.Profile, slot lastslot.Slot) listsOf {
	if p == nil {
		return listsOf{slot: slot}
	}
	return listsOf{p.ID, p.Revision, slot}
}

// LearningList is the learning list of the place for whom the forecaster is: the
// profile's, or anybody's where that is nil. Making it ends with the context.
func (s *Sessions) LearningList(ctx context.Context, p *profile.Profile, f *forecast.Forecaster, place lastslot.Place) (learn.List, error) {
	of := listsFor(p, place.Slot)
	if list, ok := s.learning.get(of, place); ok {
		return list, nil
	}
	list, err := learn.Of(ctx, f, place)
	if err != nil {
		return learn.List{}, fmt.Errorf("make a learning list: %w", err)
	}
	s.learning.keep(of, func(kept *toLearn) { kept.lists[place] = list })
	return list, nil
}

// LearningLists are those of all places of the slot.
func (s *Sessions) LearningLists(ctx context.Context, p *profile.Profile, f *forecast.Forecaster, slot lastslot.Slot) (lists []learn.List, err error) {
	for _, place := range lastslot.Places(slot) {
		list, err := s.LearningList(ctx, p, f, place)
		if err != nil {
			return nil, err
		}
		lists = append(lists, list)
	}
	return lists, nil
}

// NextToLearn is how many insertions are offered to be learnt next.
const NextToLearn = 6

// Paying is what pays at the slot for whom the forecaster and the person are: the
// profile's, or anybody's where that is nil. Making it ends with the context.
func (s *Sessions) Paying(ctx context.Context, p *profile.Profile, f *forecast.Forecaster, person *forecast.Person, slot lastslot.Slot) (*Paying, error) {
	of := listsFor(p, slot)
	if pays := s.learning.getPays(of); pays != nil {
		return pays, nil
	}
	lists, err := s.LearningLists(ctx, p, f, slot)
	if err != nil {
		return nil, err
	}
	pays := &Paying{}
	if pays.Advice, err = learn.Pays(ctx, s.book, person, lists); err != nil {
		return nil, fmt.Errorf("find what pays: %w", err)
	}
	if pays.Now, err = learn.KnownOf(ctx, f, slot); err != nil {
		return nil, fmt.Errorf("count what is left: %w", err)
	}
	var next []learn.Lesson
	for _, n := range learn.NextOf(lists, NextToLearn) {
		next = append(next, lists[n.List].Lessons[n.Lesson])
	}
	pays.Next = len(next)
	if pays.Then, err = learn.KnownOf(ctx, s.book.For(learn.Knowing(person, next...)), slot); err != nil {
		return nil, fmt.Errorf("count what would be left: %w", err)
	}
	s.learning.keep(of, func(kept *toLearn) { kept.pays = pays })
	return pays, nil
}

// StepsToLearn is how many steps are offered to be learnt.
const StepsToLearn = 10

// LearningSteps are the steps to learn with these slots open for whom the forecaster is: the
// profile's, or anybody's where that is nil. Making them ends with the context.
func (s *Sessions) LearningSteps(ctx context.Context, p *profile.Profile, f *forecast.Forecaster, open twoslots.Open) (*routes.Lessons, error) {
	of := listsFor(p, open.Slots()[0])
	if kept := s.learning.getSteps(of, open); kept != nil {
		return kept, nil
	}
	made, err := s.Routes(f).Lessons(ctx, open, StepsToLearn)
	if err != nil {
		return nil, fmt.Errorf("find the steps to learn: %w", err)
	}
	s.learning.keep(of, func(kept *toLearn) { kept.steps[open] = &made })
	return &made, nil
}
