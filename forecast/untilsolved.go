package forecast

import (
	"cmp"
	"slices"
	"time"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/pll"
)

// PLLs is how a person does PLL. Its zero value says nothing: then each counts as rated 3, and
// is done with the book's easiest sequence.
type PLLs struct {
	// Rating is that of all, from 1 to 5, 0 if not said. As of a pattern, it stands for how
	// quickly a PLL is recognised and how quickly its sequence is done.
	Rating int
	// Own has what is said of single ones; it counts before what is said of all.
	Own [pll.PLLs]OwnPLL
}

// OwnPLL is what a person says of one PLL.
type OwnPLL struct {
	// Rating is from 1 to 5, 0 if not said.
	Rating int
	// Sequence is done in place of the book's, nil for the book's.
	Sequence *pll.Sequence
}

// Level is how the person is taken to rate the PLL: as it was said of it, of all, or else 3.
func (p *PLLs) Level(of pll.PLL) int { return cmp.Or(p.Own[of].Rating, p.Rating, 3) }

// personsPLL is a PLL as the person does it.
type personsPLL struct {
	sequence           *pll.Sequence // nil for the solved one
	recognise, execute time.Duration
}

// solving is how the person does each PLL. Where all is solved but for an AUF, that is
// recognised as what is rated 5.
func (f *Forecaster) solving(p *Person) {
	f.plls[0] = personsPLL{recognise: wholeMs(p.Scale.Recognise[5])}
	for of := pll.PLL(1); of < pll.PLLs; of++ {
		level := p.PLL.Level(of)
		sequence, estimate := &f.book.plls[of][0].Sequence, p.scaled(f.book.plls[of][0].estimate)
		if own := p.PLL.Own[of].Sequence; own != nil {
			sequence, estimate = own, p.Estimate(own.Turns)
		}
		f.plls[of] = personsPLL{sequence, wholeMs(p.Scale.Recognise[level]), wholeMs(time.Duration(float64(estimate) * p.Scale.Execute[level]))}
	}
}

// Finish is what follows once the top is oriented, where the whole position is known.
type Finish struct {
	PLL pll.PLL
	// Turns are the AUF and the sequence, after a rotation where orienting the top left
	// another face on top; Last is the AUF that ends it. After them all is solved.
	Turns, Last cube.Sequence
}

// UntilSolved is [Forecaster.Forecast] with the options in order of the time until all is
// solved, of a puzzle that is the request's case: each has its Finish, which is in the seconds.
func (f *Forecaster) UntilSolved(r Request, puzzle cube.Cube) []Option {
	all := r
	all.Limit, all.PerPattern = 0, false
	options := f.Forecast(all)
	var bestKnown *Option
	for i := range options {
		o := &options[i]
		f.finishPLL(o, puzzle)
		if o.Known && (bestKnown == nil || o.Seconds.Total() < bestKnown.Seconds.Total()) {
			bestKnown = o
		}
	}
	if bestKnown != nil {
		known := bestKnown.Seconds.Total()
		for i := range options {
			if o := &options[i]; !o.Known {
				o.Gain = max(0, known-o.Seconds.Total())
			}
		}
	}
	slices.SortFunc(options, func(a, b Option) int {
		if r.View == KnownFirst && a.Known != b.Known {
			if a.Known {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(a.Seconds.Total(), b.Seconds.Total()), cmp.Compare(a.Count, b.Count), a.Turns.Compare(b.Turns))
	})
	if r.PerPattern {
		var seen [lastslot.Patterns]bool
		options = slices.DeleteFunc(options, func(o Option) bool {
			pattern := o.Leaves.Pattern()
			before := seen[pattern]
			seen[pattern] = true
			return before
		})
	}
	if r.Limit > 0 && len(options) > r.Limit {
		options = options[:r.Limit]
	}
	return options
}

// Solved is an option of the puzzle's case with what follows until all is solved.
func (f *Forecaster) Solved(o Option, puzzle cube.Cube) Option {
	f.finishPLL(&o, puzzle)
	return o
}

// finishPLL says what follows until all is solved.
func (f *Forecaster) finishPLL(o *Option, puzzle cube.Cube) {
	up := o.upright()
	stand, ok := pll.StandOf(puzzle.Do(o.Turns).Do(o.Then).Do(o.Sequence).Do(up))
	if !ok {
		panic("forecast: an option after which the top is not oriented")
	}
	finish := &Finish{PLL: stand.PLL()}
	own := &f.plls[finish.PLL]
	upright := f.estimate(up)
	if own.sequence == nil {
		last, _ := stand.Last()
		finish.Turns, finish.Last = up, lastslot.AUFs[last]
		o.Finish, o.Seconds.PLL = finish, upright+own.recognise+f.auf(last)
		return
	}
	best := time.Duration(-1)
	for _, quarters := range [...]int{0, 1, 3, 2} {
		last, ok := stand.After(quarters, own.sequence).Last()
		if took := f.auf(quarters) + f.auf(last); ok && (best < 0 || took < best) {
			best = took
			finish.Turns = cube.Join(up, lastslot.AUFs[quarters], own.sequence.Turns)
			finish.Last = lastslot.AUFs[last]
		}
	}
	if best < 0 {
		panic("forecast: a sequence that does not solve its PLL")
	}
	o.Finish, o.Seconds.PLL = finish, upright+own.recognise+own.execute+best
}

// auf is how long the person takes for so many quarters of U.
func (f *Forecaster) auf(quarters int) time.Duration { return time.Duration(f.prefixes[quarters]) * ms }

// upright is the rotation that brings the top back up where orienting it left another face
// there.
func (o *Option) upright() cube.Sequence {
	hold := cube.Join(o.Then, o.Sequence).Cube().Hold()
	if int(hold) < len(lastslot.Rotations) {
		return nil
	}
	return hold.Inverse().Turns()
}
