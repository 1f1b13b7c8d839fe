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
	motions []motion
	entries []uint16
	classes []uint16
	// byPlace has the numbers of the rows by the place of the pair, as
	// [motion.place] tells it, in the rows' order.
	byPlace [spots * 3][spots * 2][]uint16
}

// Load reads the embedded atlas and checks it.
func Load() (*Atlas, error) { return Read(embedded) }

// Read reads an atlas from the bytes of its file and checks it.
func Read(file []byte) (*Atlas, error) {
	rows, entries, err := decode(file)
	if err != nil {
		return nil, err
	}
	a := &Atlas{rows: rows, entries: entries, classes: classes(), motions: make([]motion, len(rows))}
	for i, row := range rows {
		a.motions[i] = motionOf(row)
		place := a.motions[i].place()
		numbers := &a.byPlace[place[0]][place[1]]
		*numbers = append(*numbers, uint16(i))
	}
	return a, nil
}

// Rows are the insertions that the atlas has, for the slot at front right.
func (a *Atlas) Rows() []cube.Sequence { return a.rows }

// classes is [classOf], worked out once.
var classes = sync.OnceValue(classOf)

// Way is an AUF, in quarters of U, and an insertion for a case.
type Way struct {
	AUF       int
	Insertion cube.Sequence
}

// Turns are the AUF and the insertion.
func (w Way) Turns() cube.Sequence {
	if w.AUF == 0 {
		return slices.Clone(w.Insertion)
	}
	return cube.Join(cube.Sequence{cube.TurnOf(cube.U, w.AUF)}, w.Insertion)
}

// Shortest is an insertion with the fewest turns that leaves the pattern.
func (a *Atlas) Shortest(c lastslot.Case, pattern lastslot.Pattern) Way {
	seen, around := atFrontRight(c)
	number := a.entries[int(a.classes[seen.Index()])*lastslot.Patterns+int(pattern)]
	for quarters := range 4 {
		turned := seen.Turned(quarters)
		if left, fits := a.motions[number].fits(&turned); fits && left.Pattern() == pattern {
			return Way{quarters, a.rows[number].In(around)}
		}
	}
	panic("atlas: an entry whose row does not fit")
}

// Ways lists ways for the case that leave one of the patterns wanted, in order of
// the number of turns: a shortest for each of these patterns, and for each way
// of at most ten turns one that does the same.
func (a *Atlas) Ways(c lastslot.Case, wanted func(lastslot.Pattern) bool) []Way {
	seen, around := atFrontRight(c)
	type fit struct {
		number uint16
		auf    int
	}
	var fits []fit
	for quarters := range 4 {
		turned := seen.Turned(quarters)
		place := [2]int{turned.Corner*3 + turned.Twists[turned.Corner], turned.Edge*2 + turned.Flips[turned.Edge]}
		for _, number := range a.byPlace[place[0]][place[1]] {
			if left, _ := a.motions[number].fits(&turned); wanted(left.Pattern()) {
				fits = append(fits, fit{number, quarters})
			}
		}
	}
	slices.SortStableFunc(fits, func(a, b fit) int { return int(a.number) - int(b.number) })
	ways := make([]Way, 0, len(fits))
	for _, f := range fits {
		// Doing nothing is the same after every AUF.
		if len(a.rows[f.number]) == 0 && f.auf > 0 {
			continue
		}
		ways = append(ways, Way{f.auf, a.rows[f.number].In(around)})
	}
	return ways
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
