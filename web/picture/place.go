package picture

import (
	"slices"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/words"
)

// Place shows the pair alone, as it is all that the place tells.
func Place(p lastslot.Place) Picture {
	picture := PositionOf(p.Case()).Picture()
	picture.Words = words.Place(p)
	picture.Shapes = slices.DeleteFunc(picture.Shapes, func(s Shape) bool {
		return s.Class == plainTile || s.Class == fullTile && s.Of == cube.FaceU
	})
	return picture
}
