package forecast

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/lastslot/lastslottest"
	"slotcast/forecast/looks"
)

// onTop is a puzzle on which nothing but the top is to be oriented.
func onTop(o lastslot.Outcome) cube.Cube {
	c := lastslot.Case{Corner: lastslot.InSlot, Edge: lastslot.InSlot}
	twists, flips := o.Twists(), o.Flips()
	copy(c.Twists[:], twists[:])
	copy(c.Flips[:], flips[:])
	return c.Cube()
}

// learning is the person who has learnt just these patterns.
func learning(p *Person, learnt ...lastslot.Pattern) *Person {
	one := *p
	for pattern := range lastslot.Pattern(lastslot.Patterns) {
		one.Unlearnt[pattern] = pattern != 0 && !slices.Contains(learnt, pattern)
	}
	return &one
}

// learntSets are those that the tests go through: ten, all, and so many drawn ones.
func learntSets(random *rand.Rand, drawn int) map[string][]lastslot.Pattern {
	var all []lastslot.Pattern
	for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
		all = append(all, p)
	}
	sets := map[string][]lastslot.Pattern{"ten": looks.Ten[:], "all": all, "ten but that of dots": looks.Ten[1:], "ten but those of dots and lines": {44, 21, 22, 23, 24, 25, 26, 27}, "edges only": {45, 33, 1}}
	for n := range drawn {
		learnt := slices.Clone(all)
		random.Shuffle(len(learnt), func(i, j int) { learnt[i], learnt[j] = learnt[j], learnt[i] })
		sets[fmt.Sprintf("drawn %d", n)] = learnt[:1+random.IntN(len(learnt))]
	}
	return sets
}

// unevenly is somebody whose ratings and times differ from pattern to pattern, with
// sequences of their own that turn the puzzle and leave it turned.
func unevenly(t testing.TB, random *rand.Rand) *Person {
	p := Anyone()
	for pattern := range p.Ratings {
		for step := range p.Ratings[pattern] {
			p.Ratings[pattern][step].Level = random.IntN(6)
			if random.IntN(8) == 0 {
				p.Ratings[pattern][step].Time = new(time.Duration(100+random.IntN(4000)) * ms)
			}
		}
	}
	laidDown := cube.Sequence{cube.TurnOf(cube.X, 1)}.Cube().Hold()
	for pattern := lastslot.Pattern(1); pattern < lastslot.Patterns; pattern += 3 {
		for _, turns := range []cube.Sequence{
			cube.Join(laidDown.Turns(), book().FollowUp(pattern).In(laidDown)),
			cube.Join(book().FollowUp(pattern).In(2), lastslot.Rotations[1]),
		} {
			own, err := lastslot.CheckSequence(pattern, turns)
			require.NoError(t, err)
			p.Sequences[pattern] = append(p.Sequences[pattern], own)
		}
	}
	return p
}

// plain is the definition, slow and obvious: every look is simulated by stickers, and all
// that somebody can do after it is tried, with at most so many looks at edges and then at
// corners. Times are milliseconds.
type plain struct {
	person    *Person
	sequences [lastslot.Patterns][]plainSequence
	auf       [4]int
	known     map[plainKey]*taken
}

type plainKey struct {
	o              lastslot.Outcome
	edges, corners int
	atEdges        bool
}

// plainSequence is one as it is done before another look, and alone.
type plainSequence struct {
	leaves       *[lastslot.Outcomes]lastslot.Outcome
	takes, alone int
}

// taken is what looks take: recognising, all together, and recognising in the first; nil
// where there is no way.
type taken struct{ recognise, total, first int }

// leavesOf has by stickers what the turns make of each outcome; what was worked out is kept.
func leavesOf(t *testing.T, tops *lastslottest.Tops, kept map[string]*[lastslot.Outcomes]lastslot.Outcome, turns cube.Sequence) *[lastslot.Outcomes]lastslot.Outcome {
	table, ok := kept[turns.String()]
	if !ok {
		table = new([lastslot.Outcomes]lastslot.Outcome)
		for from := range table {
			done := cubetest.Of(onTop(lastslot.Outcome(from))).Do(turns)
			table[from] = tops.Left(t, &done)
		}
		kept[turns.String()] = table
	}
	return table
}

func newPlain(t *testing.T, p *Person, tops *lastslottest.Tops, kept map[string]*[lastslot.Outcomes]lastslot.Outcome) *plain {
	d := &plain{person: p, known: map[plainKey]*taken{}}
	for quarters, turns := range lastslot.AUFs {
		d.auf[quarters] = int(p.Estimate(turns) / ms)
	}
	for pattern := lastslot.Pattern(1); pattern < lastslot.Patterns; pattern++ {
		var all []cube.Sequence
		for _, own := range p.Sequences[pattern] {
			all = append(all, own.Turns)
		}
		if len(all) == 0 {
			all = []cube.Sequence{book().FollowUp(pattern)}
		}
		for _, turns := range all {
			whole := turns
			if hold := turns.Cube().Hold(); int(hold) >= len(lastslot.Rotations) {
				whole = cube.Join(turns, hold.Inverse().Turns())
			}
			takes := func(turns cube.Sequence) int { return int(wholeMs(p.execute(pattern, p.Estimate(turns))) / ms) }
			d.sequences[pattern] = append(d.sequences[pattern], plainSequence{leavesOf(t, tops, kept, whole), takes(whole), takes(turns)})
		}
	}
	return d
}

