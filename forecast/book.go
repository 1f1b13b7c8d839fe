package forecast

import (
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/pll"
)

// Book has every insertion and follow-up sequence that is known, and the tables
// that a forecast looks up. It does not change once made and serves any number
// of goroutines.
type Book struct {
	// hands are those that all is spelt and estimated for; others has the books for
	// the others, each made when it is first needed.
	hands  hands.Handed
	others [3]func() *Book

	// searched says what the insertions were found by.
	searched string

	// rotations and aufs have how long y and U by none to three quarters take.
	rotations, aufs [4]time.Duration

	// spelled has each insertion for a slot at FR, FL, BL and BR without a rotation;
	// the same number has the same map, seen after y.
	spelled [lastslot.Slots][]lastslot.Insertion
	// estimates has how long each takes, in milliseconds.
	estimates [lastslot.Slots][]uint16
	// tracks has how many pieces are to be followed in each.
	tracks []uint8
	// numbers has the number of each insertion by its map, seen at FR.
	numbers map[lastslot.MapKey]int

	// options has, for each slot and place of the pair, all that fills the slot, in
	// order of count and then of turns.
	options [lastslot.Slots][lastslot.PairPlaces][]bookOption
	// turns has the turns of each slot's options.
	turns [lastslot.Slots]cube.Sequence

	// cornersLeft and edgesLeft have what a map makes of the twists and flips on
	// top: an outcome's twists and flips, as [lastslot.Outcome] numbers them.
	cornersLeft *[lastslot.CornerMaps][lastslot.CornerTwists]uint8
	edgesLeft   *[lastslot.EdgeMaps][lastslot.EdgeFlips]uint8

	// usual has the usual insertions, by which of them are.
	usual [UsualNone + 1]*usual

	// rotated has, for each slot and insertion, the quarters of y before its easiest
	// spelling.
	rotated [lastslot.Slots][]uint8

	followUps [lastslot.Patterns]lastslot.FollowUp
	// upright has them as they are done before another look.
	upright [lastslot.Patterns]upright
	// choices has other easy sequences for each pattern.
	choices [lastslot.Patterns][]cube.Sequence
	// plls has sequences for each PLL, the easiest first; none for the solved one.
	plls [pll.PLLs][]bookPLL
	// after has the book's sequence for each outcome, its AUF and what both cost.
	after [lastslot.Outcomes]afterwards
}

// doNothing is the number of doing nothing; spelled has fewer.
const doNothing = 1<<16 - 1

// bookOption is one row of rotation, AUF and insertion for a place of the pair.
type bookOption struct {
	corners, edges uint16 // numbers of the map's parts
	turned         uint8  // the hold that it ends in: quarters of y
	prefix         uint8  // quarters of y before it * 4 + quarters of U
	length         uint8  // of the turns
	count          uint8
	insertion      uint16 // milliseconds, rotation and AUF left out
	number         uint16 // of the insertion, or doNothing
	first          uint32 // of the turns, in the slot's row of turns
}

// upright is a follow-up sequence that ends with the top on top, how long it is estimated to
// take and what it makes of every outcome.
type upright struct {
	turns    cube.Sequence
	estimate time.Duration
	leaves   *[lastslot.Outcomes]lastslot.Outcome
}

// With is the book in which all is spelt for the hands. That for one hand is made
// when it is first needed.
func (b *Book) With(handed hands.Handed) *Book {
	if handed == b.hands {
		return b
	}
	return b.others[handed]()
}

// Insertion is how the book spells, without a rotation, the insertion into the
// same slot that has the same map but for a turn of U at the end.
func (b *Book) Insertion(like lastslot.Insertion) (lastslot.Insertion, bool) {
	number, ok := b.numbers[like.SeenAt(lastslot.FR).Key()]
	if !ok {
		return lastslot.Insertion{}, false
	}
	return b.spelled[like.Slot][number], true
}

// Searched says in a sentence of which insertions the book's are the easiest.
func (b *Book) Searched() string { return b.searched }

// Choices are other easy sequences for a pattern beside [Book.FollowUp], the easiest first:
// from another angle, without F, with a slice or with turns of faces only.
func (b *Book) Choices(p lastslot.Pattern) []cube.Sequence { return b.choices[p] }

// FollowUp is the sequence for a pattern, done with the first two layers solved;
// empty for pattern 0. Its AUF is not part of it.
func (b *Book) FollowUp(p lastslot.Pattern) cube.Sequence { return b.followUps[p].Turns }
