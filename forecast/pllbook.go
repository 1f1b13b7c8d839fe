package forecast

import (
	_ "embed"
	"errors"
	"fmt"
	"strings"
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/pll"
)

//go:generate go run ./search/plls .

// What the search found for each PLL: its letters, then the easiest sequence and others,
// for two hands and for the right one alone.
var (
	//go:embed plls.txt
	pllsFile string
	//go:embed plls_one_hand.txt
	oneHandPLLsFile string
)

// bookPLL is a sequence of the book's, and how long it is estimated to take.
type bookPLL struct {
	pll.Sequence
	estimate time.Duration
}

// loadPLLs reads the sequences for each PLL. For the left hand each line is of the mirror's.
func (b *Book) loadPLLs(file string) error {
	err := lines(file, func(line string) error {
		letters, texts, ok := strings.Cut(line, "\t")
		if !ok {
			return errors.New("a line has letters and sequences with tabs between them")
		}
		p, err := pll.Parse(letters)
		if err != nil {
			return err
		}
		if b.hands == hands.LeftHand {
			p = p.Mirror()
		}
		if b.plls[p] != nil {
			return fmt.Errorf("PLL %s stands there twice", p)
		}
		for text := range strings.SplitSeq(texts, "\t") {
			turns, err := cube.Parse(text)
			if err != nil {
				return err
			}
			if b.hands == hands.LeftHand {
				turns = turns.Mirror(cube.MirrorLR)
			}
			sequence, err := pll.CheckSequence(p, turns)
			if err != nil {
				return fmt.Errorf("%s: %w", turns, err)
			}
			b.plls[p] = append(b.plls[p], bookPLL{sequence, hands.Estimate(sequence.Turns, b.hands)})
		}
		return nil
	})
	for p := pll.PLL(1); p < pll.PLLs && err == nil; p++ {
		if b.plls[p] == nil {
			err = fmt.Errorf("PLL %s has no sequence", p)
		}
	}
	return err
}

// PLLSequences are easy sequences for a PLL, the easiest first: the others are from another
// angle, without F, with a slice or with turns of faces only. None for the solved one.
func (b *Book) PLLSequences(p pll.PLL) (sequences []cube.Sequence) {
	for i := range b.plls[p] {
		sequences = append(sequences, b.plls[p][i].Turns)
	}
	return sequences
}
