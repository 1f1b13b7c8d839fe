package forecast

import (
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
)

// book is loaded once for all tests; it does not change.
var book = sync.OnceValue(func() *Book {
	b, err := Load()
	if err != nil {
		panic(err)
	}
	return b
})

// Maps combine, invert and turn round as the effects that they stand for.
func TestMapsAreThoseOfTheirMotions(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(2, 3))
	for slot := range lastslot.Slot(lastslot.Slots) {
		for range 500 {
			a := book().spelled[slot][random.IntN(len(book().spelled[slot]))]
			b := book().spelled[slot][random.IntN(len(book().spelled[slot]))]
			inOneHold := func(i lastslot.Insertion) cube.Cube {
				return i.Turns.Cube().Then(i.Turns.Cube().Hold().Inverse().Cube())
			}
			ca, cb := inOneHold(a), inOneHold(b)
			require.Equal(t, lastslot.MapOf(ca.Then(cb), slot), a.Map().Then(b.Map()))
			require.Equal(t, lastslot.MapOf(ca.Inverse(), slot), a.Map().Inverse())
			for quarters := range 4 {
				y := cube.Hold(quarters).Cube()
				seen := y.Inverse().Then(ca).Then(y)
				require.Equal(t, lastslot.MapOf(seen, lastslot.Slot((int(slot)+quarters)&3)), a.Map().TurnedRound(quarters))
			}
		}
	}
}

// The order of ties is that of the written turns.
func TestTextKeysAreInTheOrderOfTexts(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(4, 5))
	draw := func() cube.Sequence {
		s := make(cube.Sequence, random.IntN(5))
		for i := range s {
			s[i] = cube.Turn(random.IntN(cube.Turns))
		}
		return s
	}
	for range 20_000 {
		a, b := draw(), draw()
		require.Equal(t, strings.Compare(a.String(), b.String()), textKeyOf(a).compare(textKeyOf(b)), "%s, %s", a, b)
	}
	// What comes before moves a key on, over the end of its first word too.
	for range 20_000 {
		a, b, c := draw(), draw(), slices.Repeat(draw(), random.IntN(4))
		require.Equal(t, textKeyOf(slices.Concat(a, b, c)), textKeyOf(c).after(a, b), "%s, %s, %s", a, b, c)
	}
}

// Every one of the 42 places of the pair has at least 8 insertions with
// different maps from each slot, without a rotation; places that differ by AUF
// have the same, so all 150 are counted.
func TestEveryPlaceOfThePairHasInsertionsWithoutRotation(t *testing.T) {
	t.Parallel()
	fewest := 1 << 30
	for slot := range lastslot.Slot(lastslot.Slots) {
		for place, options := range book().options[slot] {
			found := map[[2]uint16]bool{}
			for _, w := range options {
				if turns := w.of(book(), slot); len(turns) == 0 || turns[0].Kind() != cube.Rotation {
					found[[2]uint16{w.corners, w.edges}] = true
				}
			}
			require.GreaterOrEqual(t, len(found), 8, "%s, place %d", slot, place)
			fewest = min(fewest, len(found))
		}
	}
	t.Logf("the fewest insertions without a rotation that a place of the pair has, with AUF: %d", fewest)
}

// placed is whether the insertion is for the placed corner with its edge on top.
func placed(i lastslot.Insertion) (flip int, ok bool) {
	corner, edge := i.Map().Corners[lastslot.InSlot], i.Map().Edges[lastslot.InSlot]
	return int(edge % 2), corner == lastslot.InSlot*3 && edge/2 != lastslot.InSlot
}

// placedCornerInsertions are named by domain knowledge: common practice, no
// source. All are for a slot at front right; the rest are their mirrors.
var placedCornerInsertions = map[string][]string{
	"E slice": {
		"L E' L' U L E L'", "L E' L' U2 L E L'", "L E' L' U' L E L'",
		"B' E B U B' E' B", "B' E B U2 B' E' B", "B' E B U' B' E' B",
	},
	"M slice":   {"R U M U' R' U M'", "F' M' F U F' M F"},
	"face turn": {"R U' R' U' F' U F", "F' U F U R U' R'"},
}

