package technique

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
)

// What these do is common practice, no source: keyhole with the slot at front left open
// and with the one at back right, through the edge's place and through the corner's; and
// pairs crossed with the other slot's, put right by D.
func TestTechniquesOfKnownSteps(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	left, right := twoslots.OpenOf(lastslot.FR, lastslot.FL), twoslots.OpenOf(lastslot.FR, lastslot.BR)
	for _, tt := range []struct {
		open  twoslots.Open
		turns string
		has   []Technique
		not   []Technique
	}{
		{left, "D R U R' D'", []Technique{EdgeOnly, Keyhole}, []Technique{BothAtOnce, PseudoSlotting, OverAnotherSlot}},
		{left, "D F' U' F D'", []Technique{EdgeOnly, Keyhole}, []Technique{BothAtOnce}},
		{right, "D' R U R' D", []Technique{EdgeOnly, Keyhole}, []Technique{BothAtOnce}},
		{left, "R U R'", []Technique{JoinInSlot}, []Technique{Keyhole, PseudoSlotting, OverAnotherSlot}},
		{left, "U R U' R'", []Technique{InsertPair}, []Technique{Keyhole, PseudoSlotting}},
		{left, "R U' R' U2 L' U L", []Technique{BothAtOnce}, []Technique{Keyhole, PseudoSlotting}},
		{left, "", nil, []Technique{OutAndBack, Keyhole}},
	} {
		for range 50 {
			last := lastslot.CaseAt(random.IntN(lastslot.CasesPerSlot))
			last.Slot = tt.open.Other(lastslot.FR)
			if last.Solved() {
				continue
			}
			if slices.Contains(tt.has, BothAtOnce) {
				last.Corner, last.Edge = lastslot.InSlot, lastslot.InSlot
				last.Twists, last.Flips = [lastslot.Spots]int{}, [lastslot.Spots]int{}
			}
			turns := cubetest.Sequence(t, tt.turns)
			c := twoslots.CaseOf(last.Cube().Do(turns.Inverse()), tt.open)
			after := twoslots.CaseOf(c.Cube().Do(turns), tt.open)
			require.Equal(t, last, after.Last(lastslot.FR))
			got := OfStep(c, lastslot.FR, turns, false)
			for _, one := range tt.has {
				require.Contains(t, got, one, tt.turns)
			}
			for _, one := range tt.not {
				require.NotContains(t, got, one, tt.turns)
			}
		}
	}
}