func (d *plain) recognise(p lastslot.Pattern) int { return int(wholeMs(d.person.recognise(p)) / ms) }

// once is one look, for a learnt pattern and for the oriented top.
func (d *plain) once(o lastslot.Outcome) *taken {
	p := o.Pattern()
	recognise := d.recognise(p)
	if p == 0 {
		return &taken{recognise, recognise, recognise}
	}
	if d.person.Unlearnt[p] {
		return nil
	}
	least := math.MaxInt
	for _, s := range d.sequences[p] {
		for quarters, auf := range d.auf {
			if s.leaves[o.Turned(quarters)] == 0 {
				least = min(least, auf+s.alone)
			}
		}
	}
	return &taken{recognise, recognise + least, recognise}
}

// sameEdges lists the outcomes with the same edges, the corners in any way.
func sameEdges(o lastslot.Outcome) (all []lastslot.Outcome) {
	for other := range lastslot.Outcome(lastslot.Outcomes) {
		if other.Flips() == o.Flips() {
			all = append(all, other)
		}
	}
	return all
}

// looksAlike lists the AUFs after which somebody who sees the edges only sees the same.
func looksAlike(o lastslot.Outcome) (groups [][]int) {
	for quarters := range 4 {
		same := slices.IndexFunc(groups, func(g []int) bool { return o.Turned(g[0]).Flips() == o.Turned(quarters).Flips() })
		if same < 0 {
			groups = append(groups, []int{quarters})
		} else {
			groups[same] = append(groups[same], quarters)
		}
	}
	return groups
}

// ways lists all that can be done about the outcome.
func (d *plain) ways(at plainKey) (all []*taken) {
	o := at.o
	oriented := o.Edges() == lastslot.Cross
	if once := d.once(o); once != nil && (oriented || !at.atEdges) {
		all = append(all, once)
	}
	add := func(outcomes []lastslot.Outcome, pattern lastslot.Pattern, s *plainSequence, aufs []int, next plainKey) {
		if way := d.look(outcomes, pattern, s, aufs, next); way != nil {
			all = append(all, way)
		}
	}
	for pattern := lastslot.Pattern(1); o != 0 && pattern < lastslot.Patterns; pattern++ {
		if d.person.Unlearnt[pattern] || (pattern.Outcome().Edges() == lastslot.Cross) != oriented {
			continue
		}
		for i := range d.sequences[pattern] {
			s := &d.sequences[pattern][i]
			if oriented {
				for quarters := 0; at.corners > 0 && quarters < 4; quarters++ {
					add([]lastslot.Outcome{o}, pattern, s, []int{quarters}, plainKey{corners: at.corners - 1})
				}
				continue
			}
			for _, group := range looksAlike(o) {
				next := plainKey{edges: at.edges - 1, corners: at.corners, atEdges: true}
				if s.leaves[o.Turned(group[0])].Edges() == lastslot.Cross {
					add([]lastslot.Outcome{o}, pattern, s, group, next)
				} else if at.edges > 1 {
					add(sameEdges(o), pattern, s, group, next)
				}
			}
		}
	}
	return all
}

// best is the quickest of the ways.
func (d *plain) best(at plainKey) *taken {
	best, ok := d.known[at]
	if !ok {
		for _, way := range d.ways(at) {
			if best == nil || way.total < best.total {
				best = way
			}
		}
		d.known[at] = best
	}
	return best
}

// look is a first look at any of the outcomes, followed by the sequence after any of the AUFs.
func (d *plain) look(outcomes []lastslot.Outcome, pattern lastslot.Pattern, s *plainSequence, aufs []int, next plainKey) *taken {
	recognise, total := 0, 0
	for _, o := range outcomes {
		for _, quarters := range aufs {
			next.o = s.leaves[o.Turned(quarters)]
			rest := d.best(next)
			if rest == nil {
				return nil
			}
			recognise += rest.recognise
			total += d.auf[quarters] + rest.total
		}
	}
	first := d.recognise(pattern)
	mean := func(sum int) int { return int(math.Floor(float64(sum)/float64(len(outcomes)*len(aufs)) + 0.5)) }
	return &taken{first + mean(recognise), first + s.takes + mean(total), first}
}

