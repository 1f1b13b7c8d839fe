package technique

import (
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/lastslot/lastslottest"
)

// What these do is common practice, no source. The edge-only ones are those of the
// trade for a corner that is placed already.
func TestTechniquesOfKnownSequences(t *testing.T) {
	for turns, want := range map[string][]Technique{
		"R U R'":             {JoinInSlot},
		"F' U' F":            {JoinInSlot},
		"R U' R'":            {InsertPair},
		"R' F R F'":          {InsertPair},
		"R U' R' U R U' R'":  {PairAndInsert, HideEdge},
		"R U' R' U2 R U' R'": {CornerOnly, HideCorner},
		"L E' L' U L E L'":   {EdgeOnly, Slice},
		"B' E B U B' E' B":   {EdgeOnly, Slice},
		"R U M U' R' U M'":   {EdgeOnly, Slice},
		"F' M' F U F' M F":   {EdgeOnly, OverAnotherSlot, Slice},
	} {
		insertion, err := lastslot.NewInsertion(lastslot.FR, cubetest.Sequence(t, turns))
		require.NoError(t, err)
		assert.Equal(t, want, Of(lastslot.FR, insertion.Turns, false), turns)
		assert.Equal(t, append(slices.Clone(want), WithRotation), Of(lastslot.FR, insertion.Turns, true), turns)
		mirrored := insertion.Mirror()
		assert.Equal(t, want, Of(lastslot.FL, mirrored.Turns, false), "%s for the other hand", turns)
	}
	// Keyhole, with the slot at front left open too: the edge goes in over that slot.
	for _, turns := range []string{"D R U R' D'", "D F' U' F D'"} {
		assert.Equal(t, []Technique{EdgeOnly, OverAnotherSlot}, Of(lastslot.FR, cubetest.Sequence(t, turns), false), turns)
	}
	for _, technique := range All {
		assert.NotEmpty(t, technique.Words(), technique)
	}
}

// stickered is a puzzle of stickers, in which pieces are found by the names of
// their stickers.
type stickered struct{ cubetest.Stickers }

// faces has, for a sticker, the face that it is on.
func (s stickered) face(sticker string) byte {
	at := slices.Index(s.Stickers[:], uint8(cubetest.Number(sticker)))
	return cubetest.Cell(at)[0]
}

// meets says whether stickers of the two pieces that have the same colour face the
// same way: each name's letters stand for the piece, and both have them all.
func (s stickered) meets(piece, other string) bool {
	for i := range other {
		if !strings.Contains(piece, other[i:i+1]) {
			continue
		}
		if s.face(front(piece, other[i])) != s.face(front(other, other[i])) {
			return false
		}
	}
	return true
}

// front is the piece's sticker of the colour.
func front(piece string, colour byte) string {
	return string(colour) + strings.Replace(piece, string(colour), "", 1)
}

func (s stickered) onTop(piece string) bool {
	for i := range piece {
		if s.face(front(piece, piece[i])) == 'U' {
			return true
		}
	}
	return false
}

// techniquesOnStickers follows the definitions word by word: all moments first,
// then one question after the other.
func techniquesOnStickers(slot lastslot.Slot, turns cube.Sequence) map[Technique]bool {
	_, hold := lastslot.Effect(turns)
	now := cubetest.Solved.Do(hold.Turns()).Do(turns.Inverse())
	moments, moved := []stickered{{now}}, cube.Sequence{}
	has := map[Technique]bool{}
	for _, turn := range turns {
		now = now.Do(cube.Sequence{turn})
		switch letter := turn.String()[0]; {
		case strings.ContainsRune("xyz", rune(letter)):
			has[WithRotation] = true
			moments[len(moments)-1] = stickered{now}
			continue
		case strings.ContainsRune("MES", rune(letter)):
			has[Slice] = true
		case letter >= 'a':
			has[Wide] = true
		}
		moments = append(moments, stickered{now})
		moved = append(moved, turn)
	}
	corner, edge := slot.Corner().String(), slot.Edge().String()
	last := len(moments) - 1

	joined := last
	for joined > 0 && moments[joined-1].meets(corner, edge) {
		joined--
	}
	inSlot := func(m stickered) bool {
		sides := strings.ReplaceAll(corner, "D", "")
		return m.meets(corner, edge) && m.meets(corner, "D"+sides[:1]) && m.meets(corner, "D"+sides[1:])
	}
	home := func(piece string) bool {
		for i := range piece {
			if moments[0].face(front(piece, piece[i])) != piece[i] {
				return false
			}
		}
		return true
	}
	switch {
	case home(corner) && home(edge):
		has[OutAndBack] = true
	case home(corner):
		has[EdgeOnly] = true
	case home(edge):
		has[CornerOnly] = true
	case joined == 0:
		has[InsertPair] = true
	case inSlot(moments[joined]):
		has[OneByOne] = true
	case last-joined >= 3:
		has[PairAndInsert] = true
	default:
		has[JoinInSlot] = true
	}

	for technique, piece := range map[Technique]string{HideCorner: corner, HideEdge: edge} {
		for from := range moments {
			for to := from + 2; to <= last; to++ {
				below := moments[0].onTop(piece) && moments[from].onTop(piece) && moments[to].onTop(piece)
				turned := false
				for i := from + 1; i < to; i++ {
					below = below && !moments[i].onTop(piece)
					turned = turned || i > from+1 && strings.ContainsRune("Uu", rune(moved[i-1].String()[0]))
				}
				has[technique] = has[technique] || below && turned
			}
		}
	}
	for other := range lastslot.Slot(lastslot.Slots) {
		for _, m := range moments[1:] {
			c, e := other.Corner().String(), other.Edge().String()
			if other != slot && !m.meets(c, e) && (m.onTop(c) || m.onTop(e)) {
				has[OverAnotherSlot] = true
			}
		}
	}
	return has
}

// Techniques are the same on plain stickers, for insertions all over the book.
func TestTechniquesOnStickers(t *testing.T) {
	var mu sync.Mutex
	seen := map[Technique]int{}
	for slot := range lastslot.Slot(lastslot.Slots) {
		all := lastslottest.Insertions(t, slot)
		cubetest.Each(t, len(all)/53, 3, func(t *testing.T, number int) {
			turns := all[53*number+int(slot)].Turns
			onStickers := techniquesOnStickers(slot, turns)
			var want []Technique
			for _, technique := range All {
				if onStickers[technique] {
					want = append(want, technique)
					mu.Lock()
					seen[technique]++
					mu.Unlock()
				}
			}
			if got := Of(slot, turns, false); !slices.Equal(got, want) {
				t.Fatalf("%s: %s: %v, on stickers %v", slot, turns, got, want)
			}
		})
	}
	// A person's own may turn the puzzle on the way.
	turned := cubetest.Sequence(t, "R U' R' y L' U' L")
	insertion, err := lastslot.CheckInsertion(nil, turned)
	require.NoError(t, err)
	assert.Contains(t, Of(insertion.Slot, insertion.Turns, false), WithRotation)
	assert.True(t, techniquesOnStickers(insertion.Slot, insertion.Turns)[WithRotation])
	for _, technique := range All {
		// Others need two open slots.
		if technique != WithRotation && !slices.Contains([]Technique{Keyhole, BothAtOnce, PseudoSlotting}, technique) {
			assert.Positive(t, seen[technique], technique)
		}
	}
}
