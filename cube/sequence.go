package cube

import (
	"cmp"
	"slices"
	"strings"
)

// Sequence is a row of turns, done from left to right.
type Sequence []Turn

// String writes the turns with one space between them.
func (s Sequence) String() string {
	var b strings.Builder
	for i, t := range s {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(t.String())
	}
	return b.String()
}

// Inverse undoes the sequence.
func (s Sequence) Inverse() Sequence {
	r := make(Sequence, len(s))
	for i, t := range s {
		r[len(s)-1-i] = t.Inverse()
	}
	return r
}

// Count is the number of turns: a face or wide turn 1, a slice 2, a rotation 0.
// See the package comment for its source.
func (s Sequence) Count() int {
	n := 0
	for _, t := range s {
		switch t.Kind() {
		case FaceTurn, WideTurn:
			n++
		case SliceTurn:
			n += 2
		}
	}
	return n
}

// Join is the sequences one after the other, as they are.
func Join(parts ...Sequence) Sequence { return slices.Concat(parts...) }

// textRanks numbers the turns from 1 in the order of their texts. A space comes
// before every sign that a turn can have, so turn by turn is letter by letter.
var textRanks = func() (ranks [Turns]int) {
	turns := make([]Turn, Turns)
	for t := range turns {
		turns[t] = Turn(t)
	}
	slices.SortFunc(turns, func(a, b Turn) int { return strings.Compare(a.String(), b.String()) })
	for i, t := range turns {
		ranks[t] = i + 1
	}
	return ranks
}()

// TextRank is where the turn stands among all, counted from 1, in the order of
// their texts.
func (t Turn) TextRank() int { return textRanks[t] }

// Compare orders sequences as their texts are ordered.
func (s Sequence) Compare(o Sequence) int {
	return slices.CompareFunc(s, o, func(a, b Turn) int { return cmp.Compare(textRanks[a], textRanks[b]) })
}
