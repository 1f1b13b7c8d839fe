package picture

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"slotcast/forecast/lastslot"
)

// A place's picture shows the pair's five stickers and nothing else of a colour.
func TestPlacePicture(t *testing.T) {
	t.Parallel()
	for slot := range lastslot.Slot(lastslot.Slots) {
		for _, p := range lastslot.Places(slot) {
			marks, tiles := 0, 0
			picture := Place(p)
			for _, s := range picture.Shapes {
				switch s.Class {
				case solidMark, hollowMark:
					marks++
				case fullTile:
					tiles++
				}
			}
			assert.Equal(t, 5, marks)
			assert.Equal(t, 5, tiles)
			assert.NotContains(t, picture.Words, "top colour")
		}
	}
}
