package routes

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/technique"
	"slotcast/forecast/twoslots"
)

// Common practice, no source, in all of this file.

// With the corner in its place, the edge oriented for it and the slot at front left open,
// a turn of the bottom and three turns slide the edge in, five in all; with the one at
// back right open the bottom turns the other way.
func TestKeyholeOfFiveTurns(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for _, tt := range []struct {
		other lastslot.Slot
		turns []string
	}{
		{lastslot.FL, []string{"D R U R' D'", "D F' U' F D'"}},
		{lastslot.BR, []string{"D' R U R' D", "D' F' U' F D"}},
	} {
		for _, text := range tt.turns {
			turns := cubetest.Sequence(t, text)
			for range 20 {
				c := leadingTo(t, tt.other, turns, random)
				collected := anyone().collect(Request{Case: c})
				i := slices.IndexFunc(collected.list, func(one candidate) bool {
					return slices.Equal(collected.turns(&one), turns)
				})
				require.GreaterOrEqual(t, i, 0, "%s for %s", text, c.Code())
				route := collected.route(&collected.list[i])
				assert.Equal(t, lastslot.FR, route.Fills)
				assert.Equal(t, 5, route.Step.Count)
				assert.Subset(t, route.Techniques(c), []technique.Technique{technique.Keyhole, technique.EdgeOnly})
			}
		}
	}
}

// leadingTo is a case that the turns lead from to a random last-slot case of the other
// slot, which is open too.
func leadingTo(t *testing.T, other lastslot.Slot, turns cube.Sequence, random *rand.Rand) twoslots.Case {
	t.Helper()
	for {
		last := lastslot.CaseAt(random.IntN(lastslot.CasesPerSlot))
		last.Slot = other
		if last.Corner == lastslot.InSlot || last.Edge == lastslot.InSlot {
			continue
		}
		return twoslots.CaseOf(last.Cube().Do(turns.Inverse()), twoslots.OpenOf(lastslot.FR, other))
	}
}

// A corner that is in its place, with its edge on top and a slot beside it open, has a
// keyhole answer without a rotation, whichever way the edge is flipped.
func TestPlacedCornerHasAKeyhole(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	step := cubetest.Stride(t, 29)
	for n := 0; n < 60; n += step {
		c := drawn(random)
		if !c.Open.Adjacent() {
			continue
		}
		slot := c.Open.Slots()[random.IntN(2)]
		which := slices.Index(slotsOf(c.Open), slot)
		c = withPair(c, which, twoslots.First+which, 0, random.IntN(4), random.IntN(2))
		routes, _ := anyone().Routes(Request{Case: c, Limit: 2000})
		found := slices.ContainsFunc(routes, func(r Route) bool {
			return r.Fills == slot && r.Step.Rotation == 0 && slices.Contains(r.Techniques(c), technique.Keyhole)
		})
		require.True(t, found, c.Code())
	}
}

func slotsOf(o twoslots.Open) []lastslot.Slot {
	slots := o.Slots()
	return slots[:]
}

// withPair is the case with the corner and the edge of one slot moved to spots and turned;
// what stood there changes places with them, and pieces of the last layer make up for it.
func withPair(c twoslots.Case, which, corner, twist, edge, flip int) twoslots.Case {
	swap := func(spots *[2]int, to int) {
		if spots[1-which] == to {
			spots[1-which] = spots[which]
		}
		spots[which] = to
	}
	swap(&c.Corners, corner)
	swap(&c.Edges, edge)
	c.Twists[corner], c.Flips[edge] = twist, flip
	twists, flips := 0, 0
	for spot := range twoslots.Spots {
		twists += c.Twists[spot]
		flips += c.Flips[spot]
	}
	free := func(spots ...int) int {
		for spot := range twoslots.Spots {
			if !slices.Contains(spots, spot) {
				return spot
			}
		}
		panic("no spot is free")
	}
	rest, restEdge := free(corner, c.Corners[1-which]), free(edge, c.Edges[1-which])
	c.Twists[rest] = (c.Twists[rest] + 3 - twists%3) % 3
	c.Flips[restEdge] ^= flips % 2
	return c
}

