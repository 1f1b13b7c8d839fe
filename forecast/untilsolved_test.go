package forecast

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/pll"
)

// turnedTees is a T sequence that ends with another face on top, and a pattern's that does.
func turnedTees(t testing.TB) (tee pll.PLL, own *pll.Sequence, tilted lastslot.FollowUp) {
	t.Helper()
	tee, err := pll.Parse("T")
	require.NoError(t, err)
	sequence, err := pll.CheckSequence(tee, cubetest.Sequence(t, "R U R' U' R' F R2 U' R' U' R U R' F' x"))
	require.NoError(t, err)
	tilted, err = lastslot.CheckSequence(27, cubetest.Sequence(t, "R U R' U R U2 R' x y"))
	require.NoError(t, err)
	return tee, &sequence, tilted
}

// finishers are people who do PLL in different ways: one who says nothing, one who rates all
// alike, one by letters with sequences of their own that leave the puzzle turned, one with one
// hand who has learnt ten, and one with the other.
func finishers(t testing.TB) []*Person {
	t.Helper()
	tee, own, tilted := turnedTees(t)
	alike, byLetters, one, left := Anyone(), Anyone(), Anyone(), Anyone()
	alike.PLL.Rating, alike.Track = 5, 5
	byLetters.Speed, byLetters.PLL.Rating = 1, 2
	for p := range byLetters.PLL.Own {
		byLetters.PLL.Own[p].Rating = p % 6
	}
	byLetters.PLL.Own[tee].Sequence = own
	byLetters.Sequences[27] = []lastslot.FollowUp{tilted}
	one.Hands, left.Hands, left.PLL.Rating = hands.RightHand, hands.LeftHand, 1
	for p := range one.Unlearnt {
		one.Unlearnt[p] = p > 0 && (p < 21 || p > 27) && p != 2 && p != 44 && p != 45
	}
	return []*Person{Anyone(), alike, byLetters, one, left}
}

// pasted are positions before the last slot as scrambles lead to them, all that is free drawn.
func pasted(n int) (cases []lastslot.Case, puzzles []cube.Cube) {
	random := rand.New(rand.NewPCG(13, 500))
	for range n {
		c := lastslot.CaseAt(random.IntN(lastslot.Cases))
		found, err := lastslot.Find(cube.Solved.Do(c.Scramble(cube.FaceD, random)), &c.Slot)
		if err != nil || found.Case != c {
			panic("a scramble that does not lead to its case")
		}
		cases, puzzles = append(cases, c), append(puzzles, found.Cube)
	}
	return cases, puzzles
}

// solvedHeld has the stickers of the solved puzzle in each hold.
var solvedHeld = sync.OnceValue(func() (held [cube.Holds]cubetest.Stickers) {
	for h := range cube.Hold(cube.Holds) {
		held[h] = cubetest.Of(h.Cube())
	}
	return held
})

// solvedStickers are those of a solved puzzle held as this one is.
func solvedStickers(c cube.Cube) cubetest.Stickers { return solvedHeld()[c.Hold()] }

// plainPLL is what follows the oriented top by definition, in milliseconds: every AUF, the
// person's sequence for the PLL that makes the puzzle solved after it, and every last AUF is
// tried by stickers; the quickest counts. Of several PLLs none but one has such a sequence.
func plainPLL(t *testing.T, b *Book, p *Person, oriented cube.Cube, tilt time.Duration) (of pll.PLL, took time.Duration) {
	t.Helper()
	stickers, solved := cubetest.Of(oriented), solvedStickers(oriented)
	took = -1
	for q, auf := range lastslot.AUFs {
		if stickers.Do(auf) == solved {
			return 0, tilt + wholeMs(p.Scale.Recognise[5]) + p.Estimate(lastslot.AUFs[q])
		}
	}
	for candidate := pll.PLL(1); candidate < pll.PLLs; candidate++ {
		turns := b.With(p.Hands).PLLSequences(candidate)[0]
		if own := p.PLL.Own[candidate].Sequence; own != nil {
			turns = own.Turns
		}
		level := cmp.Or(p.PLL.Own[candidate].Rating, p.PLL.Rating, 3)
		end := solvedStickers(oriented.Do(turns))
		for _, before := range lastslot.AUFs {
			for _, after := range lastslot.AUFs {
				if stickers.Do(cube.Join(before, turns, after)) != end {
					continue
				}
				sum := tilt + wholeMs(p.Scale.Recognise[level]) + p.Estimate(before) +
					wholeMs(time.Duration(float64(p.Estimate(turns))*p.Scale.Execute[level])) + p.Estimate(after)
				if took < 0 || sum < took {
					of, took = candidate, sum
				}
			}
		}
	}
	require.GreaterOrEqual(t, took, time.Duration(0), "some sequence solves it")
	return of, took
}

