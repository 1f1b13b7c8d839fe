package profile

import (
	"fmt"
	"strings"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
)

// InsertionValues is what is said of an insertion, as JSON has it.
type InsertionValues struct {
	// Slot may be left out of what is put in, where the turns tell it.
	Slot  string `json:"slot"`
	Turns string `json:"turns"`
	Own   bool   `json:"own"`
	// Known is left out where nothing is said of it: then a usual one is known. So is
	// Predicted: then it goes by how many pieces the person tracks.
	Known     *bool    `json:"known,omitempty"`
	Predicted *bool    `json:"predicted,omitempty"`
	Hidden    bool     `json:"hidden"`
	Rating    *int     `json:"rating,omitempty"`
	Seconds   *float64 `json:"seconds,omitempty"`
}

// Record verifies the insertion; what is kept has no AUF at its ends, and its
// slot is where it stands before these turns.
func (o InsertionValues) Record() (OwnInsertion, lastslot.Insertion, error) {
	fail := func(err error) (OwnInsertion, lastslot.Insertion, error) {
		return OwnInsertion{}, lastslot.Insertion{}, err
	}
	var slot *lastslot.Slot
	if o.Slot != "" {
		named, err := lastslot.ParseSlot(o.Slot)
		if err != nil {
			return fail(problem.NoSlot(o.Slot))
		}
		slot = &named
	}
	turns, err := CheckTurns(o.Turns)
	if err != nil {
		return fail(err)
	}
	known := saidOf(o.Known)
	if known == forecast.Yes && o.Hidden {
		return fail(problem.BadRequest("hidden", "known and hidden: choose one"))
	}
	rating, err := CheckRating("rating", o.Rating)
	if err != nil {
		return fail(err)
	}
	measured, err := CheckSeconds("seconds", o.Seconds)
	if err != nil {
		return fail(err)
	}
	insertion, err := lastslot.CheckInsertion(slot, turns)
	if err != nil {
		return fail(problem.Unprocessable("turns", err))
	}
	record := OwnInsertion{Own: o.Own, Known: known, Predict: saidOf(o.Predicted), Hidden: o.Hidden, Rating: rating, Time: measured}
	return record.Of(insertion), insertion, nil
}

// Of is the same said of an insertion.
func (o OwnInsertion) Of(i lastslot.Insertion) OwnInsertion {
	o.Slot, o.Turns = i.Slot, i.Turns.String()
	return o
}

// InsertionsOf writes the records as JSON has them.
func InsertionsOf(records []OwnInsertion) []InsertionValues {
	all := []InsertionValues{}
	for _, r := range records {
		all = append(all, InsertionValues{
			Slot: r.Slot.String(), Turns: r.Turns, Own: r.Own, Known: writtenSaid(r.Known), Predicted: writtenSaid(r.Predict), Hidden: r.Hidden,
			Rating: WrittenRating(r.Rating), Seconds: WrittenSeconds(r.Time),
		})
	}
	return all
}

// saidOf is nothing said for nil.
func saidOf(value *bool) forecast.Said {
	switch {
	case value == nil:
		return forecast.Unsaid
	case *value:
		return forecast.Yes
	}
	return forecast.No
}

// writtenSaid undoes saidOf.
func writtenSaid(said forecast.Said) *bool {
	if said == forecast.Unsaid {
		return nil
	}
	return new(said == forecast.Yes)
}

// InsertionID tells insertions apart in forms: the slot where it stands before
// the turns, then the turns.
func InsertionID(slot lastslot.Slot, turns string) string { return slot.String() + " " + turns }

// ReadInsertion reads an insertion from a form, as it is kept: AUF and rotation
// at the front do not tell insertions apart.
func ReadInsertion(slot *lastslot.Slot, turns cube.Sequence) (lastslot.Insertion, error) {
	insertion, err := lastslot.CheckInsertion(slot, turns)
	if err == nil && insertion.Turns[0].Layer() == cube.Y {
		turned := lastslot.Slot((int(insertion.Slot) + insertion.Turns[0].Quarters()) % lastslot.Slots)
		insertion, err = lastslot.NewInsertion(turned, insertion.Turns[1:])
	}
	if err != nil {
		return lastslot.Insertion{}, problem.Unprocessable("turns", err)
	}
	return insertion, nil
}

// ReadInsertionID undoes [InsertionID]; the field is the one to blame.
func ReadInsertionID(field, id string) (lastslot.Insertion, error) {
	name, text, _ := strings.Cut(id, " ")
	slot, err := lastslot.ParseSlot(name)
	if err != nil {
		return lastslot.Insertion{}, problem.BadRequest(field, fmt.Sprintf("“%s” does not begin with a slot", problem.Shortened(id)))
	}
	turns, err := CheckTurns(text)
	if err != nil {
		return lastslot.Insertion{}, err
	}
	return ReadInsertion(&slot, turns)
}

// Is says whether the record is about the insertion. One that was kept with a
// rotation at the front is the same as that for the slot after the rotation.
func (o OwnInsertion) Is(slot lastslot.Slot, turns string) bool {
	for quarters, rotation := range [...]string{"", "y ", "y2 ", "y' "} {
		if rest, ok := strings.CutPrefix(o.Turns, rotation); ok && rest == turns && (int(o.Slot)+quarters)%lastslot.Slots == int(slot) {
			return true
		}
	}
	return false
}
