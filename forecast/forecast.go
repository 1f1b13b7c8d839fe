package forecast

import (
	"slices"
	"time"

	"slotcast/cube"
)

// Request says what is to be forecast, and for whom.
type Request struct {
	Case   Case
	Person *Person
	// Limit is the most options to give; 0 gives all.
	Limit int
	// PerPattern gives only the best option for each pattern.
	PerPattern bool
}

// Option is one way to fill the slot, what it leaves, and what to do next.
type Option struct {
	// Turns are the rotation (only y), the AUF and the insertion.
	Turns cube.Sequence
	// Leaves is how the top layer is turned after them, in the hold they end in.
	Leaves Outcome
	// Then is the AUF to do next, in that hold, and Sequence what orients the top
	// after it.
	Then, Sequence cube.Sequence
	// Count is the number of turns of the insertion; see [cube.Sequence.Count].
	Count   int
	Seconds Seconds
}

// Seconds are the parts that the time for an option is made of. All but
// Recognise are estimates as long as nothing was rated or measured.
type Seconds struct {
	Rotation, AUF, Insertion time.Duration
	Recognise                time.Duration
	ThenAUF, Sequence        time.Duration
}

// Insert is the time until the slot is filled.
func (s Seconds) Insert() time.Duration { return s.Rotation + s.AUF + s.Insertion }

// Execute is the time for orienting the top.
func (s Seconds) Execute() time.Duration { return s.ThenAUF + s.Sequence }

// Total is the time by which options are ranked.
func (s Seconds) Total() time.Duration { return s.Insert() + s.Recognise + s.Execute() }

// afterwards is what follows an outcome: seconds to recognise it, for the AUF,
// and for the sequence.
type afterwards struct{ recognise, auf, sequence time.Duration }

// afterwardsFor works out what follows each outcome for the person.
func (b *Book) afterwardsFor(p *Person) (list [Outcomes]afterwards) {
	var sequences [Patterns]time.Duration
	for pattern := range sequences {
		sequences[pattern] = p.execute(Pattern(pattern), b.estimates[pattern])
	}
	for o := range list {
		pattern := Outcome(o).Pattern()
		list[o] = afterwards{p.recognise(pattern), aufCosts[b.then[o]], sequences[pattern]}
	}
	return list
}

// aufCosts has the cost of each turn of U.
var aufCosts = func() (costs [4]time.Duration) {
	for quarters, turns := range auf {
		costs[quarters] = Cost(turns)
	}
	return costs
}()

// Forecast lists the ways to fill the slot, in order of the total, the lowest
// first, then of the count, then of the turns as text.
func (b *Book) Forecast(r Request) []Option {
	ways := b.ways[r.Case.Slot][r.Case.pairPlace()]
	twists, flips := r.Case.twistIndex(), r.Case.flipIndex()
	after := b.afterwardsFor(r.Person)
	var totals [Outcomes]uint64
	for o, a := range after {
		totals[o] = uint64((a.recognise + a.auf + a.sequence) / ms)
	}
	leaves := func(w *way) Outcome {
		left := Outcome(b.cornersLeft[w.corners][twists]*8 + b.edgesLeft[w.edges][flips])
		return turnedOutcomes[w.turned][left]
	}

	// The ways stand in the order that breaks ties, so total and number sort.
	const numberBits = 32
	order := make([]uint64, 0, len(ways))
	if r.PerPattern {
		const none = ^uint64(0)
		var best [Patterns]uint64
		for p := range best {
			best[p] = none
		}
		for i := range ways {
			left := leaves(&ways[i])
			key := (uint64(ways[i].insert)+totals[left])<<numberBits | uint64(i)
			best[left.Pattern()] = min(best[left.Pattern()], key)
		}
		for _, key := range best {
			if key != none {
				order = append(order, key)
			}
		}
	} else {
		for i := range ways {
			order = append(order, (uint64(ways[i].insert)+totals[leaves(&ways[i])])<<numberBits|uint64(i))
		}
	}
	slices.Sort(order)
	if r.Limit > 0 && len(order) > r.Limit {
		order = order[:r.Limit]
	}

	options := make([]Option, len(order))
	for i, key := range order {
		w := &ways[key&(1<<numberBits-1)]
		left := leaves(w)
		options[i] = Option{
			Turns:    b.turns[r.Case.Slot][w.first : w.first+uint32(w.length) : w.first+uint32(w.length)],
			Leaves:   left,
			Then:     auf[b.then[left]],
			Sequence: b.followUps[left.Pattern()],
			Count:    int(w.count),
			Seconds:  w.seconds(b.turns[r.Case.Slot]),
		}
		s, a := &options[i].Seconds, &after[left]
		s.Recognise, s.ThenAUF, s.Sequence = a.recognise, a.auf, a.sequence
	}
	return options
}

// seconds are the parts of the time until the slot is filled.
func (w *way) seconds(turns cube.Sequence) (s Seconds) {
	left := turns[w.first : w.first+uint32(w.length)]
	if len(left) > 0 && left[0].Layer() == cube.Y {
		s.Rotation = Cost(left[:1])
		left = left[1:]
	}
	if len(left) > 0 && left[0].Layer() == cube.U {
		s.AUF = Cost(left[:1])
	}
	s.Insertion = time.Duration(w.insert)*ms - s.Rotation - s.AUF
	return s
}
