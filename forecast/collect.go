package forecast

import (
	"cmp"
	"slices"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// collect lists all options for the slot: each insertion in its easiest spelling,
// with or without a rotation before it, after each AUF; of those whose maps are
// the same, the easiest.
func (b *Book) collect(slot lastslot.Slot) {
	nothing, _ := lastslot.NewInsertion(slot, cube.Sequence{}) // no turns break nothing
	best := make(map[lastslot.MapKey]contender, 4*len(b.spelled[slot]))
	offer := func(c contender, does lastslot.Map) {
		key := does.Key()
		if old, known := best[key]; !known || c.before(old) {
			corners, edges := does.Numbers()
			c.corners, c.edges, c.place = uint16(corners), uint16(edges), uint8(does.PairPlace())
			best[key] = c
		}
	}
	offer(contender{number: doNothing, insertion: &nothing}, nothing.Map())
	b.rotated[slot] = make([]uint8, len(b.spelled[slot]))
	for number := range b.spelled[slot] {
		easiest := contender{number: uint16(number), insertion: &b.spelled[slot][number]}
		easiest.insert = b.estimates[slot][number]
		does := easiest.insertion.Map()
		for rotation := 1; rotation < 4; rotation++ {
			at := (int(slot) + rotation) & 3
			if insert := uint16(b.rotations[rotation]/ms) + b.estimates[at][number]; insert < easiest.insert {
				other := &b.spelled[at][number]
				easiest = contender{rotation: uint8(rotation), number: uint16(number), insertion: other, insert: insert}
				does = other.SeenAt(slot)
			}
		}
		b.rotated[slot][number] = easiest.rotation
		easiest.count = uint8(easiest.insertion.Turns.Count())
		for quarters := range 4 {
			c := easiest
			c.auf = uint8(quarters)
			c.insert += uint16(b.aufs[quarters] / ms)
			offer(c, lastslot.AUFMaps[quarters].Then(does))
		}
	}

	// By the place of the pair, in order of count and turns.
	type row struct {
		contender
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
		options := make([]bookOption, len(rows))
		for i, r := range rows {
			options[i] = bookOption{
				corners: r.corners, edges: r.edges,
				turned: (r.rotation + uint8(r.insertion.Turned())) & 3,
				prefix: r.rotation*4 + r.auf,
				length: uint8(r.length()), count: r.count,
				insertion: r.insert - uint16((b.rotations[r.rotation]+b.aufs[r.auf])/ms),
				number:    r.number, first: uint32(len(b.turns[slot])),
			}
			for _, part := range r.parts() {
				b.turns[slot] = append(b.turns[slot], part...)
			}
		}
		b.options[slot][place] = options
	}
}

// contender is an option that may be the easiest for its map.
type contender struct {
	insertion *lastslot.Insertion
	number    uint16 // of the insertion
	insert    uint16 // milliseconds
	count     uint8  // of the insertion
	// The whole's place of the pair, and the numbers of its map's parts.
	place          uint8
	corners, edges uint16
	// rotation and auf are quarters of y and of U before the insertion.
	rotation, auf uint8
}

func (c contender) parts() [3]cube.Sequence {
	return [3]cube.Sequence{lastslot.Rotations[c.rotation], lastslot.AUFs[c.auf], c.insertion.Turns}
}

func (c contender) text() textKey {
	parts := c.parts()
	return textKeyOf(parts[:]...)
}

func (c contender) length() (n int) {
	for _, part := range c.parts() {
		n += len(part)
	}
	return n
}

// before says whether c is easier; of equal ones the shorter is, then the one
// that is written first.
func (c contender) before(o contender) bool {
	if c.insert != o.insert {
		return c.insert < o.insert
	}
	return cmp.Or(cmp.Compare(c.count, o.count), c.text().compare(o.text())) < 0
}

// textKey orders sequences of up to 20 turns as their texts are ordered.
type textKey [2]uint64

func textKeyOf(parts ...cube.Sequence) (k textKey) {
	i := 0
	for _, part := range parts {
		for _, t := range part {
			k[i/10] |= uint64(t.TextRank()) << (6 * (9 - i%10))
			i++
		}
	}
	return k
}

func (k textKey) compare(o textKey) int {
	return cmp.Or(cmp.Compare(k[0], o[0]), cmp.Compare(k[1], o[1]))
}
