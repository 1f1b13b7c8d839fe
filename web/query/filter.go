package query

import (
	"fmt"
	"net/url"
	"strconv"

	"slotcast/forecast"
	"slotcast/web/problem"
)

// readOnly reads which of the options are offered.
func readOnly(values url.Values) (only forecast.Filter, err error) {
	if values.Has("rotation") {
		if rotation := values.Get("rotation"); rotation != "none" {
			return only, problem.BadSyntax("rotation", 0, fmt.Sprintf("“%s” is unknown: use none", problem.Shortened(rotation)))
		}
		only.NoRotation = true
	}
	if values.Has("hand") {
		switch hand := values.Get("hand"); hand {
		case "right":
			only.Side = forecast.RightSide
		case "left":
			only.Side = forecast.LeftSide
		default:
			return only, problem.BadSyntax("hand", 0, fmt.Sprintf("“%s” is unknown: use right or left", problem.Shortened(hand)))
		}
	}
	if values.Has("max_count") {
		text := values.Get("max_count")
		most, err := strconv.ParseUint(text, 10, 16)
		if err != nil || most < 1 || most > MaxMaxCount {
			return only, problem.BadSyntax("max_count", 0, fmt.Sprintf("“%s” is not a whole number from 1 to %d", problem.Shortened(text), MaxMaxCount))
		}
		only.MaxCount = int(most)
	}
	return only, nil
}
