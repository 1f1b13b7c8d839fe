// Package cubetest is the slow definition of the puzzle that tests compare the
// fast one with: 54 stickers in space, turned by geometry alone. Nothing of it
// is taken from package cube but the names of the turns. Beside it stands what tests
// of several packages need of turns, and [Each], by which they look at everything.
// Only tests import this package.
package cubetest

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/cube"
)

// vector is a point or a direction: x to the right, y up, z to the front.
type vector [3]int

// sticker is a place for a sticker: the cell it is on, each coordinate -1, 0 or
// 1, and the direction it faces.
type sticker struct{ cell, facing vector }

// Stickers is a position: Stickers[i] is the number of the sticker that stands
// at i. The numbers are those of GAP's example (see [Number]), from 0.
type Stickers [54]uint8

// places lists the sticker places by number.
var places = buildPlaces()

// buildPlaces follows the net in testdata/published/facelet_net.txt: top, left,
// front, right, rear and bottom, each row by row as the net shows it, without
// its centre; then the centres in the same order, as in generators48.tsv.
func buildPlaces() []sticker {
	// A face of the net: where it faces, and the directions in which its columns
	// and its rows run.
	net := []struct{ facing, right, down vector }{
		{vector{0, 1, 0}, vector{1, 0, 0}, vector{0, 0, 1}},   // top
		{vector{-1, 0, 0}, vector{0, 0, 1}, vector{0, -1, 0}}, // left
		{vector{0, 0, 1}, vector{1, 0, 0}, vector{0, -1, 0}},  // front
		{vector{1, 0, 0}, vector{0, 0, -1}, vector{0, -1, 0}}, // right
		{vector{0, 0, -1}, vector{-1, 0, 0}, vector{0, -1, 0}},
		{vector{0, -1, 0}, vector{1, 0, 0}, vector{0, 0, -1}}, // bottom
	}
	var edgewise, centres []sticker
	for _, f := range net {
		for row := -1; row <= 1; row++ {
			for column := -1; column <= 1; column++ {
				cell := f.facing
				for i := range cell {
					cell[i] += column*f.right[i] + row*f.down[i]
				}
				if row == 0 && column == 0 {
					centres = append(centres, sticker{cell, f.facing})
				} else {
					edgewise = append(edgewise, sticker{cell, f.facing})
				}
			}
		}
	}
	return append(edgewise, centres...)
}

// quarterTurn is what a turn by one quarter does: the axis that it turns about,
// seen from outside along which it goes clockwise, and the layers that it
// moves, by their coordinate along that axis.
type quarterTurn struct {
	axis   vector
	layers []int
}

var (
	up, down     = vector{0, 1, 0}, vector{0, -1, 0}
	right, left  = vector{1, 0, 0}, vector{-1, 0, 0}
	front, back  = vector{0, 0, 1}, vector{0, 0, -1}
	outer        = []int{1}
	outerTwo     = []int{1, 0}
	middle       = []int{0}
	all          = []int{1, 0, -1}
	quarterTurns = map[byte]quarterTurn{
		'U': {up, outer}, 'D': {down, outer}, 'L': {left, outer},
		'R': {right, outer}, 'F': {front, outer}, 'B': {back, outer},
		'u': {up, outerTwo}, 'd': {down, outerTwo}, 'l': {left, outerTwo},
		'r': {right, outerTwo}, 'f': {front, outerTwo}, 'b': {back, outerTwo},
		'M': {left, middle}, 'E': {down, middle}, 'S': {front, middle},
		'x': {right, all}, 'y': {up, all}, 'z': {front, all},
	}
)

