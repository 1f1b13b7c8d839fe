package lastslot

import (
	"errors"
	"fmt"

	"slotcast/cube"
)

// Insertion is a sequence that fills an open slot and keeps the cross and the
// other slots. It is only made by [NewInsertion], which verifies that.
type Insertion struct {
	Slot  Slot
	Turns cube.Sequence

	does Map
	// turned is the hold that the turns end in: turned by y by so many quarters.
	turned int
}

// Map is what the insertion does to the spots.
func (i Insertion) Map() Map { return i.does }

// Turned says in which hold the turns end: by so many quarters of y from the one
// in which they began.
func (i Insertion) Turned() int { return i.turned }

// NewInsertion verifies the turns, done with the cross down and the slot where
// it says, and works out their map. They may end in the hold in which they began
// or in one turned by y.
func NewInsertion(slot Slot, turns cube.Sequence) (Insertion, error) {
	i, err := verified(slot, turns)
	if err != nil {
		return Insertion{}, fmt.Errorf("%s: %w", turns, err)
	}
	return i, nil
}

// verified is [NewInsertion] whose errors do not repeat the turns.
func verified(slot Slot, turns cube.Sequence) (Insertion, error) {
	effect, hold := Effect(turns)
	if broken := Breaks(effect, slot); broken != "" {
		return Insertion{}, fmt.Errorf("it does not keep %s", broken)
	}
	if int(hold) >= len(Rotations) {
		return Insertion{}, fmt.Errorf("it ends with another face at the bottom: end it with %s", hold.Inverse().Turns())
	}
	return Insertion{
		Slot: slot, Turns: turns,
		does: MapOf(effect, slot), turned: int(hold),
	}, nil
}

// CheckInsertion accepts turns that fill a slot and keep the cross and the other
// slots, whatever AUF they start or end with: the insertion has none. The slot is
// where it stands before the turns, with the cross down; nil finds it. An error
// says what the turns do instead.
func CheckInsertion(slot *Slot, turns cube.Sequence) (Insertion, error) {
	rotation, turns := WithoutAUF(turns)
	if len(turns) == 0 {
		return Insertion{}, errors.New("it only turns the top or the whole puzzle and fills no slot")
	}
	turns = cube.Join(Rotations[rotation], turns)
	if slot == nil {
		effect, _ := Effect(turns)
		opened := openedBy(effect)
		switch len(opened) {
		case 0:
			return Insertion{}, errors.New("it keeps all four slots: say which one it is for")
		case 1:
			slot = &opened[0]
		default:
			return Insertion{}, fmt.Errorf("it does not keep %s; an insertion may change one slot only", Breaks(effect))
		}
	}
	return verified(*slot, turns)
}

// Case is a case for the insertion, the one after which the whole top is
// oriented: the pair stands where the insertion takes it from.
func (i Insertion) Case() Case {
	c := Case{Slot: i.Slot, Corner: int(i.does.Corners[InSlot] / 3), Edge: int(i.does.Edges[InSlot] / 2)}
	for spot := range Spots {
		corner, edge := i.does.Corners[spot], i.does.Edges[spot]
		c.Twists[corner/3] = (3 - int(corner%3)) % 3
		c.Flips[edge/2] = int(edge % 2)
	}
	return c
}

// Leaves is what turns (a rotation by y, AUF and insertion) leave of a case, in
// the hold they end in. An error says what they do not keep or fill.
func Leaves(c Case, turns cube.Sequence) (Outcome, error) {
	_, left, err := Fills(c, turns)
	return left, err
}

// Fills is [Leaves] that also has the map of the turns.
func Fills(c Case, turns cube.Sequence) (Map, Outcome, error) {
	effect, hold := Effect(turns)
	if broken := Breaks(effect, c.Slot); broken != "" {
		return Map{}, 0, fmt.Errorf("%s does not keep %s", turns, broken)
	}
	m := MapOf(effect, c.Slot)
	if m.PairPlace() != c.PairPlace() || int(hold) >= len(Rotations) {
		what := turns.String()
		if what == "" {
			what = "doing nothing"
		}
		return Map{}, 0, fmt.Errorf("%s does not fill the slot of the case %s", what, c.Code())
	}
	return m, m.Leaves(&c).Turned(int(hold)), nil
}

// Mirror is the insertion for the other hand: left and right swapped.
func (i Insertion) Mirror() Insertion {
	// FR and FL stand side by side in the order of the slots, and BL and BR.
	mirrored, err := verified(i.Slot^1, i.Turns.Mirror(cube.MirrorLR))
	if err != nil {
		panic("lastslot: a mirrored insertion is none: " + err.Error())
	}
	return mirrored
}

// SeenAt is the insertion's map after the puzzle is turned by y until its slot
// stands where the other is.
func (i Insertion) SeenAt(slot Slot) Map { return i.does.TurnedRound(Quarters(i.Slot, slot)) }
