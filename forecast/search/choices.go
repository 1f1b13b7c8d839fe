package search

import (
	"cmp"
	"slices"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// A person's own sequence for a pattern is often not the easiest by the hands' prices but
// one of another kind. So beside the easiest the easiest of each kind is kept.
const (
	anyKind = iota
	withoutFront
	withSlice
	faceTurnsOnly
	// firstAngle begins those of each angle that the pattern is orientated from.
	firstAngle
	kinds = firstAngle + 4
)

// choicesShare bounds what a choice may take, in shares of the easiest, and mostChoices how
// many there are: those after them nobody chooses.
const (
	choicesShare = 1.6
	mostChoices  = 5
)

// choices are the easiest sequences for a pattern, by kind.
type choices [kinds]spelling

// bound is the price from which on a spelling can be none of them.
func (c *choices) bound() price {
	worst := price(0)
	for _, best := range c {
		if best.turns == nil {
			worst = never
			break
		}
		worst = max(worst, best.price)
	}
	if easiest := c[anyKind]; easiest.turns != nil {
		worst = min(worst, easiest.limit())
	}
	return worst
}

// limit is the most that a choice beside the easiest takes.
func (s spelling) limit() price { return price(float64(s.price) * choicesShare) }

// take takes a spelling where it is the easiest of its kinds.
func (c *choices) take(found spelling, angle int) {
	kinds := [kinds]bool{anyKind: true, withoutFront: true, faceTurnsOnly: true}
	kinds[firstAngle+angle] = true
	for _, t := range found.turns {
		if face := t.Layer().Reference(); face == cube.FaceF || face == cube.FaceB {
			kinds[withoutFront] = false // S too
		}
		kinds[withSlice] = kinds[withSlice] || t.Kind() == cube.SliceTurn
		kinds[faceTurnsOnly] = kinds[faceTurnsOnly] && t.Kind() == cube.FaceTurn
	}
	for kind, fits := range kinds {
		if best := &c[kind]; fits && (best.turns == nil || found.before(*best)) {
			*best = found
		}
	}
}

// list has the easiest first, and then the others that do not take much more.
func (c *choices) list() (sequences []cube.Sequence) {
	if c[anyKind].turns == nil {
		return nil
	}
	others := slices.Clone(c[:])
	slices.SortFunc(others, func(a, b spelling) int {
		return cmp.Or(cmp.Compare(a.price, b.price), a.turns.Compare(b.turns))
	})
	for _, s := range others {
		known := slices.ContainsFunc(sequences, func(turns cube.Sequence) bool { return slices.Equal(turns, s.turns) })
		if s.turns != nil && !known && s.price <= c[anyKind].limit() {
			sequences = append(sequences, s.turns)
		}
	}
	return sequences[:min(len(sequences), mostChoices)]
}

// angleOf tells from which of the four sides a sequence begins: by how far the pattern is
// turned beside the pattern's own outcome.
func angleOf(turns cube.Sequence, p lastslot.Pattern) int {
	orients := lastslot.OutcomeOf(cube.Solved.Do(turns.Inverse()))
	for quarters := range lastslot.AUFs {
		if p.Outcome().Turned(quarters) == orients {
			return quarters
		}
	}
	return 0
}