func TestThePlacedCornersInsertionsWereFound(t *testing.T) {
	mirrors := map[lastslot.Slot]func(cube.Sequence) cube.Sequence{
		lastslot.FR: func(s cube.Sequence) cube.Sequence { return s },
		lastslot.FL: func(s cube.Sequence) cube.Sequence { return s.Mirror(cube.MirrorLR) },
		lastslot.BR: func(s cube.Sequence) cube.Sequence { return s.Mirror(cube.MirrorFB) },
		lastslot.BL: func(s cube.Sequence) cube.Sequence { return s.Mirror(cube.MirrorLR).Mirror(cube.MirrorFB) },
	}
	for slot, mirror := range mirrors {
		for kind, texts := range placedCornerInsertions {
			flips := map[int]bool{}
			for _, text := range texts {
				i, err := lastslot.NewInsertion(slot, mirror(cubetest.Sequence(t, text)))
				require.NoError(t, err)
				flip, ok := placed(i)
				require.True(t, ok, "%s at %s is for another place", i.Turns, slot)
				flips[flip] = true
				_, found := book().Insertion(i)
				assert.True(t, found, "%s, %s at %s was not found", kind, i.Turns, slot)
			}
			assert.Len(t, flips, 2, "%s at %s: both flips of the edge", kind, slot)
		}
	}
}

// Facts of the trade (common practice, no source): with an E slice the corners
// only turn with U; of the three last-layer edges on top, three or none oriented
// leave the same pattern whichever place is chosen, one or two leave three, or
// two where two are alike up to AUF.
func TestEdgeOnlyInsertionsChooseThePattern(t *testing.T) {
	t.Parallel()
	for flip, texts := range [][]string{
		{"L E' L' U L E L'", "L E' L' U2 L E L'", "L E' L' U' L E L'"},
		{"B' E B U B' E' B", "B' E B U2 B' E' B", "B' E B U' B' E' B"},
	} {
		byOriented := map[int]map[int]bool{}
		var does []lastslot.Map
		for _, text := range texts {
			i, err := lastslot.NewInsertion(lastslot.FR, cubetest.Sequence(t, text))
			require.NoError(t, err)
			gotFlip, ok := placed(i)
			require.True(t, ok)
			if len(does) == 0 {
				flip = gotFlip
			}
			require.Equal(t, flip, gotFlip)
			// The corners move as some turn of U moves them.
			turned := false
			for _, u := range lastslot.AUFMaps {
				turned = turned || u.Corners == i.Map().Corners
			}
			assert.True(t, turned, text)
			does = append(does, i.Map())
		}
		for index := range lastslot.CasesPerSlot {
			c := lastslot.CaseAt(index)
			if c.Corner != lastslot.InSlot || c.Twists[lastslot.InSlot] != 0 || c.Edge == lastslot.InSlot || c.Flips[c.Edge] != flip {
				continue
			}
			left := map[int]bool{}
			for _, m := range does {
				// AUF until the edge stands where the insertion takes it from.
				for q := range lastslot.AUFMaps {
					w := lastslot.AUFMaps[q].Then(m)
					if w.PairPlace() == c.PairPlace() {
						corners, edges := w.Numbers()
						left[int(lastslot.Outcome(book().cornersLeft[corners][c.TwistIndex()]*8+book().edgesLeft[edges][c.FlipIndex()]).Pattern())] = true
					}
				}
			}
			oriented := 0
			for spot, f := range c.Flips[:lastslot.InSlot] {
				if spot != c.Edge && f == 0 {
					oriented++
				}
			}
			if byOriented[oriented] == nil {
				byOriented[oriented] = map[int]bool{}
			}
			byOriented[oriented][len(left)] = true
		}
		assert.Equal(t, map[int]map[int]bool{
			0: {1: true}, 3: {1: true}, 1: {2: true, 3: true}, 2: {2: true, 3: true},
		}, byOriented)
	}
}

