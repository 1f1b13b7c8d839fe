package cube_test

import (
	"bytes"
	"context"
	"fmt"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
)

// gap runs a program in GAP, which knows nothing of this puzzle but the
// generators that the program gives it, and returns what it printed as lines
// "name=value".
func gap(t *testing.T, program string) map[string]string {
	t.Helper()
	path, err := exec.LookPath("gap")
	require.NoError(t, err, "GAP checks the project's turns and must be installed: apt-get install gap-core")
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	defer cancel()
	// Without a break loop an error ends GAP instead of waiting for input.
	command := exec.CommandContext(ctx, path, "-q", "-T", "--quitonbreak")
	command.Stdin = strings.NewReader(program + "\nQUIT;\n")
	var out, trouble bytes.Buffer
	command.Stdout, command.Stderr = &out, &trouble
	require.NoError(t, command.Run(), "GAP: %s%s", out.String(), trouble.String())
	require.Empty(t, trouble.String())
	answers := map[string]string{}
	for line := range strings.Lines(out.String()) {
		name, value, ok := strings.Cut(strings.TrimSpace(line), "=")
		require.True(t, ok, "GAP: %s", out.String())
		answers[name] = value
	}
	return answers
}

// permutation is a motion as GAP writes it, on the stickers from 1.
func permutation(s cube.Sequence) string { return cycles(cubetest.Of(s.Cube())) }

// groupOf is a group as GAP writes it.
func groupOf(generators []cube.Sequence) string {
	var p []string
	for _, g := range generators {
		p = append(p, permutation(g))
	}
	return "Group(" + strings.Join(p, ",") + ")"
}

// Every published group order that is a group of turns, asked of GAP.
func TestGAPOrdersOfGroups(t *testing.T) {
	var program strings.Builder
	want := map[string]string{}
	for i, r := range published(t, "group_orders.tsv") {
		if strings.Contains(r["group"], "<") {
			name := fmt.Sprintf("%d %s", i, r["group"])
			want[name] = r["order"]
			fmt.Fprintf(&program, "Print(\"%s=\",Size(%s),\"\\n\");;\n", name, groupOf(generators(t, r["group"])))
		}
	}
	require.Contains(t, want, "0 <U,L,F,R,B,D>")
	assert.Equal(t, want, gap(t, program.String()))
}

// places lists the stickers, from 1, of the places with these names.
func places(names ...string) (stickers []int) {
	for _, name := range names {
		for i := range name {
			stickers = append(stickers, cubetest.Number(name[i:]+name[:i])+1)
		}
	}
	return stickers
}

func list(stickers []int) string {
	var s []string
	for _, n := range stickers {
		s = append(s, strconv.Itoa(n))
	}
	return "[" + strings.Join(s, ",") + "]"
}

// The groups that the last slot is about, found by GAP from the six face turns:
// what leaves the cross and three slots as they are, all four slots, and what
// that does to the orientations on top.
func TestGAPLastSlot(t *testing.T) {
	top := places("UBL", "UBR", "UFL", "UFR", "UB", "UL", "UR", "UF")
	cross := places("DF", "DL", "DB", "DR")
	otherSlots := places("DFL", "FL", "DBL", "BL", "DBR", "BR")
	slot := places("DFR", "FR")
	require.Len(t, append(append(append(top[:len(top):len(top)], cross...), otherSlots...), slot...), 48)

	var turns []cube.Sequence
	for _, turn := range faceTurns() {
		if turn.Quarters() == 1 {
			turns = append(turns, cube.Sequence{turn})
		}
	}
	answers := gap(t, strings.NewReplacer(
		"$TURNS", groupOf(turns),
		"$U", groupOf([]cube.Sequence{parsed(t, "U")}),
		"$KEPT", list(append(cross, otherSlots...)),
		"$SLOT", list(slot),
		"$TOP", "["+strings.Join([]string{
			// The stickers that show the top colour when the puzzle is solved.
			sticker("UBL"), sticker("UBR"), sticker("UFL"), sticker("UFR"),
			sticker("UB"), sticker("UL"), sticker("UR"), sticker("UF"),
		}, ",")+"]",
		"$PAIR", "["+sticker("DFR")+","+sticker("FR")+"]",
	).Replace(`
		puzzle := $TURNS;;
		lastSlot := Stabilizer(puzzle, $KEPT, OnTuples);;
		lastLayer := Stabilizer(lastSlot, $SLOT, OnTuples);;
		Print("puzzle=", Size(puzzle), "\n");;
		Print("centre=", Size(Centre(puzzle)), "\n");;
		Print("last slot=", Size(lastSlot), "\n");;
		Print("last layer=", Size(lastLayer), "\n");;

		# A pattern is where the top colour is. A state before the last slot is
		# filled is that and where the pair's corner and edge are: the D colour of
		# the one and the F colour of the other say how they are turned, too.
		sizes := function(orbits)
			local c;
			c := Collected(List(orbits, Length));
			return JoinStringsWithSeparator(List(c, p -> Concatenation(String(p[1]), ":", String(p[2]))), ", ");
		end;;
		top := Set($TOP);;
		patterns := Orbit(lastLayer, top, OnSets);;
		classes := OrbitsDomain($U, patterns, OnSets);;
		Print("patterns=", Length(patterns), "\n");;
		Print("pattern classes=", Length(classes), "\n");;
		Print("pattern class sizes=", sizes(classes), "\n");;

		onStates := function(s, g) return [OnSets(s[1], g), OnTuples(s[2], g)]; end;;
		states := Orbit(lastSlot, [top, $PAIR], onStates);;
		classes := OrbitsDomain($U, states, onStates);;
		Print("states=", Length(states), "\n");;
		Print("state classes=", Length(classes), "\n");;
		Print("state class sizes=", sizes(classes), "\n");;
		Print("states in the slot=", Number(states, s -> s[2][1] in $SLOT and s[2][2] in $SLOT), "\n");;
		Print("states solved in the slot=", Number(states, s -> s[2] = $PAIR), "\n");;
	`))
	groups, counts := map[string]string{}, map[string]string{}
	for _, r := range published(t, "group_orders.tsv") {
		groups[r["group"]] = r["order"]
	}
	for _, r := range published(t, "pattern_counts.tsv") {
		counts[strings.TrimSpace(r["what"])] = r["value"]
	}
	assert.Equal(t, map[string]string{
		"puzzle":                    "43252003274489856000",
		"centre":                    "2",
		"last slot":                 "9331200",
		"last layer":                "62208",
		"patterns":                  "216",
		"pattern classes":           "58",
		"pattern class sizes":       "1:2, 2:5, 4:51",
		"states":                    "32400",
		"state classes":             "8112",
		"state class sizes":         "1:6, 2:15, 4:8091",
		"states in the slot":        "1296",
		"states solved in the slot": "216",
	}, answers)

	// The numbers above are the published ones.
	assert.Equal(t, answers["puzzle"], groups["<U,L,F,R,B,D>"])
	assert.Equal(t, answers["centre"], groups["centre"])
	assert.Equal(t, answers["last slot"], groups["last layer + slot FR (pieces DFR, FR)"])
	assert.Equal(t, answers["last layer"], groups["last-layer group (fixes all facelets off the U-layer pieces)"])
	assert.Equal(t, answers["patterns"], groups["orbit of U-facelet set under last-layer group"])
	assert.Equal(t, answers["states"], groups["orbit of last-slot orientation state"])
	assert.Equal(t, answers["pattern classes"], counts["classes under 4 U turns"])
	assert.Equal(t, answers["pattern class sizes"], counts["class sizes under U turns"])
	assert.Equal(t, fmt.Sprintf("%s; %s classes under U turns (sizes %s)", answers["states"], answers["state classes"], answers["state class sizes"]),
		counts["last-slot orientation states"])
	assert.Equal(t, answers["states in the slot"], counts["of which slot corner+edge both in slot"])
	assert.Equal(t, answers["states solved in the slot"], counts["slot solved"])
}

