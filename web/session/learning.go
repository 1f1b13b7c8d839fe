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

// learningLists keeps the lists of all places of a slot until a person's records
// change.
type learningLists struct {
	mu   sync.Mutex
	kept map[listsOf][]learn.List
}

// listsOf tells whose lists they are; nobody's have no id.
type listsOf struct {
	id       profile.ID
	revision int64
	slot     lastslot.Slot
}

// LearningLists are the learning lists of all places of the slot, for the visitor.
// Making them ends with the context.
func (s *Sessions) LearningLists(ctx context.Context, v Visitor, f *forecast.Forecaster, slot lastslot.Slot) ([]learn.List, error) {
	of := listsOf{slot: slot}
	if v.Profile != nil {
		of.id, of.revision = v.Profile.ID, v.Profile.Revision
	}
	s.learning.mu.Lock()
	lists, ok := s.learning.kept[of]
	s.learning.mu.Unlock()
	if ok {
		return lists, nil
	}
	for _, p := range lastslot.Places(slot) {
		list, err := learn.Of(ctx, f, p)
		if err != nil {
			return nil, fmt.Errorf("make a learning list: %w", err)
		}
		lists = append(lists, list)
	}
	s.learning.mu.Lock()
	defer s.learning.mu.Unlock()
	if s.learning.kept == nil {
		s.learning.kept = map[listsOf][]learn.List{}
	}
	for other := range s.learning.kept {
		// An older revision's are of no use, and of too many any may go: a map's order
		// is random.
		if other.id == of.id && other.revision < of.revision || len(s.learning.kept) >= keptLists && other.id != 0 {
			delete(s.learning.kept, other)
		}
	}
	s.learning.kept[of] = lists
	return lists, nil
}
