package routes

import (
	"cmp"
	"slices"
	"sync"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/technique"
	"slotcast/forecast/twoslots"
)

// Route is what to do with two slots open: a step, and what is best for the last slot
// then.
type Route struct {
	// Fills is the slot that the step fills, as it stands before the turns.
	Fills lastslot.Slot
	Step  Step
	// Case is the last-slot case after the step, in the hold where its turns ended.
	Case lastslot.Case
	// Last is its first option; none where not all is seen, as what is left is not known then.
	Last forecast.Option
	// Mean is the mean of what follows the step over all that is not seen, 0 where all is.
	Mean time.Duration
	// Total is the time until the top is oriented.
	Total time.Duration
}

// Step fills one of two open slots.
type Step struct {
	// Turns are the rotation (only y), the AUF and the step.
	Turns cube.Sequence
	// Count is the number of turns, without rotation and AUF; see [cube.Sequence.Count].
	Count int
	// Known says that the person knows the step.
	Known bool
	// Rotation, AUF and Rest are the times that its own is made of.
	Rotation, AUF, Rest time.Duration
}

// Split cuts the turns into rotation, AUF and the rest.
func (s *Step) Split() (rotation, auf, rest cube.Sequence) {
	cut := func(turns cube.Sequence, layer cube.Layer) (first, others cube.Sequence) {
		if len(turns) > 0 && turns[0].Layer() == layer {
			return turns[:1], turns[1:]
		}
		return nil, turns
	}
	rotation, rest = cut(s.Turns, cube.Y)
	auf, rest = cut(rest, cube.U)
	return rotation, auf, rest
}

// Techniques are what the hands do in the step of a route of the case.
func (r *Route) Techniques(c twoslots.Case) []technique.Technique {
	rotation, auf, rest := r.Step.Split()
	slot := r.Fills
	for _, turn := range rotation {
		c = c.TurnedRound(turn.Quarters())
		slot = lastslot.Slot((int(slot) + turn.Quarters()) & 3)
	}
	for _, turn := range auf {
		c = c.Turned(turn.Quarters())
	}
	return technique.OfStep(c, slot, rest, len(rotation) > 0)
}

// Near says whether the route is tied with the best or nearly so.
func (r *Route) Near(best *Route) bool { return forecast.Near(r.Total, best.Total) }

// Takes is how long the step takes.
func (s *Step) Takes() time.Duration { return s.Rotation + s.AUF + s.Rest }

// Request says what routes are asked for.
type Request struct {
	Case twoslots.Case
	// View says which steps and insertions are offered: [forecast.All] or
	// [forecast.Known].
	View forecast.View
	// Seen says what of the case is known; Pair is the slot whose pair it is, for [SeenPair].
	Seen Seen
	Pair lastslot.Slot
	// Hidden says that steps are listed, too, that the person hides.
	Hidden bool
	// Limit is the most routes to give; 0 gives all.
	Limit int
}

// Ranking ranks routes for one person. It serves any number of goroutines.
type Ranking struct {
	forecaster *forecast.Forecaster
	values     func(forecast.View) *forecast.Values
	// rotations and aufs are how long the person takes for y and U by so many quarters.
	rotations, aufs [4]time.Duration
	// own are the steps of which the person says something, by the open slots, each made
	// when it is first needed.
	own [twoslots.Opens]func() *ownRows
}

// For is the ranking for whom the forecaster is; values has the forecaster's, so that they
// may be kept (see [forecast.Forecaster.Values]).
func For(f *forecast.Forecaster, values func(forecast.View) *forecast.Values) *Ranking {
	r := &Ranking{forecaster: f, values: values}
	for open := range r.own {
		r.own[open] = sync.OnceValue(func() *ownRows { return ownRowsOf(f, twoslots.Open(open)) })
	}
	for quarters := range r.rotations {
		r.rotations[quarters], r.aufs[quarters] = f.Prefix(quarters, quarters)
	}
	return r
}

// candidate is a step for a case, and what it leaves. It is a row of the table, or of the
// person's own after those, after quarters of U or, where option is not negative, one of the forecast's options.
type candidate struct {
	total, takes time.Duration
	row, option  int32
	left         int32 // the index of the last-slot case
	quarters     uint8
	which        uint8 // of the two slots
	count        uint8
	known        bool
}

// Routes lists the routes of a case, in order of the total, the lowest first, then of the
// step's count, then of its turns as text. The second number is how many there are in
// all.
func (r *Ranking) Routes(asked Request) ([]Route, int) {
	c := r.collect(asked)
	listed := c.first(asked.Limit)
	routes := make([]Route, len(listed))
	for i := range listed {
		routes[i] = c.route(&listed[i])
	}
	return routes, len(c.list)
}

