package hands

import (
	"cmp"
	"slices"
	"sync"
	"time"

	"slotcast/cube"
)

// Home is the grip that every sequence starts in: nothing turned yet.
func (h Handed) Home() Grip {
	if h == TwoHands {
		return gripOf([2]place{home, home}, noWrist, 0)
	}
	return oneGrip(0, 0)
}

// Grips is the number of grips.
const Grips = places * places * memories * sides

// Steps lists how a turn is done from a grip, one for each grip in which it
// can end. There is always one.
func (h Handed) Steps(from Grip, t cube.Turn) []Step { return stepTables[h]()[from][t] }

// End is how long it takes, in milliseconds, until the hands can begin another
// sequence.
func (h Handed) End(g Grip) uint16 {
	if h == TwoHands {
		return uint16(backHome(g))
	}
	return 0
}

// stepTable has, for each grip and turn, the quickest step to each end.
type stepTable [Grips][cube.Turns][]Step

// stepTables has the table for each handed, made when it is first needed.
var stepTables = [3]func() *stepTable{
	TwoHands:  sync.OnceValue(func() *stepTable { return newStepTable(Grips, twoHands) }),
	RightHand: sync.OnceValue(func() *stepTable { return newStepTable(oneGrips, rightHand) }),
	// A grip of one hand says the same of the other.
	LeftHand: sync.OnceValue(func() *stepTable {
		return newStepTable(oneGrips, func(from Grip, t cube.Turn) []Step { return rightHand(from, mirrored(t)) })
	}),
}

func newStepTable(grips Grip, steps func(Grip, cube.Turn) []Step) *stepTable {
	table := new(stepTable)
	for from := range grips {
		for t := range cube.Turn(cube.Turns) {
			table[from][t] = quickest(steps(from, t))
		}
	}
	return table
}

// quickest keeps the quickest step to each end.
func quickest(all []Step) []Step {
	slices.SortFunc(all, func(a, b Step) int { return cmp.Or(cmp.Compare(a.To, b.To), cmp.Compare(a.Ms, b.Ms)) })
	return slices.CompactFunc(all, func(a, b Step) bool { return a.To == b.To })
}

// never is more than any sequence takes: the longest that is read has some
// thousand turns of less than a second each.
const never = 1<<32 - 1

// Estimate is how long the sequence takes a practised person, started from home:
// the least over all rows of grips. It is in whole milliseconds.
func Estimate(s cube.Sequence, h Handed) time.Duration {
	steps := stepTables[h]()
	var costs [2][Grips]uint32
	var listed [2][Grips]Grip
	for i := range costs {
		for g := range costs[i] {
			costs[i][g] = never
		}
	}
	now, next := 0, 1
	costs[now][h.Home()], listed[now][0] = 0, h.Home()
	reached := 1
	for _, t := range s {
		count := 0
		for _, from := range listed[now][:reached] {
			cost := costs[now][from]
			costs[now][from] = never
			for _, step := range steps[from][t] {
				old := costs[next][step.To]
				if old == never {
					listed[next][count] = step.To
					count++
				}
				costs[next][step.To] = min(old, cost+uint32(step.Ms))
			}
		}
		now, next, reached = next, now, count
	}
	least := uint32(never)
	for _, g := range listed[now][:reached] {
		least = min(least, costs[now][g]+uint32(h.End(g)))
	}
	return time.Duration(least) * time.Millisecond
}
