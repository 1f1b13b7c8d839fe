package routes

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
)

// rankingFor is the ranking for a person, with values that are made once.
func rankingFor(p *forecast.Person) *Ranking {
	f := forecasttest.Book().For(p)
	all := sync.OnceValue(func() *forecast.Values { return f.Values(forecast.All) })
	known := sync.OnceValue(func() *forecast.Values { return f.Values(forecast.Known) })
	return For(f, func(v forecast.View) *forecast.Values {
		if v == forecast.Known {
			return known()
		}
		return all()
	})
}

var anyone = sync.OnceValue(func() *Ranking { return rankingFor(forecast.Anyone()) })

// uneven is somebody who is good at some patterns and bad at others, knows more than is
// usual, and has hidden something.
var uneven = sync.OnceValue(func() *Ranking { return rankingFor(unevenPerson()) })

func unevenPerson() *forecast.Person {
	p := forecast.Anyone()
	random := rand.New(rand.NewPCG(20, 21))
	for pattern := range p.Ratings {
		for step := range p.Ratings[pattern] {
			p.Ratings[pattern][step].Level = 1 + random.IntN(5)
		}
	}
	for _, own := range []struct {
		slot   lastslot.Slot
		turns  string
		hidden bool
	}{{lastslot.FR, "R U R' U' R U2 R'", false}, {lastslot.FL, "L' U' L U L' U' L", false}, {lastslot.FR, "F' U' F", true}} {
		i, err := lastslot.NewInsertion(own.slot, must(own.turns))
		if err != nil {
			panic(err)
		}
		p.Insertions = append(p.Insertions, forecast.OwnInsertion{Insertion: i, Known: forecast.Yes, Hidden: own.hidden})
	}
	slow, err := lastslot.NewInsertion(lastslot.FR, must("R U R'"))
	if err != nil {
		panic(err)
	}
	measured := 1500 * time.Millisecond
	p.Insertions = append(p.Insertions, forecast.OwnInsertion{Insertion: slow, Known: forecast.Yes, Time: &measured})
	return p
}

func must(text string) cube.Sequence {
	s, err := cube.Parse(text)
	if err != nil {
		panic(err)
	}
	return s
}

// The table does what it says, sticker by sticker: each row keeps the cross and two slots,
// takes as long as the hands say, and none has the map of another but for a turn of U.
func TestTheTableIsVerifiedWhole(t *testing.T) {
	step := cubetest.Stride(t, 5)
	for handed := range hands.Handed(3) {
		for open := range twoslots.Open(twoslots.Opens) {
			if (int(handed)*twoslots.Opens+int(open))%step != 0 {
				continue
			}
			rows, err := load(stepsFile, handed, open)
			require.NoError(t, err)
			var kept []int
			for i := range cubetest.Solved {
				if keptSticker(i, open) {
					kept = append(kept, i)
				}
			}
			require.Len(t, kept, 8+2*5) // the cross, two corners and two edges; centres move
			seen := map[uint64]bool{}
			for _, row := range rows {
				turns := cube.Join(lastslot.Rotations[row.Rotation], row.Turns)
				does := twoslots.MapOf(effectOf(turns), open)
				key := ^uint64(0)
				for i := range twoslots.AUFMaps {
					turned := does.Then(&twoslots.AUFMaps[i])
					key = min(key, turned.Number())
				}
				if seen[key] {
					t.Fatalf("%s has the map of another", turns)
				}
				seen[key] = true
			}
			cubetest.Each(t, len(rows), 31, func(t *testing.T, i int) {
				turns := cube.Join(lastslot.Rotations[rows[i].Rotation], rows[i].Turns)
				stickers := cubetest.Solved.Do(turns)
				stickers = stickers.Do(turns.Cube().Hold().Inverse().Turns())
				for _, k := range kept {
					if int(stickers[k]) != k {
						t.Fatalf("%s, %s: %s does not keep %s", handed, open, turns, cubetest.Cell(k))
					}
				}
				if takes := hands.Estimate(rows[i].Turns, handed); takes != time.Duration(rows[i].Ms)*time.Millisecond {
					t.Fatalf("%s, %s: %s takes %v, not %d ms", handed, open, turns, takes, rows[i].Ms)
				}
			})
		}
	}
}

func effectOf(turns cube.Sequence) cube.Cube {
	effect, _ := lastslot.Effect(turns)
	return effect
}

// keptSticker says whether a sticker is of the cross or of a slot that is not open.
func keptSticker(i int, open twoslots.Open) bool {
	name := cubetest.Cell(i)
	if len(name) == 1 || strings.Contains(name, "U") {
		return false
	}
	if strings.Contains(name, "D") && len(name) == 2 {
		return true
	}
	for _, slot := range open.Slots() {
		letters := slot.String()
		if strings.Contains(name, letters[:1]) && strings.Contains(name, letters[1:]) {
			return false
		}
	}
	return true
}

