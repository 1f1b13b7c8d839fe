package forecast

import (
	"fmt"
	"time"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Candidate is an insertion that fills the slot from a place of its pair. Those that
// differ by AUF or by a rotation before are one.
type Candidate struct {
	// Rotation is the turn of y before the insertion, which is spelled for where the
	// slot then is.
	Rotation  cube.Sequence
	Insertion *lastslot.Insertion
	// Known says that the person knows it, and Own that it is among those of which they
	// told anything: others of the book may do the same.
	Known, Own bool
	// Insert is the time for rotation and insertion.
	Insert time.Duration
	// Followed is how many pieces the person follows: all that are to be tracked where they
	// predict what it leaves, otherwise none.
	Followed int
}

// Candidates lists all that the person may use from the place: first their own, then
// the book's.
func (f *Forecaster) Candidates(p lastslot.Place) []Candidate { return f.candidates(p, false) }

// KnownCandidates are those of them that the person knows.
func (f *Forecaster) KnownCandidates(p lastslot.Place) []Candidate { return f.candidates(p, true) }

func (f *Forecaster) candidates(p lastslot.Place, known bool) (all []Candidate) {
	b := f.book
	own := map[string]bool{}
	key := func(slot lastslot.Slot, turns cube.Sequence) string {
		return fmt.Sprintf("%d%v", slot, []cube.Turn(turns))
	}
	for _, w := range f.ownAt(p.Slot, p.Pair().PairPlace()) {
		if k := key(w.spelled.Slot, w.spelled.Turns); !own[k] {
			own[k] = true
			if known && !w.known {
				continue
			}
			all = append(all, Candidate{rotationTo(p.Slot, w.spelled), w.spelled, w.known, true, w.seconds.Rotation + w.seconds.Insertion, f.follows(int(w.track), w.predict)})
		}
	}
	seen := map[uint16]bool{}
	usual := f.usual.numbers[p.Slot][p.Pair().PairPlace()]
	for _, quarters := range p.AUFs() {
		options := b.options[p.Slot][p.Pair().Turned(quarters).PairPlace()]
		for i := range options {
			w := &options[i]
			if known && w.number != usual {
				continue
			}
			if w.number == doNothing || seen[w.number] || f.hidden[slotInsertion{p.Slot, int(w.number)}] {
				continue
			}
			seen[w.number] = true
			spelled := &b.spelled[b.spelledAt(p.Slot, int(w.number))][w.number]
			if len(own) > 0 && own[key(spelled.Slot, spelled.Turns)] {
				continue
			}
			s := f.seconds(w)
			all = append(all, Candidate{rotationTo(p.Slot, spelled), spelled, w.number == usual, false, s.Rotation + s.Insertion, f.follows(b.track(w), Unsaid)})
		}
	}
	return all
}

// rotationTo is the rotation by which the slot comes to where the insertion has it.
func rotationTo(slot lastslot.Slot, i *lastslot.Insertion) cube.Sequence {
	return lastslot.Rotations[lastslot.Quarters(slot, i.Slot)]
}

// AUF is how long the person takes for a turn of U before an insertion.
func (f *Forecaster) AUF(quarters int) time.Duration {
	return time.Duration(f.prefixes[quarters]) * ms
}

// After is how long the person takes from the outcome on of an insertion in which so
// many pieces are followed: to recognise it, or to track what they predict, for the AUF and
// for the sequence.
func (f *Forecaster) After(o lastslot.Outcome, followed int) time.Duration {
	return time.Duration(f.from(o, followed)) * ms
}

// FirstLook is how long the person takes to recognise the outcome in the first look, and
// Seen what then follows.
func (f *Forecaster) FirstLook(o lastslot.Outcome) (first, seen time.Duration) {
	a := &f.after[o]
	return a.first, f.After(o, 0) - a.first
}

// Foreseen is how long the person takes from the outcome on that they saw coming, tracking
// left out.
func (f *Forecaster) Foreseen(o lastslot.Outcome) time.Duration {
	a := &f.after[o]
	rest := a.recognise - a.first + a.auf + a.sequence
	if f.foreseen != nil {
		a = &f.foreseen[o]
		rest = min(rest, a.recognise-a.first+a.auf+a.sequence)
	}
	return rest
}

// Tracking is how long following so many pieces takes.
func (f *Forecaster) Tracking(pieces int) time.Duration {
	return wholeMs(time.Duration(pieces) * f.trackEach)
}

// Tracks says whether the person follows the pieces of an insertion with so many of them,
// if they say nothing of it.
func (f *Forecaster) Tracks(pieces int) bool { return f.follows(pieces, Unsaid) > 0 }
