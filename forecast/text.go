package forecast

import (
	"cmp"
	"slices"
	"strings"

	"slotcast/cube"
)

// textKey orders sequences of up to 20 turns as their texts are ordered.
type textKey [2]uint64

// textRanks numbers the turns from 1 in the order of their texts. A space comes
// before every sign that a turn can have, so turn by turn is letter by letter.
var textRanks = func() (ranks [cube.Turns]uint64) {
	turns := make([]cube.Turn, cube.Turns)
	for t := range turns {
		turns[t] = cube.Turn(t)
	}
	slices.SortFunc(turns, func(a, b cube.Turn) int { return strings.Compare(a.String(), b.String()) })
	for i, t := range turns {
		ranks[t] = uint64(i + 1)
	}
	return ranks
}()

func textKeyOf(parts ...cube.Sequence) (k textKey) {
	i := 0
	for _, part := range parts {
		for _, t := range part {
			k[i/10] |= textRanks[t] << (6 * (9 - i%10))
			i++
		}
	}
	return k
}

// compareTexts orders sequences of any length as their texts are ordered.
func compareTexts(a, b cube.Sequence) int {
	return slices.CompareFunc(a, b, func(a, b cube.Turn) int { return cmp.Compare(textRanks[a], textRanks[b]) })
}

func (k textKey) compare(o textKey) int {
	return cmp.Or(cmp.Compare(k[0], o[0]), cmp.Compare(k[1], o[1]))
}
