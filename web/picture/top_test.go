package picture

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// A full tile on the top face of the picture is a piece that is oriented, and each view has
// those full tiles that the outcome shows from there: compared with the outcome's facing,
// place by place.
func TestTopShowsTheOutcome(t *testing.T) {
	t.Parallel()
	corner := func(p cube.CornerPlace) []cube.Face { f := p.Facelets(); return f[:] }
	edge := func(p cube.EdgePlace) []cube.Face { f := p.Facelets(); return f[:] }
	places := [][]cube.Face{corner(cube.UBL), edge(cube.UB), corner(cube.UBR), edge(cube.UL), edge(cube.UR), corner(cube.UFL), edge(cube.UF), corner(cube.UFR)}
	for o := range lastslot.Outcome(lastslot.Outcomes) {
		require.Equal(t, o, lastslot.OutcomeOf(solvedBelow(o)))
		for v := range TopView(TopViews) {
			p := Top(o, v)
			full := map[Point]bool{}
			for _, s := range p.Shapes {
				if s.Class == fullTile {
					require.Equal(t, cube.FaceU, s.Of)
					full[s.Points[0]] = true
				}
				assert.NotContains(t, []Class{solidMark, hollowMark}, s.Class, "nothing is of a pair")
			}
			shown := 1 // the centre
			for i, facing := range []byte(o.Facing()) {
				for _, f := range places[i] {
					sticker := stickerOn(places[i], 0)
					sticker.Face = f
					tile, seen := p.View.Tile(sticker)
					hidden := f != cube.FaceU && f != cube.FaceF && f != p.View.seenSide()
					if !seen || hidden && v != WholeTop {
						continue
					}
					isUp := f.String()[0] == facing
					assert.Equal(t, isUp, full[tile.scaled(fullSize)[0]], "outcome %s, view %d, place %d, side %s", o.Facing(), v, i, f)
					if isUp {
						shown++
					}
				}
			}
			assert.Len(t, full, shown)
		}
	}
}