func dot(a, b vector) int { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// clockwise is v turned by a quarter about the axis, clockwise seen from the
// axis's tip: the part along the axis stays, the rest becomes v × axis.
func clockwise(v, axis vector) vector {
	along := dot(v, axis)
	return vector{
		v[1]*axis[2] - v[2]*axis[1] + along*axis[0],
		v[2]*axis[0] - v[0]*axis[2] + along*axis[1],
		v[0]*axis[1] - v[1]*axis[0] + along*axis[2],
	}
}

// Plain is a position in its plainest form: where in space each sticker is.
type Plain [54]sticker

// PlainSolved has each sticker where it belongs.
var PlainSolved = Plain(places)

// Do turns the stickers of each turn's layers about its axis, one by one. It is
// the definition that all else is a faster copy of.
func (p *Plain) Do(turns cube.Sequence) {
	for _, t := range turns {
		q := quarterTurns[t.String()[0]]
		for i := range p {
			if !slices.Contains(q.layers, dot(p[i].cell, q.axis)) {
				continue
			}
			for range t.Quarters() {
				p[i].cell, p[i].facing = clockwise(p[i].cell, q.axis), clockwise(p[i].facing, q.axis)
			}
		}
	}
}

// Plain is the position with each sticker in space.
func (s Stickers) Plain() (p Plain) {
	for at, sticker := range s {
		p[sticker] = places[at]
	}
	return p
}

// Up says of a sticker whether it faces up.
func (p *Plain) Up(sticker int) bool { return p[sticker].facing == up }

// sources[t][i] is the place that the sticker comes from which t brings to i.
var sources = func() (table [cube.Turns]Stickers) {
	for t := range cube.Turn(cube.Turns) {
		turned := PlainSolved
		turned.Do(cube.Sequence{t})
		for from, to := range turned {
			table[t][slices.Index(places, to)] = uint8(from)
		}
	}
	return table
}()

// Solved is the position where every sticker stands at its own number.
var Solved = func() (s Stickers) {
	for i := range s {
		s[i] = uint8(i)
	}
	return s
}()

// Do is s after the turns.
func (s Stickers) Do(turns cube.Sequence) Stickers {
	for _, t := range turns {
		source := &sources[t]
		before := s
		for i, from := range source {
			s[i] = before[from]
		}
	}
	return s
}

// Sources has, for each place, the place that the turn brings its sticker from.
func Sources(t cube.Turn) Stickers { return sources[t] }

// Cell names the place of the sticker i by its faces, the one it is on first:
// "U" a centre, "UF" and "FU" the two stickers of an edge place.
func Cell(i int) string { return names().cells[i] }

// names has the name of each place, and the places by all their names, worked out
// once.
var names = sync.OnceValue(func() (n struct {
	cells   [54]string
	numbers map[string]int
}) {
	n.numbers = map[string]int{}
	for i := range places {
		cell := cellOf(i)
		n.cells[i], n.numbers[cell] = cell, i
		if len(cell) == 3 {
			n.numbers[cell[:1]+cell[2:]+cell[1:2]] = i
		}
	}
	return n
})

func cellOf(i int) string {
	s := places[i]
	name := letter(s.facing)
	for axis, at := range s.cell {
		var v vector
		v[axis] = at
		if at != 0 && s.facing[axis] == 0 {
			name += letter(v)
		}
	}
	return name
}

// Number is the place whose name, as [Cell] makes it, has these letters: the
// first as given, the others in either order.
func Number(name string) int {
	if i, ok := names().numbers[name]; ok {
		return i
	}
	panic(fmt.Sprintf("cubetest: no sticker place %q", name))
}

func letter(v vector) string {
	for _, l := range []byte("UDLRFB") {
		if quarterTurns[l].axis == v {
			return string(l)
		}
	}
	panic("cubetest: not along an axis")
}

// facelets has the numbers of the facelets of package cube, by its places and in
// its order.
var facelets = sync.OnceValue(func() (n struct {
	corners [cube.CornerPlaces][3]int
	edges   [cube.EdgePlaces][2]int
	centres [cube.Faces]int
}) {
	for p := range n.corners {
		for i := range n.corners[p] {
			n.corners[p][i] = Number(name3(cube.CornerPlace(p).Facelets(), i))
		}
	}
	for p := range n.edges {
		f := cube.EdgePlace(p).Facelets()
		n.edges[p] = [2]int{Number(f[0].String() + f[1].String()), Number(f[1].String() + f[0].String())}
	}
	for f := range n.centres {
		n.centres[f] = Number(cube.Face(f).String())
	}
	return n
})

// Of is the position of a [cube.Cube], sticker by sticker.
func Of(c cube.Cube) Stickers {
	s, n := Solved, facelets()
	for p, at := range c.Corners {
		for i := range 3 {
			// The piece's i-th facelet shows at the place's facelet i + twist.
			s[n.corners[p][(i+at.Twist())%3]] = uint8(n.corners[at.Piece()][i])
		}
	}
	for p, at := range c.Edges {
		for i := range 2 {
			s[n.edges[p][i^at.Flip()]] = uint8(n.edges[at.Piece()][i])
		}
	}
	for f, at := range c.Centres {
		s[n.centres[f]] = uint8(n.centres[at])
	}
	return s
}

func name3(facelets [3]cube.Face, first int) string {
	return facelets[first].String() + facelets[(first+1)%3].String() + facelets[(first+2)%3].String()
}

// FirstTwoLayersAndTop says whether the position, whatever hold it ends in, has the
// first two layers solved and the top of one colour, sticker by sticker.
func (s Stickers) FirstTwoLayersAndTop(end cube.Hold) bool {
	s = s.Do(end.Inverse().Turns())
	for i, from := range s {
		if at, colour := Cell(i), Cell(int(from)); len(at) == 1 && at != colour {
			return false
		} else if !strings.Contains(at, "U") && at[0] != colour[0] || at[0] == 'U' && colour[0] != 'U' {
			return false
		}
	}
	return true
}

// Sequence reads turns that a test writes.
func Sequence(t testing.TB, text string) cube.Sequence {
	t.Helper()
	s, err := cube.Parse(text)
	require.NoError(t, err)
	return s
}
