package twoslots

import (
	"fmt"
	"strings"

	"slotcast/forecast/lastslot"
)

// Open is a pair of open slots, seen with the cross down: 0 to Opens-1.
type Open uint8

// Opens is the number of pairs of slots.
const Opens = 6

// openSlots has the slots of each pair, in the order of the slots.
var openSlots = [Opens][2]lastslot.Slot{
	{lastslot.FR, lastslot.FL}, {lastslot.FR, lastslot.BL}, {lastslot.FR, lastslot.BR},
	{lastslot.FL, lastslot.BL}, {lastslot.FL, lastslot.BR}, {lastslot.BL, lastslot.BR},
}

// OpenOf is the pair of two different slots, in either order.
func OpenOf(a, b lastslot.Slot) Open {
	for o, slots := range openSlots {
		if slots == [2]lastslot.Slot{min(a, b), max(a, b)} {
			return Open(o)
		}
	}
	panic("twoslots: no two slots")
}

// Slots are the two, in the order of the slots.
func (o Open) Slots() [2]lastslot.Slot { return openSlots[o] }

// Adjacent says whether the two stand side by side; otherwise they are opposite.
func (o Open) Adjacent() bool { return (openSlots[o][1]-openSlots[o][0])%2 == 1 }

// String is the slots' short names with a comma between them: "FR,BL".
func (o Open) String() string { return openSlots[o][0].String() + "," + openSlots[o][1].String() }

// Words are the slots' names in words: "front right and back left".
func (o Open) Words() string { return openSlots[o][0].Words() + " and " + openSlots[o][1].Words() }

// ParseOpen reads two slots' short names with a comma between them, in either order and
// either case.
func ParseOpen(text string) (Open, error) {
	first, second, _ := strings.Cut(text, ",")
	a, err := lastslot.ParseSlot(strings.TrimSpace(first))
	if err == nil {
		var b lastslot.Slot
		if b, err = lastslot.ParseSlot(strings.TrimSpace(second)); err == nil && a != b {
			return OpenOf(a, b), nil
		}
	}
	return 0, fmt.Errorf("no two slots “%s”: write two of FR FL BL BR with a comma between them", text)
}

// turned is where the two stand after y by the quarters, and whether the first of them
// is the second then.
func (o Open) turned(quarters int) (after Open, swapped bool) {
	a := lastslot.Slot((int(openSlots[o][0]) + quarters) & 3)
	b := lastslot.Slot((int(openSlots[o][1]) + quarters) & 3)
	return OpenOf(a, b), a > b
}

// TurnedRound is where the two stand after y by the quarters.
func (o Open) TurnedRound(quarters int) Open {
	after, _ := o.turned(quarters)
	return after
}

// Other is the other of the two slots.
func (o Open) Other(slot lastslot.Slot) lastslot.Slot {
	if slot == openSlots[o][0] {
		return openSlots[o][1]
	}
	return openSlots[o][0]
}

// spot is the spot of one of the two slots.
func (o Open) spot(slot lastslot.Slot) int {
	if slot == openSlots[o][0] {
		return First
	}
	return Second
}
