package page

import (
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// optionList has the options to some patterns, those of a pattern together.
type optionList struct {
	name, title string
	groups      [][]*forecast.Option
}

// cut leaves so many patterns, and at least the least.
func (l *optionList) cut(most, least int) { l.groups = l.groups[:min(len(l.groups), max(most, least))] }

// listsOf puts the options, in the order of the view, into lists of patterns. With what is
// known first, there is a list of what is known, and then of the patterns to which something
// that is not known is quicker or the only way those that would gain time here, and the
// others; otherwise there is one list.
func listsOf(view forecast.View, options []forecast.Option) []optionList {
	known, gains, all := optionList{name: "known", title: "Yours"}, optionList{name: "gains", title: "Worth learning here"}, optionList{name: "all", title: "All, by time"}
	slower := optionList{name: "slower", title: "No faster for you"}
	if view == forecast.Known {
		all.title = "Yours"
	}
	var at [lastslot.Patterns]struct{ known, others []*forecast.Option }
	var order, otherOrder []lastslot.Pattern
	for i := range options {
		o := &options[i]
		p := o.Leaves.Pattern()
		switch {
		case o.Known || view != forecast.KnownFirst:
			if at[p].known == nil {
				order = append(order, p)
			}
			at[p].known = append(at[p].known, o)
		default:
			if at[p].others == nil {
				otherOrder = append(otherOrder, p)
			}
			at[p].others = append(at[p].others, o)
		}
	}
	if view != forecast.KnownFirst {
		for _, p := range order {
			all.groups = append(all.groups, at[p].known)
		}
		return []optionList{all}
	}
	quicker := func(p lastslot.Pattern) bool {
		return at[p].known == nil || at[p].others[0].Seconds.Total() < at[p].known[0].Seconds.Total()
	}
	for _, p := range order {
		group := at[p].known
		if at[p].others != nil && !quicker(p) {
			group = append(group, at[p].others...)
		}
		known.groups = append(known.groups, group)
	}
	for _, p := range otherOrder {
		switch others := at[p].others; {
		case !quicker(p):
		case len(known.groups) == 0 || others[0].Gain > 0:
			gains.groups = append(gains.groups, others)
		default:
			slower.groups = append(slower.groups, others)
		}
	}
	if len(known.groups) == 0 {
		gains.title = "You know none of these yet"
	}
	return []optionList{known, gains, slower}
}
