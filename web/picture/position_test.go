package picture

import (
	"cmp"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
)

// allStickers are the puzzle's, by the name that plain stickers have.
func allStickers() map[string]Sticker {
	all := map[string]Sticker{}
	for f := range cube.Face(cube.Faces) {
		all[f.String()] = CentreSticker(f)
	}
	for p := range cube.CornerPlace(cube.CornerPlaces) {
		f := p.Facelets()
		for i := range f {
			all[f[i].String()+f[(i+1)%3].String()+f[(i+2)%3].String()] = CornerSticker(p, i)
		}
	}
	for p := range cube.EdgePlace(cube.EdgePlaces) {
		f := p.Facelets()
		for i := range f {
			all[f[i].String()+f[1-i].String()] = EdgeSticker(p, i)
		}
	}
	return all
}

// seenStickers are those that the picture is to show, told by their letters alone: the
// three sides in sight, over the edge at the first slot; the top layer's; the open slots'.
func seenStickers(slots ...lastslot.Slot) map[string]Sticker {
	seen := map[string]Sticker{}
	side := slots[0].Edge().String()[1:]
	for name, s := range allStickers() {
		letters := strings.Split(name, "")
		slices.Sort(letters)
		piece := strings.Join(letters, "")
		is := func(other string) bool {
			o := strings.Split(other, "")
			slices.Sort(o)
			return piece == strings.Join(o, "")
		}
		if name[:1] == "U" || name[:1] == "F" || name[:1] == side || strings.Contains(name, "U") ||
			slices.ContainsFunc(slots, func(s lastslot.Slot) bool { return is(s.Corner().String()) || is(s.Edge().String()) }) {
			seen[name] = s
		}
	}
	return seen
}

// shapesAt lists what of the picture lies around the middle of each point, but bodies.
func (p Picture) shapesAt() map[Point][]string {
	found := map[Point][]string{}
	for _, s := range p.Shapes {
		if s.Class == bodyShape || s.Class == flapShape || s.Class == foldShape {
			continue
		}
		var sum Point
		for _, q := range s.Points {
			sum.X += q.X
			sum.Y += q.Y
		}
		n := float64(len(s.Points))
		middle := vertex{float64(sum.X) / n, float64(sum.Y) / n}.rounded()
		classes := s.Classes()
		switch {
		case (s.Class == solidMark || s.Class == hollowMark) && len(s.Points) == 4:
			classes = "diamond " + classes
		case (s.Class == solidMark || s.Class == hollowMark) && len(s.Points) == 3 && s.Points[0].Y < middle.Y:
			classes = "upward " + classes
		case (s.Class == solidMark || s.Class == hollowMark) && len(s.Points) == 3:
			classes = "downward " + classes
		case s.Class == solidMark || s.Class == hollowMark:
			classes = "dot " + classes
		}
		found[middle] = append(found[middle], classes)
	}
	return found
}

// at is what lies at a point, which rounding may have moved by one.
func at(shapes map[Point][]string, p Point) (found []string) {
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			found = append(found, shapes[Point{p.X + dx, p.Y + dy}]...)
		}
	}
	slices.SortStableFunc(found, func(a, b string) int { return cmp.Compare(order(a), order(b)) })
	return found
}

// order is a tile before its mark, and before both what moved.
func order(class string) int {
	switch {
	case class == string(movedShape):
		return 0
	case strings.HasPrefix(class, "seen-"):
		return 1
	}
	return 2
}

// wantedAt is what the picture is to show of a sticker, from the stickers alone:
// the first letter of its name is its colour, all of them its piece.
func wantedAt(piece string, slots ...lastslot.Slot) []string {
	colour := colourClasses[strings.Index("UDLRFB", piece[:1])]
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
			return "seen-solid"
		}
		return "seen-hollow"
	}
	if piece == "U" {
		return []string{"seen-tile of-up"}
	}
	for i, slot := range slots {
		switch {
		case has(slot.Corner().String()):
			return []string{"seen-tile " + colour, [...]string{"diamond ", "upward "}[i] + mark(piece[0] == 'D')}
		case has(slot.Edge().String()):
			return []string{"seen-tile " + colour, [...]string{"dot ", "downward "}[i] + mark(piece[0] == 'F' || piece[0] == 'B')}
		}
	}
	switch {
	case len(piece) == 1 || !strings.Contains(piece, "U"):
		return []string{"seen-quiet " + colour}
	case piece[0] == 'U':
		return []string{"seen-tile of-up"}
	}
	return []string{"seen-plain"}
}

