package lastslot

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The number of places up to AUF, as counted with the group of all sequences by
// the GAP system, is in testdata: 42, of which one is the solved.
func TestPlaces(t *testing.T) {
	t.Parallel()
	for slot := range Slot(Slots) {
		places := Places(slot)
		require.Len(t, places, PlacesPerSlot)
		cases, solved := 0, 0
		for _, p := range places {
			cases += p.Cases()
			if p.Solved() {
				solved++
			}
			c, err := NewCase(p.Case())
			require.NoError(t, err)
			assert.Equal(t, p, c.Place())
		}
		assert.Equal(t, CasesPerSlot, cases)
		assert.Equal(t, 1, solved)
	}
	// Every case has one of them, whichever way the top is turned.
	count := map[Place]int{}
	for index := range Cases {
		c := CaseAt(index)
		p := c.Place()
		count[p]++
		if c.Turned(index%4).Place() != p {
			t.Fatalf("case %s has another place after U", c.Code())
		}
	}
	for slot := range Slot(Slots) {
		for _, p := range Places(slot) {
			assert.Equal(t, p.Cases(), count[p])
		}
	}
}

func TestPlaceNames(t *testing.T) {
	names := map[string]bool{}
	for slot := range Slot(Slots) {
		for _, p := range Places(slot) {
			names[p.String()] = true
			read, err := ParsePlace(p.String())
			require.NoError(t, err)
			assert.Equal(t, p, read)
		}
	}
	assert.Equal(t, Slots*PlacesPerSlot, len(names))
	p, err := ParsePlace("FR-UFR.R-UB.U")
	require.NoError(t, err)
	assert.Equal(t, Place{Slot: FR, Corner: 3, Twist: 1}, p)
	// After U' it is the same place.
	turned, err := ParsePlace("FR-UBR.B-UL.U")
	require.NoError(t, err)
	assert.Equal(t, p, turned)
	for _, wrong := range []string{"", "FR", "FR-UFR.R", "XX-UFR.R-UB.U", "FR-UFR.B-UB.U", "FR-DFL.D-UB.U", "FR-UFR.R-UB.U ", "fr-ufr.r-ub.u"} {
		_, err := ParsePlace(wrong)
		assert.ErrorContains(t, err, "no place", wrong)
	}
}
