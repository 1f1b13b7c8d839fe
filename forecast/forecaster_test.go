package forecast

import (
	"math/rand/v2"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/lastslot/lastslottest"
)

// leaves27 is the case in which R U R' leaves pattern 27. Its first options for
// anyone, worked out by hand from the prices of package hands and domain
// knowledge's sums:
//
//	L' R U R' U' L               .12+.10+.08+.12+.08+.15 = 0.65, oriented .20:  0.85
//	R U2 R' U R U2 R'            .12+.13+.12+.08+.12+.13+.12 = 0.82, .20:       1.02
//	R U R' U L' U2 L U L' U L    .12+.08+.12+.08+.15+.13+.12+.08+.12+.08+.12 = 1.20, .20: 1.40
//	R U R'                       .12+.08+.12 = 0.32; pattern 27 unrated .55,
//	                             R U R' U R U2 R' .77:                          1.64
const leaves27 = "1RH41"

func caseOfCode(t testing.TB, code string) lastslot.Case {
	c, err := lastslot.ParseCode(code)
	require.NoError(t, err)
	return c
}

func optionWith(t testing.TB, options []Option, turns string) (Option, int) {
	for i, o := range options {
		if o.Turns.String() == turns {
			return o, i
		}
	}
	t.Fatalf("no option %s", turns)
	return Option{}, 0
}

const none = -1

func TestRatingsAndTimesChangeTheOrderAsTheSumsSay(t *testing.T) {
	c := caseOfCode(t, leaves27)
	for _, test := range []struct {
		name  string
		of    func(*Person)
		total time.Duration
		place int
	}{
		{"nothing rated", func(*Person) {}, 1640 * ms, 10},
		{"27 rated 5 and 5: .32 + .20 + .8 * .77", func(p *Person) { p.Ratings[27] = [Steps]Rating{{Level: 5}, {Level: 5}} }, 1136 * ms, 2},
		// 0.85 and 1.02 become 1.95 and 2.12.
		{"the oriented top rated 1 to recognise", func(p *Person) { p.Ratings[0][Recognise].Level = 1 }, 1640 * ms, 0},
		// As much as R U2 R' U R U2 R', and fewer turns.
		{"measured .10 and .60, whatever is rated: .32 + .10 + .60", func(p *Person) {
			p.Ratings[27] = [Steps]Rating{{Level: 1}, {Level: 1}}
			p.Ratings[27][Recognise].Time, p.Ratings[27][Execute].Time = new(100*ms), new(600*ms)
		}, 1020 * ms, 1},
		{"measured at no time at all: .32", func(p *Person) {
			p.Ratings[27][Recognise].Time, p.Ratings[27][Execute].Time = new(time.Duration(0)), new(time.Duration(0))
		}, 320 * ms, 0},
		{"one's own 3 in recognising stands for .15: .32 + .15 + .77", func(p *Person) { p.Scale.Recognise[3] = 150 * ms }, 1240 * ms, 2},
		{"one's own sequence, from behind with an AUF of .15: .32 + .55 + .15 + .77", func(p *Person) {
			p.Sequences[27] = []lastslot.FollowUp{lastslottest.FollowUp(t, 27, "L U L' U L U2 L'")}
		}, 1790 * ms, none},
		{"R U R' measured at .25: .25 + .55 + .77", func(p *Person) {
			p.Insertions = []OwnInsertion{{Insertion: lastslottest.Insertion(t, lastslot.FR, "R U R'"), Time: new(250 * ms)}}
		}, 1570 * ms, 7},
		{"R U R' rated 4 in executing: .9 * .32 + .55 + .77", func(p *Person) {
			p.Insertions = []OwnInsertion{{Insertion: lastslottest.Insertion(t, lastslot.FR, "R U R'"), Execute: 4}}
		}, 1608 * ms, none},
		// .32 is .16, .77 is .385 and rounded .385; .55 and what is measured stay.
		{"twice as quick: .16 + .55 + .385", func(p *Person) { p.Speed = 0.5 }, 1095 * ms, none},
		{"twice as quick, with a sequence measured at .90: .16 + .55 + .90", func(p *Person) {
			p.Speed = 0.5
			p.Ratings[27][Execute].Time = new(900 * ms)
		}, 1610 * ms, none},
		{"half as quick, R U R' rated 4: .9 * .64 + .55 + 1.54", func(p *Person) {
			p.Speed = 2
			p.Insertions = []OwnInsertion{{Insertion: lastslottest.Insertion(t, lastslot.FR, "R U R'"), Execute: 4}}
		}, 2666 * ms, none},
	} {
		person := fast()
		test.of(person)
		options := book().For(person).Forecast(Request{Case: c})
		o, place := optionWith(t, options, "R U R'")
		assert.Equal(t, test.total, o.Seconds.Total(), test.name)
		if test.place != none {
			assert.Equal(t, test.place, place, test.name)
		}
		assert.Equal(t, lastslot.Pattern(27), o.Leaves.Pattern())

		// Predicted, it takes no longer than tracking its five pieces.
		predicted, _ := optionWith(t, book().For(person).Predicted().Forecast(Request{Case: c}), "R U R'")
		saved := max(0, o.Seconds.Recognise-5*50*ms)
		assert.Equal(t, test.total-saved, predicted.Seconds.Total(), test.name)
		o.Seconds.Recognise -= saved
		assert.Equal(t, o.Seconds, predicted.Seconds, test.name)
	}
}

