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
	most := 1 + len(lastslot.AUFs)*len(b.spelled[slot])
	best := make([]contender, 0, most)
	indices := make(map[lastslot.MapKey]int32, most) // into best
	offer := func(c contender, does lastslot.Map) {
		key := does.Key()
		at, known := indices[key]
		if known && !c.before(best[at]) {
			return
		}
		corners, edges := does.Numbers()
		c.corners, c.edges, c.place = uint16(corners), uint16(edges), uint8(does.PairPlace())
		if known {
			best[at] = c
			return
		}
		indices[key] = int32(len(best))
		best = append(best, c)
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
		text := textKeyOf(easiest.insertion.Turns)
		for quarters := range 4 {
			c := easiest
			c.auf = uint8(quarters)
			c.insert += uint16(b.aufs[quarters] / ms)
			c.text = text.after(lastslot.Rotations[c.rotation], lastslot.AUFs[quarters])
			offer(c, lastslot.AUFMaps[quarters].Then(does))
		}
	}

	// By the place of the pair, in order of count and turns.
	type row struct {
		count uint8
		text  textKey
		index int32 // into best
	}
	var sizes [lastslot.PairPlaces]int
	turns := 0
	for i := range best {
		sizes[best[i].place]++
		turns += best[i].length()
	}
	var rows [lastslot.PairPlaces][]row
	for place, size := range sizes {
		rows[place] = make([]row, 0, size)
	}
	for i := range best {
		c := &best[i]
		rows[c.place] = append(rows[c.place], row{c.count, c.text, int32(i)})
	}
	b.turns[slot] = make(cube.Sequence, 0, turns)
	for place, rows := range rows {
		slices.SortFunc(rows, func(a, b row) int { return cmp.Or(cmp.Compare(a.count, b.count), a.text.compare(b.text)) })
		options := make([]bookOption, len(rows))
		for i, r := range rows {
			c := &best[r.index]
			options[i] = bookOption{
				corners: c.corners, edges: c.edges,
				turned: (c.rotation + uint8(c.insertion.Turned())) & 3,
				prefix: c.rotation*4 + c.auf,
				length: uint8(c.length()), count: c.count,
				insertion: c.insert - uint16((b.rotations[c.rotation]+b.aufs[c.auf])/ms),
				number:    c.number, first: uint32(len(b.turns[slot])),
			}
			for _, part := range c.parts() {
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
	// text orders the turns of all three.
	text textKey
}

func (c *contender) parts() [3]cube.Sequence {
	return [3]cube.Sequence{lastslot.Rotations[c.rotation], lastslot.AUFs[c.auf], c.insertion.Turns}
}

func (c *contender) length() (n int) {
	for _, part := range c.parts() {
		n += len(part)
	}
	return n
}

// before says whether c is easier; of equal ones the shorter is, then the one
// that is written first.
func (c *contender) before(o contender) bool {
	if c.insert != o.insert {
		return c.insert < o.insert
	}
	return cmp.Or(cmp.Compare(c.count, o.count), c.text.compare(o.text)) < 0
}

// textKey orders sequences of up to 20 turns as their texts are ordered: ten turns to a
// word, six bits each, the first turn in the highest of 60.
type textKey [2]uint64

func textKeyOf(turns cube.Sequence) (k textKey) {
	for i, t := range turns {
		k[i/10] |= uint64(t.TextRank()) << (6 * (9 - i%10))
	}
	return k
}

// after is the key of k's turns after those of the parts, which are ten at most.
func (k textKey) after(parts ...cube.Sequence) textKey {
	var before uint64
	n := 0
	for _, part := range parts {
		for _, t := range part {
			before |= uint64(t.TextRank()) << (6 * (9 - n))
			n++
		}
	}
	return textKey{before | k[0]>>(6*n), k[0]<<(60-6*n)&(1<<60-1) | k[1]>>(6*n)}
}

func (k textKey) compare(o textKey) int {
	return cmp.Or(cmp.Compare(k[0], o[0]), cmp.Compare(k[1], o[1]))
}
