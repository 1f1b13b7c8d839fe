package atlas

import (
	"cmp"
	"context"
	"slices"
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
)

// filling is the table while it is filled.
type filling struct {
	found   Found
	classes []uint16
	// seen marks the maps, by number, that a row of those before has.
	seen []uint64
	left int
	// pairs is how many pairs of a case and an outcome are filled.
	pairs int
	// weights has how many cases are in a class, and outcomes in a pattern.
	weights  [Classes]int
	outcomes [lastslot.Patterns]int
	// cases has the cases by the place of the pair.
	cases [lastslot.PairPlaces][]lastslot.Case
}

func newFilling() *filling {
	f := &filling{classes: classOf(), seen: make([]uint64, lastslot.CornerMaps*lastslot.EdgeMaps/64+1), left: Pairs}
	f.found.Entries = slices.Repeat([]uint32{noEntry}, Pairs)
	for index, class := range f.classes {
		f.weights[class]++
		c := lastslot.CaseAt(index)
		place := c.PairPlace()
		f.cases[place] = append(f.cases[place], c)
	}
	for o := range lastslot.Outcome(lastslot.Outcomes) {
		f.outcomes[o.Pattern()]++
	}
	return f
}

// numberOf tells maps apart.
func numberOf(m lastslot.Map) int {
	corners, edges := m.Numbers()
	return corners*lastslot.EdgeMaps + edges
}

// mark says whether the map is new, and marks it with all that differ from it
// by AUF only.
func (f *filling) mark(m lastslot.Map) bool {
	if n := numberOf(m); f.seen[n/64]>>(n%64)&1 == 1 {
		return false
	}
	for range 4 {
		for range 4 {
			n := numberOf(m)
			f.seen[n/64] |= 1 << (n % 64)
			m = m.Then(lastslot.AUFMaps[1])
		}
		m = lastslot.AUFMaps[1].Then(m)
	}
	return true
}

// fillFrom fills the entries that are still empty with the row, and says whether
// its map is new.
func (f *filling) fillFrom(m lastslot.Map, row cube.Sequence) bool {
	if !f.mark(m) {
		return false
	}
	number := uint32(len(f.found.Rows))
	used := false
	cases := f.cases[m.PairPlace()]
	for i := range cases {
		c := &cases[i]
		class, pattern := f.classes[c.Index()], m.Leaves(c).Pattern()
		entry := &f.found.Entries[int(class)*lastslot.Patterns+int(pattern)]
		if *entry == noEntry {
			*entry, used = number, true
			f.left--
			f.pairs += f.weights[class] * f.outcomes[pattern]
		}
	}
	if used || len(row) <= completeTo {
		f.found.Rows = append(f.found.Rows, row)
	}
	return true
}

// fill takes the rows of one length, the easiest first.
func (f *filling) fill(ctx context.Context, rows []packedRow, level *Level, pace *pace) error {
	type estimated struct {
		row   packedRow
		takes time.Duration
	}
	list := make([]estimated, len(rows))
	for i, row := range rows {
		list[i] = estimated{row, hands.Estimate(row.turns(level.Turns), hands.TwoHands)}
	}
	slices.SortFunc(list, func(a, b estimated) int {
		return cmp.Or(cmp.Compare(a.takes, b.takes), cmp.Compare(a.row, b.row))
	})
	first := uint32(len(f.found.Rows))
	for i, p := range list {
		if i&0xfff == 0 {
			if ctx.Err() != nil {
				return ctx.Err()
			}
			pace.at(joinShare + (1-joinShare)*float64(i)/float64(len(list)))
		}
		turns := p.row.turns(level.Turns)
		if f.fillFrom(mapOf(turns), turns) {
			level.Maps++
		}
	}
	f.count(level, first)
	return nil
}

// count counts the pairs whose entries are rows from the first on.
func (f *filling) count(level *Level, first uint32) {
	for i, entry := range f.found.Entries {
		if entry == noEntry || entry < first {
			continue
		}
		class, pattern := i/lastslot.Patterns, i%lastslot.Patterns
		level.Pairs += f.weights[class] * f.outcomes[pattern]
		if pattern == 0 {
			level.Oriented += f.weights[class]
		}
	}
}
