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

// ownRows are a person's with these slots open.
func ownRows(f *forecast.Forecaster, open twoslots.Open, t *table) (rows []ownRow) {
	steps := f.Steps()
	for i := range steps {
		said := &steps[i]
		for _, quarters := range said.SeenAt(open) {
			turns := cube.Join(lastslot.Rotations[quarters], said.Turns)
			effect, hold := lastslot.Effect(turns)
			own := ownRow{said: said, number: -1, tableRow: tableRow{
				length: uint8(len(said.Turns)), rotation: uint8(quarters), turned: uint8(hold), count: uint8(said.Turns.Count()),
				ms: uint16(hands.Estimate(said.Turns, f.Hands()) / time.Millisecond), does: twoslots.MapOf(effect, open),
			}}
			for which, slot := range open.Slots() {
				own.places[which] = own.does.FilledFrom(open, slot)
			}
			for _, number := range t.fills[0][own.places[0]] {
				row := &t.rows[number]
				if row.rotation == own.rotation && slices.Equal(t.rest(row), said.Turns) {
					own.number = number
				}
			}
			rows = append(rows, own)
		}
	}
	return rows
}
