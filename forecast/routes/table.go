package routes

import (
	"fmt"
	"slices"
	"sync"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
)

// table has the steps for two open slots and for one hands.
type table struct {
	open  twoslots.Open
	rows  []tableRow
	turns cube.Sequence // of all rows
	// fills has, for each of the two slots and each place of its pair, the numbers of the
	// rows that fill it and do something to the other. Those that keep the other are
	// insertions, which the forecast has.
	fills [2][twoslots.PairPlaces][]int32
	// usual has, likewise, the usual step where a piece of the pair is in the other open
	// slot: the row and the quarters of U before it.
	usual [forecast.UsualNone][2][twoslots.PairPlaces]usualStep
}

// tableRow is a [Row] in less memory, and what it does.
type tableRow struct {
	first    uint32 // of its turns, in the table's
	length   uint8
	rotation uint8
	turned   uint8 // the hold that it ends in: quarters of y, the rotation included
	count    uint8
	ms       uint16
	does     twoslots.Map
}

// usualStep is a row, and the quarters of U before it; no row is -1.
type usualStep struct {
	row      int32
	quarters uint8
}

// tables has them, each made when it is first needed.
var tables = func() (all [3][twoslots.Opens]func() *table) {
	for handed := range all {
		for open := range all[handed] {
			all[handed][open] = sync.OnceValue(func() *table {
				t, err := newTable(stepsFile, hands.Handed(handed), twoslots.Open(open))
				if err != nil {
					// The file is part of the program, and tests read it.
					panic("routes: " + err.Error())
				}
				return t
			})
		}
	}
	return all
}()

func newTable(file []byte, handed hands.Handed, open twoslots.Open) (*table, error) {
	rows, err := load(file, handed, open)
	if err != nil {
		return nil, err
	}
	t := &table{open: open, rows: make([]tableRow, len(rows))}
	var counts [2][twoslots.PairPlaces]int
	for i, row := range rows {
		turns := cube.Join(lastslot.Rotations[row.Rotation], row.Turns)
		effect, hold := lastslot.Effect(turns)
		if broken := twoslots.Breaks(effect, open); broken != "" || int(hold) >= len(lastslot.Rotations) {
			return nil, fmt.Errorf("%s does not keep what it should with %s open: %s", turns, open, broken)
		}
		t.rows[i] = tableRow{
			first: uint32(len(t.turns)), length: uint8(len(row.Turns)), rotation: row.Rotation, turned: uint8(hold),
			count: uint8(row.Turns.Count()), ms: row.Ms, does: twoslots.MapOf(effect, open),
		}
		t.turns = append(t.turns, row.Turns...)
		for which, slot := range open.Slots() {
			counts[which][t.rows[i].does.FilledFrom(open, slot)]++
		}
	}
	for which, slot := range open.Slots() {
		for place, count := range counts[which] {
			t.fills[which][place] = make([]int32, 0, count)
		}
		for i := range t.rows {
			if does := &t.rows[i].does; !does.Keeps(open, open.Other(slot)) {
				place := does.FilledFrom(open, slot)
				t.fills[which][place] = append(t.fills[which][place], int32(i))
			}
		}
	}
	for which := range t.usual {
		t.findUsual(forecast.Usual(which), handed)
	}
	return t, nil
}

// findUsual looks for the usual steps. A person who knows the usual insertions at the
// front only does the others after a rotation, so for them no slot is filled that stands
// at the back.
func (t *table) findUsual(which forecast.Usual, handed hands.Handed) {
	usual := &t.usual[which]
	for i := range usual {
		for place := range usual[i] {
			usual[i][place].row = -1
		}
	}
	var rotations, aufs [4]time.Duration
	for quarters := range rotations {
		rotations[quarters], aufs[quarters] = hands.Estimate(lastslot.Rotations[quarters], handed), hands.Estimate(lastslot.AUFs[quarters], handed)
	}
	takes := func(s usualStep) time.Duration {
		row := &t.rows[s.row]
		return rotations[row.rotation] + aufs[s.quarters] + time.Duration(row.ms)*time.Millisecond
	}
	for number := range t.rows {
		row := &t.rows[number]
		if row.length == 0 || !t.turnsSidesOnly(row) {
			continue
		}
		for i, slot := range t.open.Slots() {
			if row.does.Keeps(t.open, t.open.Other(slot)) {
				continue
			}
			at := lastslot.Slot((int(slot) + int(row.rotation)) & 3)
			if which == forecast.UsualFront && (at == lastslot.BL || at == lastslot.BR) {
				continue
			}
			for quarters := range twoslots.AUFMaps {
				whole := twoslots.AUFMaps[quarters].Then(&row.does)
				one, place := usualStep{int32(number), uint8(quarters)}, whole.FilledFrom(t.open, slot)
				if old := usual[i][place]; old.row < 0 || takes(one) < takes(old) ||
					takes(one) == takes(old) && t.before(one, old) {
					usual[i][place] = one
				}
			}
		}
	}
}

// before breaks ties as everywhere: the fewer turns, then the text.
func (t *table) before(a, b usualStep) bool {
	one, other := &t.rows[a.row], &t.rows[b.row]
	if one.count != other.count {
		return one.count < other.count
	}
	return t.whole(one, int(a.quarters)).Compare(t.whole(other, int(b.quarters))) < 0
}

// turnsSidesOnly says whether a row turns nothing but U and the side faces of the two open
// slots, after a rotation or without one.
func (t *table) turnsSidesOnly(row *tableRow) bool {
	open := t.open.TurnedRound(int(row.rotation))
	var sides []cube.Face
	for _, slot := range open.Slots() {
		facelets := slot.Corner().Facelets()
		sides = append(sides, facelets[1:]...)
	}
	return !slices.ContainsFunc(t.rest(row), func(turn cube.Turn) bool {
		face := turn.Layer().Reference()
		return turn.Kind() != cube.FaceTurn || face != cube.FaceU && !slices.Contains(sides, face)
	})
}

// rest are the turns of the row, without what comes before them.
func (t *table) rest(row *tableRow) cube.Sequence {
	return t.turns[row.first:][:row.length:row.length]
}

// whole are the turns of the row after its rotation and so many quarters of U.
func (t *table) whole(row *tableRow, quarters int) cube.Sequence {
	return cube.Join(lastslot.Rotations[row.rotation], lastslot.AUFs[quarters], t.rest(row))
}
