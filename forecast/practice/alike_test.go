package practice

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"slotcast/forecast/lastslot"
)

// 26 and 27 are mirror images (common practice, no source); what comes first is what looks
// most alike, and nobody confuses a pattern with itself.
func TestConfusionsAreAlike(t *testing.T) {
	t.Parallel()
	assert.EqualValues(t, 26, Confusions(27, 3)[0])
	assert.EqualValues(t, 27, Confusions(26, 3)[0])
	for p := range lastslot.Pattern(lastslot.Patterns) {
		all := Confusions(p, lastslot.Patterns)
		assert.Len(t, all, lastslot.Patterns-1)
		assert.NotContains(t, all, p)
		seen := map[lastslot.Pattern]bool{}
		for _, other := range all {
			assert.False(t, seen[other])
			seen[other] = true
			assert.Equal(t, differing(p, other), differing(other, p))
			assert.Positive(t, differing(p, other))
		}
		if mirror := p.Mirror(); mirror != p {
			assert.Equal(t, mirror, all[0])
			all = all[1:]
		}
		if p != 0 {
			assert.Equal(t, p.Outcome().Edges(), all[0].Outcome().Edges(), "pattern %d", p)
		}
	}
}
