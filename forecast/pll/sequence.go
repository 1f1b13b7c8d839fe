package pll

import (
	"errors"
	"fmt"
	"strings"
	"sync"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Parse reads the trade's letters of one of the 21: where all is solved nothing is to be done.
func Parse(letters string) (PLL, error) {
	for p := PLL(1); p < PLLs; p++ {
		if p.String() == letters {
			return p, nil
		}
	}
	return 0, fmt.Errorf("no PLL “%s”: they are %s", letters, strings.Join(Letters(), ", "))
}

// Letters are those of the 21, in the order in which they are counted.
func Letters() (all []string) {
	for p := PLL(1); p < PLLs; p++ {
		all = append(all, p.String())
	}
	return all
}

// Mirror is the PLL seen in a mirror that swaps left and right.
func (p PLL) Mirror() PLL { return mirrors()[p] }

// Stand is how the pieces of the oriented top stand among each other and beside the first
// two layers: the exact order, of which [PLL] is what is left up to AUF.
type Stand struct{ order topOrder }

// StandOf reads it from a puzzle, however held, with the first two layers solved at the
// bottom and the top oriented; false says that it is not so.
func StandOf(c cube.Cube) (Stand, bool) {
	seen := c.Hold().Cube().Inverse().Then(c)
	if lastslot.Breaks(seen) != "" || lastslot.OutcomeOf(seen) != 0 {
		return Stand{}, false
	}
	s := Stand{topOrderOf(seen)}
	_, ok := plls()[s.order]
	return s, ok
}

// PLL is what is left of it up to AUF.
func (s Stand) PLL() PLL { return plls()[s.order] }

// Last is the quarters of U that solve everything; false where more is needed.
func (s Stand) Last() (quarters int, ok bool) {
	for quarters, auf := range aufOrders {
		if s.order.then(auf) == aufOrders[0] {
			return quarters, true
		}
	}
	return 0, false
}

// After is how the pieces stand after so many quarters of U and the sequence, in the hold in
// which it ends.
func (s Stand) After(quarters int, sequence *Sequence) Stand {
	return Stand{s.order.then(aufOrders[quarters&3]).then(sequence.does)}
}

// aufOrders are what turns of U by none to three quarters make of the solved top.
var aufOrders = func() (orders [4]topOrder) {
	for quarters, auf := range lastslot.AUFs {
		orders[quarters] = topOrderOf(auf.Cube())
	}
	return orders
}()

// Sequence is turns that solve one PLL up to AUF and keep the first two layers. It is only made
// by [CheckSequence], which verifies that.
type Sequence struct {
	// Turns have no AUF at either end, and end with the top on top.
	Turns cube.Sequence

	solves PLL
	does   topOrder
}

// CheckSequence accepts turns that solve the PLL and keep the first two layers and how the top is
// turned, whatever AUF or rotation they start or end with. An error says what they do instead.
func CheckSequence(p PLL, turns cube.Sequence) (Sequence, error) {
	if p == 0 || p >= PLLs {
		return Sequence{}, errors.New("a PLL skip needs no algorithm")
	}
	rotation, turns := lastslot.WithoutAUF(turns)
	turns = cube.Join(lastslot.Rotations[rotation], turns)
	effect, hold := lastslot.Effect(turns)
	if int(hold) >= len(lastslot.Rotations) {
		turns = cube.Join(turns, hold.Inverse().Turns())
	}
	if broken := lastslot.Breaks(effect); broken != "" {
		return Sequence{}, errors.New("it does not keep " + broken)
	}
	if left := lastslot.OutcomeOf(effect); left != 0 {
		return Sequence{}, fmt.Errorf("it does not keep the top oriented: it leaves pattern %d", left.Pattern())
	}
	// What it solves is what undoing it makes of the solved puzzle.
	solves, ok := Of(effect.Inverse())
	switch {
	case !ok:
		return Sequence{}, errors.New("it keeps F2L and the top oriented, and solves no PLL")
	case solves == 0:
		return Sequence{}, fmt.Errorf("it solves nothing: PLL %s stays as it is", p)
	case solves != p:
		return Sequence{}, fmt.Errorf("it solves PLL %s, not %s", solves, p)
	}
	return Sequence{Turns: turns, solves: p, does: topOrderOf(effect)}, nil
}

// Solves is the PLL that the sequence solves.
func (s *Sequence) Solves() PLL { return s.solves }

// across swaps the spots on top that the mirror between left and right swaps.
var across = topOrder{{1, 0, 3, 2}, {0, 2, 1, 3}}

// mirrors has each PLL's mirror image.
var mirrors = sync.OnceValue(func() (images [PLLs]PLL) {
	for p, order := range pllOrders {
		does := topOrder{order.corners, order.edges}
		images[p] = plls()[across.then(does).then(across).inverse()]
	}
	return images
})
