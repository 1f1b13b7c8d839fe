package atlas

import "slotcast/forecast/lastslot"

// Classes is the number of classes of cases, and Pairs that of classes and
// patterns together.
const (
	Classes = 8112
	Pairs   = Classes * lastslot.Patterns
)

// classOf has the class of each case of the slot at front right, by index.
// Classes are numbered by their first case.
func classOf() []uint16 {
	classes := make([]uint16, lastslot.CasesPerSlot)
	next := uint16(0)
	for index := range classes {
		first, c := index, lastslot.CaseAt(index)
		for quarters := 1; quarters < 4; quarters++ {
			first = min(first, c.Turned(quarters).Index())
		}
		if first < index {
			classes[index] = classes[first]
			continue
		}
		classes[index] = next
		next++
	}
	return classes
}
