package forecast

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/lastslot/lastslottest"
)

// usualAtFrontRight are the usual insertions at the front right slot: common practice, from
// memory. Which of some equally common ones is meant, the estimate of package hands says.
var usualAtFrontRight = [][2]string{
	{"FR-UFR.U-UB.U", "R U2 R' U R U' R'"},
	{"FR-UFR.U-UB.B", "R U R' F' U' F"},
	{"FR-UFR.R-UB.U", "R U R'"},
	{"FR-UFR.R-UB.B", "F' U2 F U F' U2 F"},
	{"FR-UFR.F-UB.U", "R U R' U' R U2 R'"},
	{"FR-UFR.F-UB.B", "R U' R' U F' U' F"},
	{"FR-UFR.U-UL.U", "R U R' U R U' R'"},
	{"FR-UFR.U-UL.L", "F' U2 F U' F' U F"},
	{"FR-UFR.R-UL.U", "R U R' U R U R'"},
	{"FR-UFR.R-UL.L", "F' U' F U F' U2 F"},
	{"FR-UFR.F-UL.U", "R U2 R' U' R U2 R'"},
	{"FR-UFR.F-UL.L", "F' U' F"},
	{"FR-UFR.U-UR.U", "R U2 R' U' R U R'"},
	{"FR-UFR.U-UR.R", "R' F R F' U' F' U' F"},
	{"FR-UFR.R-UR.U", "R U' R' U R U R'"},
	{"FR-UFR.R-UR.R", "R U' R' U2 F' U' F"},
	{"FR-UFR.F-UR.U", "R U' R'"},
	{"FR-UFR.F-UR.R", "R U2 R' U F' U' F"},
	{"FR-UFR.U-UF.U", "F R' F' R U R U R'"},
	{"FR-UFR.U-UF.F", "F' U2 F U F' U' F"},
	{"FR-UFR.R-UF.U", "F' U2 F U' R U R'"},
	{"FR-UFR.R-UF.F", "F' U F"},
	{"FR-UFR.F-UF.U", "R' F R F' U R U R'"},
	{"FR-UFR.F-UF.F", "F' U F U' F' U' F"},
	{"FR-UFR.U-FR.F", "F R' F' R U' R U R'"},
	{"FR-UFR.U-FR.R", "R U' R' F' U2 F"},
	{"FR-UFR.R-FR.F", "R U R' U2 R U R'"},
	{"FR-UFR.R-FR.R", "F' U F U R U R'"},
	{"FR-UFR.F-FR.F", "R U' R' U' R U2 R'"},
	{"FR-UFR.F-FR.R", "R U R' U F' U' F"},
	{"FR-DFR.D-UF.U", "F' U F U R U' R'"},
	{"FR-DFR.D-UF.F", "R U R' U' F' U' F"},
	{"FR-DFR.F-UF.U", "R U' R' U R U' R'"},
	{"FR-DFR.F-UF.F", "R U' R' F' U' F"},
	{"FR-DFR.R-UF.U", "R U R' U' R U R'"},
	{"FR-DFR.R-UF.F", "R U2 R' F' U2 F"},
	{"FR-DFR.D-FR.F", ""},
	{"FR-DFR.D-FR.R", "R U R' U2 R U2 R' U F' U' F"},
	{"FR-DFR.F-FR.F", "R U R' U' R U2 R' U' R U R'"},
	{"FR-DFR.F-FR.R", "R F U R U' R' F' U' R'"},
	{"FR-DFR.R-FR.F", "R U R' U2 R U' R' U R U R'"},
	{"FR-DFR.R-FR.R", "R U F R U R' U' F' R'"},
}

func TestTheUsualInsertionsAtFrontRight(t *testing.T) {
	t.Parallel()
	places := lastslot.Places(lastslot.FR)
	require.Len(t, usualAtFrontRight, len(places))
	for i, p := range places {
		want := usualAtFrontRight[i]
		require.Equal(t, want[0], p.String())
		for _, o := range known(book().For(Anyone()), p.Case()) {
			slot, turns := o.Insertion(lastslot.FR)
			assert.Equal(t, want[1], turns.String(), p)
			assert.Equal(t, lastslot.FR, slot, p)
			assert.True(t, o.Count <= 9 || len(p.AUFs()) == 1, "only a pair that is wrong in its slot needs more: %s", p)
		}
	}
}

// known are the options that the person knows, in the order of the forecast.
func known(f *Forecaster, c lastslot.Case) (known []Option) {
	for _, o := range f.Forecast(Request{Case: c}) {
		if o.Known {
			known = append(known, o)
		}
	}
	return known
}

