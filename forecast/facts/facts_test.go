package facts

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/lastslot/lastslottest"
)

// told is what a reader makes of the words: for each spot on top the piece that
// comes there and how it is turned, corners and edges.
type told struct{ corners, edges [lastslot.InSlot]*Fact }

var (
	spotsByWords = map[string]int{"back left": 0, "back right": 1, "front left": 2, "front right": 3, "back": 0, "left": 1, "right": 2, "front": 3}
	clauseForm   = newForm(`^the (corner|edge) (?:at the (.+?)|in the (slot)) (?:goes to the (.+?)|(stays there))(?:, (flipped|twisted clockwise|twisted anticlockwise|up if .*|its top colour .*))?$`)
	togetherForm = newForm(`^(?:the (corner|edge)s? at the (.+?)|all four (corner|edge)s) (?:turns? with (U2|U'|U) and )?(flips?|twists? clockwise|twists? anticlockwise)$`)
	restForm     = newForm(`^(?:the rest|everything|all corners(?: and the other edges?)?|all edges(?: and the other corners?)?) (?:stays? as (?:it is|they are)|only turns? with (U2|U'|U))$`)
	edgeUpForm   = newForm(`^up if its top colour faces (\w+) now$`)
)

// form finds parts of a text, and remembers them: the same few clauses are said of
// very many insertions.
type form struct {
	*regexp.Regexp
	found *sync.Map
}

func newForm(expression string) form {
	return form{regexp.MustCompile(expression), &sync.Map{}}
}

func (f form) parts(text string) []string {
	if found, known := f.found.Load(text); known {
		return found.([]string)
	}
	found := f.FindStringSubmatch(text)
	f.found.Store(text, found)
	return found
}

func turnedBy(words string) int {
	switch {
	case words == "":
		return 0
	case strings.HasSuffix(words, "anticlockwise"):
		return 2
	}
	return 1
}

// read understands sentences for a slot as a person does who knows what is written
// in the package comment about twists and flips, and nothing of the map.
func read(clauses []string, slot lastslot.Slot) (told, error) {
	var r told
	quarters := map[string]int{"": 0, "U": 1, "U2": 2, "U'": 3}
	u, uTold := 0, false
	type later struct {
		corner bool
		spot   int
		turned int
	}
	var withU []later
	put := func(corner bool, f Fact) error {
		at := &r.edges[f.To]
		if corner {
			at = &r.corners[f.To]
		}
		if *at != nil {
			return fmt.Errorf("two pieces at spot %d", f.To)
		}
		*at = &f
		return nil
	}
	for _, clause := range clauses {
		switch found := clauseForm.parts(clause); {
		case found != nil:
			corner := found[1] == "corner"
			f := Fact{From: lastslot.InSlot, To: spotsByWords[found[4]]}
			if found[3] == "" {
				f.From = spotsByWords[found[2]]
				f.Turned = turnedBy(found[6])
			} else if !corner {
				up := edgeUpForm.parts(found[6])[1]
				faces := slot.Edge().Facelets()
				f.Turned = slices.IndexFunc(faces[:], func(face cube.Face) bool { return face.Words() == up })
			} else {
				// Each of the three pairs says the same twist.
				pairs := strings.Split(strings.TrimPrefix(found[6], "its top colour from "), ", ")
				f.Turned = -1
				from, to := slot.Corner().Facelets(), cube.CornerPlace(f.To).Facelets()
				for _, pair := range pairs {
					now, then, _ := strings.Cut(pair, " to ")
					before := slices.IndexFunc(from[:], func(face cube.Face) bool { return face.Words() == now })
					after := slices.IndexFunc(to[:], func(face cube.Face) bool { return face.Words() == then })
					if before < 0 || after < 0 || f.Turned >= 0 && f.Turned != (after-before+3)%3 {
						return r, fmt.Errorf("%s contradicts itself", clause)
					}
					f.Turned = (after - before + 3) % 3
				}
			}
			if found[5] != "" {
				f.To = f.From
			}
			if err := put(corner, f); err != nil {
				return r, err
			}
			continue
		}
		if found := togetherForm.parts(clause); found != nil {
			corner := found[1]+found[3] == "corner"
			spots := []int{0, 1, 2, 3}
			if found[2] != "" {
				spots = nil
				for _, words := range regexp.MustCompile(`, | and `).Split(found[2], -1) {
					spots = append(spots, spotsByWords[words])
				}
			}
			for _, spot := range spots {
				withU = append(withU, later{corner, spot, turnedBy(found[5])})
			}
			if found[4] != "" {
				u, uTold = quarters[found[4]], true
			}
			continue
		}
		if found := restForm.parts(clause); found != nil {
			if uTold && u != quarters[found[1]] {
				return r, fmt.Errorf("two turns of U in %q", clauses)
			}
			u = quarters[found[1]]
			continue
		}
		return r, fmt.Errorf("%q is not understood", clause)
	}
	for _, f := range withU {
		for to := range lastslot.InSlot {
			from := lastslot.AUFMaps[u].Edges[to] / 2
			if f.corner {
				from = lastslot.AUFMaps[u].Corners[to] / 3
			}
			if int(from) == f.spot {
				if err := put(f.corner, Fact{f.spot, to, f.turned}); err != nil {
					return r, err
				}
			}
		}
	}
	for to := range lastslot.InSlot {
		if r.corners[to] == nil {
			r.corners[to] = &Fact{From: int(lastslot.AUFMaps[u].Corners[to] / 3), To: to}
		}
		if r.edges[to] == nil {
			r.edges[to] = &Fact{From: int(lastslot.AUFMaps[u].Edges[to] / 2), To: to}
		}
	}
	return r, nil
}