// Two crossed pairs, each corner joined on top with the other slot's edge, are solved by
// pseudo-slotting in no more turns than one by one. They are made by taking them out of
// the slots with the bottom turned, so that the one's corner is under the other's edge.
func TestCrossedPairsByPseudoSlotting(t *testing.T) {
	open, checked := twoslots.OpenOf(lastslot.FR, lastslot.FL), 0
	for _, out := range []string{"R U R'", "R U' R'", "R U2 R'"} {
		for _, between := range []string{"", "U", "U2", "U'"} {
			for _, second := range []string{"L' U L", "L' U' L", "L' U2 L"} {
				turns := cubetest.Sequence(t, "D "+out+" D2 "+between+" "+second+" D")
				c := twoslots.CaseOf(turns.Cube(), open)
				if slices.Max(append(c.Corners[:], c.Edges[:]...)) >= twoslots.First {
					continue // the second took the first with it
				}
				checked++
				pseudo, oneByOne := 99, 99
				collected := anyone().collect(Request{Case: c})
				for i := range collected.list {
					one := &collected.list[i]
					last := lastslot.CaseAt(int(one.left))
					if !last.Solved() {
						if int(one.count) <= 5 {
							for _, o := range anyone().forecaster.Forecast(forecast.Request{Case: last}) {
								// An AUF between the two is a turn, as one inside the other way is.
								_, auf, _ := (&Step{Turns: o.Turns}).Split()
								oneByOne = min(oneByOne, int(one.count)+len(auf)+o.Count)
							}
						}
						continue
					}
					r := collected.route(one)
					switch {
					case slices.Contains(r.Techniques(c), technique.PseudoSlotting):
						pseudo = min(pseudo, r.Step.Count)
					}
				}
				assert.LessOrEqual(t, pseudo, turns.Count(), c.Code())
				assert.LessOrEqual(t, pseudo, oneByOne, "%s: %s", c.Code(), turns)
			}
		}
	}
	t.Logf("%d crossed pairs", checked)
	assert.GreaterOrEqual(t, checked, 10)
}

// What fills a slot is no dearer with two slots open than with one: for each place of the
// pair, either slot and every pair of slots.
func TestNoPlaceIsDearerWithTwoOpen(t *testing.T) {
	step := cubetest.Stride(t, 7)
	for open := range twoslots.Open(twoslots.Opens) {
		for which, slot := range open.Slots() {
			places := lastslot.Places(slot)
			for n := int(open) % step; n < len(places); n += step {
				place := places[n]
				alone := place.Case()
				one := forecast.Option{}
				for i, o := range anyone().forecaster.Forecast(forecast.Request{Case: alone}) {
					if i == 0 || o.Seconds.Insert() < one.Seconds.Insert() {
						one = o
					}
				}
				c := twoslots.CaseOf(alone.Cube(), open)
				// The other slot's pair is on top too, not solved.
				c = apart(c, 1-which)
				least := time.Hour
				for _, one := range anyone().collect(Request{Case: c}).list {
					if int(one.which) == which {
						least = min(least, one.takes)
					}
				}
				require.LessOrEqual(t, least, one.Seconds.Insert(), "%s, %s: %s", open, place, one.Turns)
			}
		}
	}
}

// apart is the case with the pair of one slot taken out of it: corner and edge change
// places with last-layer pieces on top.
func apart(c twoslots.Case, which int) twoslots.Case {
	corner, edge := 0, 0
	for corner == c.Corners[1-which] {
		corner++
	}
	for edge == c.Edges[1-which] {
		edge++
	}
	return withPair(c, which, corner, 1, edge, 0)
}
