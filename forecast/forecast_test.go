package forecast

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/lastslot/lastslottest"
)

// caseAfter is the case in a puzzle after the turns.
func caseAfter(t testing.TB, turns string) lastslot.Case {
	t.Helper()
	found, err := lastslot.Find(cubetest.Sequence(t, turns).Cube(), nil)
	require.NoError(t, err)
	return found.Case
}

// The sum, by hand: R U R' undone leaves the top oriented, which is recognised in
// 0.20 s and needs nothing more; R U R' takes 0.12 + 0.08 + 0.12, as the finger is ready while
// the wrist turns.
func TestTheSumOfAnOption(t *testing.T) {
	c := caseAfter(t, "R U' R'")
	best := book().For(fast()).Forecast(Request{Case: c, Limit: 1})[0]
	assert.Equal(t, "R U R'", best.Turns.String())
	assert.Equal(t, Seconds{Insertion: 320 * ms, Recognise: 200 * ms}, best.Seconds)
	assert.Equal(t, 520*ms, best.Seconds.Total())
	assert.Equal(t, lastslot.Pattern(0), best.Leaves.Pattern())
	assert.Empty(t, best.Then)
	assert.Empty(t, best.Sequence)
	assert.Equal(t, 3, best.Count)

	// Five pieces tracked take 0.25 s: recognising at once is less.
	assert.Equal(t, 520*ms, book().For(fast()).Predicted().Forecast(Request{Case: c, Limit: 1})[0].Seconds.Total())
}

// fast is anyone who turns as fast as the prices of package hands say: sums by hand
// are of those.
func fast() *Person {
	p := Anyone()
	p.Speed = 1
	return p
}

// The defaults of the scale and of what is unrated, as the trade's page of this
// project gives them.
func TestRatingsBecomeSeconds(t *testing.T) {
	p := fast()
	for rating, want := range map[int][2]time.Duration{
		5: {200 * ms, 800 * ms}, 4: {350 * ms, 900 * ms}, 3: {550 * ms, 1000 * ms},
		2: {850 * ms, 1350 * ms}, 1: {1300 * ms, 1800 * ms},
	} {
		p.Ratings[27] = [Steps]Rating{{Level: rating}, {Level: rating}}
		assert.Equal(t, want[0], p.recognise(27))
		assert.Equal(t, want[1], p.execute(27, 1000*ms))
	}
	assert.Equal(t, 550*ms, p.recognise(1), "unrated, as 3")
	assert.Equal(t, 999*ms, p.execute(1, 999*ms), "unrated, as 3")
	assert.Equal(t, 200*ms, p.recognise(0), "oriented, unrated")
	assert.Equal(t, time.Duration(0), p.execute(0, 999*ms))
}

// One rating changes the order as the sums say: the patterns that come first and
// second change places when the first is rated as slow as can be.
func TestOneRatingChangesTheOrder(t *testing.T) {
	c := caseAfter(t, "F R U R' U' F' R U' R'")
	person := fast()
	before := book().For(person).Forecast(Request{Case: c, PerPattern: true})
	first, second := before[0], before[1]
	require.Less(t, first.Seconds.Total(), second.Seconds.Total())

	pattern := first.Leaves.Pattern()
	if pattern == 0 {
		person.Ratings[0][Recognise].Level = 1
	} else {
		person.Ratings[pattern] = [Steps]Rating{{Level: 1}, {Level: 1}}
	}
	after := book().For(person).Forecast(Request{Case: c, PerPattern: true})
	require.Equal(t, second.Leaves.Pattern(), after[0].Leaves.Pattern())
	for _, o := range after {
		if o.Leaves.Pattern() == pattern {
			want := o.Seconds.Insert() + 1300*ms + person.Estimate(o.Then)
			if pattern != 0 {
				want += 2600 * ms
			}
			assert.Equal(t, want, o.Seconds.Total())
		}
	}
}

