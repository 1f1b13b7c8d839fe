package query

import (
	"maps"
	"net/url"
	"slices"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// With is the address of the same page with parameters changed, which are given as
// names and values in turn. One whose new value is "" is left out.
func With(path string, asked url.Values, changed ...string) string {
	values := maps.Clone(asked)
	if values == nil {
		values = url.Values{}
	}
	for pair := range slices.Chunk(changed, 2) {
		values.Set(pair[0], pair[1])
		if pair[1] == "" {
			values.Del(pair[0])
		}
	}
	if len(values) == 0 {
		return path
	}
	return path + "?" + values.Encode()
}

// Option is the address of an option of a case. What else asked says of the position
// and of how it is answered goes along.
func Option(c lastslot.Case, turns cube.Sequence, asked url.Values) string {
	kept := url.Values{}
	if asked.Has("scramble") {
		kept = PositionValues(asked)
		if until := asked.Get("until"); until != "" {
			kept.Set("until", until)
		}
	}
	if asked.Has("predicted") {
		kept["predicted"] = asked["predicted"]
	}
	kept.Set("turns", turns.String())
	return "/case/" + c.Code() + "/option?" + kept.Encode()
}
