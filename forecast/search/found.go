package search

import (
	"bytes"
	"context"
	"slices"
	"strings"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
)

// spelling is a way to write a motion down, and what it costs.
type spelling struct {
	turns cube.Sequence
	cost  time.Duration
}

// before orders spellings: the cheaper, then the shorter, then the one with
// fewer turns of the left hand, as most people are right-handed, then by letters,
// so that a search always finds the same.
func (s spelling) before(o spelling) bool {
	switch {
	case s.cost != o.cost:
		return s.cost < o.cost
	case s.turns.Count() != o.turns.Count():
		return s.turns.Count() < o.turns.Count()
	case leftTurns(s.turns) != leftTurns(o.turns):
		return leftTurns(s.turns) < leftTurns(o.turns)
	}
	return s.turns.String() < o.turns.String()
}

func leftTurns(s cube.Sequence) (n int) {
	for _, t := range s {
		if t.Layer() == cube.L || t.Layer() == cube.Lw {
			n++
		}
	}
	return n
}

// Found is a motion that fills the slot: its easiest spelling where the slot is
// at the front right, and where it is at the back right.
type Found struct{ FrontRight, BackRight cube.Sequence }

// Insertions finds every insertion of at most twice halfTokens tokens, a face,
// wide or slice turn each, for a slot on the right. Of those that differ in
// nothing but a turn of U at the end only the easiest is kept, in order of its
// cost at the front right.
func Insertions(ctx context.Context, halfTokens int) ([]Found, error) {
	type pair struct{ front, back spelling }
	best := map[[10]byte]pair{}
	var speller Speller
	// The hold in which the slot at front right is seen at the back right.
	backRight := cube.Sequence{cube.TurnOf(cube.Y, -1)}.Cube().Hold()
	err := meet(ctx, CrossAndThreeSlots, halfTokens, true, func(m motion) {
		if len(m) == 0 {
			return
		}
		key := mapKey(m.cube())
		found := pair{speller.spell(m, 0), speller.spell(m, backRight)}
		old, known := best[key]
		if !known || found.front.before(old.front) {
			old.front = found.front
		}
		if !known || found.back.before(old.back) {
			old.back = found.back
		}
		best[key] = old
	})
	if err != nil {
		return nil, err
	}
	list := make([]pair, 0, len(best))
	for _, p := range best {
		list = append(list, p)
	}
	slices.SortFunc(list, func(a, b pair) int {
		switch {
		case a.front.before(b.front):
			return -1
		case b.front.before(a.front):
			return 1
		}
		return 0
	})
	found := make([]Found, len(list))
	for i, p := range list {
		found[i] = Found{p.front.turns, p.back.turns}
	}
	return found, nil
}

// mapKey tells motions apart that differ by more than a turn of U at the end:
// the pieces on top and in the slot, after that turn of U which gives the
// lowest.
func mapKey(c cube.Cube) [10]byte {
	var lowest [10]byte
	for quarters := range 4 {
		turned := c
		if quarters != 0 {
			turned = c.Turn(cube.TurnOf(cube.U, quarters))
		}
		var key [10]byte
		for i := range 4 {
			key[i], key[5+i] = byte(turned.Corners[i]), byte(turned.Edges[i])
		}
		key[4], key[9] = byte(turned.Corners[cube.DFR]), byte(turned.Edges[cube.FR])
		if quarters == 0 || bytes.Compare(key[:], lowest[:]) < 0 {
			lowest = key
		}
	}
	return lowest
}

// FollowUps finds, for each pattern but the oriented one, the easiest sequence
// that orients it and keeps the first two layers: of all with at most twice
// halfTurns face turns, and of all with at most twice halfTokens tokens, a face,
// wide or slice turn each. The AUF that the sequence needs before it is left to
// the forecast.
func FollowUps(ctx context.Context, halfTurns, halfTokens int) ([forecast.Patterns]cube.Sequence, error) {
	var best [forecast.Patterns]spelling
	var speller Speller
	consider := func(m motion) {
		// The sequence orients what undoing it makes of the oriented top.
		pattern := forecast.OutcomeOf(m.inverse().cube()).Pattern()
		if pattern == 0 {
			return
		}
		for start := range cube.Hold(uprightHolds) {
			found := speller.spell(m, start)
			if best[pattern].turns == nil || found.before(best[pattern]) {
				best[pattern] = found
			}
		}
	}
	var sequences [forecast.Patterns]cube.Sequence
	if err := meet(ctx, FirstTwoLayers, halfTurns, false, consider); err != nil {
		return sequences, err
	}
	if err := meet(ctx, FirstTwoLayers, halfTokens, true, consider); err != nil {
		return sequences, err
	}
	for p, s := range best {
		sequences[p] = s.turns
	}
	return sequences, nil
}

// Lines writes what was found as the embedded files have it: sequences of one
// find in a line, with a tab between them.
func Lines(rows [][]cube.Sequence) []byte {
	var b bytes.Buffer
	for _, row := range rows {
		texts := make([]string, len(row))
		for i, s := range row {
			texts[i] = s.String()
		}
		b.WriteString(strings.Join(texts, "\t"))
		b.WriteByte('\n')
	}
	return b.Bytes()
}
