package forecast

import (
	"cmp"
	"slices"
	"time"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Usual says which insertions a person is taken to know without having said so.
//
// The usual insertion of a place is the one that most people do: the quickest that turns
// only U and the two side faces of the slot, after at most one rotation. Where the pair
// is in its slot it is doing nothing.
type Usual uint8

// A person knows the usual insertion of every place, or of each slot at the front and
// does those at the back after a rotation, or none.
const (
	UsualAll Usual = iota
	UsualFront
	UsualNone
)

// noInsertion is a number that no insertion has, nor doing nothing.
const noInsertion = doNothing - 1

// usual has the usual insertions of a book.
type usual struct {
	// numbers has, for each slot and place of the pair, the number of the usual
	// insertion where the book offers it as it is usual.
	numbers [lastslot.Slots][lastslot.PairPlaces]uint16
	// unlisted has the options of the others, where the book knows something quicker with
	// the same map: as estimated, in order of the place.
	unlisted []ownOption
}

// has says whether an insertion, as it is spelt for where the slot then stands, is the
// usual one of some place of the slot.
func (u *usual) has(of slotInsertion, slot lastslot.Slot) bool {
	return slices.Contains(u.numbers[slot][:], uint16(of.number)) || u.adds(of, slot)
}

// adds says whether it is one that the book does not list.
func (u *usual) adds(of slotInsertion, slot lastslot.Slot) bool {
	return slices.ContainsFunc(u.unlisted, func(o ownOption) bool {
		return o.place/lastslot.PairPlaces == int(slot) && o.of() == of
	})
}

// usualOf looks for the usual insertions among the book's that [Book.onSides] lists.
func (b *Book) usualOf(which Usual, onSides *[lastslot.Slots][]uint16) *usual {
	u := new(usual)
	estimated := &Person{Hands: b.hands}
	for slot := range lastslot.Slot(lastslot.Slots) {
		for place := range u.numbers[slot] {
			u.numbers[slot][place] = noInsertion
		}
		if which == UsualNone {
			continue
		}
		solved := lastslot.Case{Slot: slot, Corner: lastslot.InSlot, Edge: lastslot.InSlot}
		u.numbers[slot][solved.PairPlace()] = doNothing
		for _, usual := range b.quickest(slot, which, onSides) {
			spelled := &b.spelled[usual.at][usual.number]
			does := spelled.SeenAt(slot)
			for quarters := range lastslot.AUFs {
				place := lastslot.AUFMaps[quarters].Then(does).PairPlace()
				if b.lists(slot, place, usual) {
					u.numbers[slot][place] = usual.number
				} else {
					w := optionOf(estimated, &OwnInsertion{Known: Yes}, slot, spelled, quarters)
					w.number = usual.number
					u.unlisted = append(u.unlisted, w)
				}
			}
		}
	}
	slices.SortFunc(u.unlisted, func(a, b ownOption) int {
		return cmp.Or(cmp.Compare(a.place, b.place), a.compare(int(b.count), b.turns))
	})
	return u
}

// timed is an insertion done where the slot is after a rotation, and how long both take.
type timed struct {
	at     lastslot.Slot
	number uint16
	takes  time.Duration
}

// onSides lists, for each slot, the numbers of the insertions that are spelt with turns of U
// and the slot's sides only.
func (b *Book) onSides() (numbers [lastslot.Slots][]uint16) {
	for slot, spelled := range b.spelled {
		for number := range spelled {
			if turnsSidesOnly(&spelled[number]) {
				numbers[slot] = append(numbers[slot], uint16(number))
			}
		}
	}
	return numbers
}

// quickest has, for each place of the slot, the insertion of those on its sides that takes
// least with its rotation.
func (b *Book) quickest(slot lastslot.Slot, which Usual, onSides *[lastslot.Slots][]uint16) map[lastslot.Place]timed {
	quickest := map[lastslot.Place]timed{}
	atBack := func(s lastslot.Slot) bool { return s == lastslot.BL || s == lastslot.BR }
	left := slot == lastslot.FL || slot == lastslot.BL
	for quarters := range b.rotations {
		if left {
			quarters = -quarters & 3 // so that the left slots have the mirror images
		}
		rotation := b.rotations[quarters]
		at := lastslot.Slot((int(slot) + quarters) & 3)
		if which == UsualFront && atBack(slot) && atBack(at) {
			continue
		}
		for _, number := range onSides[at] {
			spelled := &b.spelled[at][number]
			place := spelled.Case().TurnedRound(lastslot.Quarters(at, slot)).Place()
			if place.Solved() {
				continue
			}
			one := timed{at, number, rotation + time.Duration(b.estimates[at][number])*ms}
			best, ok := quickest[place]
			if !ok || b.usualBefore(one, best, left) {
				quickest[place] = one
			}
		}
	}
	return quickest
}

// usualBefore says whether people rather do the first: the quicker, then the one that was
// there before with another rotation, then the one with fewer faces, then the one that is
// written first, or for a slot at the left whose mirror image is.
func (b *Book) usualBefore(one, other timed, left bool) bool {
	turns, others := b.spelled[one.at][one.number].Turns, b.spelled[other.at][other.number].Turns
	if left {
		turns, others = turns.Mirror(cube.MirrorLR), others.Mirror(cube.MirrorLR)
	}
	if one.takes != other.takes || one.at != other.at {
		return one.takes < other.takes
	}
	return cmp.Or(cmp.Compare(faces(turns), faces(others)), turns.Compare(others)) < 0
}

// faces is how many different faces are turned.
func faces(turns cube.Sequence) int {
	turned := map[cube.Face]bool{}
	for _, t := range turns {
		turned[t.Layer().Reference()] = true
	}
	return len(turned)
}

// lists says whether the book's options for a place of the pair have the insertion, as it
// is spelt there.
func (b *Book) lists(slot lastslot.Slot, place int, one timed) bool {
	return b.spelledAt(slot, int(one.number)) == one.at &&
		slices.ContainsFunc(b.options[slot][place], func(w bookOption) bool { return w.number == one.number })
}

// turnsSidesOnly says whether an insertion turns nothing but U and the slot's two side
// faces.
func turnsSidesOnly(i *lastslot.Insertion) bool {
	corner := i.Slot.Corner().Facelets()
	for _, t := range i.Turns {
		if face := t.Layer().Reference(); t.Kind() != cube.FaceTurn || face == cube.FaceD || face != cube.FaceU && !slices.Contains(corner[:], face) {
			return false
		}
	}
	return true
}
