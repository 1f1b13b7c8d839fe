package search

import (
	"slices"
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
)

// choose lists, for the hands, the numbers of all that the complete search found,
// which come first, and of those that are the easiest to leave some pattern of
// some case: into some slot, after the easiest rotation. For two hands the mirror
// images of those chosen are chosen too.
func (f *findings) choose(spelled [][len(views)]spelling, complete int, handed hands.Handed) (chosen []int32) {
	across := make([]int32, len(f.first))
	maps := make([]lastslot.Map, len(f.first))
	for number, m := range f.first {
		image, ok := f.numbers[mapKey(m.across().cube())]
		if !ok {
			panic("search: a motion without a mirror image")
		}
		across[number] = image
		maps[number] = lastslot.MapOf(m.cube(), lastslot.FR)
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
// with its AUF; of equal ones the first. Where the pair is in its slot already,
// doing nothing is the easiest to leave the pattern that is there.
func easiest(maps []lastslot.Map, cases *[lastslot.PairPlaces][]placedCase, insert []uint16, aufs [4]uint16) []int32 {
	const pairs = lastslot.CasesPerSlot * lastslot.Patterns
	const none = -1
	least, by := slices.Repeat([]uint16{1<<16 - 1}, pairs), slices.Repeat([]int32{none}, pairs)
	nothing := &lastslot.AUFMaps[0]
	for i := range cases[nothing.PairPlace()] {
		c := &cases[nothing.PairPlace()][i].Case
		least[c.Index()*lastslot.Patterns+int(nothing.Leaves(c).Pattern())] = 0
	}
	for number := range maps {
		m := &maps[number]
		list := cases[m.PairPlace()]
		for i := range list {
			c := &list[i]
			pattern := int(m.Leaves(&c.Case).Pattern())
			for quarters, index := range c.before {
				pair, took := int(index)*lastslot.Patterns+pattern, insert[number]+aufs[quarters]
				if took < least[pair] {
					least[pair], by[pair] = took, int32(number)
				}
			}
		}
	}
	slices.Sort(by)
	return slices.DeleteFunc(slices.Compact(by), func(number int32) bool { return number == none })
}

// placedCase is a case, and the indexes of those that it is after each AUF.
type placedCase struct {
	lastslot.Case
	before [4]int32
}

// casesByPlace has the cases of the slot at front right by where the pair stands.
func casesByPlace() *[lastslot.PairPlaces][]placedCase {
	var cases [lastslot.PairPlaces][]placedCase
	for index := range lastslot.CasesPerSlot {
		c := placedCase{Case: lastslot.CaseAt(index)}
		for quarters := range c.before {
			c.before[quarters] = int32(c.Turned(-quarters).Index())
		}
		place := c.PairPlace()
		cases[place] = append(cases[place], c)
	}
	return &cases
}
