package picture

import (
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// seenStickers are the stickers of the top layer and of the slot, by the cell of
// the net that they are in.
func seenStickers(slot lastslot.Slot) map[Cell]string {
	seen := map[Cell]string{NetTop(slot): "U"}
	for spot := range lastslot.Spots {
		corner, edge := slot.CornerPlace(spot).Facelets(), slot.EdgePlace(spot).Facelets()
		for i := range 3 {
			seen[NetCorner(slot, spot, i)] = corner[i].String() + corner[(i+1)%3].String() + corner[(i+2)%3].String()
		}
		for i := range 2 {
			seen[NetEdge(slot, spot, i)] = edge[i].String() + edge[1-i].String()
		}
	}
	return seen
}

// shapeAt lists what of the picture lies on the middle of a cell, without bodies.
func (p Picture) shapeAt(c Cell) (found []string) {
	at := c.corner()
	x, y := at.X+netUnit/2, at.Y+netUnit/2
	for _, s := range p.Shapes {
		if s.Class == netBody {
			continue
		}
		if len(s.Points) > 0 {
			// Diamonds alone are left: as far to the right as to the left.
			if s.Points[0].X == x && s.Points[1].Y == y {
				found = append(found, "diamond "+s.Classes())
			}
			continue
		}
		if 2*s.X+s.W == 2*x && 2*s.Y+s.H == 2*y {
			found = append(found, s.Classes())
		}
	}
	return found
}

// wantedAt is what the picture is to show of a sticker, from the stickers alone:
// the first letter of its name is its colour, all of them its piece.
func wantedAt(piece string, slot lastslot.Slot) []string {
	colour := netColours[strings.Index("UDLRFB", piece[:1])]
	has := func(faces string) bool {
		for _, f := range faces {
			if !strings.ContainsRune(piece, f) {
				return false
			}
		}
		return len(faces) == len(piece)
	}
	mark := func(reference bool) string {
		if reference {
			return "net-solid"
		}
		return "net-hollow"
	}
	switch {
	case piece == "U":
		return []string{"net-tile of-up"}
	case has(slot.Corner().String()):
		return []string{"net-tile " + colour, "diamond " + mark(piece[0] == 'D')}
	case has(slot.Edge().String()):
		return []string{"net-tile " + colour, mark(piece[0] == 'F' || piece[0] == 'B')}
	case len(piece) == 1 || !strings.Contains(piece, "U"):
		return []string{"net-bar " + colour}
	case piece[0] == 'U':
		return []string{"net-tile of-up"}
	}
	return []string{"net-plain"}
}

// stripsOf are random rows of turns for random cases, frame by frame.
func stripsOf(t *testing.T, strips int, check func(p Position, stickers cubetest.Stickers)) {
	t.Helper()
	random := rand.New(rand.NewPCG(5, 8))
	book, err := forecast.Load()
	require.NoError(t, err)
	for range strips {
		c := lastslot.CaseAt(random.IntN(lastslot.Cases))
		options := book.For(forecast.Anyone()).Forecast(forecast.Request{Case: c})
		o := options[random.IntN(len(options))]
		p := PositionOf(c)
		stickers := cubetest.Of(c.Cube())
		check(p, stickers)
		for _, turn := range cube.Join(o.Turns, o.Then, o.Sequence) {
			p = p.Turned(turn)
			stickers = stickers.Do(cube.Sequence{turn})
			check(p, stickers)
		}
	}
}

// Frame by frame, each cell shows the sticker that plain stickers, turned in
// space, have in its place.
func TestNetPicturesAreThoseOfTheStickers(t *testing.T) {
	t.Parallel()
	frames := 0
	stripsOf(t, 600/cubetest.Stride(t, 20), func(p Position, stickers cubetest.Stickers) {
		frames++
		picture := p.Picture()
		for c, name := range seenStickers(p.Now) {
			piece := cubetest.Cell(int(stickers[cubetest.Number(name)]))
			found := picture.shapeAt(c)
			if len(found) > 0 && found[0] == string(netMoved) {
				found = found[1:]
			}
			require.Equal(t, wantedAt(piece, p.Slot), found, "%s shows %s", name, piece)
		}
	})
	assert.Greater(t, frames, 6000/20)
}

// What is marked as moved are the stickers that the turn moves, and no others.
func TestNetPicturesMarkWhatMoved(t *testing.T) {
	t.Parallel()
	for slot := range lastslot.Slot(lastslot.Slots) {
		for turn := range cube.Turn(cube.Turns) {
			p := PositionOf(lastslot.Case{Slot: slot, Corner: lastslot.InSlot, Edge: lastslot.InSlot}).Turned(turn)
			picture := p.Picture()
			sources := cubetest.Sources(turn)
			for c, name := range seenStickers(p.Now) {
				number := cubetest.Number(name)
				marked := 0
				for _, class := range picture.shapeAt(c) {
					if class == string(netMoved) {
						marked++
					}
				}
				moves := int(sources[number]) != number || name == "U" && (turn.Layer() == cube.U || turn.Layer() == cube.Uw)
				if moves && turn.Kind() != cube.Rotation {
					require.Equal(t, 1, marked, "%s at %s", turn, name)
				} else {
					require.Zero(t, marked, "%s at %s", turn, name)
				}
			}
		}
	}
}

// The words say of each piece in sight what the stickers show.
func TestNetPictureWords(t *testing.T) {
	t.Parallel()
	facing := map[string]string{"U": "up", "D": "down", "L": "left", "R": "right", "F": "front", "B": "back"}
	listed := regexp.MustCompile(`^(?:top colour up at |top colour turned at |pieces of the cross or of other slots at )`)
	stripsOf(t, 200/cubetest.Stride(t, 10), func(p Position, stickers cubetest.Stickers) {
		said := map[string]string{}
		for part := range strings.SplitSeq(p.Words(), "; ") {
			start := listed.FindString(part)
			if start == "" {
				name, rest, _ := strings.Cut(strings.TrimPrefix(part, "pair’s "), " ")
				said["pair’s "+name] = rest
				continue
			}
			for place := range strings.SplitSeq(strings.TrimPrefix(part, start), ", ") {
				if strings.Contains(start, "turned") {
					cut := strings.LastIndex(place, " ")
					said[place[:cut]] = place[cut+1:]
				} else {
					said[place] = strings.Fields(start)[2]
				}
			}
		}
		want := map[string]string{"pair’s corner": "out of sight", "pair’s edge": "out of sight"}
		for spot := range lastslot.Spots {
			for _, place := range []string{p.Now.CornerPlace(spot).String(), p.Now.EdgePlace(spot).String()} {
				kind := map[int]string{3: "corner", 2: "edge"}[len(place)]
				name, in := place, "at "+place
				if spot == lastslot.InSlot {
					name, in = "slot’s "+kind, "in the slot"
				}
				for i := range place {
					piece := cubetest.Cell(int(stickers[cubetest.Number(place[i:i+1]+place[:i]+place[i+1:])]))
					shows := wantedAt(piece, p.Slot)
					toward := facing[place[i:i+1]]
					switch {
					case len(shows) == 2 && strings.HasSuffix(shows[1], "net-solid"):
						colour := "bottom"
						if kind == "edge" {
							colour = facing[piece[:1]]
						}
						want["pair’s "+kind] = in + ", its " + colour + " colour facing " + toward
					case len(shows) == 2:
					case piece[0] == 'U':
						want[name] = toward
					case strings.HasPrefix(shows[0], "net-bar"):
						want[name] = "the"
					}
				}
			}
		}
		require.Equal(t, want, said, p.Words())
	})
}

// Pictures hold nothing that reaches over their edge.
func TestNetPicturesStayInside(t *testing.T) {
	t.Parallel()
	stripsOf(t, 50, func(p Position, _ cubetest.Stickers) {
		for _, s := range p.Picture().Shapes {
			points := s.Points
			if points == nil {
				points = []Point{{s.X, s.Y}, {s.X + s.W, s.Y + s.H}}
			}
			for _, point := range points {
				require.True(t, point.X >= 2 && point.Y >= 2 && point.X <= netSide-2 && point.Y <= netSide-2, "%v", s)
			}
		}
	})
}

// The slot goes where rotations and what is the same as one take it.
func TestSlotInThePicture(t *testing.T) {
	t.Parallel()
	for turns, want := range map[string]lastslot.Slot{
		"R U R'": lastslot.FR, "y": lastslot.FL, "y' L": lastslot.BR, "d": lastslot.BR, "d R' U": lastslot.BR,
		"u": lastslot.FR, "u D'": lastslot.FL, "E": lastslot.FR, "r U r'": lastslot.FR, "y2 U": lastslot.BL, "D": lastslot.FR,
	} {
		p := PositionOf(lastslot.Case{Slot: lastslot.FR, Corner: 0, Edge: 1})
		row, err := cube.Parse(turns)
		require.NoError(t, err)
		for _, turn := range row {
			p = p.Turned(turn)
		}
		assert.Equal(t, want, p.Now, turns)
	}
}