// leaves is what the reader expects of a case: how the pieces on top are turned.
func (r told) leaves(c lastslot.Case) (twists, flips [lastslot.InSlot]int) {
	for to := range lastslot.InSlot {
		twists[to] = (c.Twists[r.corners[to].From] + r.corners[to].Turned) % 3
		flips[to] = c.Flips[r.edges[to].From] ^ r.edges[to].Turned
	}
	return twists, flips
}

// expects says whether the reader expects the outcome.
func (r told) expects(c lastslot.Case, o lastslot.Outcome) bool {
	twists, flips := r.leaves(c)
	return twists == o.Twists() && flips == o.Flips()
}

func clausesOf(words string) []string {
	words = strings.ToLower(words[:1]) + strings.TrimSuffix(words[1:], ".")
	return strings.Split(words, "; ")
}

// statesOf are the cases in which the insertion can be done, but for the pair: in
// all 27 ways of its last-layer corners beside one way of the edges, and in all 8
// ways of the edges beside one of the corners.
func statesOf(i lastslot.Insertion, all bool) (states []lastslot.Case) {
	first := i.Case()
	var corners, edges []int
	for spot := range lastslot.Spots {
		if spot != first.Corner {
			corners = append(corners, spot)
		}
		if spot != first.Edge {
			edges = append(edges, spot)
		}
	}
	for twists := range 27 {
		for flips := range 8 {
			if !all && twists > 0 && flips > 0 {
				continue
			}
			c := first
			a, b, d := twists/9, twists/3%3, twists%3
			c.Twists[corners[0]], c.Twists[corners[1]], c.Twists[corners[2]] = a, b, d
			c.Twists[corners[3]] = (9 - a - b - d - c.Twists[c.Corner]) % 3
			a, b, d = flips>>2, flips>>1&1, flips&1
			c.Flips[edges[0]], c.Flips[edges[1]], c.Flips[edges[2]] = a, b, d
			c.Flips[edges[3]] = a ^ b ^ d ^ c.Flips[c.Edge]
			states = append(states, c)
		}
	}
	return states
}

// Whoever reads the sentences about an insertion, and nothing else, knows what it
// leaves of every case that it fits: for every insertion in the book. Corners and
// edges do not depend on each other; for some insertions all 216 states of the
// top are looked at all the same. The judge is the puzzle, turned.
func TestSentencesTellWhatIsLeft(t *testing.T) {
	for slot := range lastslot.Slot(lastslot.Slots) {
		all := lastslottest.Insertions(t, slot)
		cubetest.Each(t, len(all), 31, func(t *testing.T, number int) {
			i := all[number]
			seeing := Of(i)
			words, err := read(clausesOf(seeing.Words()), slot)
			require.NoError(t, err, "%s: %s", i.Turns, seeing.Words())
			motion := i.Turns.Cube()
			for _, c := range statesOf(i, number%500 == 0) {
				left := lastslot.OutcomeOf(c.Cube().Then(motion))
				if !words.expects(c, left) || seeing.Leaves(c) != left {
					require.Fail(t, "not what is left", "%s of %s leaves %s, the facts say %s, the words %s", i.Turns, c.Code(), left.Facing(), seeing.Leaves(c).Facing(), seeing.Words())
				}
			}
		})
	}
}

