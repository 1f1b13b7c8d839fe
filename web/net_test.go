package web

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
)

// Every sticker of the top layer and of the slot has a cell of its own, and the
// picture in the layout's description is what is laid out.
func TestNet(t *testing.T) {
	want := []string{
		".BBB...",
		"LUUUR..",
		"LU.UR..",
		"LUUURRR",
		".FFF...",
		"...F.D.",
		"...F...",
	}
	for slot := range lastslot.Slot(lastslot.Slots) {
		var drawn [netSize][netSize]byte
		for row := range drawn {
			for column := range drawn[row] {
				drawn[row][column] = '.'
			}
		}
		draw := func(c cell, letter string) {
			require.Equal(t, byte('.'), drawn[c.Row-1][c.Column-1], "%s at %v", letter, c)
			drawn[c.Row-1][c.Column-1] = letter[0]
		}
		for spot := range lastslot.Spots {
			for sticker, face := range slot.CornerPlace(spot).Facelets() {
				draw(netCorner(slot, spot, sticker), face.String())
			}
			for sticker, face := range slot.EdgePlace(spot).Facelets() {
				draw(netEdge(slot, spot, sticker), face.String())
			}
		}
		if slot == lastslot.FR {
			for row := range drawn {
				assert.Equal(t, want[row], string(drawn[row][:]))
			}
		}
		top := netTop(slot)
		assert.Equal(t, byte('.'), drawn[top.Row-1][top.Column-1])
	}
}
