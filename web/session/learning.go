package session

import (
	"context"
	"fmt"
	"sync"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/web/profile"
)

// keptLists is for how many people, and slots, the learning lists are kept: the 42
// of a slot have about 200 kB, and each takes as long as some 40 forecasts.
const keptLists = 50

// learningLists keeps the lists of a slot's places until a person's records change.
type learningLists struct {
	mu   sync.Mutex
	kept map[listsOf]map[lastslot.Place]learn.List
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
	list, ok := l.kept[of][p]
	return list, ok
}

func (l *learningLists) keep(of listsOf, list learn.List) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.kept == nil {
		l.kept = map[listsOf]map[lastslot.Place]learn.List{}
	}
	if l.kept[of] == nil {
		for other := range l.kept {
			// An older revision's are of no use, and of too many any may go: a map's order
			// is random.
			if other.id == of.id && other.revision < of.revision || len(l.kept) >= keptLists && other.id != 0 {
				delete(l.kept, other)
			}
		}
		l.kept[of] = map[lastslot.Place]learn.List{}
	}
	l.kept[of][list.Place] = list
}

// LearningList is the learning list of the place for whom the forecaster is: the
// profile's, or anybody's where that is nil. Making it ends with the context.
func (s *Sessions) LearningList(ctx context.Context, p *profile.Profile, f *forecast.Forecaster, place lastslot.Place) (learn.List, error) {
	of := listsOf{slot: place.Slot}
	if p != nil {
		of.id, of.revision = p.ID, p.Revision
	}
	if list, ok := s.learning.get(of, place); ok {
		return list, nil
	}
	list, err := learn.Of(ctx, f, place)
	if err != nil {
		return learn.List{}, fmt.Errorf("make a learning list: %w", err)
	}
	s.learning.keep(of, list)
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
