package forecast

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"slotcast/cube"
)

// Leaves is what turns (a rotation by y, AUF and insertion) leave of a case, in
// the hold they end in. An error says what they do not keep or fill.
func Leaves(c Case, turns cube.Sequence) (Outcome, error) {
	_, left, err := leaves(c, turns)
	return left, err
}

func leaves(c Case, turns cube.Sequence) (motionMap, Outcome, error) {
	motion, hold := motionOf(turns)
	if broken := breaks(motion, &c.Slot); broken != "" {
		return motionMap{}, 0, fmt.Errorf("%s does not keep %s", turns, broken)
	}
	m := mapOf(motion, c.Slot)
	if m.pairPlace() != c.pairPlace() || int(hold) >= len(roundHolds) {
		what := turns.String()
		if what == "" {
			what = "doing nothing"
		}
		return motionMap{}, 0, fmt.Errorf("%s does not fill the slot of the case %s", what, c.Code())
	}
	var twists, flips [4]int
	for spot := range InSlot {
		corner, edge := int(m.corners[spot]), int(m.edges[spot])
		twists[spot] = (c.Twists[corner/3] + corner%3) % 3
		flips[spot] = c.Flips[edge/2] ^ edge%2
	}
	return m, turnedOutcomes[hold][OutcomeAs(twists, flips)], nil
}

// Options are those that rows of AUF and insertion, without a rotation, make for
// the request's case, in the rows' order; what the person has hidden is left out.
func (f *Forecaster) Options(r Request, rows []cube.Sequence) ([]Option, error) {
	c := r.Case
	own := f.ownAt(c.Slot, c.pairPlace())
	var best *Option
	if known := f.Forecast(Request{Case: c, View: Known, Limit: 1}); len(known) > 0 {
		best = &known[0]
	}
	options := make([]Option, 0, len(rows))
	for _, turns := range rows {
		m, left, err := leaves(c, turns)
		if err != nil {
			return nil, err
		}
		_, before, insertion := split(turns)
		a := &f.after[left]
		o := Option{
			Turns: turns, Leaves: left, Then: auf[a.quarters], Sequence: a.turns, Count: insertion.Count(),
			Seconds: Seconds{
				AUF: f.estimate(before), Insertion: f.estimate(insertion),
				Recognise: a.recognise, ThenAUF: a.auf, Sequence: a.sequence,
			},
			Known: len(insertion) == 0,
		}
		if f.hides(c.Slot, insertion) {
			continue
		}
		corners, edges := m.numbers()
		for i := range own {
			o.Known = o.Known || own[i].known && slices.Contains(own[i].maps[:], [2]uint16{uint16(corners), uint16(edges)})
		}
		if !o.Known && best != nil {
			o.Gain = max(0, best.Seconds.Total()-o.Seconds.Total())
		}
		options = append(options, o)
	}
	return options, nil
}

// estimate is how long the person takes for the turns.
func (f *Forecaster) estimate(turns cube.Sequence) time.Duration {
	p := Person{Speed: f.speed, Hands: f.book.hands}
	return p.Estimate(turns)
}

// hides says whether the person has hidden what does the same as the insertion.
func (f *Forecaster) hides(slot Slot, insertion cube.Sequence) bool {
	if len(f.hidden) == 0 {
		return false
	}
	motion, _ := motionOf(insertion)
	number, ok := f.book.numbers[mapOf(motion, slot).turnedRound(round(slot, FR)).key()]
	return ok && f.hidden[slotMotion{slot, number}]
}

// CompareInsert orders options by the time until the slot is filled, then by
// count and turns.
func CompareInsert(a, b Option) int {
	return cmp.Or(cmp.Compare(a.Seconds.Insert(), b.Seconds.Insert()), cmp.Compare(a.Count, b.Count), compareTexts(a.Turns, b.Turns))
}

// CompareCount orders options by count, then by the time until the slot is
// filled, then by turns.
func CompareCount(a, b Option) int { return cmp.Or(cmp.Compare(a.Count, b.Count), CompareInsert(a, b)) }
