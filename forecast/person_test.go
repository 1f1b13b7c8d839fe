package forecast

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/lastslot/lastslottest"
)

// In all 216 outcomes, of one's own sequences the forecast takes the one that
// costs least with the AUF that it needs: of all that orient the stickers.
func TestOwnSequencesAreUsedFromTheAngleThatCostsLeast(t *testing.T) {
	t.Parallel()
	laidDown := cube.Sequence{cube.TurnOf(cube.Y, 1), cube.TurnOf(cube.X, 1)}.Cube().Hold()
	for name, angles := range map[string][]func(cube.Sequence) cube.Sequence{
		"from behind, an AUF written with it; and from the side": {
			func(s cube.Sequence) cube.Sequence { return cube.Join(lastslot.AUFs[1], s.In(2)) },
			func(s cube.Sequence) cube.Sequence { return s.In(3) },
		},
		"laid down, and not taken back up": {
			func(s cube.Sequence) cube.Sequence { return cube.Join(laidDown.Turns(), s.In(laidDown)) },
		},
	} {
		person := Anyone()
		for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
			for _, angle := range angles {
				own, err := lastslot.CheckSequence(p, angle(book().FollowUp(p)))
				require.NoError(t, err)
				person.Sequences[p] = append(person.Sequences[p], own)
			}
		}
		taken := map[int]bool{}
		f := book().For(person)
		for o := lastslot.Outcome(1); o < lastslot.Outcomes; o++ {
			c := lastslot.Case{Corner: lastslot.InSlot, Edge: lastslot.InSlot}
			twists, flips := o.Twists(), o.Flips()
			copy(c.Twists[:], twists[:])
			copy(c.Flips[:], flips[:])
			start := cubetest.Of(c.Cube())

			a := f.after[o]
			require.True(t, start.Do(lastslot.AUFs[a.quarters]).Do(a.turns).FirstTwoLayersAndTop(a.turns.Cube().Hold()), "%d: %s %s", o, lastslot.AUFs[a.quarters], a.turns)
			least := time.Hour
			for i, own := range person.Sequences[o.Pattern()] {
				for _, u := range lastslot.AUFs {
					if start.Do(u).Do(own.Turns).FirstTwoLayersAndTop(own.Turns.Cube().Hold()) {
						takes := person.Estimate(u) + person.Estimate(own.Turns)
						least = min(least, takes)
						if takes == a.auf+a.sequence {
							taken[i] = true
						}
					}
				}
			}
			require.Equal(t, least, a.auf+a.sequence, "%d", o)
		}
		assert.Len(t, taken, len(angles), "%s: each angle is the best somewhere", name)
	}
}

// Rated, every sequence of a pattern takes the same, so the AUF decides.
func TestWithARatingTheAUFDecidesBetweenOwnSequences(t *testing.T) {
	person := Anyone()
	long := lastslottest.FollowUp(t, 27, "y2 R U R' U R U2 R'")
	short := lastslottest.FollowUp(t, 27, "R U R' U R U2 R'")
	person.Sequences[27] = []lastslot.FollowUp{long, short}
	effect, _ := lastslot.Effect(long.Turns)
	o := lastslot.OutcomeOf(effect.Inverse())
	assert.Equal(t, short.Turns, book().For(person).after[o].turns, "U2 costs less than y2")
	person.Ratings[27][Execute].Level = 2
	after := book().For(person).after[o]
	assert.Equal(t, long.Turns, after.turns)
	assert.Equal(t, 1900*ms, after.auf+after.sequence)
}