func TestOwnSequenceIsToldWithItsAUF(t *testing.T) {
	person := fast()
	person.Sequences[27] = []lastslot.FollowUp{lastslottest.FollowUp(t, 27, "R U R' U R U2 R'")}
	o, _ := optionWith(t, book().For(person).Forecast(Request{Case: caseOfCode(t, leaves27)}), "R U R'")
	assert.Empty(t, o.Then)
	assert.Equal(t, "R U R' U R U2 R'", o.Sequence.String())
	person.Sequences[27] = []lastslot.FollowUp{lastslottest.FollowUp(t, 27, "y' R U R' U R U2 R'")}
	o, _ = optionWith(t, book().For(person).Forecast(Request{Case: caseOfCode(t, leaves27)}), "R U R'")
	assert.Equal(t, "U", o.Then.String(), "what stands at the right must be turned back before y' turns it away")
}

func TestKnownHiddenAndGain(t *testing.T) {
	c := caseOfCode(t, leaves27)
	person := fast()
	person.Usual = UsualNone
	all := func() []Option { return book().For(person).Forecast(Request{Case: c}) }
	known := func() (turns []string) {
		for _, o := range book().For(person).Forecast(Request{Case: c, View: Known}) {
			assert.True(t, o.Known)
			assert.Zero(t, o.Gain)
			turns = append(turns, o.Turns.String())
		}
		return turns
	}
	anyones := all()
	assert.Empty(t, known())
	for _, o := range anyones {
		require.False(t, o.Known)
		require.Zero(t, o.Gain, "with nothing known there is nothing to gain against")
	}

	mark := func(o Option) OwnInsertion {
		slot, turns := o.Insertion(c.Slot)
		i, err := lastslot.CheckInsertion(&slot, turns)
		require.NoError(t, err)
		return OwnInsertion{Insertion: i, Known: Yes}
	}
	third := anyones[2]
	second := anyones[1]
	person.Insertions = []OwnInsertion{mark(third), mark(second)}
	assert.Equal(t, []string{"R U2 R' U R U2 R'", "R U R' U L' U2 L U L' U L"}, known())
	marked := all()
	require.Len(t, marked, len(anyones), "what is marked is not offered twice")
	for i, o := range marked {
		require.Equal(t, anyones[i].Turns, o.Turns)
		require.Equal(t, anyones[i].Seconds, o.Seconds)
		require.Equal(t, i == 1 || i == 2, o.Known)
	}
	assert.Equal(t, 170*ms, marked[0].Gain, "1.02 - 0.85")
	for _, o := range marked[1:] {
		require.Zero(t, o.Gain)
	}
	// In the best option of each pattern too.
	perPattern := book().For(person).Forecast(Request{Case: c, PerPattern: true})
	assert.Equal(t, 170*ms, perPattern[0].Gain)

	person.Insertions[1].Hidden = true
	assert.Equal(t, []string{"R U R' U L' U2 L U L' U L"}, known())
	hidden := all()
	assert.Len(t, hidden, len(anyones)-1)
	for _, o := range hidden {
		require.NotEqual(t, second.Turns, o.Turns)
	}
	assert.Equal(t, 550*ms, hidden[0].Gain, "1.40 - 0.85")

	// The other hand's mark does not count here, unless both hands are marked.
	person.Insertions = []OwnInsertion{mirrored(mark(second))}
	assert.Empty(t, known())
	person.Insertions = append(person.Insertions, mark(second))
	assert.Equal(t, []string{"R U2 R' U R U2 R'"}, known())
}

