package learn

import (
	"cmp"
	"slices"
	"time"

	"slotcast/forecast/lastslot"
)

// Group is patterns to accept in a few words: all with these edges, or some of them, or all
// but some; or whatever the edges are, or any but these.
type Group struct {
	// Edges are "" for any.
	Edges lastslot.Edges
	// Named are the patterns that are told one by one: those of the edges that are accepted,
	// or where But those that are not. None are named for all.
	Named []lastslot.Pattern
	But   bool
	// ButEdges are the edges that are not accepted, of a group of any; "" for none.
	ButEdges lastslot.Edges
}

// Accepts says whether the pattern is in the group.
func (g *Group) Accepts(p lastslot.Pattern) bool {
	edges := p.Outcome().Edges()
	switch {
	case g.Edges == "":
		return edges != g.ButEdges
	case edges != g.Edges:
		return false
	case len(g.Named) == 0:
		return true
	}
	return slices.Contains(g.Named, p) != g.But
}

// GroupsLose is how much the mean may rise for patterns that are easier to keep in mind.
const GroupsLose = 10 * time.Millisecond

// grouping is some groups, and what they lose over all cases in milliseconds.
type grouping struct {
	groups []Group
	named  int
	loses  int64
}

// before says whether one keeps it rather: fewer groups, then fewer patterns to name, then
// what loses less.
func (g *grouping) before(o *grouping) int {
	return cmp.Or(cmp.Compare(len(g.groups), len(o.groups)), cmp.Compare(g.named, o.named), cmp.Compare(g.loses, o.loses))
}

var kinds = [...]lastslot.Edges{lastslot.Cross, lastslot.L, lastslot.Line, lastslot.Dot}

// Groups are the fewest groups of patterns to accept that lose at most [GroupsLose], and of
// these those with the fewest patterns to name; and by how much the mean rises with them.
func (p *Plan) Groups() ([]Group, time.Duration) {
	cases := int64(p.Place.Cases())
	limit := int64(GroupsLose/ms) * cases
	all := []grouping{{}}
	for _, kind := range kinds {
		var next []grouping
		for _, choice := range p.groupings(kind) {
			for _, before := range all {
				if loses := before.loses + choice.loses; loses <= limit {
					next = append(next, grouping{slices.Concat(before.groups, choice.groups), before.named + choice.named, loses})
				}
			}
		}
		all = fewest(next)
	}
	for _, but := range append([]lastslot.Edges{""}, kinds[:]...) {
		any := grouping{groups: []Group{{ButEdges: but}}}
		for pattern := range lastslot.Pattern(lastslot.Patterns) {
			any.loses += p.loses(pattern, any.groups[0].Accepts(pattern))
		}
		if any.loses <= limit {
			all = append(all, any)
		}
	}
	best := slices.MinFunc(all, func(a, b grouping) int { return a.before(&b) })
	return best.groups, time.Duration(best.loses) * ms / time.Duration(cases)
}

// loses is what is lost by accepting the pattern or not.
func (p *Plan) loses(pattern lastslot.Pattern, accepts bool) int64 {
	if accepts {
		return max(0, -p.worth[pattern])
	}
	return max(0, p.worth[pattern])
}

// groupings are what can be said of patterns with the edges: nothing, any, some of them or all
// but some.
func (p *Plan) groupings(kind lastslot.Edges) (all []grouping) {
	var patterns []lastslot.Pattern
	for pattern := range lastslot.Pattern(lastslot.Patterns) {
		if pattern.Outcome().Edges() == kind {
			patterns = append(patterns, pattern)
		}
	}
	slices.SortStableFunc(patterns, func(a, b lastslot.Pattern) int { return cmp.Compare(p.worth[b], p.worth[a]) })
	for n := range len(patterns) + 1 {
		// The first so many are accepted.
		g := grouping{}
		for i, pattern := range patterns {
			g.loses += p.loses(pattern, i < n)
		}
		switch rest := len(patterns) - n; {
		case n == 0:
		case rest == 0:
			g.groups = []Group{{Edges: kind}}
		case n <= rest:
			g.groups, g.named = []Group{{Edges: kind, Named: sorted(patterns[:n])}}, n
		default:
			g.groups, g.named = []Group{{Edges: kind, Named: sorted(patterns[n:]), But: true}}, rest
		}
		all = append(all, g)
	}
	return all
}

func sorted(patterns []lastslot.Pattern) []lastslot.Pattern {
	patterns = slices.Clone(patterns)
	slices.Sort(patterns)
	return patterns
}

// fewest leaves of groupings with as many groups and names the one that loses least.
func fewest(all []grouping) (kept []grouping) {
	slices.SortStableFunc(all, func(a, b grouping) int { return a.before(&b) })
	for _, g := range all {
		if n := len(kept); n == 0 || len(kept[n-1].groups) != len(g.groups) || kept[n-1].named != g.named {
			kept = append(kept, g)
		}
	}
	return kept
}
