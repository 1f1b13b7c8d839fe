package query

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"slotcast/cube"
	"slotcast/web/problem"
)

// CrossColours are the colours of the faces that a cross can be on, by face, of a puzzle
// that is white on top and green in front.
var CrossColours = [cube.Faces]string{
	cube.FaceU: "white", cube.FaceD: "yellow", cube.FaceL: "orange", cube.FaceR: "red", cube.FaceF: "green", cube.FaceB: "blue",
}

// Cross reads the colour of the cross, which is the usual one where none is asked for.
func Cross(values url.Values, usual cube.Face) (cube.Face, error) {
	if !values.Has("cross") {
		return usual, nil
	}
	colour := values.Get("cross")
	if i := slices.Index(CrossColours[:], colour); i >= 0 {
		return cube.Face(i), nil // #nosec G115 -- one of six
	}
	return 0, problem.BadRequest("cross", fmt.Sprintf("“%s” is unknown: use %s", problem.Shortened(colour), strings.Join(CrossColours[:], ", ")))
}
