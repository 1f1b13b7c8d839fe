package technique

import (
	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
)

// OfStep lists the techniques of a step with two slots open, in the order of [All]: of its
// turns after rotation and AUF, for the case as it stands then, in which they fill the
// slot.
func OfStep(c twoslots.Case, slot lastslot.Slot, turns cube.Sequence, rotation bool) []Technique {
	if len(turns) == 0 {
		return listed(map[Technique]bool{WithRotation: rotation})
	}
	other := c.Open.Other(slot)
	start := c.Cube()
	has := follow(start, slot, other, turns)
	has[WithRotation] = has[WithRotation] || rotation
	entries := map[lastslot.Slot]entry{slot: entryOf(start, slot, turns), other: entryOf(start, other, turns)}
	end := seen(start.Do(turns))
	both := !c.Filled(other) && end.Corners[other.Corner()] == cube.Solved.Corners[other.Corner()] && end.Edges[other.Edge()] == cube.Solved.Edges[other.Edge()]
	has[BothAtOnce] = both
	of, across := entries[slot], entries[other]
	crossed := func(a, b move) bool { return a.turn >= 0 && a.turn == b.turn }
	for _, one := range []struct{ own, others move }{{of.corner, across.edge}, {of.edge, across.corner}} {
		switch {
		case both && crossed(one.own, one.others):
			has[PseudoSlotting] = true
		case one.own.beside(other):
			has[Keyhole] = true
		}
	}
	// The other slot may be filled so as well.
	if both && !has[PseudoSlotting] && (across.corner.beside(slot) || across.edge.beside(slot)) {
		has[Keyhole] = true
	}
	return listed(has)
}

// entry is how the pieces of a slot leave the top layer for the last time.
type entry struct{ corner, edge move }

// move is a turn, by its number, after which a piece is in its place, in a column with
// the partner's place of another slot; turn is -1 where it never leaves the top layer.
type move struct {
	turn   int
	column lastslot.Slot
	placed bool
}

func (m move) beside(other lastslot.Slot) bool { return m.turn >= 0 && m.placed && m.column == other }

// entryOf follows the pieces of the slot. Places are told by the centres, but those of
// corners at the bottom by the cross, which may have been turned with the bottom: so a
// column can have the edge's place of one slot and the corner's of another.
func entryOf(start cube.Cube, slot lastslot.Slot, turns cube.Sequence) entry {
	p := piecesOf(slot)
	e := entry{corner: move{turn: -1}, edge: move{turn: -1}}
	now := seen(start)
	cornerOnTop, edgeOnTop := p.cornerOnTop(now), p.edgeOnTop(now)
	position := start
	for i, t := range turns {
		position = position.Turn(t)
		now = seen(position)
		corner, edge := p.cornerOnTop(now), p.edgeOnTop(now)
		if cornerOnTop && !corner {
			e.corner = move{turn: i}
			for column := range lastslot.Slot(lastslot.Slots) {
				at := now.Corners[column.Corner()]
				if at == cube.CornerAs(slot.Corner(), 0) && cornerPlaceOf(now, column) == int(slot) {
					e.corner.column, e.corner.placed = column, true
				}
			}
		}
		if edgeOnTop && !edge {
			e.edge = move{turn: i}
			if now.Edges[slot.Edge()] == cube.EdgeAs(slot.Edge(), 0) {
				if column := cornerPlaceOf(now, slot); column >= 0 {
					e.edge.column, e.edge.placed = lastslot.Slot(column), true
				}
			}
		}
		cornerOnTop, edgeOnTop = corner, edge
	}
	return e
}

// seen is the position turned back to the hold in which all began.
func seen(c cube.Cube) cube.Cube { return c.Then(c.Hold().Inverse().Cube()) }

// cornerPlaceOf is the slot whose corner belongs, by the cross edges beside it, where the
// corner of the column belongs when all is solved; -1 where they do not stand there.
func cornerPlaceOf(c cube.Cube, column lastslot.Slot) int {
	places := piecesOf(column).beside
	for slot := range lastslot.Slots {
		pieces := piecesOf(lastslot.Slot(slot)).beside
		fits := true
		for i := range places {
			fits = fits && c.Edges[places[i]] == cube.EdgeAs(pieces[i], 0)
		}
		if fits {
			return slot
		}
	}
	return -1
}
