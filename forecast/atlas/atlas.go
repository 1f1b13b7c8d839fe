package atlas

import (
	_ "embed"
	"slices"
	"sync"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

//go:generate go run ./build atlas.bin

//go:embed atlas.bin
var embedded []byte

// Searched says in a sentence what the search went through.
const Searched = "All sequences of face turns, length by length, until every case has one for every pattern: none is shorter; and all that differ of at most 10 turns."

// Atlas has a shortest insertion for every case and pattern. It does not change
// once made and serves any number of goroutines.
type Atlas struct {
	rows    []cube.Sequence
	maps    []lastslot.Map
	entries []uint16
	classes []uint16
	// byPlace has the numbers of the rows by the place of the pair, in the rows' order.
	byPlace [lastslot.PairPlaces][]uint16
}

// Load reads the embedded atlas and checks it.
func Load() (*Atlas, error) { return Read(embedded) }

// Read reads an atlas from the bytes of its file and checks it.
func Read(file []byte) (*Atlas, error) {
	rows, entries, err := decode(file)
	if err != nil {
		return nil, err
	}
	a := &Atlas{rows: rows, entries: entries, classes: classes(), maps: make([]lastslot.Map, len(rows))}
	for i, row := range rows {
		a.maps[i] = mapOf(row)
		numbers := &a.byPlace[a.maps[i].PairPlace()]
		*numbers = append(*numbers, uint16(i))
	}
	return a, nil
}

// Rows are the insertions that the atlas has, for the slot at front right.
func (a *Atlas) Rows() []cube.Sequence { return a.rows }

// classes is [classOf], worked out once.
var classes = sync.OnceValue(classOf)

// Option is an AUF, in quarters of U, and an insertion for a case.
type Option struct {
	AUF       int
	Insertion cube.Sequence
}

// Turns are the AUF and the insertion.
func (o Option) Turns() cube.Sequence {
	if o.AUF == 0 {
		return slices.Clone(o.Insertion)
	}
	return cube.Join(cube.Sequence{cube.TurnOf(cube.U, o.AUF)}, o.Insertion)
}

// Shortest is an insertion with the fewest turns that leaves the pattern.
func (a *Atlas) Shortest(c lastslot.Case, pattern lastslot.Pattern) Option {
	seen, around := atFrontRight(c)
	number := a.entries[int(a.classes[seen.Index()])*lastslot.Patterns+int(pattern)]
	for quarters := range 4 {
		turned := seen.Turned(quarters)
		m := &a.maps[number]
		if m.PairPlace() == turned.PairPlace() && m.Leaves(&turned).Pattern() == pattern {
			return Option{quarters, a.rows[number].In(around)}
		}
	}
	panic("atlas: an entry whose row does not fit")
}

// Options lists options for the case that leave one of the patterns wanted, in order of
// the number of turns: a shortest for each of these patterns, and for each option
// of at most ten turns one that does the same.
func (a *Atlas) Options(c lastslot.Case, wanted func(lastslot.Pattern) bool) []Option {
	seen, around := atFrontRight(c)
	type fit struct {
		number uint16
		auf    int
	}
	var fits []fit
	for quarters := range 4 {
		turned := seen.Turned(quarters)
		for _, number := range a.byPlace[turned.PairPlace()] {
			if wanted(a.maps[number].Leaves(&turned).Pattern()) {
				fits = append(fits, fit{number, quarters})
			}
		}
	}
	slices.SortStableFunc(fits, func(a, b fit) int { return int(a.number) - int(b.number) })
	options := make([]Option, 0, len(fits))
	for _, f := range fits {
		// Doing nothing is the same after every AUF.
		if len(a.rows[f.number]) == 0 && f.auf > 0 {
			continue
		}
		options = append(options, Option{f.auf, a.rows[f.number].In(around)})
	}
	return options
}

// atFrontRight is the case seen after y until its slot is at the front right, and
// the hold in which what is done there is written as for the case itself.
func atFrontRight(c lastslot.Case) (lastslot.Case, cube.Hold) {
	quarters := (int(lastslot.FR) - int(c.Slot)) & 3
	seen := c.TurnedRound(quarters)
	if quarters == 0 {
		return seen, 0
	}
	return seen, cube.Sequence{cube.TurnOf(cube.Y, -quarters)}.Cube().Hold()
}