// In order of the total, then of the count, then of the turns as text; limits and
// the best per pattern are cut from the same order; parts add up.
func TestOptionsAreInOrder(t *testing.T) {
	cubetest.Each(t, 300, 7, func(t *testing.T, i int) {
		random := rand.New(rand.NewPCG(7, uint64(i)))
		c := lastslot.CaseAt(random.IntN(lastslot.Cases))
		person := fast()
		for p := range person.Ratings {
			person.Ratings[p] = [Steps]Rating{{Level: random.IntN(6)}, {Level: random.IntN(6)}}
		}
		person.Speed = []float64{0, 0.25, 0.83, 1, 1.37, 4}[random.IntN(6)]
		person.Hands = hands.Handed(random.IntN(3))
		f := book().For(person)
		if random.IntN(4) == 0 {
			f = f.Predicted()
		}
		all := f.Forecast(Request{Case: c})
		bestOf := map[lastslot.Pattern]Option{}
		var order []lastslot.Pattern
		for i, o := range all {
			pattern := o.Leaves.Pattern()
			if _, known := bestOf[pattern]; !known {
				bestOf[pattern] = o
				order = append(order, pattern)
			}
			rotation, first, rest := split(o.Turns)
			assert.Equal(t, person.Estimate(rotation), o.Seconds.Rotation)
			assert.Equal(t, person.Estimate(first), o.Seconds.AUF)
			assert.Equal(t, person.Estimate(rest), o.Seconds.Insertion)
			if o.Seconds.Rotation > 0 {
				assert.Equal(t, cube.Y, o.Turns[0].Layer())
			}
			if i == 0 {
				continue
			}
			before := all[i-1]
			require.Negative(t, cmp.Or(
				cmp.Compare(before.Seconds.Total(), o.Seconds.Total()),
				cmp.Compare(before.Count, o.Count),
				strings.Compare(before.Turns.String(), o.Turns.String()),
			), "%s: %s before %s", c.Code(), before.Turns, o.Turns)
		}
		require.Equal(t, all[:10], f.Forecast(Request{Case: c, Limit: 10}))
		perPattern := f.Forecast(Request{Case: c, PerPattern: true})
		require.Len(t, perPattern, len(order))
		for i, o := range perPattern {
			require.Equal(t, order[i], o.Leaves.Pattern())
			require.Equal(t, bestOf[o.Leaves.Pattern()], o)
		}
	})
}

// Counted as the interface says: without the rotation and AUF at either end.
func TestCountLeavesRotationAndAUFOut(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(9, 9))
	for range 200 / cubetest.Stride(t, 5) {
		for _, o := range book().For(fast()).Forecast(Request{Case: lastslot.CaseAt(random.IntN(lastslot.Cases))}) {
			s := o.Turns
			for len(s) > 0 && (s[0].Kind() == cube.Rotation || s[0].Layer() == cube.U) {
				s = s[1:]
			}
			for len(s) > 0 && (s[len(s)-1].Kind() == cube.Rotation || s[len(s)-1].Layer() == cube.U) {
				s = s[:len(s)-1]
			}
			require.Equal(t, s.Count(), o.Count, "%s", o.Turns)
			for i, turn := range o.Turns {
				// Also inside an insertion the cross stays down.
				require.True(t, turn.Kind() != cube.Rotation || turn.Layer() == cube.Y, "%d of %s", i, o.Turns)
			}
		}
	}
}

// Doing nothing is an option where the slot is solved, and taking the pair out
// and back in leaves other patterns.
func TestTheSolvedSlotIsACaseToo(t *testing.T) {
	c := caseAfter(t, "R U R' U R U2 R'")
	require.True(t, c.Solved())
	options := book().For(fast()).Forecast(Request{Case: c, PerPattern: true})
	nothing := 0
	for _, o := range options {
		if len(o.Turns) == 0 {
			nothing++
			assert.Equal(t, lastslot.Pattern(26), o.Leaves.Pattern())
		}
	}
	assert.Equal(t, 1, nothing)
	assert.Greater(t, len(options), 10)
}

// A forecast allocates its order and its options, nothing an option, for whomever.
func TestForecastAllocatesTwice(t *testing.T) {
	c, b := lastslot.CaseAt(12345), book()
	for _, person := range people() {
		f := b.For(person)
		assert.LessOrEqual(t, testing.AllocsPerRun(100, func() {
			f.Forecast(Request{Case: c})
		}), 2.0)
	}
}

// people are persons of whom only their speed and hands are known.
func people() map[string]*Person {
	quick, right, left := fast(), fast(), fast()
	quick.Speed, right.Hands, left.Hands, left.Speed = 0.8, hands.RightHand, hands.LeftHand, 1.5
	return map[string]*Person{"anyone": fast(), "quicker": quick, "right hand": right, "left hand, slower": left}
}

// Every case has an option for every pattern, for all hands. All cases but for AUF,
// which every option may have before it.
func TestEveryPairHasAnOption(t *testing.T) {
	for handed := range hands.Handed(3) {
		person := fast()
		person.Hands = handed
		f := book().For(person)
		cubetest.Each(t, lastslot.Cases, 13, func(t *testing.T, index int) {
			c := lastslot.CaseAt(index)
			if first := c.Turned(1); first.Index() < index || c.Turned(2).Index() < index || c.Turned(3).Index() < index {
				return
			}
			if handed != hands.TwoHands && index%5 != 0 {
				return
			}
			if got := len(f.Forecast(Request{Case: c, PerPattern: true})); got != lastslot.Patterns {
				t.Fatalf("%s: options to %d patterns for %s", c.Code(), got, handed)
			}
		})
	}
}