// drawn is a random case.
func drawn(random *rand.Rand) twoslots.Case { return twoslots.CaseAt(random.IntN(twoslots.Cases)) }

// Every route of random cases, seen on stickers: after its turns the cross and three slots
// are solved and the rest is the case that is named; after its last option the first two
// layers, and after its sequence the top.
func TestRoutesOnStickers(t *testing.T) {
	rankings := []*Ranking{anyone(), uneven()}
	if !testing.Short() { // one hand's book takes seconds
		right := forecast.Anyone()
		right.Hands = hands.RightHand
		rankings = append(rankings, rankingFor(right))
	}
	cubetest.Each(t, 1500, 101, func(t *testing.T, i int) {
		random := rand.New(rand.NewPCG(7, uint64(i)))
		c := drawn(random)
		position := c.Cube()
		start := cubetest.Of(position)
		view := forecast.View(i / 2 % 2) // all, known
		routes, all := rankings[i%len(rankings)].Routes(Request{Case: c, View: view, Limit: 20})
		require.LessOrEqual(t, len(routes), all)
		if view == forecast.All {
			require.Len(t, routes, 20)
		}
		seen := map[[2]int]bool{}
		for n, r := range routes {
			key := [2]int{int(r.Fills), r.Case.Index()}
			require.False(t, seen[key], "two routes to one case")
			seen[key] = true
			require.True(t, n == 0 || routes[n-1].Total <= r.Total)
			require.Equal(t, r.Total, r.Step.Takes()+r.Last.Seconds.Total())

			after := position.Do(r.Step.Turns)
			found, err := lastslot.Find(after, &r.Case.Slot)
			require.NoError(t, err, "%s: %s", c.Code(), r.Step.Turns)
			require.Equal(t, cube.Hold(0), found.Hold)
			require.Equal(t, r.Case, found.Case, "%s: %s", c.Code(), r.Step.Turns)
			whole := cube.Join(r.Step.Turns, r.Last.Turns, r.Last.Then, r.Last.Sequence)
			if end := start.Do(whole); !end.FirstTwoLayersAndTop(whole.Cube().Hold()) {
				t.Fatalf("%s: %s does not orient the top", c.Code(), whole)
			}
		}
	})
}

// markedPerson says something of steps: of each kind some in the table, known, measured
// or hidden, and some spelt otherwise than there.
func markedPerson() *forecast.Person {
	p := forecast.Anyone()
	random := rand.New(rand.NewPCG(22, 23))
	for open := range twoslots.Open(twoslots.Opens) {
		rows, err := load(stepsFile, hands.TwoHands, open)
		if err != nil {
			panic(err)
		}
		for n := 0; n < 200; {
			turns := rows[random.IntN(len(rows))].Turns
			if n%5 == 4 {
				turns = cube.Join(must("R R'"), turns)
			}
			step, err := twoslots.CheckStep(open, turns)
			if err != nil || slices.ContainsFunc(p.Steps, func(own forecast.OwnStep) bool { return own.Open == step.Open && slices.Equal(own.Turns, step.Turns) }) {
				continue
			}
			own := forecast.OwnStep{Step: step, Known: forecast.Said(n%3 - 1), Hidden: n%4 == 3}
			if n%2 == 0 {
				own.Time = new(time.Duration(100+random.IntN(900)) * time.Millisecond)
			}
			p.Steps = append(p.Steps, own)
			n++
		}
	}
	return p
}