// Who knows a slow spelling is shown what the book's would gain.
func TestASlowSpellingGainsByTheBooks(t *testing.T) {
	person := fast()
	person.Usual = UsualNone
	person.Insertions = []OwnInsertion{{Insertion: lastslottest.Insertion(t, lastslot.FR, "x R B R' x'"), Known: Yes}}
	options := book().For(person).Forecast(Request{Case: caseOfCode(t, leaves27)})
	own, _ := optionWith(t, options, "x R B R' x'")
	assert.True(t, own.Known)
	assert.Equal(t, 2630*ms, own.Seconds.Total(), "1.31 where R U R' has .32")
	o, _ := optionWith(t, options, "R U R'")
	assert.False(t, o.Known)
	assert.Equal(t, 990*ms, o.Gain)
}

// Where the pair is solved, doing nothing needs no knowing.
func TestDoingNothingIsKnown(t *testing.T) {
	c := lastslottest.Insertion(t, lastslot.FR, "R U R'").Case()
	filled, err := lastslot.Find(c.Cube().Do(cubetest.Sequence(t, "R U R'")), nil)
	require.NoError(t, err)
	c = filled.Case
	options := book().For(fast()).Forecast(Request{Case: c, View: Known})
	require.Len(t, options, 1)
	assert.Empty(t, options[0].Turns)
}

// Options that the book offers after a rotation are marked by what is left after
// it: then all that is marked is known, hidden is gone, and nothing else changes.
func TestEveryOptionCanBeMarkedAndHidden(t *testing.T) {
	var rotated atomic.Int64
	cubetest.Each(t, 400, 3, func(t *testing.T, i int) {
		random := rand.New(rand.NewPCG(6, uint64(i)))
		c := lastslot.CaseAt(random.IntN(lastslot.Cases))
		anyones := book().For(fast()).Forecast(Request{Case: c})
		at := random.IntN(len(anyones))
		if i := slices.IndexFunc(anyones, func(o Option) bool { return o.Seconds.Rotation > 0 }); i >= 0 {
			at = i
			rotated.Add(1)
		}
		slot, turns := anyones[at].Insertion(c.Slot)
		if len(turns) == 0 {
			return
		}
		insertion, err := lastslot.CheckInsertion(&slot, turns)
		require.NoError(t, err)
		person := fast()
		person.Insertions = []OwnInsertion{{Insertion: insertion, Known: Yes}}
		marked := book().For(person).Forecast(Request{Case: c})
		left := map[string]bool{}
		for _, o := range marked {
			require.False(t, left[o.Turns.String()], "offered twice")
			left[o.Turns.String()] = true
			if slices.Equal(o.Turns, anyones[at].Turns) {
				require.True(t, o.Known)
			}
		}
		for _, o := range anyones {
			// One that does the same in no less time has nothing to be learnt for.
			same := func(k Option) bool {
				return k.Known && k.Seconds.Insert() <= o.Seconds.Insert() && k.Leaves.Pattern() == o.Leaves.Pattern()
			}
			require.True(t, left[o.Turns.String()] || slices.ContainsFunc(marked, same), "%s: %s is lost by knowing %s", c.Code(), o.Turns, insertion.Turns)
		}
		person.Insertions[0].Hidden = true
		hidden := book().For(person).Forecast(Request{Case: c})
		require.Less(t, len(hidden), len(anyones))
		for _, o := range hidden {
			require.False(t, slices.Equal(o.Turns, anyones[at].Turns))
		}
	})
	assert.Greater(t, rotated.Load(), int64(25))
}

