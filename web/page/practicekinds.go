package page

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"slotcast/forecast"
	"slotcast/forecast/practice"
	"slotcast/web/problem"
	"slotcast/web/query"
	"slotcast/web/words"
)

// practiceKind is an exercise, as its page shows it.
type practiceKind struct {
	exercise      practice.Exercise
	heading, hint string
	// links is what a link to it says elsewhere.
	links string
	sets  []practiceSet
}

// practiceKinds are the exercises that there are pages for; the first is usual.
var practiceKinds = []practiceKind{
	{practice.Recognise, "Recognise", "Stop the clock when you know the pattern, then say which it is. A wrong answer counts.", "recognise", append(slices.Clone(patternSets), lessonOfPatterns, keptOfPatterns, planOfPatterns)},
	{practice.Predict, "Predict", "Follow the pieces through the insertion in your head, stop the clock when you know what it leaves, then say it.", "predict", []practiceSet{
		{value: "", label: "Few pieces to track", empty: nothingKnownYet, candidates: predictable},
		{value: "edges", label: "Edges only", empty: nothingKnownYet, candidates: edgesPredictable},
		lessonOfInsertions, placeOfInsertions, planOfInsertions,
	}},
	{practice.Choose, "Choose", fmt.Sprintf("A case and what you know for it: pick what takes you least, the clock runs. Right is the best by your own seconds, or what takes at most %s s more: so close together, estimates do not tell.", words.Seconds(forecast.Nearly)), "choose", []practiceSet{
		{value: "", label: "Where you know two or more", empty: "You know one insertion for each place, so there is nothing to choose: mark more under Learn.", repeats: true, candidates: choosable},
		lessonOfPlaces, keptOfPlaces, onePlace,
	}},
	{practice.Slots, "Which slot first", fmt.Sprintf("Two slots are open: say which one to fill first, and how, the clock runs. Right is the best by your own seconds until the top is oriented, or what takes at most %s s more.", words.Seconds(forecast.Nearly)), "which slot first", []practiceSet{
		{value: "", label: "All pairs of slots", repeats: true, candidates: openPairs(true, false)},
		{value: "adjacent", label: "Side by side", repeats: true, candidates: openPairs(true)},
		{value: "opposite", label: "Opposite", repeats: true, candidates: openPairs(false)},
	}},
	{practice.Execute, "Execute", "On your own puzzle: the clock starts when you let go and stops when you press again, as on a mat timer. A tap does as well.", "execute", append(slices.Clone(patternSets),
		practiceSet{value: "insertions", label: "Insertions", empty: nothingKnownYet, candidates: executable}, lessonOfInsertions, keptOfPatterns, placeOfInsertions, planOfInsertions)},
	{practice.Whole, "Whole", "Scramble your puzzle, fill the slot and orient the top. The clock starts when you let go and stops when you press again; then tap what you got.", "whole solves", []practiceSet{
		{value: "", label: "All places you know", empty: nothingKnownYet, repeats: true, candidates: knownPlaces},
		lessonOfPlaces, keptOfPlaces, onePlace,
	}},
}

// nothingKnownYet is said where somebody knows no insertion at all.
const nothingKnownYet = "You know no insertion: mark some under Learn."

// ofCases says whether its items are places, of which a case is shown.
func (k *practiceKind) ofCases() bool {
	return k.exercise == practice.Choose || k.exercise == practice.Whole
}

// practiceKindOf reads which exercise the address asks for.
func practiceKindOf(values url.Values) (*practiceKind, error) {
	if !values.Has("exercise") {
		return &practiceKinds[0], nil
	}
	var known []string
	for i := range practiceKinds {
		name := practiceKinds[i].exercise.String()
		if name == values.Get("exercise") {
			return &practiceKinds[i], nil
		}
		known = append(known, name)
	}
	return nil, problem.BadRequest("exercise", fmt.Sprintf("“%s” is unknown: an exercise is one of %s", problem.Shortened(values.Get("exercise")), strings.Join(known, ", ")))
}

// set is that which the address asks for.
func (k *practiceKind) set(values url.Values) (*practiceSet, error) {
	asked := values.Get("set")
	var known []string
	for i := range k.sets {
		if k.sets[i].value == asked {
			return &k.sets[i], nil
		}
		if k.sets[i].value != "" {
			known = append(known, k.sets[i].value)
		}
	}
	detail := fmt.Sprintf("“%s” is unknown: leave it out", problem.Shortened(asked))
	if len(known) > 0 {
		detail = fmt.Sprintf("“%s” is unknown: a set is one of %s", problem.Shortened(asked), strings.Join(known, ", "))
	}
	return nil, problem.BadRequest("set", detail)
}

// inScope is the address of the exercise with the same set, where it has that, and place.
func (k *practiceKind) inScope(set *practiceSet, place string) string {
	if slices.ContainsFunc(k.sets, func(s practiceSet) bool { return s.value == set.value }) {
		return k.path("set", set.value, "place", place)
	}
	return k.path("place", place)
}

// path is the address of the exercise with further names and values in turn.
func (k *practiceKind) path(more ...string) string {
	exercise := ""
	if k.exercise != practiceKinds[0].exercise {
		exercise = k.exercise.String()
	}
	return query.With("/practice", url.Values{}, append([]string{"exercise", exercise}, more...)...)
}

// practiseSet are sessions of the set, one for each exercise.
func practiseSet(set, place string, exercises ...practice.Exercise) (links []linkView) {
	return practise(exercises, "set", set, "place", place)
}

// practise are sessions of each exercise, of what the names and values in turn say.
func practise(exercises []practice.Exercise, names ...string) (links []linkView) {
	for i := range practiceKinds {
		if k := &practiceKinds[i]; slices.Contains(exercises, k.exercise) {
			links = append(links, linkView{Label: k.links, Path: k.path(names...)})
		}
	}
	return links
}
