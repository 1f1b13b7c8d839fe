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
	"time"

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
			b.cornersLeft[number][twists] = uint8(outcomeOf(after, [4]int{}) / 8)
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
			b.edgesLeft[number][flips] = uint8(outcomeOf([4]int{}, after))
		}
	}
}

// collect lists all ways to fill the slot: each motion in its easiest spelling,
// with or without a rotation before it, after each AUF; of those whose maps are
// the same, the easiest.
func (b *Book) collect(slot Slot) {
	type candidate struct {
		rotation, auf int
		number        int
		insertion     *Insertion
		cost          time.Duration
		turns         cube.Sequence
		count         int
		text          textKey
	}
	nothing, _ := NewInsertion(slot, cube.Sequence{}) // no turns break nothing
	best := make(map[mapKey]candidate, 4*len(b.spelled[slot]))
	offer := func(c candidate, motion motionMap) {
		key := motion.key()
		old, known := best[key]
		if known && old.cost < c.cost {
			return
		}
		c.turns = cube.Join(roundHolds[c.rotation], auf[c.auf], c.insertion.Turns)
		c.count, c.text = c.insertion.Turns.Count(), textKeyOf(c.turns)
		if !known || cmp.Or(cmp.Compare(c.cost, old.cost), cmp.Compare(c.count, old.count), c.text.compare(old.text)) < 0 {
			best[key] = c
		}
	}
	offer(candidate{number: noMotion, insertion: &nothing}, nothing.motion)
	b.rotated[slot] = make([]uint8, len(b.spelled[slot]))
	for number := range b.spelled[slot] {
		easiest := candidate{number: number, insertion: &b.spelled[slot][number]}
		easiest.cost = easiest.insertion.Cost
		motion := easiest.insertion.motion
		for rotation := 1; rotation < 4; rotation++ {
			other := &b.spelled[(int(slot)+rotation)&3][number]
			if cost := Cost(roundHolds[rotation]) + other.Cost; cost < easiest.cost {
				easiest = candidate{rotation: rotation, number: number, insertion: other, cost: cost}
				motion = other.seenAt(slot)
			}
		}
		b.rotated[slot][number] = uint8(easiest.rotation)
		for quarters := range 4 {
			c := easiest
			c.auf = quarters
			c.cost += Cost(auf[quarters])
			offer(c, aufMaps[quarters].then(motion))
		}
	}

	var lists [pairPlaces][]candidate
	for _, c := range best {
		motion := aufMaps[c.auf].then(c.insertion.seenAt(slot))
		lists[motion.pairPlace()] = append(lists[motion.pairPlace()], c)
	}
	for place, list := range lists {
		slices.SortFunc(list, func(a, b candidate) int {
			return cmp.Or(cmp.Compare(a.count, b.count), a.text.compare(b.text))
		})
		for _, c := range list {
			corners, edges := aufMaps[c.auf].then(c.insertion.seenAt(slot)).numbers()
			b.ways[slot][place] = append(b.ways[slot][place], way{
				corners: uint16(corners), edges: uint16(edges),
				turned: uint8((c.rotation + c.insertion.turned) & 3),
				length: uint8(len(c.turns)), count: uint16(c.count),
				insert: uint16(c.cost / ms), number: uint16(c.number), first: uint32(len(b.turns[slot])),
			})
			b.turns[slot] = append(b.turns[slot], c.turns...)
		}
	}
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