// Every option that the forecast gives in any case, simulated sticker by sticker:
// the first two layers are solved after its turns, the top colour faces where it
// says, and after its AUF and sequence the whole top faces up.
func TestEveryOptionOfEveryCaseLeavesWhatItSays(t *testing.T) {
	anyone := book().For(Anyone())
	// By where the pair is: there the options have the same turns.
	byPlace := make([][]lastslot.Case, lastslot.Slots*lastslot.PairPlaces)
	for index := range lastslot.Cases {
		c := lastslot.CaseAt(index)
		place := int(c.Slot)*lastslot.PairPlaces + c.PairPlace()
		byPlace[place] = append(byPlace[place], c)
	}
	var simulated atomic.Int64
	cubetest.Each(t, len(byPlace), 127, func(t *testing.T, place int) {
		s := newSimulation()
		for _, c := range byPlace[place] {
			start := cubetest.Of(c.Cube())
			options := anyone.Forecast(Request{Case: c})
			for i := range options {
				if wrong := s.wrong(&start, &options[i]); wrong != "" {
					t.Fatalf("%s: %s: %s", c.Code(), options[i].Turns, wrong)
				}
			}
			simulated.Add(int64(len(options)))
		}
	})
	t.Logf("%d options simulated", simulated.Load())
}

// simulation carries stickers by sequences that it has worked out turn by turn
// once each.
type simulation struct {
	// known has what sequences do, by their first turn: the book's stand in one
	// place each, so that is quicker to look up than their text.
	known map[*cube.Turn]*cubetest.Stickers
	// top has, for each place of the top layer in the order of Outcome.Facing, its
	// stickers; below, the stickers of the two layers beneath, and centre of each.
	top    [8][]int
	below  [][2]int
	letter [54]byte
	up     [9]int // the stickers of the top face
	facing [lastslot.Outcomes]string
	// ends has, by outcome, which stickers an AUF and a sequence bring to the top
	// face, by the first turns of these two.
	ends [lastslot.Outcomes]struct {
		known          bool
		then, sequence *cube.Turn
		from           [9]uint8
	}
}

func newSimulation() *simulation {
	s := &simulation{known: map[*cube.Turn]*cubetest.Stickers{}}
	for place, name := range []string{"UBL", "UB", "UBR", "UL", "UR", "UFL", "UF", "UFR"} {
		for i := range 54 {
			cell := cubetest.Cell(i)
			if len(cell) == len(name) && strings.Trim(cell, name) == "" {
				s.top[place] = append(s.top[place], i)
			}
		}
	}
	up := 0
	for i := range 54 {
		cell := cubetest.Cell(i)
		s.letter[i] = cell[0]
		if cell[0] == 'U' {
			s.up[up] = i
			up++
		}
		if !strings.Contains(cell, "U") {
			s.below = append(s.below, [2]int{i, cubetest.Number(cell[:1])})
		}
	}
	for o := range s.facing {
		s.facing[o] = lastslot.Outcome(o).Facing()
	}
	return s
}

// of is where each sticker comes from when the turns are done.
func (s *simulation) of(turns cube.Sequence) *cubetest.Stickers {
	if len(turns) == 0 {
		return &cubetest.Solved
	}
	if known, ok := s.known[&turns[0]]; ok {
		return known
	}
	done := cubetest.Solved.Do(turns)
	s.known[&turns[0]] = &done
	return &done
}

// endOf is which stickers the option's AUF and sequence bring to the top face.
func (s *simulation) endOf(o *Option) *[9]uint8 {
	first := func(turns cube.Sequence) *cube.Turn {
		if len(turns) == 0 {
			return nil
		}
		return &turns[0]
	}
	end := &s.ends[o.Leaves]
	if then, sequence := first(o.Then), first(o.Sequence); !end.known || end.then != then || end.sequence != sequence {
		done := cubetest.Solved.Do(o.Then).Do(o.Sequence)
		end.known, end.then, end.sequence = true, then, sequence
		for k, i := range s.up {
			end.from[k] = done[i]
		}
	}
	return &end.from
}

func (s *simulation) wrong(start *cubetest.Stickers, o *Option) string {
	var after [54]byte // the colour at each place
	for i, from := range s.of(o.Turns) {
		after[i] = s.letter[start[from]]
	}
	for _, at := range s.below {
		if after[at[0]] != after[at[1]] {
			return "the first two layers are not solved at " + cubetest.Cell(at[0])
		}
	}
	facing := s.facing[o.Leaves]
	for place, stickers := range s.top {
		for _, i := range stickers {
			if after[i] == 'U' && s.letter[i] != facing[place] {
				return "the top colour does not face as " + facing + " says"
			}
		}
	}
	for _, from := range s.endOf(o) {
		if after[from] != 'U' {
			return "the top is not oriented after " + o.Then.String() + " " + o.Sequence.String()
		}
	}
	return ""
}

