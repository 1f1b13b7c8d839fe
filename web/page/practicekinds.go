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
	sets          []practiceSet
}

// practiceKinds are the exercises that there are pages for; the first is usual.
var practiceKinds = []practiceKind{
	{practice.Recognise, "Recognise", "Stop the clock when you know the pattern, then say which it is. A wrong answer counts.", patternSets},
	{practice.Predict, "Predict", "Follow the pieces through the insertion in your head, stop the clock when you know what it leaves, then say it.", []practiceSet{{"", "Few pieces to track", "You know no insertion: mark some under Learn.", predictable}}},
	{practice.Execute, "Execute", "On your own puzzle: the clock starts when you let go and stops when you press again, as on a mat timer. A tap does as well.", append(slices.Clone(patternSets), practiceSet{"insertions", "Insertions", "You know no insertion: mark some under Learn.", executable})},
	{practice.Choose, "Choose", fmt.Sprintf("A case and what you know for it: pick what takes you least, the clock runs. Right is the best by your own seconds, or what takes at most %s s more: so close together, estimates do not tell.", words.Seconds(forecast.Nearly)), []practiceSet{{"", "Where you know two or more", "You know one insertion for each place, so there is nothing to choose: mark more under Learn.", choosable}}},
	{practice.Whole, "Whole", "Scramble your puzzle, fill the slot and orient the top. The clock starts when you let go and stops when you press again; then tap what you got.", []practiceSet{{"", "All places you know", "You know no insertion: mark some under Learn.", knownPlaces}}},
}

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

// path is the address of the exercise with further names and values in turn.
func (k *practiceKind) path(more ...string) string {
	exercise := ""
	if k.exercise != practiceKinds[0].exercise {
		exercise = k.exercise.String()
	}
	return query.With("/practice", url.Values{}, append([]string{"exercise", exercise}, more...)...)
}