// Route is the one of the case whose step fills the slot and has these turns; false where
// none is listed.
func (r *Ranking) Route(asked Request, fills lastslot.Slot, turns cube.Sequence) (Route, bool) {
	c := r.collect(asked)
	for i := range c.list {
		if c.slot(int(c.list[i].which)) == fills && slices.Equal(c.turns(&c.list[i]), turns) {
			return c.route(&c.list[i]), true
		}
	}
	return Route{}, false
}

// Placed is a route, and its place in the order, from 1.
type Placed struct {
	Route
	Place int
}

// Places has, for each of some routes of the case, which may be another person's, the one
// that fills the same slot and leaves the same last-slot case; nil where there is none.
func (r *Ranking) Places(asked Request, of []Route) []*Placed {
	c := r.collect(asked)
	placed := make([]*Placed, len(of))
	all := c.first(0)
	for i := range all {
		one := &all[i]
		for j := range of {
			if of[j].Fills == c.slot(int(one.which)) && of[j].Case.Index() == int(one.left) {
				placed[j] = &Placed{c.route(one), i + 1}
			}
		}
	}
	return placed
}

// usually is more routes than most cases have.
const usually = 6000

// collect has all candidates, in no order.
func (r *Ranking) collect(asked Request) *collector {
	c := &collector{
		Ranking: r, asked: asked, values: r.values(asked.View), table: tables[r.forecaster.Hands()][asked.Case.Open](), own: r.own[asked.Case.Open](),
		best: make(map[[2]int32]int32, usually), list: make([]candidate, 0, usually),
	}
	if asked.Seen != SeenAll {
		c.means = meansOf(c.values)
	}
	for which := range c.options {
		if asked.Seen == SeenPair && asked.Pair != c.slot(which) {
			continue
		}
		if pair, ok := asked.Case.Alone(c.slot(which)); ok {
			c.insertions(which, pair)
		}
		c.steps(which)
	}
	return c
}

// first has so many candidates in order, 0 for all. Only those are put in order whose totals
// are among the lowest, as there are thousands of others.
func (c *collector) first(limit int) []candidate {
	first := c.list
	if limit > 0 && limit < len(first) {
		totals := make([]time.Duration, len(c.list))
		for i := range c.list {
			totals[i] = c.list[i].total
		}
		slices.Sort(totals)
		first = make([]candidate, 0, 2*limit) // some totals are equal
		for i := range c.list {
			if c.list[i].total <= totals[limit-1] {
				first = append(first, c.list[i])
			}
		}
	} else {
		limit = len(first)
	}
	slices.SortFunc(first, c.compare)
	return first[:limit]
}

// collector collects the candidates of a case, of each slot and last-slot case the best.
type collector struct {
	*Ranking
	asked  Request
	values *forecast.Values
	means  *means // nil where all is seen
	table  *table
	// options are the forecast's for each slot.
	options [2][]forecast.Option
	own     *ownRows
	list    []candidate
	best    map[[2]int32]int32
}

// slot is one of the two open slots.
func (c *collector) slot(which int) lastslot.Slot { return c.asked.Case.Open.Slots()[which] }

// insertions offers what the forecast does for one of the slots, whose pair stands on top
// or in it. What else there is makes no difference to what fills it.
func (c *collector) insertions(which int, pair lastslot.Case) {
	c.options[which] = c.forecaster.Forecast(forecast.Request{Case: pair, View: c.asked.View})
	for i := range c.options[which] {
		o := &c.options[which][i]
		effect, hold := lastslot.Effect(o.Turns)
		does := twoslots.MapOf(effect, c.asked.Case.Open)
		after := c.asked.Case.After(&does)
		c.offer(candidate{takes: o.Seconds.Insert(), option: int32(i), which: uint8(which), count: uint8(o.Count), known: o.Known}, &after, int(hold))
	}
}

