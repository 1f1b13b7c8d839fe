package page

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strconv"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/practice"
	"slotcast/web/picture"
	"slotcast/web/profile"
	"slotcast/web/words"
)

// mostLeft is how many patterns are offered first of what a whole solve came to: those that
// what the person knows leaves.
const mostLeft = 4

// practicePatternGroup is patterns with the same edges, to say which one a solve came to.
type practicePatternGroup struct {
	Name     string
	Patterns []practiceChoice
}

// practicePatterns are all patterns, as a solve may come to any.
func practicePatterns(records profile.Records) (groups []practicePatternGroup) {
	for _, group := range edgeGroups {
		v := practicePatternGroup{Name: group.title}
		for p := range lastslot.Pattern(lastslot.Patterns) {
			if p.Outcome().Edges() == group.edges {
				v.Patterns = append(v.Patterns, cameTo(records, p))
			}
		}
		groups = append(groups, v)
	}
	return groups
}

// cameTo is the answer that a solve came to the pattern.
func cameTo(records profile.Records, p lastslot.Pattern) practiceChoice {
	return practiceChoice{Name: records.PatternName(p), Picture: picture.Pattern(p.Outcome()), Left: strconv.Itoa(int(p)), Right: true}
}

// knownPlaces are those for which the person knows anything to do.
func knownPlaces(_ context.Context, p *practiser) (all []practice.Candidate, err error) {
	for _, place := range lastslot.Places(lastslot.FR) {
		if place.Solved() || len(p.forecaster.KnownCandidates(place)) > 0 {
			all = append(all, p.placeCandidate(place))
		}
	}
	return all, nil
}

// toWhole shows a scramble that leads to the case. What the person may have got is asked
// afterwards.
func (v *practiceItemView) toWhole(p *practiser, c lastslot.Case, chance *rand.Rand) {
	v.Name = placeCaseWords(c)
	v.Picture = picture.PositionOf(c).Picture().SVG()
	cross := crossOf(p.records.Appearance().Top)
	v.Scramble, v.Start = cube.Join(c.Scramble(cross, chance), lastslot.CrossHold(cross).Turns()).String(), "Let go to start"
	options := p.options(c, 1)
	best := options[0]
	v.Answer = fmt.Sprintf("By your seconds the best was %s, to %s, in %s s.", p.optionName(best), p.records.PatternName(best.Leaves.Pattern()), words.Seconds(best.Seconds.Total()))
	v.More = []linkView{{Label: "All options", Path: "/case/" + c.Code()}}
	seen := map[lastslot.Pattern]bool{}
	for _, o := range options {
		left := o.Leaves.Pattern()
		if seen[left] || len(seen) == mostLeft {
			continue
		}
		seen[left] = true
		v.Choices = append(v.Choices, cameTo(p.records, left))
	}
	v.Choices = append(v.Choices, practiceChoice{Name: "Another pattern", More: true}, practiceChoice{Name: "It went wrong"})
	for n := range v.Choices {
		v.Choices[n].Key = strconv.Itoa(n + 1)
	}
}

// tellWhole says how many whole solves there are.
func (v *practiceView) tellWhole(records profile.Records) {
	tries, places := 0, 0
	for i := range records.Practised {
		if of := &records.Practised[i]; of.Exercise == practice.Whole && of.Tries > 0 {
			tries += of.Tries
			places++
		}
	}
	v.Measured = "No whole solve yet."
	if tries > 0 {
		v.Measured = fmt.Sprintf("%s from %s so far.", words.Counted(tries, "whole solve"), words.Counted(places, "place"))
	}
}
