package profile

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
	"slotcast/web/words"
)

func (v NamedPattern) record() (Name, error) {
	pattern, err := CheckPattern(v.OLL, 0)
	if err != nil {
		return Name{}, err
	}
	name, err := CheckName(v.Name)
	return Name{pattern, name}, err
}

// NamedPattern is a name for a pattern, as JSON has it.
type NamedPattern struct {
	OLL  *int   `json:"oll"`
	Name string `json:"name"`
}

// LongestName is how long a pattern's name may be, in characters.
const LongestName = 60

// CheckName is the name without white space around it.
func CheckName(name string) (string, error) {
	name = strings.TrimSpace(name)
	switch n := utf8.RuneCountInString(name); {
	case n == 0:
		return "", problem.BadRequest("name", "missing: a name of at least one character")
	case n > LongestName:
		return "", problem.BadRequest("name", fmt.Sprintf("%d characters; a name has at most %d", n, LongestName))
	case strings.ContainsFunc(name, unicode.IsControl):
		return "", problem.BadRequest("name", "a name has no line breaks and no other control characters")
	}
	return name, nil
}

// NamesOf writes the records as JSON has them.
func NamesOf(records []Name) []NamedPattern {
	all := []NamedPattern{}
	for _, n := range records {
		oll := int(n.Pattern)
		all = append(all, NamedPattern{&oll, n.Name})
	}
	return all
}

// Own says whether the pattern has a name or a sequence of the person's own.
func (r Records) Own(p lastslot.Pattern) bool {
	return r.OwnName(p) != "" || slices.ContainsFunc(r.Sequences, func(s OwnSequence) bool { return s.Pattern == p })
}

// OwnName is the person’s own name for the pattern, "" for none.
func (r Records) OwnName(p lastslot.Pattern) string {
	for _, own := range r.Names {
		if own.Pattern == p {
			return own.Name
		}
	}
	return ""
}

// PatternName names a pattern, by the person's own name first if there is one.
func (r Records) PatternName(p lastslot.Pattern) string {
	if own := r.OwnName(p); own != "" {
		return own + " · " + words.Pattern(p)
	}
	return words.Pattern(p)
}
