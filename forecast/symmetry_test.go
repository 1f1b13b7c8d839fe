package forecast

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Of every case the mirror image of the mirror image is the case again, and what
// the mirrored turns leave of the mirrored case is the mirror image of what the
// turns leave of it.
func TestMirroredCases(t *testing.T) {
	t.Parallel()
	for index := range lastslot.Cases {
		c := lastslot.CaseAt(index)
		_, err := lastslot.NewCase(c.Mirror())
		require.NoError(t, err)
		require.Equal(t, c, c.Mirror().Mirror())
	}
	random := rand.New(rand.NewPCG(8, 13))
	side := map[byte]byte{'U': 'U', 'L': 'R', 'R': 'L', 'F': 'F', 'B': 'B'}
	for range 200 {
		c := lastslot.CaseAt(random.IntN(lastslot.Cases))
		for _, o := range book().For(Anyone()).Forecast(Request{Case: c, Limit: 20}) {
			left, err := lastslot.Leaves(c.Mirror(), o.Turns.Mirror(cube.MirrorLR))
			require.NoError(t, err)
			facing := o.Leaves.Facing()
			var mirrored [8]byte
			for place, from := range [8]int{2, 1, 0, 4, 3, 7, 6, 5} {
				mirrored[place] = side[facing[from]]
			}
			require.Equal(t, string(mirrored[:]), left.Facing())
		}
	}
}
