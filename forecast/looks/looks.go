package looks

import (
	"time"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// Times are whole milliseconds.
const ms = time.Millisecond

// Gap is what counts where nothing that is learnt leads to the oriented top: more than
// anything takes that can be said, so that it comes last.
const Gap = time.Hour

// Ten are the patterns of those who solve the top in two looks: one with each kind of edges,
// then the seven with oriented edges (common practice, no source).
var Ten = [...]lastslot.Pattern{2, 44, 45, 21, 22, 23, 24, 25, 26, 27}

// edgeLooks is how many looks at the edges are enough: one at each kind that is not oriented.
const edgeLooks = 3

// Sequence is a learnt one, as it is done where another look follows.
type Sequence struct {
	Pattern lastslot.Pattern
	// Turns end with the top on top; see [lastslot.FollowUp.Upright].
	Turns cube.Sequence
	// Leaves has what the turns make of each outcome, in the hold in which they end.
	Leaves *[lastslot.Outcomes]lastslot.Outcome
	// Recognise is what a look takes that it is done after, Execute what the turns take.
	Recognise, Execute time.Duration
}

// LeavesOf tabulates [lastslot.FollowUp.Leaves].
func LeavesOf(f *lastslot.FollowUp) *[lastslot.Outcomes]lastslot.Outcome {
	table := new([lastslot.Outcomes]lastslot.Outcome)
	for o := range table {
		table[o] = f.Leaves(lastslot.Outcome(o))
	}
	return table
}

// Known is what somebody can do.
type Known struct {
	// Once has what each outcome takes in one look, nil where its pattern is not learnt. The
	// oriented one has recognising alone.
	Once [lastslot.Outcomes]*Times
	// Sequences are those of the learnt patterns.
	Sequences []Sequence
	// AUF has what a turn of U by none to three quarters takes.
	AUF [4]time.Duration
}

// Times are what recognising and executing take, in all looks.
type Times struct{ Recognise, Execute time.Duration }

// Total is the sum.
func (t Times) Total() time.Duration { return t.Recognise + t.Execute }

// Way is how an outcome is oriented. Where nothing does it is a gap, and the rest is unset.
type Way struct {
	Gap bool
	Times
	// First is the recognising of the first look.
	First time.Duration
	// Looks are those before the last one, which is that of Last's pattern; none where one look
	// is enough. Of AUFs that look alike they have the least.
	Looks []Look
	Last  lastslot.Outcome
}

// Look is a look and what is done after it.
type Look struct {
	// Edges says that it is at the edges only.
	Edges bool
	// Pattern is that whose sequence is done.
	Pattern    lastslot.Pattern
	AUF, Turns cube.Sequence
}

// Ways has for each outcome how it is oriented in the least time: as it is seen, and where
// the first look is saved, as the outcome was predicted.
type Ways struct{ Seen, Predicted [lastslot.Outcomes]Way }

// Once says whether one look is enough for every outcome.
func (w *Ways) Once() bool {
	for o := range w.Seen {
		if w.Seen[o].Gap || len(w.Seen[o].Looks)+len(w.Predicted[o].Looks) > 0 {
			return false
		}
	}
	return true
}
