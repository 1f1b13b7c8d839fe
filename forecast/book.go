package forecast

import (
	"bufio"
	"cmp"
	_ "embed"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"slotcast/cube"
)

//go:generate go run ./search/find .

// What the search found: each line has a motion that fills the slot, spelt for a
// slot at the front right and at the back right.
//
//go:embed insertions.txt
var insertionsFile string

// What the search found: the sequence for each pattern from 1 to 57, one a line.
//
//go:embed followups.txt
var followUpsFile string

// Book has every insertion and follow-up sequence that is known, and the tables
// that a forecast looks up. It does not change once made and serves any number
// of goroutines.
type Book struct {
	// spelled has each motion for a slot at FR, FL, BL and BR without a rotation;
	// the same number is the same motion, seen after y.
	spelled [Slots][]Insertion
	// numbers has the number of each motion by its map, seen at FR.
	numbers map[mapKey]int

	// ways has, for each slot and place of the pair, all that fills the slot, in
	// order of count and then of turns.
	ways [Slots][pairPlaces][]way
	// turns has the turns of each slot's ways.
	turns [Slots]cube.Sequence

	// cornersLeft and edgesLeft have what a map makes of the twists and flips on
	// top: an outcome's twists and flips, as [Outcome] numbers them.
	cornersLeft [cornerMaps][cornerTwists]uint8
	edgesLeft   [edgeMaps][edgeFlips]uint8

	// rotated has, for each slot and motion, the quarters of y before its easiest
	// spelling.
	rotated [Slots][]uint8

	followUps [Patterns]FollowUp
	// after has the book's sequence for each outcome, its AUF and what both cost.
	after [Outcomes]afterwards
}

// noMotion is the number of doing nothing; spelled has fewer motions.
const noMotion = 1<<16 - 1

// way is one row of rotation, AUF and insertion for a place of the pair.
type way struct {
	corners, edges uint16 // numbers of the map's parts
	turned         uint8  // the hold that it ends in: quarters of y
	length         uint8  // of the turns
	count          uint16
	insert         uint16 // milliseconds, rotation and AUF included
	number         uint16 // of the motion, or noMotion
	first          uint32 // of the turns, in the slot's row of turns
}

// Load makes the book from the embedded files. Everything in them is verified:
// an error names what is wrong.
func Load() (*Book, error) {
	b := &Book{}
	if err := b.loadFollowUps(followUpsFile); err != nil {
		return nil, fmt.Errorf("follow-up sequences: %w", err)
	}
	if err := b.loadInsertions(insertionsFile); err != nil {
		return nil, fmt.Errorf("insertions: %w", err)
	}
	b.fillTables()
	var slots sync.WaitGroup
	for slot := range Slot(Slots) {
		slots.Go(func() { b.collect(slot) })
	}
	slots.Wait()
	return b, nil
}

// lines calls with each line that is no remark, and says where an error was.
func lines(file string, with func(line string) error) error {
	scanner := bufio.NewScanner(strings.NewReader(file))
	for n := 1; scanner.Scan(); n++ {
		line := scanner.Text()
		if strings.HasPrefix(line, "#") {
			continue
		}
		if err := with(line); err != nil {
			return fmt.Errorf("line %d: %w", n, err)
		}
	}
	return scanner.Err()
}

func (b *Book) loadFollowUps(file string) error {
	pattern := Pattern(0)
	err := lines(file, func(line string) error {
		pattern++
		if pattern >= Patterns {
			return errors.New("more than 57 sequences")
		}
		sequence, err := cube.Parse(line)
		if err != nil {
			return err
		}
		if b.followUps[pattern], err = CheckSequence(pattern, sequence); err != nil {
			return fmt.Errorf("%s: %w", sequence, err)
		}
		return nil
	})
	switch {
	case err != nil:
		return err
	case pattern != Patterns-1:
		return fmt.Errorf("%d sequences where 57 are needed", pattern)
	}
	anyone := Anyone()
	for o := range Outcome(Outcomes) {
		b.after[o] = easiestOf(b.followUps[o.Pattern():o.Pattern()+1], o, anyone)
	}
	return nil
}