// What two open slots leave free: the groups that keep the cross and two slots, and how
// many ways the pieces that they move can stand for the forecast: where the two pairs'
// pieces are, and how everything is turned. An orbit of 6,998,400 would take GAP minutes,
// so its size is the group's order divided by that of what keeps such a state; the three
// parts of a state are kept one after the other.
func TestGAPTwoSlots(t *testing.T) {
	top := []string{"UBL", "UBR", "UFL", "UFR", "UB", "UL", "UR", "UF"}
	slots := map[string][2]string{"FR": {"DFR", "FR"}, "FL": {"DFL", "FL"}, "BL": {"DBL", "BL"}, "BR": {"DBR", "BR"}}
	var turns []cube.Sequence
	for _, turn := range faceTurns() {
		if turn.Quarters() == 1 {
			turns = append(turns, cube.Sequence{turn})
		}
	}
	var shows []string
	for _, place := range top {
		shows = append(shows, sticker(place))
	}
	var program strings.Builder
	fmt.Fprintf(&program, "puzzle := %s;;\n", groupOf(turns))
	want := map[string]string{}
	opens := [][]string{{"FR", "FL"}, {"FR", "BL"}, {"FR", "BR"}, {"FL", "BL"}, {"FL", "BR"}, {"BL", "BR"}, {"FR", "FL", "BL"}}
	for _, open := range opens {
		kept, pairs := places("DF", "DL", "DB", "DR"), []string{}
		for name, slot := range slots {
			if slices.Contains(open, name) {
				pairs = append(pairs, sticker(slot[0]), sticker(slot[1]))
			} else {
				kept = append(kept, places(slot[0], slot[1])...)
			}
		}
		fmt.Fprintf(&program, `
			group := Stabilizer(puzzle, %s, OnTuples);;
			kept := Stabilizer(Stabilizer(group, [%s], OnTuples), Set([%s]), OnSets);;
			Print("%s=", Size(group), " ", Size(group)/Size(kept), "\n");;
		`, list(kept), strings.Join(pairs, ","), strings.Join(shows, ","), strings.Join(open, " "))
		// 6!*6!/2*3^5*2^5, and 30*3^5*30*2^5 states; with three slots open
		// 7!*7!/2*3^6*2^6, and 210*3^6*210*2^6.
		want[strings.Join(open, " ")] = "2015539200 6998400"
		if len(open) == 3 {
			want[strings.Join(open, " ")] = "592568524800 2057529600"
		}
	}
	assert.Equal(t, want, gap(t, program.String()))
}

func sticker(name string) string { return strconv.Itoa(cubetest.Number(name) + 1) }

// Permutations that the published page says are positions, or are not.
func TestGAPMembership(t *testing.T) {
	var turns []cube.Sequence
	for _, turn := range faceTurns() {
		turns = append(turns, cube.Sequence{turn})
	}
	var program strings.Builder
	fmt.Fprintf(&program, "puzzle := %s;;\n", groupOf(turns))
	want := map[string]string{}
	for _, r := range published(t, "membership.tsv") {
		// A remark may follow the cycles.
		p := regexp.MustCompile(`^(\([\d,]+\))+`).FindString(r["permutation_48"])
		require.NotEmpty(t, p)
		want[p] = r["in_group"]
		fmt.Fprintf(&program, "Print(\"%s=\", %s in puzzle, \"\\n\");;\n", p, p)
	}
	assert.Equal(t, want, gap(t, program.String()))
}
