package twoslots

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The cases at all joint places are all cases of two open slots, each once.
func TestJointPlaces(t *testing.T) {
	t.Parallel()
	const open = 3
	joint, seen := 0, make([]bool, CasesPerOpen)
	for first := range PairPlaces {
		for second := range PairPlaces {
			if _, ok := AtPlaces(open, [2]int{first, second}, 0); !ok {
				continue
			}
			joint++
			for rest := range Rests {
				c, ok := AtPlaces(open, [2]int{first, second}, rest)
				slots, index := c.Open.Slots(), c.Index()-open*CasesPerOpen
				if !ok || c.check() != nil || c.PairPlace(slots[0]) != first || c.PairPlace(slots[1]) != second || seen[index] {
					t.Fatalf("%d, %d, %d: %v", first, second, rest, c)
				}
				seen[index] = true
			}
		}
	}
	assert.Equal(t, JointPlaces, joint)
	assert.Equal(t, CasesPerOpen, JointPlaces*Rests)
}
