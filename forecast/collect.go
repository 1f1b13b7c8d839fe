package forecast

import (
	"cmp"
	"slices"
	"sync"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// alike numbers what each insertion does after each AUF, at number*4 + quarters of U, up
// to the second result: of the same number are those whose maps are the same but for a
// turn of U at the end. They are so for every slot, as y turns all maps alike.
func (b *Book) alike() (numbers []int32, count int) {
	insertions := b.spelled[lastslot.FR]
	keys := make([]lastslot.MapKey, 4*len(insertions))
	var quartered sync.WaitGroup
	for quarters, auf := range lastslot.AUFMaps {
		quartered.Go(func() {
			for number := range insertions {
				keys[number*4+quarters] = auf.Then(insertions[number].Map()).Key()
			}
		})
	}
	quartered.Wait()
	known := make(map[lastslot.MapKey]int32, len(keys))
	numbers = make([]int32, len(keys))
	for i, key := range keys {
		n, ok := known[key]
		if !ok {
			n = int32(len(known))
			known[key] = n
		}
		numbers[i] = n
	}
	return numbers, len(known)
}

// collect lists all options for the slot: each insertion in its easiest spelling,
// with or without a rotation before it, after each AUF; of those that [Book.alike]
// numbers the same, the easiest.
func (b *Book) collect(slot lastslot.Slot, alike []int32, kinds int) {
	nothing, _ := lastslot.NewInsertion(slot, cube.Sequence{}) // no turns break nothing
	best := make([]contender, kinds, kinds+1)
	b.rotated[slot] = make([]uint8, len(b.spelled[slot]))
	for number := range b.spelled[slot] {
		easiest := contender{number: uint16(number), insertion: &b.spelled[slot][number]}
		easiest.insert = b.estimates[slot][number]
		for rotation := 1; rotation < 4; rotation++ {
			at := (int(slot) + rotation) & 3
			if insert := uint16(b.rotations[rotation]/ms) + b.estimates[at][number]; insert < easiest.insert {
				easiest = contender{rotation: uint8(rotation), number: uint16(number), insertion: &b.spelled[at][number], insert: insert}
			}
		}
		b.rotated[slot][number] = easiest.rotation
		easiest.order.count = uint8(easiest.insertion.Turns.Count())
		text := textKeyOf(easiest.insertion.Turns)
		for quarters := range 4 {
			c := easiest
			c.auf = uint8(quarters)
			c.insert += uint16(b.aufs[quarters] / ms)
			c.order.text = text.after(lastslot.Rotations[c.rotation], lastslot.AUFs[quarters])
			if known := &best[alike[number*4+quarters]]; known.insertion == nil || c.before(known) {
				*known = c
			}
		}
	}
	best = append(best, contender{number: doNothing, insertion: &nothing})

	// By the place of the pair, in order of count and turns.
	type row struct {
		order
		index int32 // into best
	}
	does := make([]lastslot.Map, len(best))
	var sizes [lastslot.PairPlaces]int
	turns := 0
	for i := range best {
		c := &best[i]
		does[i] = lastslot.AUFMaps[c.auf].Then(c.insertion.SeenAt(slot))
		sizes[does[i].PairPlace()]++
		turns += c.length()
	}
	var rows [lastslot.PairPlaces][]row
	for place, size := range sizes {
		rows[place] = make([]row, 0, size)
	}
	for i := range best {
		place := does[i].PairPlace()
		rows[place] = append(rows[place], row{best[i].order, int32(i)})
	}
	b.turns[slot] = make(cube.Sequence, 0, turns)
	for place, rows := range rows {
		slices.SortFunc(rows, func(a, b row) int { return a.compare(b.order) })
		options := make([]bookOption, len(rows))
		for i, r := range rows {
			c := &best[r.index]
			corners, edges := does[r.index].Numbers()
			options[i] = bookOption{
				corners: uint16(corners), edges: uint16(edges),
				turned: (c.rotation + uint8(c.insertion.Turned())) & 3,
				prefix: c.rotation*4 + c.auf,
				length: uint8(c.length()), count: c.order.count,
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

// contender is an option that may be the easiest of those that do the same.
type contender struct {
	insertion *lastslot.Insertion
	number    uint16 // of the insertion
	insert    uint16 // milliseconds
	// rotation and auf are quarters of y and of U before the insertion.
	rotation, auf uint8
	order         order
}

func (c *contender) parts() [3]cube.Sequence {
	return [3]cube.Sequence{lastslot.Rotations[c.rotation], lastslot.AUFs[c.auf], c.insertion.Turns}
}

func (c *contender) length() int {
	return len(lastslot.Rotations[c.rotation]) + len(lastslot.AUFs[c.auf]) + len(c.insertion.Turns)
}

// before says whether c is easier; of equal ones the shorter is, then the one
// that is written first.
func (c *contender) before(o *contender) bool {
	if c.insert != o.insert {
		return c.insert < o.insert
	}
	return c.order.compare(o.order) < 0
}

// order puts options by the count of their insertion and then by all that is turned.
type order struct {
	count uint8
	text  textKey
}

func (o order) compare(p order) int {
	if o.count != p.count {
		return cmp.Compare(o.count, p.count)
	}
	return o.text.compare(p.text)
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
	if k[0] != o[0] {
		return cmp.Compare(k[0], o[0])
	}
	return cmp.Compare(k[1], o[1])
}
