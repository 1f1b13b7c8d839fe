package forecast

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/hands"
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
		person := fast()
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
			seen := a.total
			if a.looks != nil {
				a = easiestOf(person.Sequences[o.Pattern()], o, person)
			}
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
			require.LessOrEqual(t, seen, uint64((person.recognise(o.Pattern())+least)/ms), "%d", o)
		}
		assert.Len(t, taken, len(angles), "%s: each angle is the best somewhere", name)
	}
}

// Measured, every sequence of a pattern takes the same, so the AUF decides.
func TestWithATimeTheAUFDecidesBetweenOwnSequences(t *testing.T) {
	person := fast()
	long := lastslottest.FollowUp(t, 27, "y2 R U R' U R U2 R'")
	short := lastslottest.FollowUp(t, 27, "R U R' U R U2 R'")
	person.Sequences[27] = []lastslot.FollowUp{long, short}
	effect, _ := lastslot.Effect(long.Turns)
	o := lastslot.OutcomeOf(effect.Inverse())
	assert.Equal(t, short.Turns, book().For(person).after[o].turns, "U2 costs less than y2")
	person.Ratings[27][Execute].Time = new(1900 * ms)
	after := book().For(person).after[o]
	assert.Equal(t, long.Turns, after.turns)
	assert.Equal(t, 1900*ms, after.auf+after.sequence)
}

// A better rating never makes anything slower: for every outcome, of people of every
// speed and pair of hands, with and without sequences of their own and a scale of their
// own, each level takes at most what the one below takes, and unrated is as 3.
func TestABetterRatingIsNeverSlower(t *testing.T) {
	t.Parallel()
	own := DefaultScale
	own.Execute[4], own.Recognise[2] = 1.2, 300*ms // out of order, as a file may have it
	own.Execute[3] = 1.1
	speeds := []float64{0.25, 1, DefaultSpeed, 4}[:4/cubetest.Stride(t, 3)]
	for _, handed := range []hands.Handed{hands.TwoHands, hands.RightHand, hands.LeftHand} {
		for _, speed := range speeds {
			for _, scale := range []Scale{DefaultScale, own.InOrder()} {
				for _, sequences := range []bool{false, true} {
					person := Anyone()
					person.Hands, person.Speed, person.Scale = handed, speed, scale
					if sequences {
						for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
							for _, turned := range []cube.Hold{1, 2} {
								sequence, err := lastslot.CheckSequence(p, book().FollowUp(p).In(turned))
								require.NoError(t, err)
								person.Sequences[p] = append(person.Sequences[p], sequence)
							}
						}
					}
					var totals [6][lastslot.Outcomes]uint64
					for level := range totals {
						for p := range person.Ratings {
							person.Ratings[p] = [Steps]Rating{{Level: level}, {Level: level}}
						}
						if level == 0 {
							person.Ratings[0][Recognise].Level = 3 // unrated, it counts as 5
						}
						for o, a := range book().For(person).after {
							totals[level][o] = a.total
						}
					}
					person.Ratings[0] = [Steps]Rating{}
					unrated := book().For(person).after[0].total
					person.Ratings[0][Recognise].Level = 5
					require.Equal(t, book().For(person).after[0].total, unrated)
					for estimate := range time.Duration(2000) {
						insert := func(level int) time.Duration {
							return person.insert(&OwnInsertion{Execute: level}, estimate*ms)
						}
						for level := 2; level <= 5; level++ {
							require.LessOrEqual(t, insert(level), insert(level-1))
						}
						require.Equal(t, insert(3), insert(0))
					}
					for o := range lastslot.Outcome(lastslot.Outcomes) {
						for level := 2; level <= 5; level++ {
							require.LessOrEqual(t, totals[level][o], totals[level-1][o], "%s: %d and %d", o.Facing(), level, level-1)
						}
						require.Equal(t, totals[3][o], totals[0][o], o.Facing())
					}
				}
			}
		}
	}
}
