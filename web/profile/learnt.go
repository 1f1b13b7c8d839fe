package profile

import (
	"slices"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/looks"
)

// Values of the preference for what is learnt, beside that for all, which is usual.
const (
	LearntTen = "ten"
	LearntOwn = "own"
)

// HasLearnt says whether the person has learnt a sequence for the pattern. The oriented one
// needs none.
func (r Records) HasLearnt(p lastslot.Pattern) bool {
	switch r.Preference("learnt") {
	case LearntTen:
		return p == 0 || slices.Contains(looks.Ten[:], p)
	case LearntOwn:
		return p == 0 || slices.Contains(r.Learnt, Learnt{p, true})
	}
	return true
}

// LearntCount is how many of the 57 patterns the person has learnt.
func (r Records) LearntCount() (n int) {
	for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
		if r.HasLearnt(p) {
			n++
		}
	}
	return n
}

// LearntOneByOne are the records by which the person has learnt pattern by pattern what they
// have learnt now, with some changes: what a mark on a single pattern means where all or ten
// were said before.
func (r Records) LearntOneByOne(changes ...Learnt) (put Records) {
	if r.Preference("learnt") != LearntOwn {
		put.Preferences = []Preference{{"learnt", LearntOwn}}
		for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
			put.Learnt = append(put.Learnt, Learnt{p, r.HasLearnt(p)})
		}
	}
	put.Learnt = append(put.Learnt, changes...)
	return put
}

// unlearnt are the patterns that the person has not learnt.
func unlearnt(r Records) (patterns [lastslot.Patterns]bool) {
	for p := range patterns {
		patterns[p] = !r.HasLearnt(lastslot.Pattern(p))
	}
	return patterns
}