// 500 positions, pasted: after the turns of an option, what orients the top, the PLL's and the
// last AUF all stickers are solved; each total is the plain sum of its parts, the PLL's by the
// slow definition; the order is by these totals; and until the top is oriented each option says
// what the forecast says.
func TestUntilSolvedBySticker(t *testing.T) {
	t.Parallel()
	b := book()
	cases, puzzles := pasted(500 / cubetest.Stride(t, 7))
	seen := map[pll.PLL]int{}
	for i, p := range finishers(t) {
		f := b.For(p)
		for n := i; n < len(cases); n += 5 {
			c, puzzle := cases[n], puzzles[n]
			r := Request{Case: c, View: View(n / 5 % 3)}
			plain := map[string]Option{}
			for _, o := range f.Forecast(r) {
				plain[o.Turns.String()] = o
			}
			options := f.UntilSolved(r, puzzle)
			require.Len(t, options, len(plain))
			best := time.Duration(-1)
			for _, o := range options {
				if o.Known && (best < 0 || o.Seconds.Total() < best) {
					best = o.Seconds.Total()
				}
			}
			for at, o := range options {
				if at > 0 {
					before := options[at-1]
					known := r.View == KnownFirst && before.Known && !o.Known
					if !known && (before.Seconds.Total() > o.Seconds.Total() || r.View == KnownFirst && o.Known && !before.Known) {
						t.Fatalf("%v stands before %v", before, o)
					}
				}
				if at%97 != n%97 && at > 2 {
					continue
				}
				until := plain[o.Turns.String()]
				until.Finish, until.Seconds.PLL, until.Gain = o.Finish, o.Seconds.PLL, o.Gain
				require.Equal(t, until, o)
				gain := time.Duration(0)
				if !o.Known && best >= 0 {
					gain = max(0, best-o.Seconds.Total())
				}
				require.Equal(t, gain, o.Gain)
				oriented := puzzle.Do(cube.Join(o.Turns, o.Then, o.Sequence))
				all := cube.Join(o.Turns, o.Then, o.Sequence, o.Finish.Turns, o.Finish.Last)
				require.Equal(t, solvedStickers(puzzle.Do(all)), cubetest.Of(puzzle).Do(all), "%v", o)
				var tilt cube.Sequence
				if hold := cube.Join(o.Then, o.Sequence).Cube().Hold(); hold >= 4 {
					tilt = hold.Inverse().Turns()
				}
				of, took := plainPLL(t, b, p, oriented.Do(tilt), p.Estimate(tilt))
				require.Equal(t, of, o.Finish.PLL)
				require.Equal(t, took, o.Seconds.PLL, "%v", o)
				s := o.Seconds
				require.Equal(t, s.Rotation+s.AUF+s.Insertion+s.Recognise+s.ThenAUF+s.Sequence+took, s.Total())
				seen[of]++
			}
		}
	}
	assert.Len(t, seen, pll.PLLs, "every PLL is met")
}

// The limit and one option for each pattern are those of the order until solved.
func TestUntilSolvedIsCut(t *testing.T) {
	t.Parallel()
	f := book().For(Anyone())
	cases, puzzles := pasted(20)
	other := 0
	for i, c := range cases {
		all := f.UntilSolved(Request{Case: c}, puzzles[i])
		assert.Equal(t, all[:7], f.UntilSolved(Request{Case: c, Limit: 7}, puzzles[i]))
		var patterns []lastslot.Pattern
		for _, o := range f.UntilSolved(Request{Case: c, PerPattern: true}, puzzles[i]) {
			at := slices.IndexFunc(all, func(a Option) bool { return a.Leaves.Pattern() == o.Leaves.Pattern() })
			assert.Equal(t, all[at], o)
			patterns = append(patterns, o.Leaves.Pattern())
		}
		slices.Sort(patterns)
		assert.Equal(t, slices.Compact(slices.Clone(patterns)), patterns, "each once")
		if !slices.Equal(f.Forecast(Request{Case: c, Limit: 1})[0].Turns, all[0].Turns) {
			other++
		}
		one, err := f.Option(c, all[3].Turns)
		require.NoError(t, err)
		assert.Equal(t, all[3].Finish, f.Solved(one, puzzles[i]).Finish)
	}
	assert.Positive(t, other, "knowing the PLL changes what is first")
}

