package routes

import (
	"cmp"
	"container/heap"
	"context"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/technique"
	"slotcast/forecast/twoslots"
)

// Lessons are the steps that are worth learning next with two slots open: for who sees
// where both pairs are and not how the rest is turned, and takes the quickest way that they
// know. All joint places of the pairs count alike.
type Lessons struct {
	Open twoslots.Open
	// Mean is what the person takes now until the top is oriented, over the places where
	// they know a way; Without is how many others there are, which do not count.
	Mean    time.Duration
	Without int
	// Next has the steps, each the one that saves most with those before it learnt.
	Next []Lesson
}

// Lesson is a step to learn.
type Lesson struct {
	Step twoslots.Step
	// Saves is by how much it lowers the mean, with those before it learnt; Mean is what is
	// left.
	Saves, Mean time.Duration
	// Best is at how many of the places it is quicker than all that is known by then.
	Best int
	// Takes is how long the person takes for its turns, and Count their number.
	Takes time.Duration
	Count int
	// Example is a case at the place where it saves most, and Fills and Turns its route there.
	Example twoslots.Case
	Fills   lastslot.Slot
	Turns   cube.Sequence
}

// Techniques are what the hands do in the step in its example.
func (l *Lesson) Techniques() []technique.Technique {
	route := Route{Fills: l.Fills, Step: Step{Turns: l.Turns}}
	return route.Techniques(l.Example)
}

// lessons finds them.
type lessons struct {
	*knownPlaces
	steps []lesson
}

// lesson is a step that may be learnt.
type lesson struct {
	of    twoslots.Step
	ways  []lessonWay
	takes int32
	count int
	// saves bounds what it saves, and is exact where that was worked out with so many learnt.
	saves int64
	exact int
}

// lessonWay is the step after a rotation.
type lessonWay struct {
	does             twoslots.Map
	rotation, turned uint8
}

// Lessons finds so many steps at most. It ends with the context.
func (r *Ranking) Lessons(ctx context.Context, open twoslots.Open, most int) (Lessons, error) {
	l := &lessons{knownPlaces: r.knownPlaces(open)}
	sum, places := l.sum()
	found := Lessons{Open: open, Without: twoslots.JointPlaces - int(places)}
	if places == 0 {
		return found, ctx.Err()
	}
	found.Mean = meanMs(sum, places)
	l.collect()
	if err := l.bound(ctx); err != nil {
		return Lessons{}, err
	}
	queue := lessonQueue(l.steps)
	heap.Init(&queue)
	for len(found.Next) < most && len(queue) > 0 && ctx.Err() == nil {
		best := &queue[0]
		if best.saves == 0 {
			break
		}
		if best.exact != len(found.Next)+1 {
			best.saves, best.exact = l.exactly(best, nil), len(found.Next)+1
			heap.Fix(&queue, 0)
			continue
		}
		sum -= best.saves
		next := Lesson{
			Step: best.of, Count: best.count, Takes: time.Duration(best.takes) * time.Millisecond,
			Saves: meanMs(best.saves, places), Mean: meanMs(sum, places),
		}
		l.exactly(best, &next)
		found.Next = append(found.Next, next)
		heap.Pop(&queue)
	}
	return found, ctx.Err()
}

// collect lists the steps that are not known.
func (l *lessons) collect() {
	open := l.table.open
	at := map[string]int{}
	add := func(row *tableRow, turns cube.Sequence, takes int32) {
		way := lessonWay{row.does, row.rotation, row.turned}
		step := twoslots.Step{Open: open.TurnedRound(int(row.rotation)), Turns: turns}
		if open.Adjacent() {
			l.steps = append(l.steps, lesson{of: step, ways: []lessonWay{way}, takes: takes, count: int(row.count)})
			return
		}
		// Seen from the other side the open slots are the same, and so is the step.
		key := string(append([]byte{row.rotation & 1}, bytesOf(turns)...))
		if _, twice := at[key]; twice {
			return
		}
		at[key] = len(l.steps)
		around := lessonWay{row.does.TurnedRound(open, 2), (row.rotation + 2) & 3, (row.turned + 2) & 3}
		l.steps = append(l.steps, lesson{of: step, ways: []lessonWay{way, around}, takes: takes, count: int(row.count)})
	}
	// A usual step is known, but for who says that it is not.
	known := map[int32]bool{}
	if u := l.forecaster.Usual(); u != forecast.UsualNone {
		for _, places := range l.table.usual[u] {
			for _, step := range places {
				known[step.row] = true
			}
		}
	}
	for i := range l.own {
		own := &l.own[i]
		usual := own.number >= 0 && known[own.number]
		if !own.said.Hidden && (own.said.Known == forecast.No || own.said.Known == forecast.Unsaid && !usual) {
			add(&own.tableRow, own.said.Turns, l.ownMs(own))
		}
		if own.number >= 0 {
			known[own.number] = true
		}
	}
	for _, numbers := range l.table.fills[0] {
		for _, number := range numbers {
			row := &l.table.rows[number]
			// What keeps the first slot is an insertion, or does nothing there.
			if !known[number] && !row.does.Keeps(open, open.Slots()[0]) {
				add(row, l.table.rest(row), l.takesMs(row))
			}
		}
	}
}

