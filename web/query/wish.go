package query

import (
	"fmt"
	"net/url"
	"slices"

	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
)

// Wish is what the insertions that are asked for are to leave, and their order.
type Wish struct {
	Patterns [lastslot.Patterns]bool
	Easiest  bool
}

// WishParameters lists what [ReadWish] reads.
var WishParameters = []string{"oll", "edges", "order"}

// InsertionsParameters lists all that insertions are asked for by.
var InsertionsParameters = slices.Concat(caseParameters, WishParameters)

// ReadWish reads the parameters that only insertions have. An error is a
// [*problem.Problem].
func ReadWish(values url.Values) (Wish, error) {
	for _, field := range WishParameters {
		if n := len(values[field]); n > 1 {
			return Wish{}, problem.Repeated(field, n)
		}
	}
	var w Wish
	byPattern, byEdges := values.Has("oll"), values.Has("edges")
	switch {
	case byPattern && byEdges:
		return Wish{}, problem.BadRequest("oll", "given beside edges: give one of the two")
	case byPattern:
		pattern, err := Pattern(values.Get("oll"), 0)
		if err != nil {
			return Wish{}, err
		}
		w.Patterns[pattern] = true
	case byEdges:
		var known bool
		if w.Patterns, known = EdgesWished(values.Get("edges")); !known {
			return Wish{}, UnknownEdges(values.Get("edges"))
		}
	default:
		return Wish{}, problem.BadRequest("oll", "missing: give oll, the number of a pattern, or edges")
	}
	if values.Has("order") {
		switch order := values.Get("order"); order {
		case "shortest":
		case "easiest":
			w.Easiest = true
		default:
			return Wish{}, problem.BadSyntax("order", 0, fmt.Sprintf("“%s” is unknown: use shortest or easiest", problem.Shortened(order)))
		}
	}
	return w, nil
}

// EdgeWishes are the wishes by edges, in the words of those who orient the top in
// two steps.
var EdgeWishes = []struct {
	Value, Label string
	edges        []lastslot.Edges
}{
	{"cross", "A cross", []lastslot.Edges{lastslot.Cross}},
	{NoDot, "No dot", []lastslot.Edges{lastslot.Cross, lastslot.L, lastslot.Line}},
	{"L", "An L", []lastslot.Edges{lastslot.L}},
	{"line", "A line", []lastslot.Edges{lastslot.Line}},
	{"dot", "A dot", []lastslot.Edges{lastslot.Dot}},
}

// NoDot is the wish for any edges but a dot.
const NoDot = "no-dot"

// EdgesWished are the patterns that a wish by edges allows; none where there is no
// such wish.
func EdgesWished(value string) (patterns [lastslot.Patterns]bool, ok bool) {
	for _, wish := range EdgeWishes {
		if wish.Value != value {
			continue
		}
		for p := range patterns {
			patterns[p] = slices.Contains(wish.edges, lastslot.Pattern(p).Outcome().Edges())
		}
		return patterns, true
	}
	return patterns, false
}

// UnknownEdges is the problem of a wish by edges that there is not.
func UnknownEdges(value string) *problem.Problem {
	return problem.BadSyntax("edges", 0, fmt.Sprintf("“%s” is unknown: use dot, line, L, cross or %s", problem.Shortened(value), NoDot))
}