// stripsOf are random rows of turns for random cases, frame by frame.
func stripsOf(t *testing.T, strips int, check func(p Position, stickers cubetest.Stickers)) {
	t.Helper()
	random := rand.New(rand.NewPCG(5, 8))
	book := forecasttest.Book()
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

// shows compares a picture with plain stickers: each place in sight has the sticker that
// they have, and nothing else is drawn.
func shows(t *testing.T, p Position, stickers cubetest.Stickers, seen map[string]Sticker) {
	t.Helper()
	p.Picture().shows(t, stickers, seen, p.Slot)
}

// shows compares a picture with plain stickers, of which those are to be seen.
func (p Picture) shows(t *testing.T, stickers cubetest.Stickers, seen map[string]Sticker, slots ...lastslot.Slot) {
	t.Helper()
	shapes := p.shapesAt()
	drawn := 0
	for name, s := range seen {
		piece := cubetest.Cell(int(stickers[cubetest.Number(name)]))
		tile, ok := p.View.Tile(s)
		if !ok {
			t.Fatalf("%s is not in the picture", name)
		}
		found := at(shapes, tile.middle())
		if len(found) > 0 && found[0] == string(movedShape) {
			found = found[1:]
		}
		for i := range found {
			found[i], _, _ = strings.Cut(found[i], " in-")
		}
		drawn += len(found)
		if want := wantedAt(piece, slots...); !slices.Equal(want, found) {
			require.Equal(t, want, found, "%s shows %s", name, piece)
		}
	}
	all := 0
	for _, s := range p.Shapes {
		if s.Class != bodyShape && s.Class != flapShape && s.Class != foldShape && s.Class != movedShape {
			all++
		}
	}
	require.Equal(t, all, drawn)
}

// Every case is drawn as plain stickers have it.
func TestPicturesOfAllCasesAreThoseOfTheStickers(t *testing.T) {
	t.Parallel()
	var seen [lastslot.Slots]map[string]Sticker
	for slot := range lastslot.Slot(lastslot.Slots) {
		seen[slot] = seenStickers(slot)
	}
	cubetest.Each(t, lastslot.Cases, 200, func(t *testing.T, i int) {
		c := lastslot.CaseAt(i)
		shows(t, PositionOf(c), cubetest.Of(c.Cube()), seen[c.Slot])
	})
}

// Frame by frame, each place shows the sticker that plain stickers, turned in space,
// have there.
func TestPicturesOfTurnsAreThoseOfTheStickers(t *testing.T) {
	t.Parallel()
	frames := 0
	stripsOf(t, 600/cubetest.Stride(t, 20), func(p Position, stickers cubetest.Stickers) {
		frames++
		shows(t, p, stickers, seenStickers(p.Now))
	})
	assert.Greater(t, frames, 6000/20)
}

// What is marked as moved are the stickers in sight that the turn moves, and no others.
func TestPicturesMarkWhatMoved(t *testing.T) {
	t.Parallel()
	for slot := range lastslot.Slot(lastslot.Slots) {
		for turn := range cube.Turn(cube.Turns) {
			p := PositionOf(lastslot.Case{Slot: slot, Corner: lastslot.InSlot, Edge: lastslot.InSlot}).Turned(turn)
			shapes := p.Picture().shapesAt()
			sources := cubetest.Sources(turn)
			for name, s := range seenStickers(p.Now) {
				number := cubetest.Number(name)
				tile, _ := ViewOf(p.Now).Tile(s)
				marked := 0
				for _, class := range at(shapes, tile.middle()) {
					if class == string(movedShape) {
						marked++
					}
				}
				own := len(name) == 1 && turn.Kind() <= cube.WideTurn && turn.Layer().Reference().String() == name
				moves := int(sources[number]) != number || own
				if moves && turn.Kind() != cube.Rotation {
					require.Equal(t, 1, marked, "%s at %s", turn, name)
				} else {
					require.Zero(t, marked, "%s at %s", turn, name)
				}
			}
		}
	}
}

// A figure that a whole case was tapped in on is the picture of the case, and what
// nobody spoke of is small.
func TestTappedPicture(t *testing.T) {
	t.Parallel()
	var seen [lastslot.Slots]map[string]Sticker
	for slot := range lastslot.Slot(lastslot.Slots) {
		seen[slot] = seenStickers(slot)
	}
	cubetest.Each(t, lastslot.Cases, 200, func(t *testing.T, i int) {
		c := lastslot.CaseAt(i)
		tapped := Tapped{Slot: c.Slot, Second: c.Slot, Corners: [2]int{c.Corner, -1}, Edges: [2]int{c.Edge, -1}}
		copy(tapped.Twists[:], c.Twists[:])
		copy(tapped.Flips[:], c.Flips[:])
		tapped.Picture().shows(t, cubetest.Of(c.Cube()), seen[c.Slot], c.Slot)
	})
	empty := Tapped{Corners: [2]int{-1, -1}, Edges: [2]int{-1, -1}}
	for spot := range lastslot.Spots {
		empty.AssumedCorners[spot], empty.AssumedEdges[spot] = true, true
	}
	small := 0
	for _, s := range empty.Picture().Shapes {
		if s.Class == assumedTile {
			small++
			assert.Contains(t, s.Classes(), "of-up in-")
		}
	}
	assert.Equal(t, 2*lastslot.Spots, small)
}

// With two slots open, too, the figure shows each sticker where the position has it,
// whichever of the two one looks at: for cases all over their range.
func TestTappedPictureOfTwo(t *testing.T) {
	t.Parallel()
	const spread = 8071 // shares no factor with any number of places, twists or flips
	for i := 0; i < twoslots.Cases; i += spread * cubetest.Stride(t, 23) {
		c := twoslots.CaseAt(i)
		stickers := cubetest.Of(c.Cube())
		for _, swap := range []bool{false, true} {
			slots := c.Open.Slots()
			at := func(spot int) int { return spot }
			first, second := 0, 1
			if swap {
				first, second = 1, 0
				at = func(spot int) int {
					if spot >= twoslots.First {
						return twoslots.First + twoslots.Second - spot
					}
					return spot
				}
			}
			tapped := Tapped{
				Slot: slots[first], Second: slots[second],
				Corners: [2]int{at(c.Corners[first]), at(c.Corners[second])}, Edges: [2]int{at(c.Edges[first]), at(c.Edges[second])},
			}
			for spot := range twoslots.Spots {
				tapped.Twists[at(spot)], tapped.Flips[at(spot)] = c.Twists[spot], c.Flips[spot]
			}
			picture := tapped.Picture()
			picture.shows(t, stickers, seenStickers(tapped.Slot, tapped.Second), tapped.Slot, tapped.Second)
			for _, s := range picture.Shapes {
				for _, q := range s.Points {
					require.True(t, q.X >= 4 && q.X <= Width-4 && q.Y >= 4-picture.View.Above() && q.Y <= Height-4, "%s, seen over %s: %v", c.Open, tapped.Slot, s)
				}
			}
		}
	}
}

// The words say of each piece in sight what the stickers show.
func TestPictureWords(t *testing.T) {
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
					case len(shows) == 2 && strings.HasSuffix(shows[1], "seen-solid"):
						colour := "bottom"
						if kind == "edge" {
							colour = facing[piece[:1]]
						}
						want["pair’s "+kind] = in + ", " + colour + " colour facing " + toward
					case len(shows) == 2:
					case piece[0] == 'U':
						want[name] = toward
					case strings.HasPrefix(shows[0], "seen-quiet"):
						want[name] = "the"
					}
				}
			}
		}
		require.Equal(t, want, said, p.Words())
	})
}

