package routes

import (
	"slices"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
)

// ownRow is a step of which a person says something, after a rotation or none.
type ownRow struct {
	tableRow
	said *forecast.OwnStep
	// number is the same step in the table, whose place this takes; -1 where it is spelt
	// otherwise there.
	number int32
	// places are those of each slot's pair that it fills the slot from.
	places [2]int
}

// ownRows are a person's, and the numbers of those in the table.
type ownRows struct {
	rows    []ownRow
	numbers map[int32]bool
}

// ownRowsOf are those with these slots open.
func ownRowsOf(f *forecast.Forecaster, open twoslots.Open) *ownRows {
	steps, own := f.Steps(), &ownRows{numbers: map[int32]bool{}}
	if len(steps) == 0 {
		return own
	}
	t := tables[f.Hands()][open]()
	for i := range steps {
		said := &steps[i]
		for _, quarters := range said.SeenAt(open) {
			turns := cube.Join(lastslot.Rotations[quarters], said.Turns)
			effect, hold := lastslot.Effect(turns)
			one := ownRow{said: said, number: -1, tableRow: tableRow{
				length: uint8(len(said.Turns)), rotation: uint8(quarters), turned: uint8(hold), count: uint8(said.Turns.Count()),
				ms: uint16(hands.Estimate(said.Turns, f.Hands()) / time.Millisecond), does: twoslots.MapOf(effect, open),
			}}
			for which, slot := range open.Slots() {
				one.places[which] = one.does.FilledFrom(open, slot)
			}
			for _, number := range t.fills[0][one.places[0]] {
				row := &t.rows[number]
				if row.rotation == one.rotation && slices.Equal(t.rest(row), said.Turns) {
					one.number = number
					own.numbers[number] = true
				}
			}
			own.rows = append(own.rows, one)
		}
	}
	return own
}