// What is known are the usual steps and those that the person says they know; what they
// say they do not know, or hide, is not, however usual.
func TestKnownSteps(t *testing.T) {
	t.Parallel()
	c, err := twoslots.ParseCode(twoslots.CaseOf(must("R U R' F' U F").Inverse().Cube(), twoslots.OpenOf(lastslot.FR, lastslot.BL)).Code())
	require.NoError(t, err)
	steps := func(p *forecast.Person, r Request) (list []string) {
		r.Case = c
		// What somebody says of steps makes no difference to what follows them.
		collected := For(forecasttest.Book().For(p), anyone().values).collect(r)
		for i := range collected.list {
			turns := collected.turns(&collected.list[i])
			if _, err := twoslots.CheckStep(c.Open, turns); err == nil {
				list = append(list, turns.String())
			}
		}
		return list
	}
	all, usual := steps(forecast.Anyone(), Request{}), steps(forecast.Anyone(), Request{View: forecast.Known})
	unusual := slices.IndexFunc(all, func(turns string) bool { return !slices.Contains(usual, turns) })
	require.GreaterOrEqual(t, unusual, 0)
	said := func(turns string, own forecast.OwnStep) *forecast.Person {
		p := forecast.Anyone()
		own.Step, err = twoslots.CheckStep(c.Open, must(turns))
		require.NoError(t, err)
		p.Steps = []forecast.OwnStep{own}
		return p
	}
	assert.Contains(t, steps(said(all[unusual], forecast.OwnStep{Known: forecast.Yes}), Request{View: forecast.Known}), all[unusual])
	assert.NotContains(t, steps(said(all[unusual], forecast.OwnStep{Known: forecast.No}), Request{View: forecast.Known}), all[unusual])
	assert.Contains(t, steps(said(all[unusual], forecast.OwnStep{Known: forecast.No}), Request{}), all[unusual])
	hidden := said(all[unusual], forecast.OwnStep{Hidden: true})
	assert.NotContains(t, steps(hidden, Request{}), all[unusual])
	assert.Contains(t, steps(hidden, Request{Hidden: true}), all[unusual])
	for _, turns := range usual {
		assert.NotContains(t, steps(said(turns, forecast.OwnStep{Known: forecast.No}), Request{View: forecast.Known}), turns)
		assert.Contains(t, steps(said(turns, forecast.OwnStep{}), Request{View: forecast.Known}), turns, "a time alone leaves it usual")
	}
}

// The ranking is that of plain enumeration: every row of the file after every AUF, and
// every insertion that the forecast has for the pair, is done on the puzzle, and where it
// fills a slot the forecast is asked for what is left.
func TestRoutesAreThoseOfPlainEnumeration(t *testing.T) {
	plainFor := func(said []forecast.OwnStep) []func() []plainStep {
		plain := make([]func() []plainStep, twoslots.Opens)
		for open := range plain {
			plain[open] = sync.OnceValue(func() []plainStep {
				rows, err := load(stepsFile, hands.TwoHands, twoslots.Open(open))
				require.NoError(t, err)
				return plainStepsOf(rows, twoslots.Open(open), said)
			})
		}
		return plain
	}
	unmarked := plainFor(nil)
	rankings := map[string]*Ranking{"uneven": uneven()}
	if !testing.Short() {
		rankings["anyone"], rankings["marks"] = anyone(), For(forecasttest.Book().For(markedPerson()), anyone().values)
	}
	for name, r := range rankings {
		plain := unmarked
		if said := r.forecaster.Steps(); len(said) > 0 {
			plain = plainFor(said)
		}
		// That these are the totals of the forecast's first options is tested in package
		// forecast, and again below for the routes that are listed.
		values := r.values(forecast.All)
		total := func(c lastslot.Case) time.Duration {
			total, ok := values.Total(c.Index())
			require.True(t, ok)
			return total
		}
		cubetest.Each(t, 100, 101, func(t *testing.T, i int) {
			random := rand.New(rand.NewPCG(8, uint64(i)))
			c := drawn(random)
			type best struct {
				total time.Duration
				count int
				turns string
			}
			want := map[[2]int]best{}
			position := c.Cube()
			offer := func(slot lastslot.Slot, turns cube.Sequence, count int, takes time.Duration) {
				after := position.Do(turns)
				home := after.Hold().Cube()
				at := lastslot.Slot((int(slot) + int(after.Hold())) & 3)
				if after.Corners[at.Corner()] != home.Corners[at.Corner()] || after.Edges[at.Edge()] != home.Edges[at.Edge()] {
					return
				}
				other := lastslot.Slot((int(c.Open.Other(slot)) + int(after.Hold())) & 3)
				found, err := lastslot.Find(after, &other)
				require.NoError(t, err)
				one := best{takes + total(found.Case), count, turns.String()}
				key := [2]int{int(slot), found.Case.Index()}
				old, ok := want[key]
				if !ok || one.total < old.total || one.total == old.total && (one.count < old.count || one.count == old.count && one.turns < old.turns) {
					want[key] = one
				}
			}
			steps := plain[c.Open]()
			for which, slot := range c.Open.Slots() {
				for j := range steps {
					s := &steps[j]
					// What keeps the other slot is an insertion, which the forecast has.
					if !s.keeps[1-which] && s.fills(&position, slot) {
						offer(slot, s.turns, s.count, s.takes)
					}
				}
				if pair, ok := c.Alone(slot); ok {
					for _, o := range r.forecaster.Forecast(forecast.Request{Case: pair}) {
						offer(slot, o.Turns, o.Count, o.Seconds.Insert())
					}
				}
			}
			collected := r.collect(Request{Case: c})
			routes, all := r.Routes(Request{Case: c, Limit: 50})
			require.Len(t, collected.list, len(want), name)
			require.Equal(t, len(want), all)
			var listed []best
			for _, w := range want {
				listed = append(listed, w)
			}
			slices.SortFunc(listed, func(a, b best) int {
				switch {
				case a.total != b.total:
					return int(a.total - b.total)
				case a.count != b.count:
					return a.count - b.count
				}
				return strings.Compare(a.turns, b.turns)
			})
			ordered := collected.first(0)
			for n, w := range listed {
				one := &ordered[n]
				got := best{one.total, int(one.count), collected.turns(one).String()}
				if got != w {
					t.Fatalf("%s: %s, route %d: %v, by enumeration %v", name, c.Code(), n, got, w)
				}
				if n < len(routes) {
					require.Equal(t, w.turns, routes[n].Step.Turns.String())
					last := r.forecaster.Forecast(forecast.Request{Case: routes[n].Case, Limit: 1})[0]
					require.Equal(t, w.total, routes[n].Step.Takes()+last.Seconds.Total())
				}
			}
		})
	}
}