// Pictures hold nothing that reaches over their edge.
func TestPicturesStayInside(t *testing.T) {
	t.Parallel()
	stripsOf(t, 50, func(p Position, _ cubetest.Stickers) {
		for _, s := range p.Picture().Shapes {
			for _, q := range s.Points {
				require.True(t, q.X >= 4 && q.Y >= 4 && q.X <= Width-4 && q.Y <= Height-4, "%v", s)
			}
		}
	})
}

// Tiles lie beside each other and never over each other, so that a tap has one meaning.
func TestTilesDoNotOverlap(t *testing.T) {
	t.Parallel()
	step := cubetest.Stride(t, 5)
	for slots := 0; slots < lastslot.Slots*lastslot.Slots; slots += step {
		view := ViewOfTwo(lastslot.Slot(slots/lastslot.Slots), lastslot.Slot(slots%lastslot.Slots))
		var tiles [][]Point
		for _, s := range seenStickers(view.slot, view.second) {
			tile, _ := view.Tile(s)
			tiles = append(tiles, tile.scaled(0.98))
		}
		inside := func(p Point, outline []Point) bool {
			left, right := 0, 0
			for i, a := range outline {
				b := outline[(i+1)%len(outline)]
				if (b.X-a.X)*(p.Y-a.Y)-(b.Y-a.Y)*(p.X-a.X) < 0 {
					left++
				} else {
					right++
				}
			}
			return left == 0 || right == 0
		}
		for x := 0; x < Width; x += 3 {
			for y := -view.Above(); y < Height; y += 3 {
				within := 0
				for _, outline := range tiles {
					if inside(Point{x, y}, outline) {
						within++
					}
				}
				require.LessOrEqual(t, within, 1, "%s, %s at %d, %d", view.slot, view.second, x, y)
			}
		}
	}
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

// A picture, drawn and written.
func BenchmarkPosition(b *testing.B) {
	c := lastslot.CaseAt(54321)
	for b.Loop() {
		if len(PositionOf(c).Picture().SVG()) == 0 {
			b.Fatal("nothing drawn")
		}
	}
}