// The book's estimates are those of its spellings, for all hands and slots; and the
// mirror's patterns are those of mirrored sequences.
func TestEstimatesAreThoseOfTheSpellings(t *testing.T) {
	for handed := range hands.Handed(3) {
		b := book().With(handed)
		for slot := range lastslot.Slot(lastslot.Slots) {
			require.Len(t, b.spelled[slot], len(b.numbers))
			cubetest.Each(t, len(b.spelled[slot]), 31, func(t *testing.T, number int) {
				insertion := &b.spelled[slot][number]
				require.Equal(t, slot, insertion.Slot)
				if takes := hands.Estimate(insertion.Turns, handed); takes != time.Duration(b.estimates[slot][number])*ms {
					t.Fatalf("%s, %s: %v", handed, insertion.Turns, takes)
				}
			})
		}
	}
	for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
		_, err := lastslot.CheckSequence(p.Mirror(), book().FollowUp(p).Mirror(cube.MirrorLR))
		assert.NoError(t, err)
		assert.Equal(t, p, p.Mirror().Mirror())
	}
}

// What is wrong in a file of insertions is said, with the sequence or the line.
func TestADamagedFileOfInsertions(t *testing.T) {
	const head = "# Remark.\n# Searched: all.\n"
	for file, says := range map[string]string{
		"R U R'\tB U B'\n":                          "no remark says what was searched",
		head + "R U R'\n":                           "line 3: a line has 2 spellings",
		head + "R U Q\tB U B'\n":                    "R U Q: ",
		head + "R U\tB U B'\n":                      "R U: it does not keep",
		head + "R U R'\tB U' B'\n":                  "R U R' and B U' B' have not the same map",
		head + "R U R'\tB U B'\nR U R' U\tB U B'\n": "R U R' U has the same map as R U R'",
		head + "R U R'\tB U B'\n":                   ", is not among those for FR",
	} {
		b := &Book{}
		assert.ErrorContains(t, b.loadInsertions(file), says)
	}
	b := &Book{}
	assert.ErrorContains(t, b.loadInsertions(head+"R U2 R' R U2 R'\tB U2 B' B U2 B'\n"), "does nothing but turn the top")
	b = &Book{}
	assert.NoError(t, b.loadInsertions(head+"R U R'\tB U B'\nF' U' F\tR' U' R\n"))
	assert.Equal(t, "all.", b.Searched())
}

// No insertion of the book, for any hands and slot, does nothing but turn the top:
// turned on stickers, it moves some other piece, or one of the top otherwise than U
// does.
func TestNoInsertionDoesNothing(t *testing.T) {
	var nothing []cubetest.Stickers
	for _, u := range lastslot.AUFs {
		nothing = append(nothing, cubetest.Solved.Do(u))
	}
	for handed := range hands.Handed(3) {
		b := book().With(handed)
		for slot := range lastslot.Slot(lastslot.Slots) {
			cubetest.Each(t, len(b.spelled[slot]), 7, func(t *testing.T, number int) {
				turns := b.spelled[slot][number].Turns
				after := cubetest.Solved.Do(turns).Do(turns.Cube().Hold().Inverse().Turns())
				require.False(t, slices.Contains(nothing, after), "%s, %s: %s", handed, slot, turns)
			})
		}
	}
}

// The other sequences for a pattern orient it, are written as no other of
// them, and take at most 1.6 times the easiest; those of a hand are its own.
func TestChoicesOfSequences(t *testing.T) {
	t.Parallel()
	for _, handed := range []hands.Handed{hands.TwoHands, hands.RightHand, hands.LeftHand} {
		b := book().With(handed)
		assert.Empty(t, b.Choices(0))
		for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
			easiest := b.FollowUp(p)
			choices := b.Choices(p)
			require.NotEmpty(t, choices, "pattern %d", p)
			require.LessOrEqual(t, len(choices), 4)
			said := map[string]bool{easiest.String(): true}
			for _, turns := range choices {
				require.False(t, said[turns.String()], "pattern %d has %s twice", p, turns)
				said[turns.String()] = true
				_, err := lastslot.CheckSequence(p, turns)
				require.NoError(t, err)
				assert.LessOrEqual(t, hands.Estimate(turns, handed), hands.Estimate(easiest, handed)*8/5+ms)
				assert.GreaterOrEqual(t, hands.Estimate(turns, handed), hands.Estimate(easiest, handed))
			}
		}
	}
}
