package cube_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
)

var mirrors = map[cube.Mirror]string{cube.MirrorLR: "LR", cube.MirrorFB: "FB"}

// The 24 holds are all the rotations, each once, and the rotations' group.
func TestHolds(t *testing.T) {
	assert.Equal(t, cube.Hold(0), cube.Solved.Hold())
	assert.Empty(t, cube.Hold(0).Turns())
	for h := range cube.Hold(cube.Holds) {
		turns := h.Turns()
		assert.Zero(t, turns.Count(), "%s has only rotations", turns)
		assert.LessOrEqual(t, len(turns), 2)
		assert.Equal(t, turns.Cube(), h.Cube())
		assert.Equal(t, h, h.Cube().Hold(), "no two holds are the same: %s", turns)
		assert.Equal(t, cube.Hold(0), h.Then(h.Inverse()), turns.String())
		for g := range cube.Hold(cube.Holds) {
			assert.Equal(t, cube.Join(turns, g.Turns()).Cube(), h.Then(g).Cube(), "%s, then %s", turns, g.Turns())
		}
	}
}

// A hold takes a face where the rotation takes its centre's sticker.
func TestHoldFaces(t *testing.T) {
	for h := range cube.Hold(cube.Holds) {
		turned := cubetest.Solved.Do(h.Turns())
		for f := range cube.Face(cube.Faces) {
			at := cubetest.Number(h.Face(f).String())
			assert.Equal(t, f.String(), cubetest.Cell(int(turned[at])), "%s takes %s to %s", h.Turns(), f, h.Face(f))
			assert.Equal(t, h.Face(f).Opposite(), h.Face(f.Opposite()))
		}
	}
}

// Turns of the layers leave the hold that their slices make.
func TestHoldOfPosition(t *testing.T) {
	for text, hold := range map[string]string{
		"R U F' D2": "", "M": "x'", "E": "y'", "S": "z", "r": "x", "l": "x'",
		"u": "y", "d": "y'", "f": "z", "b": "z'", "M E2 S r U": "x' y2 z x",
	} {
		assert.Equal(t, parsed(t, hold).Cube().Hold(), parsed(t, text).Cube().Hold(), text)
	}
}

// Turning the puzzle, doing the sequence as it is written from there, and turning
// back is the sequence, in each of the 24 holds.
func TestSequenceInHold(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 4))
	var sequences []cube.Sequence
	for turn := range cube.Turn(cube.Turns) {
		sequences = append(sequences, cube.Sequence{turn})
	}
	for range 200 {
		sequences = append(sequences, randomSequence(random, 30))
	}
	for h := range cube.Hold(cube.Holds) {
		for _, s := range sequences {
			in := s.In(h)
			require.Equal(t, s.Cube(), cube.Join(h.Turns(), in, h.Turns().Inverse()).Cube(), "%s in %s: %s", s, h.Turns(), in)
			require.Len(t, in, len(s))
			for i := range s {
				require.Equal(t, s[i].Kind(), in[i].Kind(), "%s in %s: %s", s, h.Turns(), in)
			}
			require.Equal(t, s, in.In(h.Inverse()))
		}
	}
}

// What a person reads: the same sequence with the puzzle turned.
func TestSequenceInHoldByExample(t *testing.T) {
	for _, c := range []struct{ rotation, sequence, want string }{
		{"y", "R U R'", "F U F'"},
		{"y'", "R U R'", "B U B'"},
		{"x", "F M E S", "U M S E'"},
		{"z2", "r u' d2", "l d' u2"},
		{"y", "x z y", "z x' y"},
	} {
		in := parsed(t, c.sequence).In(parsed(t, c.rotation).Cube().Hold())
		assert.Equal(t, c.want, in.String(), "%s after %s", c.sequence, c.rotation)
	}
}

// A turn at a face goes clockwise seen from that face, whichever face its layer is
// named for.
func TestTurnLike(t *testing.T) {
	for want, turn := range map[string]cube.Turn{
		"R":  cube.TurnLike(cube.FaceTurn, cube.FaceR, 1),
		"b'": cube.TurnLike(cube.WideTurn, cube.FaceB, -1),
		"M":  cube.TurnLike(cube.SliceTurn, cube.FaceL, 1),
		"M'": cube.TurnLike(cube.SliceTurn, cube.FaceR, 1),
		"E2": cube.TurnLike(cube.SliceTurn, cube.FaceU, 2),
		"S":  cube.TurnLike(cube.SliceTurn, cube.FaceB, -1),
		"x":  cube.TurnLike(cube.Rotation, cube.FaceR, 1),
		"x'": cube.TurnLike(cube.Rotation, cube.FaceL, 1),
		"y'": cube.TurnLike(cube.Rotation, cube.FaceD, 1),
	} {
		assert.Equal(t, want, turn.String())
	}
}

// mirrored is where each sticker's place is seen in the mirror: the place whose
// name has the two faces swapped.
func mirrored(m cube.Mirror) (to cubetest.Stickers) {
	a, b := mirrors[m][:1], mirrors[m][1:]
	swap := strings.NewReplacer(a, b, b, a)
	for i := range to {
		to[i] = uint8(cubetest.Number(swap.Replace(cubetest.Cell(i))))
	}
	return to
}

// In the mirror, every sticker goes where the mirror image of its way leads.
func TestMirrorAgreesWithTheStickers(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 5))
	for m := range mirrors {
		image := mirrored(m)
		check := func(s cube.Sequence) {
			straight, seen := cubetest.Solved.Do(s), cubetest.Solved.Do(s.Mirror(m))
			var want cubetest.Stickers
			for at, sticker := range straight {
				want[image[at]] = image[sticker]
			}
			require.Equal(t, want, seen, "%s in the mirror %s: %s", s, mirrors[m], s.Mirror(m))
			require.Equal(t, s, s.Mirror(m).Mirror(m), "twice is as before")
			require.Equal(t, s.Count(), s.Mirror(m).Count())
		}
		for turn := range cube.Turn(cube.Turns) {
			check(cube.Sequence{turn})
		}
		for range 500 {
			check(randomSequence(random, 30))
		}
		for f := range cube.Face(cube.Faces) {
			assert.Equal(t, m.Face(f).String(), cubetest.Cell(int(image[cubetest.Number(f.String())])))
		}
	}
}

// What a person reads: the other hand, and the same slot from behind.
func TestMirrorByExample(t *testing.T) {
	for _, c := range []struct {
		mirror         cube.Mirror
		sequence, want string
	}{
		{cube.MirrorLR, "U R U' R'", "U' L' U L"},
		{cube.MirrorLR, "r U2 M E' S x y z'", "l' U2 M E S' x y' z"},
		{cube.MirrorFB, "U R U' R' F2", "U' R' U R B2"},
		{cube.MirrorFB, "f M E S x y z", "b' M' E' S x' y' z"},
	} {
		assert.Equal(t, c.want, parsed(t, c.sequence).Mirror(c.mirror).String(), c.sequence)
	}
}