// ownWritten are insertions as people write them, for the slot each; some are
// too long to be in the book.
var ownWritten = []struct {
	slot  lastslot.Slot
	turns string
}{
	{lastslot.FR, "R U R' U' R U R' U' R U R'"},
	{lastslot.FR, "U' R U' R' d R' U2 R U' R' U R"},
	{lastslot.FL, "y' U R U R' U2 R U R' U2 R U' R'"},
	{lastslot.FL, "x L' B' L x'"},
	{lastslot.BR, "R' U' R U R' U' R U' R' U' R y2 U"},
	{lastslot.BR, "R U R' U R U2 R'"}, // keeps the pair where it is
	{lastslot.FR, "R U R'"},
}

// Every own insertion is offered in exactly the cases of its slot, and of its
// mirror's, and after exactly the AUFs, with which it fills the slot by the
// stickers; and all that the forecast says of it is so.
func TestOwnInsertionsAreOfferedWhereverTheyFit(t *testing.T) {
	person := fast()
	person.Usual = UsualNone
	var all []lastslot.Insertion
	for _, own := range ownWritten {
		i := lastslottest.Insertion(t, own.slot, own.turns)
		all = append(all, i, i.Mirror())
	}
	for _, i := range all {
		person.Insertions = append(person.Insertions, OwnInsertion{Insertion: i, Known: Yes})
	}
	f := book().For(person)
	simulations := sync.Pool{New: func() any { return newSimulation() }}
	var mu sync.Mutex
	offered := map[string]int{}
	cubetest.Each(t, lastslot.Cases/23, 29, func(t *testing.T, i int) {
		c := lastslot.CaseAt(23 * i)
		s := simulations.Get().(*simulation)
		defer simulations.Put(s)
		start := cubetest.Of(c.Cube())
		options := f.Forecast(Request{Case: c, View: Known})
		got := map[string]bool{}
		for i := range options {
			o := &options[i]
			require.Empty(t, s.wrong(&start, o), "%s: %s", c.Code(), o.Turns)
			got[o.Turns.String()] = true
			if i > 0 {
				require.LessOrEqual(t, options[i-1].Seconds.Total(), o.Seconds.Total())
			}
		}
		require.Len(t, got, len(options))
		want := 0
		for _, own := range all {
			rotation, rest := lastslot.WithoutAUF(own.Turns)
			if own.Slot != c.Slot {
				// Where the book offers it after a rotation, so is this.
				spelled := lastslottest.Insertion(t, lastslot.Slot((int(own.Slot)+rotation)&3), rest.String())
				number, ok := book().numbers[spelled.SeenAt(lastslot.FR).Key()]
				if !ok || book().spelledAt(c.Slot, number) != spelled.Slot {
					continue
				}
				rotation = lastslot.Quarters(c.Slot, spelled.Slot)
			}
			for _, u := range lastslot.AUFs {
				turns := cube.Join(lastslot.Rotations[rotation], u, rest)
				if after := start.Do(turns); s.solvedBelow(&after) {
					want++
					require.True(t, got[turns.String()], "%s: %s fits", c.Code(), turns)
					mu.Lock()
					offered[own.Turns.String()]++
					mu.Unlock()
				}
			}
		}
		if c.Solved() {
			want++
		}
		require.Equal(t, want, len(options), "%s", c.Code())

		// The view of everything has them too.
		everything := map[string]bool{}
		for _, o := range f.Forecast(Request{Case: c}) {
			everything[o.Turns.String()] = true
		}
		for turns := range got {
			require.True(t, everything[turns])
		}
	})
	if !testing.Short() {
		assert.Len(t, offered, len(all))
	}
}

func (s *simulation) solvedBelow(after *cubetest.Stickers) bool {
	for _, at := range s.below {
		if s.letter[after[at[0]]] != s.letter[after[at[1]]] {
			return false
		}
	}
	return true
}

// With one's own among them the order is still by total, count and turns.
func TestOwnInsertionsStandInOrder(t *testing.T) {
	person := fullPerson(t)
	f := book().For(person)
	cubetest.Each(t, 2000, 7, func(t *testing.T, i int) {
		random := rand.New(rand.NewPCG(8, uint64(i)))
		options := f.Forecast(Request{Case: lastslot.CaseAt(random.IntN(lastslot.Cases))})
		for i := 1; i < len(options); i++ {
			a, b := options[i-1], options[i]
			at, bt := a.Seconds.Total(), b.Seconds.Total()
			require.True(t, at < bt || at == bt && (a.Count < b.Count || a.Count == b.Count && a.Turns.String() < b.Turns.String()), "%s, %s", a.Turns, b.Turns)
		}
	})
}