// A better rating makes no PLL slower, and that of a single one counts before that of all.
func TestPLLRatings(t *testing.T) {
	t.Parallel()
	b := book()
	cases, puzzles := pasted(30 / cubetest.Stride(t, 3))
	totals := func(change func(*PLLs)) (sums []time.Duration) {
		p := Anyone()
		change(&p.PLL)
		f := b.For(p)
		for i, c := range cases {
			for _, o := range f.UntilSolved(Request{Case: c, Limit: 3}, puzzles[i]) {
				sums = append(sums, o.Seconds.PLL)
			}
		}
		return sums
	}
	assert.Equal(t, totals(func(*PLLs) {}), totals(func(p *PLLs) { p.Rating = 3 }), "unrated counts as 3")
	each := func(rating int) func(*PLLs) {
		return func(p *PLLs) {
			p.Rating = 1
			for i := range p.Own {
				p.Own[i].Rating = rating
			}
		}
	}
	assert.Equal(t, totals(func(p *PLLs) { p.Rating = 5 }), totals(each(5)))
	p := Anyone()
	for of := pll.PLL(1); of < pll.PLLs; of++ {
		before := time.Hour
		for rating := 1; rating <= 5; rating++ {
			p.PLL.Rating = rating
			f := b.For(p)
			took := f.plls[of].recognise + f.plls[of].execute
			assert.Less(t, took, before, of)
			before = took
		}
	}
}

// Each sequence of the book, for either hand too, solves its PLL by stickers in every one of its
// stands after some AUFs; the first is the easiest, and there is something to choose from.
func TestPLLSequencesOfTheBook(t *testing.T) {
	t.Parallel()
	for handed := range hands.Handed(3) {
		b := book().With(handed)
		for of := pll.PLL(1); of < pll.PLLs; of++ {
			sequences := b.PLLSequences(of)
			assert.NotEmpty(t, sequences)
			least := hands.Estimate(sequences[0], handed)
			for _, turns := range sequences {
				assert.GreaterOrEqual(t, hands.Estimate(turns, handed), least, turns)
				puzzle := turns.Inverse().Cube()
				read, ok := pll.Of(puzzle)
				assert.True(t, ok)
				assert.Equal(t, of, read, turns)
				assert.Equal(t, solvedStickers(puzzle.Do(turns)), cubetest.Of(puzzle).Do(turns))
			}
			if handed == hands.TwoHands {
				assert.Greater(t, len(sequences), 1, of)
			}
		}
	}
}

// A damaged file is refused with what is wrong.
func TestADamagedFileOfPLLs(t *testing.T) {
	t.Parallel()
	for file, says := range map[string]string{
		"Aa":                    "line 1: a line has letters and sequences",
		"X\tR U R'":             "line 1: no PLL “X”",
		"# no\nT\tR U R'":       "line 2: R U R': it does not keep",
		"H\tM2 U M2 U2 M2 U M2": "PLL Aa has no sequence",
		"H\tM2 U M2 U2 M2 U M2\nH\tM2 U M2 U2 M2 U M2": "line 2: PLL H stands there twice",
		"H\tM2 U M2 U2 M2 U Q":                         "line 1: ",
	} {
		assert.ErrorContains(t, (&Book{}).loadPLLs(file), says)
	}
}

// What the order until solved costs beside that until oriented: every option is turned
// through on the puzzle.
func BenchmarkUntilSolved(b *testing.B) {
	f := book().For(Anyone())
	cases, puzzles := pasted(50)
	b.Run("oriented", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			f.Forecast(Request{Case: cases[i%len(cases)]})
		}
	})
	b.Run("solved", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			f.UntilSolved(Request{Case: cases[i%len(cases)]}, puzzles[i%len(cases)])
		}
	})
}
