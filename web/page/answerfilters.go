package page

import (
	"cmp"
	"fmt"
	"net/url"
	"slices"

	"slotcast/forecast"
	"slotcast/web/query"
)

// filterView is one thing by which options are left out, and its choices.
type filterView struct {
	Name    string
	Choices []linkView
}

// chips are the filters that are set, each with where it is taken off: a filter's first
// choice leaves nothing out.
func (v answerView) chips() (chips []linkView) {
	for _, f := range v.Filters {
		for _, c := range f.Choices[1:] {
			if c.Current {
				chips = append(chips, linkView{Label: f.Name + ": " + c.Label, Path: f.Choices[0].Path})
			}
		}
	}
	return chips
}

// maxCounts are the numbers of turns that are offered as a filter: no insertion takes less than
// three, and few people learn longer ones.
var maxCounts = []string{"", "6", "7", "8", "9", "10"}

// filtersOf are the filters that can be set on the page at the path, which was asked
// for with the values, and how many are.
func filtersOf(path string, asked url.Values) (filters []filterView, words string) {
	set := 0
	add := func(name, parameter string, choices ...choice) {
		filter := filterView{Name: name}
		value := asked.Get(parameter)
		if !slices.ContainsFunc(choices, func(c choice) bool { return c.Value == value }) {
			choices = append(choices, choice{Value: value, Label: value})
		}
		for _, c := range choices {
			filter.Choices = append(filter.Choices, linkView{c.Label, query.With(path, asked, parameter, c.Value), c.Value == value})
		}
		if value != "" {
			set++
		}
		filters = append(filters, filter)
	}
	add("Insertions", "view", choice{Label: "yours first"}, choice{Value: "all", Label: "by time only"}, choice{Value: "known", Label: "only yours"})
	add("Rotation", "rotation", choice{Label: "any"}, choice{Value: "none", Label: "none"})
	add("Side", "hand", choice{Label: "both"}, choice{Value: "right", Label: "R, not L"}, choice{Value: "left", Label: "L, not R"})
	var counts []choice
	for _, count := range maxCounts {
		counts = append(counts, choice{Value: count, Label: cmp.Or(count, "any")})
	}
	add("Max turns", "max_count", counts...)
	add("Predicting", "predicted", choice{Label: "as I do"}, choice{Value: "true", Label: "as if I predicted everything"})
	words = "Filter"
	if set > 0 {
		words = fmt.Sprintf("Filter (%d set)", set)
	}
	return filters, words
}

// viewLinks choose which insertions are shown, and which of them first.
func viewLinks(shown forecast.View, path func(view string) string) []linkView {
	return []linkView{
		{"Yours first", path(""), shown == forecast.KnownFirst},
		{"By time only", path("all"), shown == forecast.All},
		{"Only yours", path("known"), shown == forecast.Known},
	}
}
