package words

import (
	"fmt"
	"strings"

	"slotcast/forecast/lastslot"
)

// Pattern is the trade’s name of a pattern.
func Pattern(p lastslot.Pattern) string {
	if p == 0 {
		return "All oriented"
	}
	return fmt.Sprintf("OLL %d", p)
}

// WithSkip is a pattern's name as a heading has it: beside all oriented, the trade's word
// for meeting it.
func WithSkip(name string, p lastslot.Pattern) string {
	if p == 0 {
		return name + " (OLL skip)"
	}
	return name
}

// PatternNamed is the same for the number as text.
func PatternNamed(oll string) string {
	if oll == "0" {
		return Pattern(0)
	}
	return "OLL " + oll
}

// TopPlaces are the places of the top layer in the order in which
// [lastslot.Outcome.Facing] writes them, each with its column and row in the
// picture and its name in words.
var TopPlaces = [8]struct {
	Column, Row int
	Corner      bool
	Words       string
}{
	{0, 0, true, "back left"}, {1, 0, false, "back"}, {2, 0, true, "back right"},
	{0, 1, false, "left"}, {2, 1, false, "right"},
	{0, 2, true, "front left"}, {1, 2, false, "front"}, {2, 2, true, "front right"},
}

var sideWords = map[byte]string{'L': "left", 'R': "right", 'F': "front", 'B': "back"}

// Outcome says in words what the picture shows, such as "L; edges at the
// back and left face out; corner at the front left faces left".
func Outcome(o lastslot.Outcome) string {
	facing := o.Facing()
	if o.Pattern() == 0 {
		return "all oriented"
	}
	parts := []string{string(o.Edges())}
	var edges []string
	for i, place := range TopPlaces {
		if !place.Corner && facing[i] != 'U' {
			edges = append(edges, place.Words)
		}
	}
	switch len(edges) {
	case 2:
		parts = append(parts, "edges at the "+edges[0]+" and "+edges[1]+" face out")
	case 4:
		parts = append(parts, "all four edges face out")
	}
	for i, place := range TopPlaces {
		if place.Corner && facing[i] != 'U' {
			side := sideWords[facing[i]]
			if side == "front" || side == "back" {
				side = "to the " + side
			}
			parts = append(parts, "corner at the "+place.Words+" faces "+side)
		}
	}
	return strings.Join(parts, "; ")
}