func (b *Book) loadInsertions(file string) error {
	b.numbers = map[mapKey]int{}
	var left [2][]Insertion // the mirrored ones at FL and BL, by line
	err := lines(file, func(line string) error {
		front, back, ok := strings.Cut(line, "\t")
		if !ok {
			return errors.New("a line has two spellings with a tab between them")
		}
		var spelled [2]Insertion
		for i, text := range []string{front, back} {
			turns, err := cube.Parse(text)
			if err != nil {
				return err
			}
			if spelled[i], err = NewInsertion([]Slot{FR, BR}[i], turns); err != nil {
				return err
			}
			mirrored, err := NewInsertion([]Slot{FL, BL}[i], turns.Mirror(cube.MirrorLR))
			if err != nil {
				return err
			}
			left[i] = append(left[i], mirrored)
		}
		key := spelled[0].seenAt(FR).key()
		if spelled[1].seenAt(FR).key() != key {
			return fmt.Errorf("%s and %s are not the same motion", front, back)
		}
		if before, ok := b.numbers[key]; ok {
			return fmt.Errorf("%s has the same map as %s", front, b.spelled[FR][before].Turns)
		}
		if len(b.spelled[FR]) == noMotion {
			return fmt.Errorf("more than %d insertions", noMotion)
		}
		b.numbers[key] = len(b.spelled[FR])
		b.spelled[FR] = append(b.spelled[FR], spelled[0])
		b.spelled[BR] = append(b.spelled[BR], spelled[1])
		return nil
	})
	if err != nil {
		return err
	}
	for i, slot := range []Slot{FL, BL} {
		b.spelled[slot] = make([]Insertion, len(left[i]))
		for _, insertion := range left[i] {
			number, ok := b.numbers[insertion.seenAt(FR).key()]
			if !ok {
				return fmt.Errorf("%s, mirrored for %s, is not among those for FR", insertion.Turns, slot)
			}
			b.spelled[slot][number] = insertion
		}
	}
	return nil
}

// seenAt is the insertion's map after the puzzle is turned by y until its slot
// stands where the other is.
func (i Insertion) seenAt(slot Slot) motionMap { return i.motion.turnedRound(round(i.Slot, slot)) }

// round is how many quarters of y bring a slot to another: y brings FR to FL.
func round(from, to Slot) int { return (int(to) - int(from)) & 3 }

func (b *Book) fillTables() {
	for number := range b.cornersLeft {
		corners := cornersAt(number)
		for twists := range cornerTwists {
			before := twistsAt(twists)
			var after [4]int
			for spot := range after {
				after[spot] = (before[corners[spot]/3] + int(corners[spot]%3)) % 3
			}
			b.cornersLeft[number][twists] = uint8(OutcomeAs(after, [4]int{}) / 8)
		}
	}
	for number := range b.edgesLeft {
		edges := edgesAt(number)
		for flips := range edgeFlips {
			before := flipsAt(flips)
			var after [4]int
			for spot := range after {
				after[spot] = before[edges[spot]/2] ^ int(edges[spot]%2)
			}
			b.edgesLeft[number][flips] = uint8(OutcomeAs([4]int{}, after))
		}
	}
}

// collect lists all ways to fill the slot: each motion in its easiest spelling,
// with or without a rotation before it, after each AUF; of those whose maps are
// the same, the easiest.
func (b *Book) collect(slot Slot) {
	nothing, _ := NewInsertion(slot, cube.Sequence{}) // no turns break nothing
	best := make(map[mapKey]candidate, 4*len(b.spelled[slot]))
	offer := func(c candidate, motion motionMap) {
		key := motion.key()
		if old, known := best[key]; !known || c.before(old) {
			best[key] = c
		}
	}
	offer(candidate{number: noMotion, insertion: &nothing}, nothing.motion)
	b.rotated[slot] = make([]uint8, len(b.spelled[slot]))
	for number := range b.spelled[slot] {
		easiest := candidate{number: uint16(number), insertion: &b.spelled[slot][number]}
		easiest.insert = uint16(easiest.insertion.Cost / ms)
		motion := easiest.insertion.motion
		for rotation := 1; rotation < 4; rotation++ {
			other := &b.spelled[(int(slot)+rotation)&3][number]
			if insert := uint16((Cost(roundHolds[rotation]) + other.Cost) / ms); insert < easiest.insert {
				easiest = candidate{rotation: uint8(rotation), number: uint16(number), insertion: other, insert: insert}
				motion = other.seenAt(slot)
			}
		}
		b.rotated[slot][number] = easiest.rotation
		for quarters := range 4 {
			c := easiest
			c.auf = uint8(quarters)
			c.insert += uint16(aufCosts[quarters] / ms)
			offer(c, aufMaps[quarters].then(motion))
		}
	}

	// In order of the place of the pair, then of count and turns.
	type row struct {
		candidate
		place uint8
		count uint16
		text  textKey
	}
	rows, turns := make([]row, 0, len(best)), 0
	for _, c := range best {
		rows = append(rows, row{c, uint8(c.motion(slot).pairPlace()), uint16(c.insertion.Turns.Count()), textKeyOf(c.turns())})
		turns += c.length()
	}
	slices.SortFunc(rows, func(a, b row) int {
		return cmp.Or(cmp.Compare(a.place, b.place), cmp.Compare(a.count, b.count), a.text.compare(b.text))
	})
	ways := make([]way, len(rows))
	b.turns[slot] = make(cube.Sequence, 0, turns)
	first := 0
	for i, r := range rows {
		corners, edges := r.motion(slot).numbers()
		ways[i] = way{
			corners: uint16(corners), edges: uint16(edges),
			turned: (r.rotation + uint8(r.insertion.turned)) & 3,
			length: uint8(r.length()), count: r.count,
			insert: r.insert, number: r.number, first: uint32(len(b.turns[slot])),
		}
		for _, part := range r.parts() {
			b.turns[slot] = append(b.turns[slot], part...)
		}
		if i+1 == len(rows) || rows[i+1].place != r.place {
			b.ways[slot][r.place] = ways[first : i+1 : i+1]
			first = i + 1
		}
	}
}

