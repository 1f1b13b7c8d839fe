package search

import (
	"cmp"
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/twoslots"
)

// StepLimits says how far [FindSteps] goes: all rows of at most so many face turns, all
// of at most twice HalfTokens tokens (a face, wide or slice turn each), and all that few
// layers have.
type StepLimits struct {
	FaceTurns, HalfTokens int
	Few                   []Few
}

// StepLayers are those of [FewLayers], so far that both pairs may go in at once.
var StepLayers = []Few{
	{[]cube.Layer{cube.R, cube.U}, 13},
	{[]cube.Layer{cube.R, cube.U, cube.F}, 11},
	{[]cube.Layer{cube.R, cube.U, cube.L}, 11},
	{[]cube.Layer{cube.Rw, cube.R, cube.U, cube.M}, 11},
	{[]cube.Layer{cube.R, cube.U, cube.D}, 11},
	{[]cube.Layer{cube.R, cube.U, cube.E}, 11},
}

// Step is what is done with two slots open: a rotation by so many quarters of y, then the
// turns, which take the hands so long; both keep the cross and the two other slots.
type Step struct {
	Rotation int
	Turns    cube.Sequence
	Takes    time.Duration
}

// Steps are what [FindSteps] found.
type Steps struct {
	// For has the steps for each open slots, for two hands and for the right hand alone, in
	// the order of the rotation and of the turns' texts. No two have the same map, but for
	// a turn of U at the end.
	For [2][twoslots.Opens][]Step
	// Motions has, for adjacent and for opposite slots, how many new motions there are of
	// each number of face turns, AUF at both ends aside, so far as all of them were found.
	Motions [2][]int
}

// searchedOpen are the open slots that the search looks at; others are the same, seen
// after y.
var searchedOpen = [2]struct {
	open   twoslots.Open
	kept   Kept
	opens  map[twoslots.Open]int // and by how many quarters of y
	across func(motion) motion
}{
	{
		2, Kept{Corners: []cube.CornerPlace{cube.DFL, cube.DBL}, Edges: []cube.EdgePlace{cube.FL, cube.BL, cube.DF, cube.DL, cube.DB, cube.DR}},
		map[twoslots.Open]int{2: 0, 0: 1, 3: 2, 5: 3}, motion.frontToBack,
	},
	{
		1, Kept{Corners: []cube.CornerPlace{cube.DFL, cube.DBR}, Edges: []cube.EdgePlace{cube.FL, cube.BR, cube.DF, cube.DL, cube.DB, cube.DR}},
		map[twoslots.Open]int{1: 0, 4: 1}, motion.across,
	},
}

// frontToBack is the motion seen in the mirror that swaps front and back.
func (m motion) frontToBack() motion {
	r := make(motion, len(m))
	for i, b := range m {
		first, second := b.quarters()
		if b.axis() == 2 {
			first, second = second, first
		}
		r[i] = blockOf(b.axis(), -first, -second)
	}
	return r
}

// FindSteps finds what can be done with two slots open: each motion within the limits,
// spelt so that it is the easiest of all that have its map but for a turn of U at the
// end. All are kept that have no more face turns or tokens than the limits say; of those
// of few layers that have more, the ones by which both pairs go in at once the easiest,
// from some place of the two and for some hands.
func FindSteps(ctx context.Context, limits StepLimits, report func(string)) (*Steps, error) {
	found := &Steps{}
	start := time.Now()
	for kind := range searchedOpen {
		reportf := func(format string, values ...any) {
			report(fmt.Sprintf("%s slots: ", [...]string{"adjacent", "opposite"}[kind]) + fmt.Sprintf(format, values...) + fmt.Sprintf(", after %v", time.Since(start).Round(time.Millisecond)))
		}
		if err := found.find(ctx, kind, limits, reportf); err != nil {
			return nil, err
		}
	}
	return found, nil
}

func (s *Steps) find(ctx context.Context, kind int, limits StepLimits, reportf func(string, ...any)) error {
	searched := &searchedOpen[kind]
	f := &stepFindings{open: searched.open, numbers: map[uint64]int32{}, shortest: map[uint64]int{}}
	f.add(motion{})
	err := meet(ctx, searched.kept, (limits.FaceTurns+1)/2, false, func(m motion) {
		if turns := m.faceTurns(); turns <= limits.FaceTurns {
			f.add(m)
			f.count(m, turns)
		}
	})
	if err != nil {
		return err
	}
	s.Motions[kind] = make([]int, limits.FaceTurns+1)
	for _, turns := range f.shortest {
		s.Motions[kind][turns]++
	}
	reportf("%d maps of at most %d face turns", len(f.maps), limits.FaceTurns)
	if err := meet(ctx, searched.kept, limits.HalfTokens, true, f.add); err != nil {
		return err
	}
	complete := len(f.maps)
	reportf("%d maps with those of at most %d tokens", complete, 2*limits.HalfTokens)
	more, seen := map[string]bool{}, map[string]bool{}
	for _, few := range limits.Few {
		err := meetImages(ctx, searched.kept, few, func(m motion) {
			text := string(m.bytes())
			if seen[text] {
				return // most are found more than once
			}
			seen[text] = true
			if number, known := f.numbers[f.key(m)]; known {
				f.list = append(f.list, candidate{number, text})
			} else {
				more[text] = true
			}
		})
		if err != nil {
			return err
		}
		reportf("%d other motions with those of %s, of at most %d turns", len(more), layerNames(few.Layers), few.Turns)
	}
	if err := f.spell(ctx); err != nil {
		return err
	}
	reportf("all of them are spelt")
	both, err := f.bothAtOnce(ctx, more)
	if err != nil {
		return err
	}
	for _, text := range both {
		m := motionFrom(text)
		f.add(m)
		f.add(searched.across(m))
	}
	if err := f.spell(ctx); err != nil {
		return err
	}
	reportf("%d more are the easiest for both pairs at once", len(f.maps)-complete)
	for handed := range s.For {
		for open, quarters := range searched.opens {
			s.For[handed][open] = f.steps(hands.Handed(handed), quarters)
		}
	}
	return nil
}

