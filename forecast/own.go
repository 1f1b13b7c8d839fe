package forecast

import (
	"cmp"
	"slices"
	"sort"
	"time"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// ownOption is one row of rotation, AUF and a person's own insertion.
type ownOption struct {
	bookOption
	place   int // slot and place of the pair
	spelled *lastslot.Insertion
	turns   cube.Sequence
	seconds Seconds
	known   bool
	track   uint8 // pieces to track
	predict Said
	// maps has the numbers of the map's parts, and those after each turn of U at
	// the end, which makes no difference.
	maps [4][2]uint16
}

// take adds what the person's book says of an insertion. Where that is spelt as the book's
// is, it returns where the slot then stands and the book's number.
func (f *Forecaster) take(p *Person, own OwnInsertion) (of slotInsertion, ok bool) {
	b := f.book
	rotation, turns := lastslot.WithoutAUF(own.Turns)
	if len(turns) == 0 {
		return of, false
	}
	spelled, err := lastslot.NewInsertion(lastslot.Slot((int(own.Slot)+rotation)&3), turns)
	if err != nil {
		panic("forecast: an insertion that was not verified: " + err.Error())
	}
	atFR := spelled.SeenAt(lastslot.FR)
	number, inBook := b.numbers[atFR.Key()]

	// Where the book offers it at another slot after a rotation, it is the same
	// insertion.
	slots := []lastslot.Slot{own.Slot}
	if inBook {
		for slot := range lastslot.Slot(lastslot.Slots) {
			if slot != own.Slot && b.spelledAt(slot, number) == spelled.Slot {
				slots = append(slots, slot)
			}
		}
		of = slotInsertion{spelled.Slot, number}
		ok = slices.Equal(spelled.Turns, b.spelled[spelled.Slot][number].Turns)
	} else if own.Known == Unsaid {
		own.Known = Yes
	}
	// It may be the usual one at other slots too.
	for slot := range lastslot.Slot(lastslot.Slots) {
		if ok && f.usual.adds(of, slot) && !slices.Contains(slots, slot) {
			slots = append(slots, slot)
		}
	}
	for _, slot := range slots {
		if !own.Hidden {
			said := own
			if said.Known == Unsaid && ok && f.usual.has(of, slot) {
				said.Known = Yes
			}
			f.offer(p, &said, slot, &spelled)
		} else if inBook && b.spelledAt(slot, number) == spelled.Slot {
			f.hidden[slotInsertion{slot, number}] = true
			f.change(slot, number)
		}
	}
	// What an insertion does, the book may do by another insertion after another AUF.
	for _, u := range lastslot.AUFMaps {
		if same, ok := b.numbers[u.Then(atFR).Key()]; ok && !own.Hidden {
			for _, slot := range slots {
				f.change(slot, same)
			}
		}
	}
	return of, ok
}

func (f *Forecaster) change(slot lastslot.Slot, number int) {
	f.changed[slot][number/64] |= 1 << (number % 64)
}

// offer adds the options of an insertion, spelled without a rotation, in cases of
// the slot: after each AUF.
func (f *Forecaster) offer(p *Person, own *OwnInsertion, slot lastslot.Slot, spelled *lastslot.Insertion) {
	does := spelled.SeenAt(slot)
	var offered [4]lastslot.MapKey
	for quarters := range lastslot.AUFs {
		// After some AUFs an insertion may do the same; the least of them is enough.
		offered[quarters] = lastslot.AUFMaps[quarters].Then(does).Key()
		if !slices.Contains(offered[:quarters], offered[quarters]) {
			f.own = append(f.own, optionOf(p, own, slot, spelled, quarters))
		}
	}
}

// optionOf is the option of an insertion, spelled without a rotation, in cases of the
// slot, after quarters of U.
func optionOf(p *Person, own *OwnInsertion, slot lastslot.Slot, spelled *lastslot.Insertion, quarters int) ownOption {
	rotation := lastslot.Quarters(slot, spelled.Slot)
	does := spelled.SeenAt(slot)
	whole := lastslot.AUFMaps[quarters].Then(does)
	w := ownOption{
		place: int(slot)*lastslot.PairPlaces + whole.PairPlace(), spelled: spelled, known: own.Known == Yes, predict: own.Predict,
		turns: cube.Join(lastslot.Rotations[rotation], lastslot.AUFs[quarters], spelled.Turns),
		seconds: Seconds{
			Rotation: p.Estimate(lastslot.Rotations[rotation]), AUF: p.Estimate(lastslot.AUFs[quarters]),
			Insertion: wholeMs(p.insert(own, p.Estimate(spelled.Turns))),
		},
	}
	for i, u := range lastslot.AUFMaps {
		corners, edges := whole.Then(u).Numbers()
		w.maps[i] = [2]uint16{uint16(corners), uint16(edges)}
	}
	w.corners, w.edges = w.maps[0][0], w.maps[0][1]
	w.turned = uint8((rotation + spelled.Turned()) & 3)
	w.count, w.track = uint8(spelled.Turns.Count()), uint8(does.Track())
	return w
}

// of is where the slot stands for the insertion, and its number in the book.
func (w *ownOption) of() slotInsertion { return slotInsertion{w.spelled.Slot, int(w.number)} }

// compare orders options as ties are broken: by count, then by the turns as text.
func (w *ownOption) compare(count int, turns cube.Sequence) int {
	return cmp.Or(cmp.Compare(int(w.count), count), w.turns.Compare(turns))
}

// ownAt is the person's own options for a slot and place of the pair.
func (f *Forecaster) ownAt(slot lastslot.Slot, pairPlace int) []ownOption {
	place := int(slot)*lastslot.PairPlaces + pairPlace
	first := sort.Search(len(f.own), func(i int) bool { return f.own[i].place >= place })
	last := first
	for last < len(f.own) && f.own[last].place == place {
		last++
	}
	return f.own[first:last]
}

// gives says whether an option of the book is hidden, or gives place to one of the
// person's own: to the same turns, or to others that do the same in no more time.
func (f *Forecaster) gives(slot lastslot.Slot, w *bookOption, own []ownOption) bool {
	if f.hidden[slotInsertion{slot, int(w.number)}] {
		return true
	}
	for i := range own {
		o := &own[i]
		same := slices.Contains(o.maps[:], [2]uint16{w.corners, w.edges})
		if same && (o.seconds.Insert() <= time.Duration(f.insert(w))*ms || slices.Equal(o.turns, w.of(f.book, slot))) {
			return true
		}
	}
	return false
}
