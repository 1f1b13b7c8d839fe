package cube_test

import (
	"math/rand/v2"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
)

// randomSequence has turns of every kind, each as likely as another.
func randomSequence(random *rand.Rand, length int) cube.Sequence {
	s := make(cube.Sequence, length)
	for i := range s {
		s[i] = cube.Turn(random.IntN(cube.Turns))
	}
	return s
}

// Every turn of the fast model does what turning the stickers does.
func TestTurnsAgreeWithTheStickers(t *testing.T) {
	for turn := range cube.Turn(cube.Turns) {
		assert.Equal(t, cubetest.Solved.Do(cube.Sequence{turn}), cubetest.Of(turn.Cube()), turn.String())
	}
}

func TestSequencesAgreeWithTheStickers(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 1))
	for range 5000 {
		s := randomSequence(random, random.IntN(60))
		require.Equal(t, cubetest.Solved.Do(s), cubetest.Of(s.Cube()), s.String())
	}
}

func TestThenAndInverse(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 2))
	for range 2000 {
		s, u, v := randomSequence(random, 30), randomSequence(random, 30), randomSequence(random, 30)
		a, b, c := s.Cube(), u.Cube(), v.Cube()
		require.Equal(t, cube.Join(s, u).Cube(), a.Then(b), "a then b is a's turns and then b's: %s / %s", s, u)
		require.Equal(t, a.Then(b).Then(c), a.Then(b.Then(c)), "%s / %s / %s", s, u, v)
		require.Equal(t, cube.Solved, a.Then(a.Inverse()), s.String())
		require.Equal(t, cube.Solved, a.Inverse().Then(a), s.String())
		require.Equal(t, a.Inverse(), s.Inverse().Cube(), s.String())
		require.Equal(t, a, a.Then(cube.Solved))
		require.Equal(t, a, cube.Solved.Then(a))
	}
}

// The numbers of the stickers are those of the published net.
func TestStickersStandAsInTheNet(t *testing.T) {
	text, err := os.ReadFile("../testdata/published/facelet_net.txt")
	require.NoError(t, err)
	// The net's lines in threes: what faces stand beside each other there is said
	// by their names, in the middle of the second line.
	triple := regexp.MustCompile(`(\d+) +(\d+|[a-z]+) +(\d+)`)
	var lines [][][]string
	for line := range strings.SplitSeq(string(text), "\n") {
		if found := triple.FindAllStringSubmatch(line, -1); found != nil {
			lines = append(lines, found)
		}
	}
	require.Len(t, lines, 9)
	faces := map[string]cube.Face{
		"top": cube.FaceU, "left": cube.FaceL, "front": cube.FaceF,
		"right": cube.FaceR, "rear": cube.FaceB, "bot": cube.FaceD,
	}
	seen := map[int]bool{}
	for l, line := range lines {
		for column, numbers := range line {
			name := lines[l/3*3+1][column][2]
			require.Contains(t, faces, name)
			for _, n := range numbers[1:] {
				if n != name {
					assert.Equal(t, faces[name].String(), cubetest.Cell(number(t, n) - 1)[:1], "sticker %s", n)
					seen[number(t, n)] = true
				}
			}
		}
	}
	assert.Len(t, seen, 48)

	// Four corners, each of whose stickers lie together when the net is folded,
	// and the centres, which are numbered after the net.
	for name, n := range map[string]int{
		"ULB": 1, "LBU": 9, "BUL": 35, "UFR": 8, "FUR": 19, "RUF": 25,
		"DFL": 41, "FDL": 22, "LDF": 16, "DBR": 48, "BRD": 38, "RDB": 32,
		"U": 49, "L": 50, "F": 51, "R": 52, "B": 53, "D": 54,
	} {
		assert.Equal(t, n, cubetest.Number(name)+1, name)
	}
}

// Both models turn as GAP's generators do, and as the turns derived from them.
func TestPublishedGenerators(t *testing.T) {
	layers := map[cube.Layer]bool{}
	for _, r := range published(t, "generators48.tsv") {
		s := parsed(t, r["move"])
		require.Len(t, s, 1, r["move"])
		layers[s[0].Layer()] = true
		assert.Equal(t, r["cycles_48"], cycles(cubetest.Solved.Do(s)), r["move"])
		assert.Equal(t, r["cycles_48"], cycles(cubetest.Of(s.Cube())), r["move"])
	}
	assert.Len(t, layers, cube.Layers, "the table has every layer")
}

// A turn of two or three quarters is that many of one, and an inverse undoes it.
func TestQuarters(t *testing.T) {
	for l := range cube.Layer(cube.Layers) {
		c := cube.Solved
		for quarters := 1; quarters <= 3; quarters++ {
			c = c.Turn(cube.TurnOf(l, 1))
			turn := cube.TurnOf(l, quarters)
			assert.Equal(t, c, turn.Cube(), turn.String())
			assert.Equal(t, l, turn.Layer())
			assert.Equal(t, quarters, turn.Quarters())
			assert.Equal(t, cube.Solved, turn.Cube().Turn(turn.Inverse()), turn.String())
			assert.Equal(t, turn, cube.TurnOf(l, quarters-4), "counted the other way round")
		}
		assert.Panics(t, func() { cube.TurnOf(l, 4) }, "four quarters are no turn")
	}
	assert.Panics(t, func() { cube.TurnOf(cube.Layers, 1) })
}

// Pieces in their numbers, and back, over every number.
func TestPieceNumbers(t *testing.T) {
	for p := range cube.CornerPlace(cube.CornerPlaces) {
		for twist := range 3 {
			c := cube.CornerAs(p, twist)
			assert.Equal(t, int(p)*3+twist, int(c))
			assert.Equal(t, p, c.Piece())
			assert.Equal(t, twist, c.Twist())
		}
	}
	for p := range cube.EdgePlace(cube.EdgePlaces) {
		for flip := range 2 {
			e := cube.EdgeAs(p, flip)
			assert.Equal(t, int(p)*2+flip, int(e))
			assert.Equal(t, p, e.Piece())
			assert.Equal(t, flip, e.Flip())
		}
	}
}

// Places have the facelets that their names say, the reference first and the
// corners' clockwise, seen from outside.
func TestFaceletsOfPlaces(t *testing.T) {
	y := parsed(t, "y").Cube().Hold()
	for p := range cube.CornerPlace(cube.CornerPlaces) {
		f := p.Facelets()
		assert.ElementsMatch(t, strings.Split(p.String(), ""), []string{f[0].String(), f[1].String(), f[2].String()})
		// y carries the sides clockwise seen from above: at a top corner the right
		// neighbour's side to the left one, at a bottom corner the same seen from
		// outside, which is upside down.
		if f[0] == cube.FaceU {
			assert.Equal(t, f[2], y.Face(f[1]), p.String())
		} else {
			assert.Equal(t, cube.FaceD, f[0], p.String())
			assert.Equal(t, f[1], y.Face(f[2]), p.String())
		}
	}
	for p := range cube.EdgePlace(cube.EdgePlaces) {
		f := p.Facelets()
		assert.ElementsMatch(t, strings.Split(p.String(), ""), []string{f[0].String(), f[1].String()})
		references := "UD"
		if !strings.ContainsAny(p.String(), "UD") {
			references = "FB"
		}
		assert.Contains(t, references, f[0].String(), p.String())
	}
}
