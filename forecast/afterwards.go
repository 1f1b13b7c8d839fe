package forecast

import (
	"cmp"
	"time"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/looks"
)

// afterwards is what follows an outcome: the AUF and the sequence to do, and the
// seconds to recognise it, for the AUF and for the sequence. Of several looks the AUF is
// the first one's, and the rest stands in the sequence.
type afterwards struct {
	quarters                 int
	turns                    cube.Sequence
	recognise, auf, sequence time.Duration
	// first is what of recognising the first look takes.
	first time.Duration
	total uint64 // milliseconds
	// looks are all of several, nil where one is enough.
	looks []looks.Look
	// gap says that nothing that is learnt orients it: then it is the pattern's sequence, to
	// be looked up.
	gap bool
}

// easiestOf takes the sequence that costs the person least with its AUF; of equal
// ones the one that would be estimated to.
func easiestOf(sequences []lastslot.FollowUp, o lastslot.Outcome, p *Person) afterwards {
	var best afterwards
	var bestEstimate time.Duration
	for i := range sequences {
		s := &sequences[i]
		quarters := s.AUF(o)
		estimate := p.Estimate(s.Turns)
		a := afterwards{quarters: quarters, turns: s.Turns, auf: p.Estimate(lastslot.AUFs[quarters]), sequence: wholeMs(p.execute(o.Pattern(), estimate))}
		estimate += a.auf
		if i == 0 || cmp.Or(cmp.Compare(a.auf+a.sequence, best.auf+best.sequence), cmp.Compare(estimate, bestEstimate)) < 0 {
			best, bestEstimate = a, estimate
		}
	}
	return best
}

// learnt puts the looks of a person in the place of those outcomes' one look that take more,
// or less than one. It returns what follows where the first look is saved; nil where that is
// everywhere the same.
func (f *Forecaster) learnt(p *Person) *[lastslot.Outcomes]afterwards {
	known := looks.Known{Sequences: make([]looks.Sequence, 0, lastslot.Patterns)}
	for quarters := range known.AUF {
		known.AUF[quarters] = time.Duration(f.prefixes[quarters]) * ms
	}
	var once [lastslot.Outcomes]looks.Times
	for o := range f.after {
		a := &f.after[o]
		a.first = a.recognise
		once[o] = looks.Times{Recognise: a.recognise, Execute: a.auf + a.sequence}
		if !p.Unlearnt[lastslot.Outcome(o).Pattern()] {
			known.Once[o] = &once[o]
		}
	}
	for pattern := lastslot.Pattern(1); pattern < lastslot.Patterns; pattern++ {
		if p.Unlearnt[pattern] {
			continue
		}
		add := func(turns cube.Sequence, estimate time.Duration, leaves *[lastslot.Outcomes]lastslot.Outcome) {
			known.Sequences = append(known.Sequences, looks.Sequence{
				Pattern: pattern, Turns: turns, Leaves: leaves,
				Recognise: wholeMs(p.recognise(pattern)), Execute: wholeMs(p.execute(pattern, estimate)),
			})
		}
		for i := range p.Sequences[pattern] {
			own := &p.Sequences[pattern][i]
			turns := own.Upright()
			add(turns, p.Estimate(turns), looks.LeavesOf(own))
		}
		if len(p.Sequences[pattern]) == 0 {
			followUp := &f.book.upright[pattern]
			add(followUp.turns, p.scaled(followUp.estimate), followUp.leaves)
		}
	}
	ways := looks.Of(&known)
	if ways.Once() {
		return nil
	}
	before, foreseen := f.after, new([lastslot.Outcomes]afterwards)
	for o := range f.after {
		f.after[o] = before[o].by(&ways.Seen[o], &before, f.prefixes)
		foreseen[o] = before[o].by(&ways.Predicted[o], &before, f.prefixes)
	}
	return foreseen
}

// by is what follows by the looks, of which the last is the one look of its outcome.
func (a afterwards) by(way *looks.Way, once *[lastslot.Outcomes]afterwards, aufs [16]uint16) afterwards {
	switch {
	case way.Gap:
		a.gap = true
		a.sequence = looks.Gap - a.recognise - a.auf
		a.total = uint64(looks.Gap / ms)
		return a
	case len(way.Looks) == 0:
		return a
	}
	last := &once[way.Last]
	all := append([]looks.Look{}, way.Looks...)
	all = append(all, looks.Look{Pattern: way.Last.Pattern(), AUF: lastslot.AUFs[last.quarters], Turns: last.turns})
	first := all[0]
	a.looks, a.turns = all, first.Turns
	for _, look := range all[1:] {
		a.turns = cube.Join(a.turns, look.AUF, look.Turns)
	}
	a.quarters = 0
	if len(first.AUF) > 0 {
		a.quarters = first.AUF[0].Quarters() & 3
	}
	a.recognise, a.first = way.Recognise, way.First
	a.auf = time.Duration(aufs[a.quarters]) * ms
	a.sequence = way.Execute - a.auf
	a.total = uint64(way.Total() / ms)
	return a
}
