package practice

import (
	"cmp"
	"slices"

	"slotcast/forecast/lastslot"
)

// Confusions are the patterns that one is likeliest to take for another, the likeliest
// first, at most so many: its mirror image, then those with the same edges, and of these
// those that differ at the fewest places, whatever the AUF.
func Confusions(p lastslot.Pattern, most int) []lastslot.Pattern {
	var all []lastslot.Pattern
	for other := range lastslot.Pattern(lastslot.Patterns) {
		if other != p {
			all = append(all, other)
		}
	}
	rank := func(other lastslot.Pattern) int {
		switch {
		case other == p.Mirror():
			return 0
		case other.Outcome().Edges() == p.Outcome().Edges():
			return 1
		}
		return 2
	}
	slices.SortFunc(all, func(a, b lastslot.Pattern) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(differing(p, a), differing(p, b)), cmp.Compare(a, b))
	})
	return all[:min(most, len(all))]
}

// differing is at how many places two patterns differ, in the AUF in which they do least.
func differing(a, b lastslot.Pattern) int {
	fewest, facing := 8, a.Outcome().Facing()
	for quarters := range 4 {
		n := 0
		for place, side := range []byte(b.Outcome().Turned(quarters).Facing()) {
			if facing[place] != side {
				n++
			}
		}
		fewest = min(fewest, n)
	}
	return fewest
}
