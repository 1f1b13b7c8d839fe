package search

import (
	"slices"
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
)

// choose lists, for the hands, the numbers of all that the complete search found,
// which come first, and of those that are the easiest way to leave some pattern of
// some case: into some slot, after the easiest rotation. For two hands the mirror
// images of those chosen are chosen too.
func (f *findings) choose(spelled [][len(views)]spelling, complete int, handed hands.Handed) (chosen []int32) {
	across := make([]int32, len(f.first))
	maps := make([]effect, len(f.first))
	for number, m := range f.first {
		image, ok := f.numbers[mapKey(m.across().cube())]
		if !ok {
			panic("search: a motion without a mirror image")
		}
		across[number] = image
		maps[number] = effectOf(m.cube())
	}
	cases := casesByPlace()
	insert := f.times(spelled, across, handed)
	var aufs [4]uint16
	for quarters := 1; quarters < 4; quarters++ {
		aufs[quarters] = milliseconds(hands.Estimate(cube.Sequence{cube.TurnOf(cube.U, quarters)}, handed))
	}
	is := make([]bool, len(f.first))
	for number := range complete {
		is[number] = true
	}
	for _, view := range views {
		if view.hands != handed {
			continue
		}
		for _, number := range easiest(maps, cases, insert[view.slot], aufs) {
			is[number] = true
			if handed == hands.TwoHands {
				is[across[number]] = true
			}
		}
	}
	for number, chosenOne := range is {
		if chosenOne {
			chosen = append(chosen, int32(number))
		}
	}
	return chosen
}

func milliseconds(d time.Duration) uint16 { return uint16(d / time.Millisecond) }

// times has how long each motion takes at each slot, after the rotation with which
// it is the easiest.
func (f *findings) times(spelled [][len(views)]spelling, across []int32, handed hands.Handed) (insert [lastslot.Slots][]uint16) {
	var plain [lastslot.Slots][]uint16
	for slot := range plain {
		plain[slot] = make([]uint16, len(spelled))
	}
	for i, view := range views {
		if view.hands != handed {
			continue
		}
		for number := range spelled {
			took := milliseconds(spelled[number][i].price.duration())
			plain[view.slot][number] = took
			if handed == hands.TwoHands {
				// FR and FL, and BL and BR, stand side by side in the order of slots.
				plain[view.slot^1][across[number]] = took
			}
		}
	}
	for slot := range insert {
		insert[slot] = slices.Clone(plain[slot])
		for quarters := 1; quarters < 4; quarters++ {
			rotation := milliseconds(hands.Estimate(cube.Sequence{cube.TurnOf(cube.Y, quarters)}, handed))
			for number, took := range plain[(slot+quarters)&3] {
				insert[slot][number] = min(insert[slot][number], rotation+took)
			}
		}
	}
	return insert
}

// easiest lists, for each case and pattern, the number that takes the least time
// with its AUF; of equal ones the first.
func easiest(maps []effect, cases map[[2]int][]placedCase, insert []uint16, aufs [4]uint16) []int32 {
	const pairs = lastslot.CasesPerSlot * lastslot.Patterns
	least, by := slices.Repeat([]uint16{1<<16 - 1}, pairs), make([]int32, pairs)
	for number := range maps {
		m := &maps[number]
		list := cases[m.place]
		for i := range list {
			c := &list[i]
			pattern := int(m.leaves(&c.Case).Pattern())
			for quarters, index := range c.before {
				pair, took := int(index)*lastslot.Patterns+pattern, insert[number]+aufs[quarters]
				if took < least[pair] {
					least[pair], by[pair] = took, int32(number)
				}
			}
		}
	}
	slices.Sort(by)
	return slices.Compact(by)
}

// placedCase is a case, and the indexes of those that it is after each AUF.
type placedCase struct {
	lastslot.Case
	before [4]int32
}

// casesByPlace has the cases of the slot at front right by where the pair stands,
// as effects have it.
func casesByPlace() map[[2]int][]placedCase {
	cases := map[[2]int][]placedCase{}
	for index := range lastslot.CasesPerSlot {
		c := placedCase{Case: lastslot.CaseAt(index)}
		for quarters := range c.before {
			c.before[quarters] = int32(c.Turned(-quarters).Index())
		}
		place := [2]int{c.Corner*3 + c.Twists[c.Corner], c.Edge*2 + c.Flips[c.Edge]}
		cases[place] = append(cases[place], c)
	}
	return cases
}

// effect says what a motion does: for each spot, which spot's piece comes there
// and what it adds, spot*3 + twist and spot*2 + flip; and the place of the pair
// that it fills the slot from.
type effect struct {
	corners, edges [lastslot.Spots]int
	place          [2]int
}

func effectOf(c cube.Cube) (e effect) {
	const slot = lastslot.InSlot
	for spot := range lastslot.Spots {
		corner, edge := c.Corners[lastslot.FR.CornerPlace(spot)], c.Edges[lastslot.FR.EdgePlace(spot)]
		e.corners[spot] = min(int(corner.Piece()), slot)*3 + corner.Twist()
		e.edges[spot] = min(int(edge.Piece()), slot)*2 + edge.Flip()
	}
	corner, edge := e.corners[slot], e.edges[slot]
	e.place = [2]int{corner/3*3 + (3-corner%3)%3, edge}
	return e
}

// leaves is what the motion leaves of a case whose pair stands in its place.
func (e *effect) leaves(c *lastslot.Case) lastslot.Outcome {
	var twists, flips [4]int
	for spot := range twists {
		twists[spot] = (c.Twists[e.corners[spot]/3] + e.corners[spot]%3) % 3
		flips[spot] = c.Flips[e.edges[spot]/2] ^ e.edges[spot]%2
	}
	return lastslot.OutcomeAs(twists, flips)
}
