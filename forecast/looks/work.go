package looks

import (
	"math"
	"time"

	"slotcast/forecast/lastslot"
)

// work is what [Of] works with.
type work struct {
	*Known
	auf [4]int32
	// tables are those of the best, of what is best where the first look is saved, and of
	// outcomes whose edges are not oriented by looks at the edges alone: by none, at most one
	// and so on.
	tables [byEdges + edgeLooks + 1]table
}

// The numbers of the tables.
const (
	best = iota
	foreseen
	byEdges
)

// table has the choice for each outcome so far.
type table [lastslot.Outcomes]choice

// choice is one look, or a first look and what follows; the total of one that is not there is none. Times are in
// milliseconds.
type choice struct {
	total, recognise, first int32
	// sequence is the number of the first look's, counted from 1, 0 for one look that is
	// enough.
	sequence int32
	quarters uint8
	// next is what it leaves, and then the table with the choice that follows.
	next lastslot.Outcome
	then uint8
}

// none is where nothing was found yet: more than anything takes.
const none int32 = math.MaxInt32 / 4

// rest is what follows the first look.
func (c *choice) rest() int32 { return c.total - c.first }

// Of works out how each outcome is oriented.
func Of(k *Known) *Ways {
	w := &work{Known: k}
	for quarters, takes := range k.AUF {
		w.auf[quarters] = int32(takes / ms)
	}
	for o, once := range k.Once {
		w.tables[best][o].total, w.tables[byEdges][o].total = none, none
		if once != nil {
			recognise := int32(once.Recognise / ms)
			w.tables[best][o] = choice{total: recognise + int32(once.Execute/ms), recognise: recognise, first: recognise, next: lastslot.Outcome(o)}
		}
	}
	w.tables[foreseen] = w.tables[best]
	w.corners()
	w.edges()
	ways := new(Ways)
	for o := range lastslot.Outcomes {
		ways.Seen[o], ways.Predicted[o] = w.way(&w.tables[best][o]), w.way(&w.tables[foreseen][o])
	}
	return ways
}

// The states of the edges: which of the four are flipped, the last of them left out as it
// follows from the others. In state 0 they are oriented.
const (
	states   = lastslot.Outcomes / twists
	twists   = 27
	oriented = 0
)

func stateOf(o lastslot.Outcome) int { return int(o) % states }

// outcomesOf has the outcomes of each state but the oriented one.
var outcomesOf = func() (of [states][]lastslot.Outcome) {
	for o := lastslot.Outcome(1); o < lastslot.Outcomes; o++ {
		of[stateOf(o)] = append(of[stateOf(o)], o)
	}
	return of
}()

// alike has the AUFs after which edges in the state look alike. With oriented edges the
// corners are seen too.
var alike = func() (aufs [states][][]uint8) {
	kinds := map[lastslot.Edges][][]uint8{
		lastslot.Dot:   {{0, 1, 2, 3}},
		lastslot.Line:  {{0, 2}, {1, 3}},
		lastslot.L:     {{0}, {1}, {2}, {3}},
		lastslot.Cross: {{0}, {1}, {2}, {3}},
	}
	for state := range aufs {
		aufs[state] = kinds[lastslot.Outcome(state).Edges()]
	}
	return aufs
}()

// corners looks at the outcomes with oriented edges until nothing gets quicker.
func (w *work) corners() {
	for again := true; again; {
		again = w.offer(oriented, best, best, best)
	}
	w.offer(oriented, best, best, foreseen)
}

// edges looks at the other outcomes: after looks that orient the edges the others come.
func (w *work) edges() {
	for most := uint8(byEdges + 1); most <= byEdges+edgeLooks; most++ {
		w.tables[most] = w.tables[most-1]
		after := most - 1
		if after == byEdges {
			after = best
		}
		for state := oriented + 1; state < states; state++ {
			w.offer(state, after, most, foreseen)
		}
	}
	for o := range w.tables[best] {
		if c := &w.tables[byEdges+edgeLooks][o]; c.total < w.tables[best][o].total {
			w.tables[best][o] = *c
		}
	}
}