// For each place and each pair of hands it is the quickest of all that is offered there and
// turns, after at most one rotation, only U and the slot's side faces, by their letters.
func TestTheUsualInsertionIsTheQuickestWithTheSidesOnly(t *testing.T) {
	t.Parallel()
	sides := map[lastslot.Slot]string{lastslot.FR: "UFR", lastslot.FL: "UFL", lastslot.BL: "UBL", lastslot.BR: "UBR"}
	for _, handed := range []hands.Handed{hands.TwoHands, hands.RightHand, hands.LeftHand} {
		b := book().With(handed)
		knows := b.For(&Person{Scale: DefaultScale, Hands: handed})
		var onSides [lastslot.Slots][]lastslot.Insertion
		for at, spelled := range b.spelled {
			for _, i := range spelled {
				if strings.Trim(i.Turns.String(), sides[lastslot.Slot(at)]+"2' ") == "" {
					onSides[at] = append(onSides[at], i)
				}
			}
		}
		for slot := range lastslot.Slot(lastslot.Slots) {
			// How long the quickest takes for each place of the pair.
			quickest := map[lastslot.Place]time.Duration{}
			for at := range lastslot.Slot(lastslot.Slots) {
				rotation := hands.Estimate(lastslot.Rotations[lastslot.Quarters(slot, at)], handed)
				for _, i := range onSides[at] {
					place := i.Case().TurnedRound(lastslot.Quarters(at, slot)).Place()
					takes := rotation + hands.Estimate(i.Turns, handed)
					if best, ok := quickest[place]; !ok || takes < best {
						quickest[place] = takes
					}
				}
			}
			for _, p := range lastslot.Places(slot) {
				if p.Solved() {
					continue
				}
				options := known(knows, p.Case())
				require.NotEmpty(t, options, "%s %s", p, handed)
				for _, o := range options {
					_, turns := o.Insertion(slot)
					assert.Equal(t, quickest[p], o.Seconds.Rotation+o.Seconds.Insertion, "%s %s: %s", p, handed, turns)
				}
			}
		}
	}
}

// Who does slots at the back from the front knows one insertion for each of their places:
// that for the same place of a front slot, after the rotation.
func TestUsualOnlyFromTheFront(t *testing.T) {
	t.Parallel()
	person := fast()
	person.Usual = UsualFront
	f, everywhere := book().For(person), book().For(fast())
	for slot := range lastslot.Slot(lastslot.Slots) {
		for _, p := range lastslot.Places(slot) {
			if p.Solved() {
				continue
			}
			for _, quarters := range p.AUFs() {
				c := p.Case().Turned(quarters)
				options := known(f, c)
				require.NotEmpty(t, options, p)
				for _, o := range options {
					at, turns := o.Insertion(slot)
					require.Contains(t, []lastslot.Slot{lastslot.FR, lastslot.FL}, at, p)
					there := c.TurnedRound(lastslot.Quarters(slot, at))
					inFront := known(everywhere, there)
					require.True(t, slices.ContainsFunc(inFront, func(o Option) bool {
						slot, usual := o.Insertion(there.Slot)
						return slot == at && slices.Equal(turns, usual)
					}), "%s: %s is no usual one at %s", p, turns, at)
				}
				if slot == lastslot.FR || slot == lastslot.FL {
					assert.Equal(t, known(everywhere, c), options, p)
				}
			}
		}
	}
}

// What is marked adds to what is usual; a usual one is taken back by itself, at its slot and
// wherever it is done after a rotation; rating it says nothing of knowing it.
func TestMarksAddToWhatIsUsual(t *testing.T) {
	t.Parallel()
	c := lastslottest.Insertion(t, lastslot.FR, "R U R'").Case()
	back := c.TurnedRound(3) // done after y
	knows := func(usual Usual, marks ...OwnInsertion) (turns [2][]string) {
		person := fast()
		person.Usual, person.Insertions = usual, marks
		for i, c := range []lastslot.Case{c, back} {
			for _, o := range known(book().For(person), c) {
				turns[i] = append(turns[i], o.Turns.String())
			}
		}
		return turns
	}
	mark := func(turns string, own OwnInsertion) OwnInsertion {
		own.Insertion = lastslottest.Insertion(t, lastslot.FR, turns)
		return own
	}
	usual := [2][]string{{"R U R'"}, {"y R U R'"}}
	options := book().For(fast()).Forecast(Request{Case: c})
	other := options[slices.IndexFunc(options, func(o Option) bool { return !o.Known })]
	_, otherTurns := other.Insertion(lastslot.FR)
	for _, which := range []Usual{UsualAll, UsualFront} {
		assert.Equal(t, usual, knows(which))
		assert.Equal(t, usual, knows(which, mark("R U R'", OwnInsertion{Execute: 2})), "rated only")
		assert.Equal(t, usual, knows(which, mark("R U R'", OwnInsertion{Known: Yes})))
		assert.Equal(t, [2][]string{}, knows(which, mark("R U R'", OwnInsertion{Known: No})), "taken back")
		assert.Equal(t, [2][]string{}, knows(which, mark("R U R'", OwnInsertion{Hidden: true})), "hidden")
		both := knows(which, mark(otherTurns.String(), OwnInsertion{Known: Yes}))
		assert.Len(t, both[0], 2, "%s", both)
		assert.Contains(t, both[0], "R U R'")
	}
	assert.Equal(t, [2][]string{}, knows(UsualNone))
	assert.Equal(t, [2][]string{{"R U R'"}}, knows(UsualNone, mark("R U R'", OwnInsertion{Known: Yes})), "its own mark counts")
}