// plainStep is a row after an AUF.
type plainStep struct {
	turns  cube.Sequence
	effect cube.Cube
	keeps  [2]bool
	count  int
	takes  time.Duration
}

// fills says whether the slot is filled after the step.
func (s *plainStep) fills(position *cube.Cube, slot lastslot.Slot) bool {
	from, fromEdge := s.effect.Corners[slot.Corner()], s.effect.Edges[slot.Edge()]
	corner, edge := position.Corners[from.Piece()], position.Edges[fromEdge.Piece()]
	return corner.Piece() == slot.Corner() && (corner.Twist()+from.Twist())%3 == 0 &&
		edge.Piece() == slot.Edge() && edge.Flip() == fromEdge.Flip()
}

// plainStepsOf are the rows after every AUF, and the steps of which somebody says
// something, after every rotation too: measured ones with their time, and without those
// that are hidden.
func plainStepsOf(rows []Row, open twoslots.Open, said []forecast.OwnStep) (list []plainStep) {
	person := forecast.Person{Speed: forecast.DefaultSpeed}
	var before [2][4]time.Duration // what rotations and AUFs take
	for quarters := range 4 {
		before[0][quarters], before[1][quarters] = person.Estimate(lastslot.Rotations[quarters]), person.Estimate(lastslot.AUFs[quarters])
	}
	sign := func(rotation int, turns cube.Sequence) string {
		return open.TurnedRound(rotation).String() + " " + turns.String()
	}
	marks := map[string]forecast.OwnStep{}
	for _, own := range said {
		for rotation := range 4 {
			if of := sign(rotation, own.Turns); open.TurnedRound(rotation) == own.Open {
				marks[of] = own
				rows = append(rows, Row{Rotation: uint8(rotation), Turns: own.Turns})
			}
		}
	}
	done := map[string]bool{}
	for _, row := range rows {
		own, marked := marks[sign(int(row.Rotation), row.Turns)]
		once := fmt.Sprint(row.Rotation, row.Turns)
		if done[once] || own.Hidden {
			continue
		}
		done[once] = true
		takes := person.Estimate(row.Turns)
		if marked && own.Time != nil {
			takes = *own.Time
		}
		for quarters := range 4 {
			s := plainStep{
				turns: cube.Join(lastslot.Rotations[row.Rotation], lastslot.AUFs[quarters], row.Turns), count: row.Turns.Count(),
				takes: before[0][row.Rotation] + before[1][quarters] + takes,
			}
			s.effect = effectOf(s.turns)
			for which, slot := range open.Slots() {
				s.keeps[which] = s.effect.Corners[slot.Corner()] == cube.Solved.Corners[slot.Corner()] && s.effect.Edges[slot.Edge()] == cube.Solved.Edges[slot.Edge()]
			}
			list = append(list, s)
		}
	}
	return list
}

// Routes of random cases, the values being there; making the values; and reading the
// tables of all slots.
func BenchmarkRoutes(b *testing.B) {
	for name, r := range map[string]*Ranking{"anyone": anyone(), "uneven": uneven()} {
		r.values(forecast.All)
		b.Run(name, func(b *testing.B) {
			random := rand.New(rand.NewPCG(9, 10))
			for b.Loop() {
				r.Routes(Request{Case: drawn(random), Limit: 20})
			}
		})
	}
}

func BenchmarkTable(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		for open := range twoslots.Open(twoslots.Opens) {
			if _, err := newTable(stepsFile, hands.TwoHands, open); err != nil {
				b.Fatal(err)
			}
		}
	}
}