// No clause can be left out: without it the reader expects something else of some
// case, or finds two pieces in one place. And with no other turn of U to refer to
// would there be fewer.
func TestNoClauseIsSuperfluous(t *testing.T) {
	var looked atomic.Int64
	for slot := range lastslot.Slot(lastslot.Slots) {
		all := lastslottest.Insertions(t, slot)
		cubetest.Each(t, len(all)/37, 7, func(t *testing.T, number int) {
			i := all[37*number]
			seeing := Of(i)
			clauses := clausesOf(seeing.Words())
			for left := range clauses {
				looked.Add(1)
				without := slices.Delete(slices.Clone(clauses), left, left+1)
				words, err := read(without, slot)
				if err != nil {
					continue
				}
				if restForm.MatchString(clauses[left]) && (seeing.U == 0 || strings.Contains(strings.Join(without, ";"), "with U")) {
					// What becomes of the rest is said even where it goes without saying.
					continue
				}
				wrong := slices.ContainsFunc(statesOf(i, false), func(c lastslot.Case) bool { return !words.expects(c, seeing.Leaves(c)) })
				pieces := map[string]bool{}
				for to := range lastslot.InSlot {
					pieces[fmt.Sprint("corner", words.corners[to].From)] = true
					pieces[fmt.Sprint("edge", words.edges[to].From)] = true
				}
				require.True(t, wrong || len(pieces) < 2*lastslot.InSlot, "%s: %q can be left out of %q", i.Turns, clauses[left], clauses)
			}
			m := i.Map().Then(lastslot.AUFMaps[i.Turned()])
			for u := range lastslot.AUFMaps {
				other := seeing
				other.U, other.Corners, other.Edges = u, factsOf(m.Corners, lastslot.AUFMaps[u].Corners, 3), factsOf(m.Edges, lastslot.AUFMaps[u].Edges, 2)
				require.GreaterOrEqual(t, len(other.Clauses()), len(seeing.Clauses()), i.Turns)
			}
		})
	}
	if !testing.Short() {
		assert.Greater(t, looked.Load(), int64(10000))
	}
}

// Facts that those who learn such insertions know (common practice, no source):
// the words say them.
func TestSentencesByHand(t *testing.T) {
	for turns, want := range map[string]string{
		"L E' L' U L E L'":           "The edge in the slot goes to the back, up if its top colour faces right now; the edge at the left stays there; all corners and the other edges only turn with U.",
		"R U M U' R' U M'":           "The edge in the slot goes to the front, up if its top colour faces front now; the edge at the right goes to the back, flipped; all corners and the other edges only turn with U.",
		"R U R' U' R U R' U' R U R'": "The corner in the slot goes to the front left, its top colour from down to up, front to front, right to left; the corner at the back left goes to the front right, twisted clockwise; the corner at the back right stays there, twisted anticlockwise; all edges and the other corner only turn with U.",
	} {
		sequence, err := cube.Parse(turns)
		require.NoError(t, err)
		i, err := lastslot.NewInsertion(lastslot.FR, sequence)
		require.NoError(t, err)
		assert.Equal(t, want, Of(i).Words())
	}
}

// Leaves is what the facts make of a case in which the pair is where the insertion
// takes it from, in the hold that the turns end in.
func (s Facts) Leaves(c lastslot.Case) lastslot.Outcome {
	corners, edges := s.All()
	var twists, flips [lastslot.InSlot]int
	for to := range lastslot.InSlot {
		twists[to] = (c.Twists[corners[to].From] + corners[to].Turned) % 3
		flips[to] = c.Flips[edges[to].From] ^ edges[to].Turned
	}
	return lastslot.OutcomeAs(twists, flips)
}

// Words are the facts in sentences that are true of the map, and of no other, in
// as few clauses as can be.
func (s Facts) Words() string {
	sentence := strings.Join(s.Clauses(), "; ") + "."
	return strings.ToUpper(sentence[:1]) + sentence[1:]
}
