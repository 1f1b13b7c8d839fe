package forecast

import (
	"bufio"
	"cmp"

	"slotcast/forecast/lastslot"

	_ "embed"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
)

//go:generate go run ./search/find .

// What the search found for two hands: each line has a motion that fills the slot,
// spelt for a slot at FR and at BR.
//
//go:embed insertions.txt
var insertionsFile string

// The same for the right hand alone: each line is spelt for a slot at FR, FL, BL
// and BR.
//
//go:embed insertions_one_hand.txt
var oneHandFile string

// What the search found: the sequence for each pattern from 1 to 57, one a line,
// for two hands and for the right hand alone.
//
//go:embed followups.txt
var followUpsFile string

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
	ways [lastslot.Slots][lastslot.PairPlaces][]way
	// turns has the turns of each slot's ways.
	turns [lastslot.Slots]cube.Sequence

	// cornersLeft and edgesLeft have what a map makes of the twists and flips on
	// top: an outcome's twists and flips, as [lastslot.Outcome] numbers them.
	cornersLeft *[lastslot.CornerMaps][lastslot.CornerTwists]uint8
	edgesLeft   *[lastslot.EdgeMaps][lastslot.EdgeFlips]uint8

	// rotated has, for each slot and motion, the quarters of y before its easiest
	// spelling.
	rotated [lastslot.Slots][]uint8

	followUps [lastslot.Patterns]lastslot.FollowUp
	// after has the book's sequence for each outcome, its AUF and what both cost.
	after [lastslot.Outcomes]afterwards
}

// noMotion is the number of doing nothing; spelled has fewer motions.
const noMotion = 1<<16 - 1

// way is one row of rotation, AUF and insertion for a place of the pair.
type way struct {
	corners, edges uint16 // numbers of the map's parts
	turned         uint8  // the hold that it ends in: quarters of y
	prefix         uint8  // quarters of y before it * 4 + quarters of U
	length         uint8  // of the turns
	count          uint8
	insertion      uint16 // milliseconds, rotation and AUF left out
	number         uint16 // of the motion, or noMotion
	first          uint32 // of the turns, in the slot's row of turns
}

// Load makes the book from the embedded files. Everything in them is verified:
// an error names what is wrong. What one hand alone needs is read when a person
// with one hand is first asked for.
func Load() (*Book, error) {
	b, err := load(hands.TwoHands)
	if err != nil {
		return nil, err
	}
	for _, handed := range []hands.Handed{hands.RightHand, hands.LeftHand} {
		b.others[handed] = sync.OnceValue(func() *Book {
			other, err := load(handed)
			if err != nil {
				// The file is part of the program, and tests read it.
				panic("forecast: " + err.Error())
			}
			return other
		})
	}
	return b, nil
}

// With is the book in which all is spelt for the hands. That for one hand is made
// when it is first needed.
func (b *Book) With(handed hands.Handed) *Book {
	if handed == b.hands {
		return b
	}
	return b.others[handed]()
}

func load(handed hands.Handed) (*Book, error) {
	b := &Book{hands: handed}
	for quarters := range 4 {
		b.rotations[quarters] = hands.Estimate(lastslot.Rotations[quarters], handed)
		b.aufs[quarters] = hands.Estimate(lastslot.AUFs[quarters], handed)
	}
	if err := b.loadFollowUps(followUpsFile); err != nil {
		return nil, fmt.Errorf("follow-up sequences: %w", err)
	}
	name, file := "insertions", insertionsFile
	if handed != hands.TwoHands {
		name, file = "insertions for one hand", oneHandFile
	}
	if err := b.loadInsertions(file); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	tables := lastslot.LeftTables()
	b.cornersLeft, b.edgesLeft = &tables.Corners, &tables.Edges
	var slots sync.WaitGroup
	for slot := range lastslot.Slot(lastslot.Slots) {
		slots.Go(func() { b.collect(slot) })
	}
	slots.Wait()
	return b, nil
}

// searchedRemark begins the remark in a file that says what was searched.
const searchedRemark = "\n# Searched: "

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
	pattern := lastslot.Pattern(0)
	err := lines(file, func(line string) error {
		pattern++
		if pattern >= lastslot.Patterns {
			return errors.New("more than 57 sequences")
		}
		both, one, ok := strings.Cut(line, "\t")
		if !ok {
			return errors.New("a line has two sequences with a tab between them")
		}
		if b.hands != hands.TwoHands {
			both = one
		}
		sequence, err := cube.Parse(both)
		if err != nil {
			return err
		}
		own := pattern
		if b.hands == hands.LeftHand {
			sequence, own = sequence.Mirror(cube.MirrorLR), pattern.Mirror()
		}
		if b.followUps[own], err = lastslot.CheckSequence(own, sequence); err != nil {
			return fmt.Errorf("%s: %w", sequence, err)
		}
		return nil
	})
	switch {
	case err != nil:
		return err
	case pattern != lastslot.Patterns-1:
		return fmt.Errorf("%d sequences where 57 are needed", pattern)
	}
	anyone := Anyone()
	anyone.Hands = b.hands
	for o := range lastslot.Outcome(lastslot.Outcomes) {
		b.after[o] = easiestOf(b.followUps[o.Pattern():o.Pattern()+1], o, anyone)
	}
	return nil
}

