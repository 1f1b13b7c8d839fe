package forecast

import (
	"cmp"
	_ "embed"
	"slices"
	"sync"
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
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

	// spelled has each motion for a slot at FR, FL, BL and BR without a rotation;
	// the same number is the same motion, seen after y.
	spelled [lastslot.Slots][]lastslot.Insertion
	// estimates has how long each takes, in milliseconds.
	estimates [lastslot.Slots][]uint16
	// numbers has the number of each motion by its map, seen at FR.
	numbers map[lastslot.MapKey]int

	// ways has, for each slot and place of the pair, all that fills the slot, in
	// order of count and then of turns.
	options [lastslot.Slots][lastslot.PairPlaces][]bookOption
	// turns has the turns of each slot's ways.
	turns [lastslot.Slots]cube.Sequence

	// cornersLeft and edgesLeft have what a map makes of the twists and flips on
	// top: an outcome's twists and flips, as [Outcome] numbers them.
	cornersLeft *[lastslot.CornerMaps][lastslot.CornerTwists]uint8
	edgesLeft   *[lastslot.EdgeMaps][lastslot.EdgeFlips]uint8

	// rotated has, for each slot and motion, the quarters of y before its easiest
	// spelling.
	rotated [lastslot.Slots][]uint8

	followUps [lastslot.Patterns]lastslot.FollowUp
	// after has the book's sequence for each outcome, its AUF and what both cost.
	after [lastslot.Outcomes]afterwards
}

// noEntry is the number of doing nothing; spelled has fewer motions.
const noEntry = 1<<16 - 1

// bookOption is one row of rotation, AUF and insertion for a place of the pair.
type bookOption struct {
	corners, edges uint16 // numbers of the map's parts
	turned         uint8  // the hold that it ends in: quarters of y
	prefix         uint8  // quarters of y before it * 4 + quarters of U
	length         uint8  // of the turns
	count          uint8
	insertion      uint16 // milliseconds, rotation and AUF left out
	number         uint16 // of the motion, or noMotion
	first          uint32 // of the turns, in the slot's row of turns
}

// With is the book in which all is spelt for the hands. That for one hand is made
// when it is first needed.
func (b *Book) With(handed hands.Handed) *Book {
	if handed == b.hands {
		return b
	}
	return b.others[handed]()
}

// leftTables has what maps make of twists and flips, the same for all hands.
var leftTables = sync.OnceValue(func() (t *struct {
	corners [lastslot.CornerMaps][lastslot.CornerTwists]uint8
	edges   [lastslot.EdgeMaps][lastslot.EdgeFlips]uint8
}) {
	t = new(struct {
		corners [lastslot.CornerMaps][lastslot.CornerTwists]uint8
		edges   [lastslot.EdgeMaps][lastslot.EdgeFlips]uint8
	})
	for number := range t.corners {
		corners := lastslot.CornersAt(number)
		for twists := range lastslot.CornerTwists {
			before := lastslot.TwistsAt(twists)
			var after [4]int
			for spot := range after {
				after[spot] = (before[corners[spot]/3] + int(corners[spot]%3)) % 3
			}
			t.corners[number][twists] = uint8(lastslot.OutcomeAs(after, [4]int{}) / 8)
		}
	}
	for number := range t.edges {
		edges := lastslot.EdgesAt(number)
		for flips := range lastslot.EdgeFlips {
			before := lastslot.FlipsAt(flips)
			var after [4]int
			for spot := range after {
				after[spot] = before[edges[spot]/2] ^ int(edges[spot]%2)
			}
			t.edges[number][flips] = uint8(lastslot.OutcomeAs([4]int{}, after))
		}
	}
	return t
})