// What is offered for one hand does what it says, sticker by sticker; the left
// hand is offered the mirror images of what the right one is.
func TestOneHand(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(12, 13))
	right, left := fast(), fast()
	right.Hands, left.Hands = hands.RightHand, hands.LeftHand
	rights, lefts := book().For(right), book().For(left)
	s := newSimulation()
	for range 150 / cubetest.Stride(t, 3) {
		slot := lastslot.Slot(random.IntN(lastslot.Slots))
		like := book().spelled[slot][random.IntN(len(book().spelled[slot]))]
		c, mirrored := like.Case(), like.Mirror().Case()
		times := [2][]time.Duration{}
		for i, of := range []struct {
			*Forecaster
			lastslot.Case
		}{{rights, c}, {lefts, mirrored}} {
			start := cubetest.Of(of.Case.Cube())
			for _, o := range of.Forecast(Request{Case: of.Case}) {
				require.Empty(t, s.wrong(&start, &o), "%s: %s", of.Case.Code(), o.Turns)
				// What is written first among equals may end in another hold, so only the
				// time to insert is the same.
				times[i] = append(times[i], o.Seconds.Insert())
			}
			slices.Sort(times[i])
		}
		require.True(t, slices.Equal(times[0], times[1]), "%s", c.Code())
	}
	// Common practice, no source: the right hand alone has the face across easier
	// than the one in its palm.
	for turns, other := range map[string]string{"L U L'": "R U R'", "L' U' L": "R' U' R"} {
		assert.Less(t, right.Estimate(cubetest.Sequence(t, turns)), right.Estimate(cubetest.Sequence(t, other)))
		assert.Greater(t, left.Estimate(cubetest.Sequence(t, turns)), left.Estimate(cubetest.Sequence(t, other)))
	}
}

// Common practice, no source: a back-slot insertion with a rotation first can beat
// an awkward front one. With one map at front right, the book offers the second.
func TestABackSlotAfterARotationCanBeatTheFront(t *testing.T) {
	front, back := lastslottest.Insertion(t, lastslot.FR, "f' L F' L' F f"), lastslottest.Insertion(t, lastslot.FR, "y' L' U R' U' R L")
	require.Equal(t, front.Map().Key(), back.Map().Key())
	assert.Less(t, fast().Estimate(back.Turns), fast().Estimate(front.Turns))
	easiest, ok := book().Insertion(front)
	require.True(t, ok)
	assert.Equal(t, fast().Estimate(front.Turns), fast().Estimate(easiest.Turns), "none in front is easier")
	o, _ := optionWith(t, book().For(fast()).Forecast(Request{Case: front.Case()}), back.Turns.String())
	assert.Equal(t, fast().Estimate(cube.Sequence{cube.TurnOf(cube.Y, 3)}), o.Seconds.Rotation)
}

// benchmarkCases are spread over all cases.
func benchmarkCases() []lastslot.Case {
	cases := make([]lastslot.Case, 64)
	for i := range cases {
		cases[i] = lastslot.CaseAt(i * (lastslot.Cases - 1) / (len(cases) - 1))
	}
	return cases
}

// One forecast over all insertions and AUFs, sorted. The aim: with a speed or other
// hands at most 1.5 times the time of anyone.
func BenchmarkForecast(b *testing.B) {
	book, cases := book(), benchmarkCases()
	for name, person := range people() {
		b.Run(name, func(b *testing.B) {
			// The book for one hand is made when it is first needed.
			book.For(person).Forecast(Request{Case: cases[0]})
			options, i := 0, 0
			for b.Loop() {
				options += len(book.For(person).Forecast(Request{Case: cases[i%len(cases)]}))
				i++
			}
			b.ReportMetric(float64(options)/float64(i), "options/op")
		})
	}
}

// The same options in the plain sticker model, as the measure for
// BenchmarkForecast: turn the stickers in space, do the AUF and the sequence, and
// look whether the top is oriented; without sorting.
func BenchmarkPlainStickers(b *testing.B) {
	book, cases, person := book(), benchmarkCases(), fast()
	starts := make([]cubetest.Plain, len(cases))
	options := make([][]Option, len(cases))
	for i, c := range cases {
		starts[i], options[i] = cubetest.Of(c.Cube()).Plain(), book.For(person).Forecast(Request{Case: c})
	}
	var top []int
	for sticker := range cubetest.Solved {
		if cubetest.Cell(sticker)[0] == 'U' {
			top = append(top, sticker)
		}
	}
	i := 0
	for b.Loop() {
		for _, o := range options[i%len(cases)] {
			after := starts[i%len(cases)]
			after.Do(o.Turns)
			after.Do(o.Then)
			after.Do(o.Sequence)
			for _, sticker := range top {
				if !after.Up(sticker) {
					b.Fatal("not oriented")
				}
			}
		}
		i++
	}
}

// Start-up: reading, verifying and tabulating the embedded files.
func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		if _, err := Load(); err != nil {
			b.Fatal(err)
		}
	}
}