// The view of what is known has just the options that the forecast says are known, in its
// order, and with none known it has none.
func TestTheViewOfWhatIsKnownIsWhatIsSaidToBeKnown(t *testing.T) {
	t.Parallel()
	for _, usual := range []Usual{UsualAll, UsualFront, UsualNone} {
		person := fullPerson(t)
		person.Usual = usual
		for _, p := range []*Person{person, {Scale: DefaultScale, Usual: usual}} {
			f := book().For(p)
			cubetest.Each(t, lastslot.Cases/457, 29, func(t *testing.T, i int) {
				c := lastslot.CaseAt(457 * i)
				view, said := f.Forecast(Request{Case: c, View: Known}), known(f, c)
				require.Len(t, view, len(said), c.Code())
				for i := range view {
					assert.Equal(t, said[i].Turns, view[i].Turns, c.Code())
				}
			})
		}
	}
}

// Of a single insertion a person can say that they predict it, or that they do not, however
// many pieces they track otherwise.
func TestPredictingASingleInsertion(t *testing.T) {
	t.Parallel()
	i := lastslottest.Insertion(t, lastslot.FR, "R U R'")
	predicted := func(track int, said Said) (bool, bool) {
		person := fast()
		person.Track = track
		person.Insertions = []OwnInsertion{{Insertion: i, Predict: said}}
		f := book().For(person)
		for _, o := range f.Forecast(Request{Case: i.Case()}) {
			if o.Turns.String() == "R U R'" {
				require.Equal(t, 5, o.Track)
				if o.Predicted {
					assert.LessOrEqual(t, o.Seconds.Recognise, 5*DefaultScale.Track)
				}
				all := f.Predicted().Forecast(Request{Case: i.Case()})
				at := slices.IndexFunc(all, func(same Option) bool { return slices.Equal(same.Turns, o.Turns) })
				return o.Predicted, all[at].Predicted
			}
		}
		t.Fatal("not offered")
		return false, false
	}
	for _, c := range []struct {
		track int
		said  Said
		want  bool
	}{{0, Unsaid, false}, {0, Yes, true}, {5, Unsaid, true}, {5, No, false}, {4, Unsaid, false}} {
		got, asIfAll := predicted(c.track, c.said)
		assert.Equal(t, c.want, got, c)
		assert.True(t, asIfAll, c)
	}
}

// Of 2,000 random cases, how often the first line that a fresh visitor sees is an insertion
// that they do not know, and how often it has more than nine turns: in the order of the time
// alone, and with yours first. With -v it tells the numbers.
func TestTheFirstLineOfAFreshVisitor(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(2026, 11))
	f := book().For(Anyone())
	const cases = 2000
	count := map[View]struct{ unknown, long int }{}
	for range cases {
		c := lastslot.CaseAt(random.IntN(lastslot.Cases))
		for _, view := range []View{All, KnownFirst} {
			first := f.Forecast(Request{Case: c, View: view, Limit: 1})[0]
			n := count[view]
			if !first.Known {
				n.unknown++
			}
			if first.Count > 9 {
				n.long++
			}
			count[view] = n
		}
	}
	assert.Zero(t, count[KnownFirst].unknown)
	assert.Less(t, count[KnownFirst].long, count[All].long/10)
	t.Logf("of %d cases, by time alone: %d not known, %d of more than nine turns; yours first: %d and %d",
		cases, count[All].unknown, count[All].long, count[KnownFirst].unknown, count[KnownFirst].long)
}