// candidate is a way that may be the easiest for its map.
type candidate struct {
	insertion *Insertion
	number    uint16 // of the motion
	insert    uint16 // milliseconds
	// rotation and auf are quarters of y and of U before the insertion.
	rotation, auf uint8
}

func (c candidate) parts() [3]cube.Sequence {
	return [3]cube.Sequence{roundHolds[c.rotation], auf[c.auf], c.insertion.Turns}
}

func (c candidate) turns() cube.Sequence {
	parts := c.parts()
	return cube.Join(parts[:]...)
}

func (c candidate) length() (n int) {
	for _, part := range c.parts() {
		n += len(part)
	}
	return n
}

// motion is the map of the whole, AUF included, in cases of the slot.
func (c candidate) motion(slot Slot) motionMap {
	return aufMaps[c.auf].then(c.insertion.seenAt(slot))
}

// before says whether c is easier; of equal ones the shorter is, then the one
// that is written first.
func (c candidate) before(o candidate) bool {
	if c.insert != o.insert {
		return c.insert < o.insert
	}
	return cmp.Or(cmp.Compare(c.insertion.Turns.Count(), o.insertion.Turns.Count()), textKeyOf(c.turns()).compare(textKeyOf(o.turns()))) < 0
}

// textKey orders sequences of up to 20 turns as their texts are ordered.
type textKey [2]uint64

// textRanks numbers the turns from 1 in the order of their texts. A space comes
// before every sign that a turn can have, so turn by turn is letter by letter.
var textRanks = func() (ranks [cube.Turns]uint64) {
	turns := make([]cube.Turn, cube.Turns)
	for t := range turns {
		turns[t] = cube.Turn(t)
	}
	slices.SortFunc(turns, func(a, b cube.Turn) int { return strings.Compare(a.String(), b.String()) })
	for i, t := range turns {
		ranks[t] = uint64(i + 1)
	}
	return ranks
}()

func textKeyOf(s cube.Sequence) (k textKey) {
	for i, t := range s {
		k[i/10] |= textRanks[t] << (6 * (9 - i%10))
	}
	return k
}

// compareTexts orders sequences of any length as their texts are ordered.
func compareTexts(a, b cube.Sequence) int {
	return slices.CompareFunc(a, b, func(a, b cube.Turn) int { return cmp.Compare(textRanks[a], textRanks[b]) })
}

func (k textKey) compare(o textKey) int {
	return cmp.Or(cmp.Compare(k[0], o[0]), cmp.Compare(k[1], o[1]))
}

// Insertion is how the book spells, without a rotation, the insertion into the
// same slot that has the same map but for a turn of U at the end.
func (b *Book) Insertion(like Insertion) (Insertion, bool) {
	number, ok := b.numbers[like.seenAt(FR).key()]
	if !ok {
		return Insertion{}, false
	}
	return b.spelled[like.Slot][number], true
}

// FollowUp is the sequence for a pattern, done with the first two layers solved;
// empty for pattern 0. Its AUF is not part of it.
func (b *Book) FollowUp(p Pattern) cube.Sequence { return b.followUps[p].Turns }