// steps offers those of the table that fill one of the slots, and those of which the
// person says something.
func (c *collector) steps(which int) {
	usual := usualStep{row: -1}
	_, alone := c.asked.Case.Alone(c.slot(which))
	if u := c.forecaster.Usual(); u != forecast.UsualNone && !alone {
		usual = c.table.usual[u][which][c.asked.Case.PairPlace(c.slot(which))]
	}
	take := func(number int32, quarters int, turned *twoslots.Case, known bool) {
		if c.asked.View == forecast.Known && !known {
			return
		}
		row := c.row(number)
		after := turned.After(&row.does)
		c.offer(candidate{
			takes: c.rotations[row.rotation] + c.aufs[quarters] + c.stepTakes(number),
			row:   number, option: -1, quarters: uint8(quarters), which: uint8(which), count: row.count, known: known,
		}, &after, int(row.turned))
	}
	for quarters := range c.aufs {
		turned := c.asked.Case.Turned(quarters)
		place := turned.PairPlace(c.slot(which))
		for _, number := range c.table.fills[which][place] {
			if !c.own.numbers[number] {
				take(number, quarters, &turned, usual == usualStep{number, uint8(quarters)})
			}
		}
		for i := range c.own.rows {
			own := &c.own.rows[i]
			if own.places[which] != place || own.said.Hidden && !c.asked.Hidden {
				continue
			}
			known := own.said.Known == forecast.Yes ||
				own.said.Known == forecast.Unsaid && own.number >= 0 && usual == usualStep{own.number, uint8(quarters)}
			take(int32(len(c.table.rows)+i), quarters, &turned, known && !own.said.Hidden)
		}
	}
}

// row is a row of the table or, after those, the person's own.
func (c *collector) row(number int32) *tableRow {
	if n := int(number) - len(c.table.rows); n >= 0 {
		return &c.own.rows[n].tableRow
	}
	return &c.table.rows[number]
}

// stepTakes is how long the person takes for a row's turns, measured where it was.
func (c *collector) stepTakes(number int32) time.Duration {
	if n := int(number) - len(c.table.rows); n >= 0 && c.own.rows[n].said.Time != nil {
		return *c.own.rows[n].said.Time
	}
	return c.takes(c.row(number))
}

// takes is how long the person takes for a row's turns.
func (c *collector) takes(row *tableRow) time.Duration {
	return c.forecaster.Takes(time.Duration(row.ms) * time.Millisecond)
}

// offer takes a candidate that leaves the case and ends in a hold turned by y, unless
// nothing is offered then.
func (c *collector) offer(one candidate, after *twoslots.Case, turned int) {
	left := after.TurnedRound(turned)
	last := left.Last(lastslot.Slot((int(c.slot(int(one.which))) + turned) & 3))
	one.left = int32(last.Index())
	same := one.left
	total, ok := c.values.Total(int(one.left))
	if c.means != nil {
		total, same = c.means.of(c.asked.Seen, &last)
		ok = total >= 0
	}
	if !ok {
		return
	}
	one.total = one.takes + total
	if same < 0 {
		c.list = append(c.list, one)
		return
	}
	key := [2]int32{int32(one.which), same}
	at, known := c.best[key]
	if !known {
		c.best[key] = int32(len(c.list))
		c.list = append(c.list, one)
	} else if c.compare(one, c.list[at]) < 0 {
		c.list[at] = one
	}
}

// compare orders candidates as routes are ordered; what the person knows comes before the
// same turns as somebody else's.
func (c *collector) compare(a, b candidate) int {
	if order := cmp.Or(cmp.Compare(a.total, b.total), cmp.Compare(a.count, b.count)); order != 0 {
		return order
	}
	if order := c.turns(&a).Compare(c.turns(&b)); order != 0 || a.known == b.known {
		return order
	}
	if a.known {
		return -1
	}
	return 1
}

func (c *collector) turns(one *candidate) cube.Sequence {
	if one.option >= 0 {
		return c.options[one.which][one.option].Turns
	}
	if n := int(one.row) - len(c.table.rows); n >= 0 {
		own := &c.own.rows[n]
		return cube.Join(lastslot.Rotations[own.rotation], lastslot.AUFs[one.quarters], own.said.Turns)
	}
	return c.table.whole(&c.table.rows[one.row], int(one.quarters))
}

// route is the candidate with all that is said of it.
func (c *collector) route(one *candidate) Route {
	route := Route{
		Fills: c.slot(int(one.which)), Case: lastslot.CaseAt(int(one.left)), Total: one.total,
		Step: Step{Turns: c.turns(one), Count: int(one.count), Known: one.known},
	}
	if one.option >= 0 {
		s := &c.options[one.which][one.option].Seconds
		route.Step.Rotation, route.Step.AUF, route.Step.Rest = s.Rotation, s.AUF, s.Insertion
	} else {
		route.Step.Rotation, route.Step.AUF, route.Step.Rest = c.rotations[c.row(one.row).rotation], c.aufs[one.quarters], c.stepTakes(one.row)
	}
	if c.means != nil {
		route.Mean = one.total - one.takes
		return route
	}
	route.Last = c.forecaster.Forecast(forecast.Request{Case: route.Case, View: c.asked.View, Limit: 1})[0]
	return route
}
