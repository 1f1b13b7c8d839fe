package forecast

import (
	"cmp"
	"time"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// afterwards is what follows an outcome: the AUF and the sequence to do, and the
// seconds to recognise it, for the AUF and for the sequence.
type afterwards struct {
	quarters                 int
	turns                    cube.Sequence
	recognise, auf, sequence time.Duration
	total                    uint64 // milliseconds
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
