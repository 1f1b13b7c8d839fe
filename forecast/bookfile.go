package forecast

import (
	"bufio"
	_ "embed"
	"errors"
	"fmt"
	"strings"

	"golang.org/x/sync/errgroup"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/looks"
)

//go:generate go run ./search/find .

// What the search found for two hands: each line has an insertion,
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

// choicesFile has other easy sequences for the patterns 1 to 57, and oneHandChoicesFile
// those for the right hand alone.
var (
	//go:embed followup_choices.txt
	choicesFile string
	//go:embed followup_choices_one_hand.txt
	oneHandChoicesFile string
)

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
	err := b.eachPattern(file, func(p lastslot.Pattern, line string) error {
		both, one, ok := strings.Cut(line, "\t")
		if !ok {
			return errors.New("a line has two sequences with a tab between them")
		}
		if b.hands != hands.TwoHands {
			both = one
		}
		sequence, err := b.sequence(p, both)
		b.followUps[p] = sequence
		turns := sequence.Upright()
		b.upright[p] = upright{turns, hands.Estimate(turns, b.hands), looks.LeavesOf(&sequence)}
		return err
	})
	if err != nil {
		return err
	}
	anyone := Anyone()
	anyone.Hands, anyone.Speed = b.hands, 1
	for o := range lastslot.Outcome(lastslot.Outcomes) {
		b.after[o] = easiestOf(b.followUps[o.Pattern():o.Pattern()+1], o, anyone)
	}
	return nil
}

// loadChoices reads the other sequences for each pattern.
func (b *Book) loadChoices(file string) error {
	return b.eachPattern(file, func(p lastslot.Pattern, line string) error {
		for text := range strings.SplitSeq(line, "\t") {
			sequence, err := b.sequence(p, text)
			if err != nil {
				return err
			}
			b.choices[p] = append(b.choices[p], sequence.Turns)
		}
		return nil
	})
}

// eachPattern reads a file with a line for each of the patterns 1 to 57. For the left hand
// each line is of the mirror's pattern.
func (b *Book) eachPattern(file string, read func(lastslot.Pattern, string) error) error {
	written := lastslot.Pattern(0)
	err := lines(file, func(line string) error {
		written++
		switch {
		case written >= lastslot.Patterns:
			return errors.New("more than 57 patterns")
		case b.hands == hands.LeftHand:
			return read(written.Mirror(), line)
		}
		return read(written, line)
	})
	if err == nil && written != lastslot.Patterns-1 {
		return fmt.Errorf("%d patterns where 57 are needed", written)
	}
	return err
}

// sequence verifies one for the pattern, for the left hand the mirror image of what is
// written.
func (b *Book) sequence(p lastslot.Pattern, text string) (lastslot.FollowUp, error) {
	turns, err := cube.Parse(text)
	if err != nil {
		return lastslot.FollowUp{}, err
	}
	if b.hands == hands.LeftHand {
		turns = turns.Mirror(cube.MirrorLR)
	}
	sequence, err := lastslot.CheckSequence(p, turns)
	if err != nil {
		return lastslot.FollowUp{}, fmt.Errorf("%s: %w", turns, err)
	}
	return sequence, nil
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
	if len(texts[0]) > doNothing {
		return fmt.Errorf("more than %d insertions", doNothing)
	}
	keys := make([][]lastslot.MapKey, len(slots))
	var reading errgroup.Group
	for i, slot := range slots {
		reading.Go(func() (err error) {
			keys[i], err = b.readColumn(slot, texts[i])
			return err
		})
	}
	if err := reading.Wait(); err != nil {
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
		b.tracks = append(b.tracks, uint8(b.spelled[slots[0]][number].Map().Track()))
		for i := range keys {
			if keys[i][number] != key {
				return fmt.Errorf("%s and %s have not the same map", texts[0][number], texts[i][number])
			}
		}
	}
	if b.hands != hands.TwoHands {
		return nil
	}
	var mirroring errgroup.Group
	for _, slot := range slots {
		mirroring.Go(func() error { return b.mirror(slot) })
	}
	return mirroring.Wait()
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