// offer puts first looks at the outcomes of the state into a table where they are quicker, and
// into that of the foreseen; the two may be one. What follows is in the table with the number
// after: the best if the edges are oriented then, and another if they are not. It says whether
// anything got quicker.
func (w *work) offer(state int, after, into, alsoInto uint8) (quicker bool) {
	least, all := w.least(after), w.all(after)
	slowest, slowestSaved := int32(0), int32(0)
	for _, o := range outcomesOf[state] {
		slowest, slowestSaved = max(slowest, w.tables[into][o].total), max(slowestSaved, w.tables[alsoInto][o].rest())
	}
	for n := range w.Sequences {
		s := &w.Sequences[n]
		if (stateOf(s.Pattern.Outcome()) == oriented) != (state == oriented) {
			continue
		}
		first, executed := int32(s.Recognise/ms), int32(s.Execute/ms)
		for _, aufs := range alike[state] {
			// All outcomes of a state come to one state.
			next := stateOf(s.Leaves[lastslot.Outcome(state).Turned(int(aufs[0]))])
			if (next == oriented) != (after == best) || first+executed+least[next] >= slowest && executed+least[next] >= slowestSaved {
				continue
			}
			blind := choice{total: none}
			if next != oriented {
				if blind = w.blind(int32(n)+1, aufs, after, &all[next]); blind.total >= none {
					continue
				}
			}
			for _, o := range outcomesOf[state] {
				if w.tables[into][o].total <= first+executed+least[next] && w.tables[alsoInto][o].rest() <= executed+least[next] {
					continue
				}
				c := blind
				if next == oriented {
					c = w.look(o, int32(n)+1, aufs, after)
				} else {
					c.next = s.Leaves[o.Turned(int(aufs[0]))]
				}
				if saved := &w.tables[alsoInto][o]; into != alsoInto && c.rest() < saved.rest() {
					*saved = c
				}
				if whole := &w.tables[into][o]; c.total < whole.total {
					*whole, quicker = c, true
				}
			}
		}
	}
	return quicker
}

// least has the least total of each state in the table.
func (w *work) least(table uint8) (least [states]int32) {
	for state := range least {
		least[state] = none
	}
	for o := range w.tables[table] {
		state := stateOf(lastslot.Outcome(o))
		least[state] = min(least[state], w.tables[table][o].total)
	}
	return least
}

// look is a first look at an outcome, followed by the sequence after any of the AUFs, and then
// by what the table has.
func (w *work) look(o lastslot.Outcome, sequence int32, aufs []uint8, after uint8) choice {
	s := &w.Sequences[sequence-1]
	var rest sum
	for _, quarters := range aufs {
		rest.add(&w.tables[after][s.Leaves[o.Turned(int(quarters))]])
		rest.total += w.auf[quarters]
	}
	c := w.mean(rest, sequence, aufs, after)
	c.next = s.Leaves[o.Turned(int(aufs[0]))]
	return c
}

// sum adds up choices. It is none where one of them is.
type sum struct {
	recognise, total, n int32
	none                bool
}

func (s *sum) add(c *choice) {
	if c.total >= none {
		s.none = true
		return
	}
	s.recognise, s.total, s.n = s.recognise+c.recognise, s.total+c.total, s.n+1
}

// all adds up each state in the table.
func (w *work) all(table uint8) (sums [states]sum) {
	for o := range w.tables[table] {
		sums[stateOf(lastslot.Outcome(o))].add(&w.tables[table][o])
	}
	return sums
}

// blind is a first look at the edges of a state, whatever the corners are: a sequence takes
// the outcomes of a state one to one to those of the next, whose sum is given.
func (w *work) blind(sequence int32, aufs []uint8, after uint8, next *sum) choice {
	var rest sum
	for _, quarters := range aufs {
		rest.recognise += next.recognise
		rest.total += next.total + next.n*w.auf[quarters]
		rest.n += next.n
	}
	rest.none = next.none
	return w.mean(rest, sequence, aufs, after)
}

// mean is a first look, and what follows on average.
func (w *work) mean(rest sum, sequence int32, aufs []uint8, after uint8) choice {
	if rest.none {
		return choice{total: none}
	}
	s, n := &w.Sequences[sequence-1], rest.n
	first := int32(s.Recognise / ms)
	return choice{
		first: first, sequence: sequence, quarters: aufs[0], then: after,
		// The total is rounded, not its parts: then it falls where what follows does.
		recognise: first + (rest.recognise+n/2)/n,
		total:     first + int32(s.Execute/ms) + (rest.total+n/2)/n,
	}
}

// way follows the choice to the last look.
func (w *work) way(c *choice) Way {
	if c.total >= none {
		return Way{Gap: true}
	}
	millis := func(n int32) time.Duration { return time.Duration(n) * ms }
	way := Way{Times: Times{millis(c.recognise), millis(c.total - c.recognise)}, First: millis(c.first)}
	for c.sequence > 0 {
		s := &w.Sequences[c.sequence-1]
		way.Looks = append(way.Looks, Look{s.Pattern.Outcome().Edges() != lastslot.Cross, s.Pattern, lastslot.AUFs[c.quarters], s.Turns})
		c = &w.tables[c.then][c.next]
	}
	way.Last = c.next
	return way
}