// A scale out of all proportion breaks no order: what takes an hour is the last.
func TestAScaleOutOfProportion(t *testing.T) {
	person := fast()
	person.Scale.Execute[3], person.Scale.Execute[1] = 0.001, 52.43
	person.Insertions = []OwnInsertion{{Insertion: lastslottest.Insertion(t, lastslot.FR, "R U R'"), Execute: 1}}
	options := book().For(person).Forecast(Request{Case: caseOfCode(t, leaves27)})
	o, place := optionWith(t, options, "R U R'")
	assert.Equal(t, longestInsertion, o.Seconds.Insertion)
	assert.Equal(t, len(options)-1, place)
}

// fullPerson has rated all 58 patterns, has own sequences for some, and has 46
// insertions in their book: of the shortest, known, timed and hidden, some for both
// hands, and own ones.
func fullPerson(t testing.TB) *Person {
	random := rand.New(rand.NewPCG(10, 11))
	person := fast()
	for p := range person.Ratings {
		person.Ratings[p] = [Steps]Rating{{Level: 1 + random.IntN(5)}, {Level: 1 + random.IntN(5)}}
	}
	for p := lastslot.Pattern(1); p < lastslot.Patterns; p += 3 {
		person.Ratings[p][Execute].Time = new(1100 * ms)
		turns := book().FollowUp(p).In(cube.Hold(2))
		person.Sequences[p] = []lastslot.FollowUp{lastslottest.FollowUp(t, p, turns.String()), lastslottest.FollowUp(t, p, book().FollowUp(p).String())}
	}
	for _, own := range ownWritten {
		known := OwnInsertion{Insertion: lastslottest.Insertion(t, own.slot, own.turns), Known: Yes}
		person.Insertions = append(person.Insertions, known, mirrored(known))
	}
	for n := 0; len(person.Insertions) < 46; n++ {
		i := book().spelled[n%lastslot.Slots][n*3]
		own := OwnInsertion{Insertion: i, Known: Yes}
		if n%5 == 0 {
			own.Known, own.Hidden = Unsaid, true
		}
		if n%4 == 0 {
			own.Time = new(fast().Estimate(i.Turns) + 90*ms)
		}
		person.Insertions = append(person.Insertions, own)
		if n%2 == 0 {
			person.Insertions = append(person.Insertions, mirrored(own))
		}
	}
	return person
}

// mirrored says the same of the insertion for the other hand.
func mirrored(own OwnInsertion) OwnInsertion {
	own.Insertion = own.Mirror()
	return own
}

// The aim: with a profile at most 1.3 times the time without one, in one run. The
// cases are the same for each, among them those that the person's own fit.
func BenchmarkForecastWithProfile(b *testing.B) {
	cases := benchmarkCases()
	person, anyone := fullPerson(b), fast()
	for _, own := range person.Insertions {
		cases = append(cases, own.Case())
	}
	f := book().For(person)
	// All that a person can say: besides the book, tracking, predicting single insertions,
	// doing slots at the back from the front, and yours first.
	everything := *person
	everything.Track, everything.Usual = 3, UsualFront
	everything.Insertions = slices.Clone(person.Insertions)
	for i := range everything.Insertions {
		everything.Insertions[i].Predict = []Said{No, Unsaid, Yes}[i%3]
	}
	all, fresh := book().For(&everything), book().For(anyone)
	for _, run := range []struct {
		name     string
		forecast func(lastslot.Case)
	}{
		{"fresh", func(c lastslot.Case) { fresh.Forecast(Request{Case: c, Limit: 50}) }},
		{"everything", func(c lastslot.Case) { all.Forecast(Request{Case: c, View: KnownFirst, Limit: 50}) }},
		{"without", func(c lastslot.Case) { book().For(anyone).Forecast(Request{Case: c, Limit: 50}) }},
		{"with", func(c lastslot.Case) { f.Forecast(Request{Case: c, Limit: 50}) }},
		{"with/known", func(c lastslot.Case) { f.Forecast(Request{Case: c, View: Known, Limit: 50}) }},
		{"working out", func(lastslot.Case) { book().For(person) }},
	} {
		b.Run(run.name, func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				run.forecast(cases[i%len(cases)])
			}
		})
	}
}
