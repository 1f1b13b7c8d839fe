package forecast

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
)

// cubeOf is a puzzle with the case, the pieces that the case leaves free drawn at
// random; without random numbers they stand in order.
func cubeOf(c lastslot.Case, random *rand.Rand) cube.Cube {
	order := func(pair int) (pieces [lastslot.Spots]int) {
		rest := []int{0, 1, 2, 3}
		if random != nil {
			random.Shuffle(len(rest), func(i, j int) { rest[i], rest[j] = rest[j], rest[i] })
		}
		for spot := range pieces {
			if spot == pair {
				pieces[spot] = lastslot.InSlot
				continue
			}
			pieces[spot], rest = rest[0], rest[1:]
		}
		return pieces
	}
	corners, edges := order(c.Corner), order(c.Edge)
	if odd(corners) != odd(edges) {
		// Two last-layer edges swapped: any two will do.
		var free []int
		for spot, piece := range edges {
			if piece != lastslot.InSlot {
				free = append(free, spot)
			}
		}
		edges[free[0]], edges[free[1]] = edges[free[1]], edges[free[0]]
	}
	r := cube.Solved
	for spot := range lastslot.Spots {
		r.Corners[c.Slot.CornerPlace(spot)] = cube.CornerAs(c.Slot.CornerPlace(corners[spot]), c.Twists[spot])
		r.Edges[c.Slot.EdgePlace(spot)] = cube.EdgeAs(c.Slot.EdgePlace(edges[spot]), c.Flips[spot])
	}
	return r
}

func odd(order [lastslot.Spots]int) bool {
	swaps := 0
	for i := range order {
		for j := range i {
			if order[j] > order[i] {
				swaps++
			}
		}
	}
	return swaps%2 == 1
}

func followUp(t testing.TB, pattern lastslot.Pattern, text string) lastslot.FollowUp {
	s, err := lastslot.CheckSequence(pattern, sequence(t, text))
	require.NoError(t, err, text)
	return s
}

func insertion(t testing.TB, slot lastslot.Slot, text string) lastslot.Insertion {
	i, err := lastslot.CheckInsertion(&slot, sequence(t, text))
	require.NoError(t, err, text)
	return i
}

func sequence(t testing.TB, text string) cube.Sequence {
	t.Helper()
	s, err := cube.Parse(text)
	require.NoError(t, err)
	return s
}

// Whatever hold a sequence ends in: does it leave the first two layers solved and
// the top of one colour, sticker by sticker?
func orientedByStickers(s cubetest.Stickers, end cube.Hold) bool {
	s = s.Do(end.Inverse().Turns())
	for i, from := range s {
		if at, colour := cubetest.Cell(i), cubetest.Cell(int(from)); len(at) == 1 && at != colour {
			return false
		} else if !onTop(i) && at[0] != colour[0] || at[0] == 'U' && colour[0] != 'U' {
			return false
		}
	}
	return true
}

// caseOf is the case of a puzzle that has the cross down and only the slot open.
func caseOf(puzzle cube.Cube, slot lastslot.Slot) lastslot.Case {
	found, err := lastslot.Find(puzzle, &slot)
	if err != nil {
		panic(err)
	}
	return found.Case
}

// onTop is whether the sticker place is on a piece of the top layer.
func onTop(i int) bool {
	for _, face := range cubetest.Cell(i) {
		if face == 'U' {
			return true
		}
	}
	return false
}