// columns are the slots for which a line of the hands' file has a spelling.
func columns(handed hands.Handed) []lastslot.Slot {
	switch handed {
	case hands.RightHand:
		return []lastslot.Slot{lastslot.FR, lastslot.FL, lastslot.BL, lastslot.BR}
	case hands.LeftHand: // the right hand's, mirrored
		return []lastslot.Slot{lastslot.FL, lastslot.FR, lastslot.BR, lastslot.BL}
	}
	return []lastslot.Slot{lastslot.FR, lastslot.BR}
}

func (b *Book) loadInsertions(file string) error {
	_, rest, ok := strings.Cut(file, searchedRemark)
	if !ok {
		return errors.New("no remark says what was searched")
	}
	b.searched, _, _ = strings.Cut(rest, "\n")

	slots := columns(b.hands)
	texts := make([][]string, len(slots))
	err := lines(file, func(line string) error {
		row := strings.Split(line, "\t")
		if len(row) != len(slots) {
			return fmt.Errorf("a line has %d spellings with tabs between them", len(slots))
		}
		for i := range texts {
			texts[i] = append(texts[i], row[i])
		}
		return nil
	})
	if err != nil {
		return err
	}
	if len(texts[0]) > noMotion {
		return fmt.Errorf("more than %d insertions", noMotion)
	}
	keys, errs := make([][]lastslot.MapKey, len(slots)), make([]error, len(slots))
	var reading sync.WaitGroup
	for i, slot := range slots {
		reading.Go(func() { keys[i], errs[i] = b.readColumn(slot, texts[i]) })
	}
	reading.Wait()
	if err := errors.Join(errs...); err != nil {
		return err
	}

	b.numbers = make(map[lastslot.MapKey]int, len(keys[0]))
	for number, key := range keys[0] {
		if b.spelled[slots[0]][number].Map().TurnsTopOnly() {
			return fmt.Errorf("%s does nothing but turn the top", texts[0][number])
		}
		if before, known := b.numbers[key]; known {
			return fmt.Errorf("%s has the same map as %s", texts[0][number], texts[0][before])
		}
		b.numbers[key] = number
		for i := range keys {
			if keys[i][number] != key {
				return fmt.Errorf("%s and %s are not the same motion", texts[0][number], texts[i][number])
			}
		}
	}
	if b.hands == hands.TwoHands {
		for _, slot := range slots {
			if err := b.mirror(slot); err != nil {
				return err
			}
		}
	}
	return nil
}

// readColumn reads the spellings for the slot, and works out their maps' keys as
// seen at FR.
func (b *Book) readColumn(slot lastslot.Slot, texts []string) ([]lastslot.MapKey, error) {
	keys := make([]lastslot.MapKey, len(texts))
	b.spelled[slot], b.estimates[slot] = make([]lastslot.Insertion, len(texts)), make([]uint16, len(texts))
	for number, text := range texts {
		turns, err := cube.Parse(text)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", text, err)
		}
		if b.hands == hands.LeftHand {
			turns = turns.Mirror(cube.MirrorLR)
		}
		insertion, err := lastslot.NewInsertion(slot, turns)
		if err != nil {
			return nil, err
		}
		b.spelled[slot][number] = insertion
		b.estimates[slot][number] = uint16(hands.Estimate(turns, b.hands) / ms)
		keys[number] = insertion.SeenAt(lastslot.FR).Key()
	}
	return keys, nil
}

// mirror fills the slot across with the mirror images of the slot's insertions,
// which take two hands as long.
func (b *Book) mirror(slot lastslot.Slot) error {
	across := slot ^ 1 // FR and FL stand side by side in the order of the slots, and BL and BR
	b.spelled[across], b.estimates[across] = make([]lastslot.Insertion, len(b.spelled[slot])), make([]uint16, len(b.spelled[slot]))
	for number, insertion := range b.spelled[slot] {
		mirrored, err := lastslot.NewInsertion(across, insertion.Turns.Mirror(cube.MirrorLR))
		if err != nil {
			return err
		}
		at, ok := b.numbers[mirrored.SeenAt(lastslot.FR).Key()]
		if !ok {
			return fmt.Errorf("%s, mirrored for %s, is not among those for FR", mirrored.Turns, across)
		}
		b.spelled[across][at], b.estimates[across][at] = mirrored, b.estimates[slot][number]
	}
	return nil
}

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
	offer(candidate{number: noMotion, insertion: &nothing}, nothing.Map())
	b.rotated[slot] = make([]uint8, len(b.spelled[slot]))
	for number := range b.spelled[slot] {
		easiest := candidate{number: uint16(number), insertion: &b.spelled[slot][number]}
		easiest.insert = b.estimates[slot][number]
		motion := easiest.insertion.Map()
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
		ways := make([]way, len(rows))
		for i, r := range rows {
			ways[i] = way{
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
		b.ways[slot][place] = ways
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
