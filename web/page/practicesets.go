package page

import (
	"context"
	"fmt"
	"slices"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/forecast/practice"
	"slotcast/web/profile"
)

// practiceSet is a choice of items.
type practiceSet struct {
	value, label, empty string
	// place says that it is of the place that the address names, and repeats that an item may
	// come again, as it is another case each time.
	place, repeats bool
	// candidates are its items, with what they cost and how often they come.
	candidates func(context.Context, *practiser) ([]practice.Candidate, error)
}

// patternSets are choices of patterns.
var patternSets = []practiceSet{
	patternSet("", "All", "", func(*practiser, lastslot.Pattern) bool { return true }),
	patternSet("slow", "Slow ones", "No pattern is rated 1 or 2, or timed as slow as that.", func(p *practiser, of lastslot.Pattern) bool { return p.records.Slow(of, p.book) }),
	patternSet("unmeasured", "Not yet measured", "All patterns have five results.", func(p *practiser, of lastslot.Pattern) bool {
		h := p.records.History(p.kind.exercise, practice.PatternItem(of))
		return !h.Seconds().Enough()
	}),
	patternSet("unlearnt", "Not learnt", "You have learnt all 57 patterns.", func(p *practiser, of lastslot.Pattern) bool { return !p.records.HasLearnt(of) }),
}

// patternSet is the choice of those patterns that it has.
func patternSet(value, label, empty string, has func(*practiser, lastslot.Pattern) bool) practiceSet {
	return practiceSet{value: value, label: label, empty: empty, candidates: func(ctx context.Context, p *practiser) (all []practice.Candidate, err error) {
		known, err := learn.KnownOf(ctx, p.forecaster, lastslot.FR)
		if err != nil {
			return nil, fmt.Errorf("see what comes: %w", err)
		}
		for of := lastslot.Pattern(1); of < lastslot.Patterns; of++ {
			if !has(p, of) {
				continue
			}
			// Who knows no insertion meets all outcomes alike.
			comes := float64(of.Ways()) / lastslot.Outcomes
			if cases := known.Cases - known.Without; cases > 0 {
				comes = float64(known.Leaves[of]) / float64(cases)
			}
			all = append(all, p.patternCandidate(of, comes))
		}
		return all, nil
	}}
}

// knownInsertions are those that the person knows at the front right slot, each with the
// share of the cases in whose place it fits.
func (p *practiser) knownInsertions() (all []forecast.Candidate, comes map[practice.Item]float64) {
	comes = map[practice.Item]float64{}
	for _, place := range lastslot.Places(lastslot.FR) {
		for _, c := range p.forecaster.KnownCandidates(place) {
			item := practice.InsertionItem(*c.Insertion)
			if len(item) > practice.LongestItem {
				continue
			}
			if comes[item] == 0 {
				all = append(all, c)
			}
			comes[item] += float64(place.Cases()) / lastslot.CasesPerSlot
		}
	}
	return all, comes
}

// executable are the insertions that the person knows.
func executable(_ context.Context, p *practiser) (all []practice.Candidate, err error) {
	known, comes := p.knownInsertions()
	for _, c := range known {
		if one, ok := p.insertionCandidate(*c.Insertion, comes[practice.InsertionItem(*c.Insertion)], c.Insert); ok {
			all = append(all, one)
		}
	}
	return all, nil
}

// predictable are the insertions that the person knows with one piece to track more than
// they do, or two; where there are none, those with the fewest.
func predictable(_ context.Context, p *practiser) ([]practice.Candidate, error) {
	return p.tracked(lastslot.Map.Track, practice.InsertionItem), nil
}

// edgesPredictable are those of which only the edges are to be tracked, as many.
func edgesPredictable(_ context.Context, p *practiser) ([]practice.Candidate, error) {
	return p.tracked(lastslot.Map.TrackEdges, practice.EdgesItem), nil
}

// tracked are the insertions that the person knows, as items, with few pieces to track.
func (p *practiser) tracked(track func(lastslot.Map) int, item func(lastslot.Insertion) practice.Item) (all []practice.Candidate) {
	known, comes := p.knownInsertions()
	known = slices.DeleteFunc(known, func(c forecast.Candidate) bool { return track(c.Insertion.Map()) == 0 })
	most := max(2, profile.Tracked(p.records)+1)
	fewest := 2 * lastslot.InSlot
	for _, c := range known {
		fewest = min(fewest, track(c.Insertion.Map()))
	}
	for _, c := range known {
		of := item(*c.Insertion)
		if pieces := track(c.Insertion.Map()); pieces <= max(most, fewest) && len(of) <= practice.LongestItem {
			all = append(all, p.candidate(of, comes[practice.InsertionItem(*c.Insertion)], p.forecaster.Tracking(pieces)))
		}
	}
	return all
}