// stepViews are what steps are spelt for: the hands, in each hold with the bottom at the
// bottom.
const stepViews = 2 * uprightHolds

func stepView(handed hands.Handed, quarters int) int { return int(handed)*uprightHolds + quarters&3 }

// stepFindings collects motions that keep the cross and two slots.
type stepFindings struct {
	open     twoslots.Open
	numbers  map[uint64]int32
	maps     []twoslots.Map
	list     []candidate
	spelled  [][stepViews]spelling
	shortest map[uint64]int // face turns, by the map with AUF at both ends aside
}

func (f *stepFindings) mapOf(m motion) twoslots.Map { return twoslots.MapOf(m.cube(), f.open) }

func (f *stepFindings) key(m motion) uint64 {
	does := f.mapOf(m)
	return endKey(&does)
}

// endKey tells maps apart that differ by more than a turn of U at the end.
func endKey(m *twoslots.Map) uint64 {
	lowest := m.Number()
	for quarters := 1; quarters < 4; quarters++ {
		turned := m.Then(&twoslots.AUFMaps[quarters])
		lowest = min(lowest, turned.Number())
	}
	return lowest
}

func (f *stepFindings) add(m motion) {
	does := f.mapOf(m)
	key := endKey(&does)
	number, known := f.numbers[key]
	if !known {
		number = int32(len(f.maps))
		f.numbers[key] = number
		f.maps = append(f.maps, does)
	}
	f.list = append(f.list, candidate{number, string(m.bytes())})
}

// count counts the motion, of so many face turns, by what it does but for AUF.
func (f *stepFindings) count(m motion, turns int) {
	does, lowest := f.mapOf(m), ^uint64(0)
	for quarters := range 4 {
		turned := twoslots.AUFMaps[quarters].Then(&does)
		lowest = min(lowest, endKey(&turned))
	}
	if old, ok := f.shortest[lowest]; !ok || turns < old {
		f.shortest[lowest] = turns
	}
}

func (m motion) faceTurns() (n int) {
	for _, b := range m {
		n += len(b.turns())
	}
	return n
}

// compact sorts the list, the shorter motions of a number first, each once.
func (f *stepFindings) compact() {
	slices.SortFunc(f.list, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(a.number, b.number), cmp.Compare(len(a.motion), len(b.motion)), cmp.Compare(a.motion, b.motion))
	})
	f.list = slices.Compact(f.list)
}

// spell makes each number's spellings those that are the easiest of its motions and of
// what was spelt already, for each view. Then the list is empty.
func (f *stepFindings) spell(ctx context.Context) error {
	f.compact()
	f.spelled = append(f.spelled, make([][stepViews]spelling, len(f.maps)-len(f.spelled))...)
	var starts []int
	for i := range f.list {
		if i == 0 || f.list[i].number != f.list[i-1].number {
			starts = append(starts, i)
		}
	}
	starts = append(starts, len(f.list))
	inPortions(ctx, len(starts)-1, func(spellers *[2]*Speller, i int) {
		for _, c := range f.list[starts[i]:starts[i+1]] {
			number, m := c.number, motionFrom(c.motion)
			for handed, speller := range spellers {
				speller.prepare(m)
				for quarters := range uprightHolds {
					speller.improve(&f.spelled[number][stepView(hands.Handed(handed), quarters)], m, cube.Hold(quarters))
				}
			}
		}
	})
	f.list = nil
	return ctx.Err()
}

// inPortions calls with each number below the count, on all processors, each with
// spellers of its own.
func inPortions(ctx context.Context, count int, with func(spellers *[2]*Speller, number int)) {
	const portion = 64
	var next atomic.Int64
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			spellers := [2]*Speller{hands.TwoHands: NewSpeller(hands.TwoHands), hands.RightHand: NewSpeller(hands.RightHand)}
			for ctx.Err() == nil {
				first := int(next.Add(portion)) - portion
				if first >= count {
					return
				}
				for number := first; number < min(first+portion, count); number++ {
					with(&spellers, number)
				}
			}
		})
	}
	workers.Wait()
}

// steps are all, as they are seen after so many quarters of y, each after the rotation
// with which it is the easiest.
func (f *stepFindings) steps(handed hands.Handed, quarters int) []Step {
	prefix := prefixPricesOf(handed)
	list := make([]Step, len(f.maps))
	for number := range f.maps {
		least := never
		for rotation := range prefix.rotations {
			s := &f.spelled[number][stepView(handed, quarters+rotation)]
			// Only what takes less time is worth a rotation.
			if takes := prefix.rotations[rotation] + s.price; takes>>msShift < least>>msShift {
				least = takes
				list[number] = Step{rotation, s.turns, s.price.duration()}
			}
		}
	}
	slices.SortFunc(list, func(a, b Step) int {
		return cmp.Or(cmp.Compare(a.Rotation, b.Rotation), a.Turns.Compare(b.Turns))
	})
	return list
}
