package learn

import (
	"cmp"
	"math"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// learnable is an insertion that can stand in a list.
type learnable struct {
	Lesson
	// fits is one, or where both pieces of the pair are in the slot one for each AUF.
	fits []fit
	// unfitted is the insertion while its fits are not worked out yet.
	unfitted *lastslot.Insertion
	// track is how many pieces the person follows in it, 0 where nothing is predicted.
	track int
	// bound is the most that it can save now, in milliseconds over all cases.
	bound  uint64
	learnt bool
}

// does is what an insertion does at the slot, and the hold that it ends in: of two
// that do the same, the quicker saves more in every case.
type does struct {
	lastslot.Map
	turned int
}

// learnables lists what the person knows for the place, and what else there is: of
// those that do the same the quickest.
func learnables(f *forecast.Forecaster, p lastslot.Place) (known, others []*learnable) {
	var same [2]map[does]*learnable
	for i := range same {
		same[i] = map[does]*learnable{}
	}
	for _, c := range f.Candidates(p) {
		one := &learnable{unfitted: c.Insertion, track: c.Followed, bound: math.MaxUint64, Lesson: Lesson{
			Rotation: c.Rotation, Slot: c.Insertion.Slot, Insertion: c.Insertion.Turns, Known: c.Known, Insert: c.Insert,
		}}
		among := 0
		if c.Known {
			among = 1
		}
		if c.Own {
			key := does{c.Insertion.SeenAt(p.Slot), (lastslot.Quarters(p.Slot, c.Insertion.Slot) + c.Insertion.Turned()) & 3}
			if other := same[among][key]; other != nil {
				if one.Insert < other.Insert || one.Insert == other.Insert && one.before(other) {
					*other = *one
				}
				continue
			}
			same[among][key] = one
		}
		if c.Known {
			known = append(known, one)
		} else {
			others = append(others, one)
		}
	}
	return known, others
}

// before is the order of insertions that save the same.
func (l *learnable) before(o *learnable) bool { return l.compare(o) < 0 }

func (l *learnable) compare(o *learnable) int {
	return cmp.Or(cmp.Compare(l.Insertion.Count(), o.Insertion.Count()), l.Turns().Compare(o.Turns()))
}
