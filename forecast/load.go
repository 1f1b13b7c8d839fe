package forecast

import (
	"fmt"
	"sync"

	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
)

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

func load(handed hands.Handed) (*Book, error) {
	b := &Book{hands: handed}
	for quarters := range 4 {
		b.rotations[quarters] = hands.Estimate(lastslot.Rotations[quarters], handed)
		b.aufs[quarters] = hands.Estimate(lastslot.AUFs[quarters], handed)
	}
	if err := b.loadFollowUps(followUpsFile); err != nil {
		return nil, fmt.Errorf("follow-up sequences: %w", err)
	}
	choices := choicesFile
	if handed != hands.TwoHands {
		choices = oneHandChoicesFile
	}
	if err := b.loadChoices(choices); err != nil {
		return nil, fmt.Errorf("choices of follow-up sequences: %w", err)
	}
	plls := pllsFile
	if handed != hands.TwoHands {
		plls = oneHandPLLsFile
	}
	if err := b.loadPLLs(plls); err != nil {
		return nil, fmt.Errorf("sequences for PLL: %w", err)
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
	alike, kinds := b.alike()
	var slots sync.WaitGroup
	for slot := range lastslot.Slot(lastslot.Slots) {
		slots.Go(func() { b.collect(slot, alike, kinds) })
	}
	slots.Wait()
	onSides := b.onSides()
	for which := range b.usual {
		b.usual[which] = b.usualOf(Usual(which), &onSides)
	}
	return b, nil
}