// collect lists all ways to fill the slot: each motion in its easiest spelling,
// with or without a rotation before it, after each AUF; of those whose maps are
// the same, the easiest.
func (b *Book) collect(slot lastslot.Slot) {
	nothing, _ := lastslot.NewInsertion(slot, cube.Sequence{}) // no turns break nothing
	best := make(map[lastslot.MapKey]candidate, 4*len(b.spelled[slot]))
	offer := func(c candidate, motion lastslot.Map) {
		key := motion.Key()
		if old, known := best[key]; !known || c.before(old) {
			corners, edges := motion.Numbers()
			c.corners, c.edges, c.place = uint16(corners), uint16(edges), uint8(motion.PairPlace())
			best[key] = c
		}
	}
	offer(candidate{number: noEntry, insertion: &nothing}, nothing.Map)
	b.rotated[slot] = make([]uint8, len(b.spelled[slot]))
	for number := range b.spelled[slot] {
		easiest := candidate{number: uint16(number), insertion: &b.spelled[slot][number]}
		easiest.insert = b.estimates[slot][number]
		motion := easiest.insertion.Map
		for rotation := 1; rotation < 4; rotation++ {
			at := (int(slot) + rotation) & 3
			if insert := uint16(b.rotations[rotation]/ms) + b.estimates[at][number]; insert < easiest.insert {
				other := &b.spelled[at][number]
				easiest = candidate{rotation: uint8(rotation), number: uint16(number), insertion: other, insert: insert}
				motion = other.SeenAt(slot)
			}
		}
		b.rotated[slot][number] = easiest.rotation
		easiest.count = uint8(easiest.insertion.Turns.Count())
		for quarters := range 4 {
			c := easiest
			c.auf = uint8(quarters)
			c.insert += uint16(b.aufs[quarters] / ms)
			offer(c, lastslot.AUFMaps[quarters].Then(motion))
		}
	}

	// By the place of the pair, in order of count and turns.
	type row struct {
		candidate
		text textKey
	}
	var rows [lastslot.PairPlaces][]row
	turns := 0
	for _, c := range best {
		rows[c.place] = append(rows[c.place], row{c, c.text()})
		turns += c.length()
	}
	b.turns[slot] = make(cube.Sequence, 0, turns)
	for place, rows := range rows {
		slices.SortFunc(rows, func(a, b row) int { return cmp.Or(cmp.Compare(a.count, b.count), a.text.compare(b.text)) })
		ways := make([]bookOption, len(rows))
		for i, r := range rows {
			ways[i] = bookOption{
				corners: r.corners, edges: r.edges,
				turned: (r.rotation + uint8(r.insertion.Turned)) & 3,
				prefix: r.rotation*4 + r.auf,
				length: uint8(r.length()), count: r.count,
				insertion: r.insert - uint16((b.rotations[r.rotation]+b.aufs[r.auf])/ms),
				number:    r.number, first: uint32(len(b.turns[slot])),
			}
			for _, part := range r.parts() {
				b.turns[slot] = append(b.turns[slot], part...)
			}
		}
		b.options[slot][place] = ways
	}
}

// candidate is a way that may be the easiest for its map.
type candidate struct {
	insertion *lastslot.Insertion
	number    uint16 // of the motion
	insert    uint16 // milliseconds
	count     uint8  // of the insertion
	// The whole's place of the pair, and the numbers of its map's parts.
	place          uint8
	corners, edges uint16
	// rotation and auf are quarters of y and of U before the insertion.
	rotation, auf uint8
}

func (c candidate) parts() [3]cube.Sequence {
	return [3]cube.Sequence{lastslot.Rotations[c.rotation], lastslot.AUFs[c.auf], c.insertion.Turns}
}

func (c candidate) text() textKey {
	parts := c.parts()
	return textKeyOf(parts[:]...)
}

func (c candidate) length() (n int) {
	for _, part := range c.parts() {
		n += len(part)
	}
	return n
}

// before says whether c is easier; of equal ones the shorter is, then the one
// that is written first.
func (c candidate) before(o candidate) bool {
	if c.insert != o.insert {
		return c.insert < o.insert
	}
	return cmp.Or(cmp.Compare(c.count, o.count), c.text().compare(o.text())) < 0
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

// FollowUp is the sequence for a pattern, done with the first two layers solved;
// empty for pattern 0. Its AUF is not part of it.
func (b *Book) FollowUp(p lastslot.Pattern) cube.Sequence { return b.followUps[p].Turns }

// Insertions are all that the book has for a slot, as it stands when their turns begin.
func (b *Book) Insertions(slot lastslot.Slot) []lastslot.Insertion { return b.spelled[slot] }