// What every outcome takes is the quickest of all that somebody can do with what is
// learnt: for those who have learnt ten, all, and 20 sets that were drawn; of nobody in
// particular and of people whose ratings, times and own sequences differ. What is then done
// orients the stickers. Six looks at corners are more than the quickest has.
func TestLooksAreTheQuickestOfAllThatIsLearnt(t *testing.T) {
	t.Parallel()
	drawn := 20 / cubetest.Stride(t, 10)
	random := rand.New(rand.NewPCG(13, 1))
	tops, leaves := lastslottest.NewTops(), map[string]*[lastslot.Outcomes]lastslot.Outcome{}
	gaps, several, three := 0, 0, 0
	for name, learnt := range learntSets(random, drawn) {
		for who, person := range map[string]*Person{"anyone": Anyone(), "unevenly": unevenly(t, random)} {
			person = learning(person, learnt...)
			d, f := newPlain(t, person, tops, leaves), book().For(person)
			for o := range lastslot.Outcome(lastslot.Outcomes) {
				about := fmt.Sprintf("%s, %s, %s", name, who, o.Facing())
				at := plainKey{o, 3, 6, false}
				want, a := d.best(at), f.after[o]
				require.Equal(t, want == nil, a.gap, about)
				require.Equal(t, uint64((a.recognise+a.auf+a.sequence)/ms), a.total, about)
				if want == nil {
					gaps++
					require.Equal(t, uint64(looks.Gap/ms), a.total, about)
					continue
				}
				require.Equal(t, uint64(want.total), a.total, about)
				require.GreaterOrEqual(t, a.sequence, time.Duration(0), about)
				turns := cube.Join(lastslot.AUFs[a.quarters], a.turns)
				require.True(t, cubetest.Of(onTop(o)).Do(turns).FirstTwoLayersAndTop(turns.Cube().Hold()), "%s: %s", about, turns)
				if a.looks != nil {
					several++
					three += min(1, len(a.looks)/3)
					var all cube.Sequence
					for i, look := range a.looks {
						require.False(t, person.Unlearnt[look.Pattern], about)
						require.Equal(t, i < len(a.looks)-1 && look.Pattern.Outcome().Edges() != lastslot.Cross, look.Edges, about)
						all = cube.Join(all, look.AUF, look.Turns)
					}
					require.Equal(t, turns, all, about)
				}
				const followed = 3
				saved := math.MaxInt
				for _, way := range d.ways(at) {
					saved = min(saved, way.total-way.first+min(way.first, followed*50))
				}
				require.Equal(t, uint64(saved), f.from(o, followed), about)
				_, recognise := f.then(o, followed)
				require.LessOrEqual(t, recognise, time.Duration(f.from(o, followed))*ms, about)
			}
		}
	}
	assert.Positive(t, gaps)
	assert.Positive(t, several)
	assert.Positive(t, three)
}

// Another pattern learnt makes nothing slower, whatever is learnt already, seen or
// predicted; and the quickest part of any total is its own.
func TestLearningAPatternMakesNothingSlower(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(13, 2))
	for range 12 / cubetest.Stride(t, 6) {
		person := unevenly(t, random)
		if random.IntN(2) == 0 {
			person.Sequences = [lastslot.Patterns][]lastslot.FollowUp{}
		}
		order := random.Perm(lastslot.Patterns)
		person = learning(person)
		before := book().For(person)
		for _, pattern := range order {
			person.Unlearnt[pattern] = false
			after := book().For(person)
			for o := range lastslot.Outcome(lastslot.Outcomes) {
				for followed := range 2*lastslot.InSlot + 1 {
					require.LessOrEqual(t, after.from(o, followed), before.from(o, followed), "%s with %d", o.Facing(), pattern)
				}
			}
			before = after
		}
		for _, a := range before.after {
			require.False(t, a.gap)
		}
	}
}

// Ten are enough for two looks at everything, and for those who have learnt all one look is
// the quickest unless they are slow at something: then two can be.
func TestTenAreEnough(t *testing.T) {
	t.Parallel()
	f := book().For(learning(Anyone(), looks.Ten[:]...))
	for o, a := range f.after {
		pattern := lastslot.Outcome(o).Pattern()
		if pattern == 0 || slices.Contains(looks.Ten[:], pattern) {
			assert.Nil(t, a.looks)
			continue
		}
		require.Len(t, a.looks, 2, lastslot.Outcome(o).Facing())
		assert.True(t, a.looks[0].Edges)
		assert.Equal(t, lastslot.Cross, a.looks[1].Pattern.Outcome().Edges())
	}
	for _, a := range book().For(Anyone()).after {
		assert.Nil(t, a.looks)
	}
	slow := Anyone()
	slow.Ratings[8] = [Steps]Rating{{Level: 1}, {Level: 1}}
	o := lastslot.Pattern(8).Outcome()
	assert.Len(t, book().For(slow).after[o].looks, 2)
}