func bytesOf(turns cube.Sequence) []byte {
	b := make([]byte, len(turns))
	for i, turn := range turns {
		b[i] = byte(turn)
	}
	return b
}

// bound says of each step what it saves at most by itself: where it fills a place in two
// ways, both count.
func (l *lessons) bound(ctx context.Context) error {
	const some = 512
	var next atomic.Int64
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for ctx.Err() == nil {
				from := int(next.Add(some)) - some
				if from >= len(l.steps) {
					return
				}
				for i := from; i < min(from+some, len(l.steps)); i++ {
					l.steps[i].saves = l.atMost(&l.steps[i])
				}
			}
		})
	}
	workers.Wait()
	return ctx.Err()
}

func (l *lessons) atMost(step *lesson) (saves int64) {
	for _, way := range step.ways {
		for which, slot := range l.table.open.Slots() {
			now, left := &l.now, &l.left[which][way.turned]
			if which == 1 {
				now = &l.turned
			}
			for quarters := range twoslots.AUFMaps {
				whole := twoslots.AUFMaps[quarters].Then(&way.does)
				place := whole.FilledFrom(l.table.open, slot)
				takes := l.rotations[way.rotation] + l.aufs[quarters] + step.takes
				row := now[place*twoslots.PairPlaces:][:twoslots.PairPlaces]
				corners, edges := moved(&whole)
				for corner, cornerTo := range corners {
					for edge, edgeTo := range edges {
						// Where nothing is known, or both pairs would be in one spot, nothing counts.
						if ms := row[corner*2*twoslots.Spots+edge]; ms != never {
							saves += int64(max(0, ms-takes-left[cornerTo+edgeTo]))
						}
					}
				}
			}
		}
	}
	return saves
}

// exactly is what a step saves with what is known by now. With a lesson it is learnt, and the
// lesson is told where it is the quickest.
func (l *lessons) exactly(step *lesson, learnt *Lesson) (saves int64) {
	quickest := map[int]int32{}
	type used struct {
		which, first, second int
		turns                cube.Sequence
	}
	ways := map[int]used{}
	for _, way := range step.ways {
		for which, slot := range l.table.open.Slots() {
			for quarters := range twoslots.AUFMaps {
				whole := twoslots.AUFMaps[quarters].Then(&way.does)
				takes := l.rotations[way.rotation] + l.aufs[quarters] + step.takes
				l.each(which, whole.FilledFrom(l.table.open, slot), &whole, int(way.turned), takes, func(first, second int, takes int32) {
					joint := first*twoslots.PairPlaces + second
					if old, ok := quickest[joint]; l.now[joint] == never || takes >= l.now[joint] || ok && takes >= old {
						return
					}
					quickest[joint] = takes
					if learnt != nil {
						ways[joint] = used{which, first, second, cube.Join(lastslot.Rotations[way.rotation], lastslot.AUFs[quarters], step.of.Turns)}
					}
				})
			}
		}
	}
	best, most := -1, int32(0)
	for joint, takes := range quickest {
		saved := l.now[joint] - takes
		saves += int64(saved)
		if saved > most || saved == most && joint < best {
			best, most = joint, saved
		}
	}
	if learnt == nil {
		return saves
	}
	learnt.Best = len(quickest)
	for joint, takes := range quickest {
		l.learn(ways[joint].first, ways[joint].second, takes)
	}
	if best >= 0 {
		u := ways[best]
		learnt.Fills, learnt.Turns = l.table.open.Slots()[u.which], u.turns
		learnt.Example = l.example([2]int{u.first, u.second}, learnt)
	}
	return saves
}

// example is a case at the places in whose list the lesson's route is: another step may
// leave the same where the top is turned in some way.
func (l *lessons) example(places [2]int, of *Lesson) (c twoslots.Case) {
	const tried = 6
	for i := range tried {
		c, _ = twoslots.AtPlaces(l.table.open, places, (i*37+101)%twoslots.Rests)
		if _, ok := l.Route(Request{Case: c}, of.Fills, of.Turns); ok {
			return c
		}
	}
	return c
}

// meanMs is the mean of so many sums of milliseconds.
func meanMs(sum, places int64) time.Duration {
	return time.Duration(sum) * time.Millisecond / time.Duration(places)
}

// lessonQueue has what may save most first; of alike ones the shortest, then by turns.
type lessonQueue []lesson

func (q lessonQueue) Len() int      { return len(q) }
func (q lessonQueue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }

func (q lessonQueue) Less(i, j int) bool {
	a, b := &q[i], &q[j]
	return cmp.Or(cmp.Compare(b.saves, a.saves), cmp.Compare(a.count, b.count), cmp.Compare(a.of.Open, b.of.Open), slices.Compare(a.of.Turns, b.of.Turns)) < 0
}

// Push is not used, as nothing comes later.
func (q *lessonQueue) Push(any) {}

// Pop takes the last away.
func (q *lessonQueue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}
