package api_test

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/web/webtest/site"
)

// publishedPatterns reads testdata/patterns.tsv; the oriented one is added.
func publishedPatterns(t testing.TB) []site.OutcomeAnswer {
	t.Helper()
	file, err := os.ReadFile("../../testdata/patterns.tsv")
	require.NoError(t, err)
	patterns := []site.OutcomeAnswer{{OLL: 0, Edges: "cross", CornersOriented: 4, Facing: "UUUUUUUU"}}
	for line := range strings.Lines(string(file)) {
		if strings.HasPrefix(line, "#") || strings.HasPrefix(line, "oll") {
			continue
		}
		var p site.OutcomeAnswer
		_, err := fmt.Sscan(line, &p.OLL, &p.Edges, &p.CornersOriented, &p.Facing)
		require.NoError(t, err, line)
		require.Equal(t, len(patterns), p.OLL)
		patterns = append(patterns, p)
	}
	require.Len(t, patterns, 58)
	return patterns
}

// stickerNumbers has the numbers of the sticker places by their names, written
// as [cubetest.Number] reads them, and stickerColours the face that each number
// belongs to.
var stickerNumbers, stickerColours = func() (numbers map[string]int, colours [54]byte) {
	numbers = map[string]int{}
	for i := range colours {
		name := cubetest.Cell(i)
		colours[i] = name[0]
		numbers[name] = i
		if len(name) == 3 {
			numbers[name[:1]+name[2:]+name[1:2]] = i
		}
	}
	return numbers, colours
}()

// colourAt is the colour at a sticker place, named by the face it belongs to.
func colourAt(s cubetest.Stickers, name string) byte {
	number, ok := stickerNumbers[name]
	if !ok {
		panic("no sticker place " + name)
	}
	return stickerColours[s[number]]
}

// shows says whether all the sticker places show the colour of their centres.
func shows(s cubetest.Stickers, names ...string) bool {
	for _, name := range names {
		if colourAt(s, name) != colourAt(s, name[:1]) {
			return false
		}
	}
	return true
}

var (
	crossStickers = []string{"DF", "FD", "DL", "LD", "DB", "BD", "DR", "RD"}
	slotNames     = []string{"FR", "FL", "BL", "BR"}
	slotStickers  = map[string][]string{
		"FR": {"FR", "RF", "DFR", "FDR", "RDF"}, "FL": {"FL", "LF", "DFL", "FDL", "LDF"},
		"BL": {"BL", "LB", "DBL", "BDL", "LDB"}, "BR": {"BR", "RB", "DBR", "BDR", "RDB"},
	}
	topNames = []string{"UBL", "UB", "UBR", "UL", "UR", "UFL", "UF", "UFR"}
)

// openSlots lists the slots that are not solved; ok is false without the cross
// down.
func openSlots(s cubetest.Stickers) (open []string, ok bool) {
	for _, slot := range slotNames {
		if !shows(s, slotStickers[slot]...) {
			open = append(open, slot)
		}
	}
	return open, shows(s, crossStickers...)
}

// facing is where the top colour of each place on top faces.
func facing(s cubetest.Stickers) string {
	top := colourAt(s, "U")
	var f strings.Builder
	for _, place := range topNames {
		for i := range place {
			// The place's sticker on that side.
			if colourAt(s, place[i:i+1]+place[:i]+place[i+1:]) == top {
				f.WriteByte(place[i])
			}
		}
	}
	return f.String()
}

// lastSlotPosition makes turns that lead from the solved puzzle to a position
// before the last slot, with the cross on any face, and ends in any hold. It is
// cut in two at any place: the scramble and the solution so far, which may be
// empty.
func lastSlotPosition(t testing.TB, random *rand.Rand) (scramble, solution cube.Sequence) {
	// With the cross down: what takes a pair out at the front right, or brings it
	// back otherwise, and what keeps all slots.
	takesOut := []string{"R U R'", "R U' R'", "R U2 R'", "F' U F", "F' U' F", "F' U2 F", "R U R' U' R U R'", "R' F R F'", "R U2 R' U' R U R'", "r U' r' U2 r U r'"}
	keeps := []string{"R U R' U R U2 R'", "F R U R' U' F'", "f R U R' U' f'", "L' U' L U' L' U2 L", "R U2 R2 U' R2 U' R2 U2 R", "M' U M U2 M' U M"}
	any := func(texts []string) cube.Sequence {
		return cube.Join(site.MustParse(t, texts[random.IntN(len(texts))]), cube.Sequence{cube.TurnOf(cube.U, 1+random.IntN(3))})
	}
	var made cube.Sequence
	for range 1 + random.IntN(4) {
		made = cube.Join(made, any(keeps))
	}
	for range random.IntN(5) {
		made = cube.Join(made, any(takesOut))
	}
	made = made.In(cube.Hold(random.IntN(cube.Holds)))
	at := 1 + random.IntN(len(made))
	hold := cube.Hold(random.IntN(cube.Holds))
	return made[:at], cube.Join(hold.Turns(), made[at:].In(hold))
}

// What the interface answers is read as a script would read it and done to
// stickers: the hold brings the cross down with the named slot open, each
// option's turns fill it and leave what is said, and what is to be done next
// orients the top.
func TestOptionsDoWhatTheySay(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	patterns := publishedPatterns(t)
	random := rand.New(rand.NewPCG(3, 1))
	holds, slots := map[string]int{}, map[string]int{}
	positions := 150 / cubetest.Stride(t, 7)
	for range positions {
		scramble, solution := lastSlotPosition(t, random)
		parameters := []string{"scramble", scramble.String(), "limit", "500"}
		if len(solution) > 0 {
			parameters = append(parameters, "solution", solution.String())
		}
		f := site.AskForecast(t, h, parameters...)
		about := fmt.Sprintf("scramble %s, solution %s", scramble, solution)
		position := cubetest.Solved.Do(scramble).Do(solution)
		slot := checkHold(t, position, f.Hold, about)
		require.Equal(t, slot, f.Slot, about)
		holds[f.Hold]++
		slots[f.Slot]++
		held := position.Do(site.MustParse(t, f.Hold))
		require.GreaterOrEqual(t, len(f.Options), 8, about)
		for _, o := range f.Options {
			checkOption(t, held, o, patterns, about+": "+o.Turns)
		}
		checkOrder(t, f.Options)

		byCode := site.AskForecast(t, h, "case", strings.ToLower(f.Case), "limit", "500")
		assert.Equal(t, site.ForecastAnswer{Case: f.Case, Hold: "", Slot: f.Slot, Options: f.Options}, byCode, about)
	}
	assert.Len(t, holds, 6, "the cross was on every face")
	assert.Len(t, slots, 4, "every slot was open")
}

// checkHold sees that the hold is the first that leads to a position before the
// last slot, and returns the slot that is open, or the first where none is.
func checkHold(t *testing.T, position cubetest.Stickers, hold, about string) string {
	t.Helper()
	for _, first := range []string{"", "x2", "x'", "x", "z", "z'"} {
		open, ok := openSlots(position.Do(site.MustParse(t, first)))
		if !ok || len(open) > 1 {
			continue
		}
		require.Equal(t, first, hold, about)
		if len(open) == 0 {
			return slotNames[0]
		}
		return open[0]
	}
	require.Fail(t, "no last-slot position was made", about)
	return ""
}

func checkOption(t *testing.T, held cubetest.Stickers, o site.OptionAnswer, patterns []site.OutcomeAnswer, about string) {
	t.Helper()
	turns := site.MustParse(t, o.Turns)
	require.Equal(t, o.Turns, turns.String(), about)
	after := held.Do(turns)
	open, ok := openSlots(after)
	require.True(t, ok && len(open) == 0, about)

	require.Equal(t, facing(after), o.Leaves.Facing, about)
	pattern := patterns[o.Leaves.OLL]
	require.Equal(t, pattern.Edges, o.Leaves.Edges, about)
	require.Equal(t, pattern.CornersOriented, o.Leaves.CornersOriented, about)
	require.True(t, sameUpToAUF(pattern.Facing, o.Leaves.Facing), about)

	require.Contains(t, []string{"", "U", "U2", "U'"}, o.Then, about)
	require.Equal(t, o.Leaves.OLL == 0, o.Sequence == "", about)
	done := after.Do(site.MustParse(t, o.Then)).Do(site.MustParse(t, o.Sequence))
	open, ok = openSlots(done)
	require.True(t, ok && len(open) == 0, about)
	require.Equal(t, "UUUUUUUU", facing(done), about)

	// A rotation (only y) and an AUF may stand first; an AUF may stand last.
	if len(turns) > 0 && turns[0].Layer() == cube.Y {
		turns = turns[1:]
	}
	if len(turns) > 0 && turns[0].Layer() == cube.U {
		turns = turns[1:]
	}
	if len(turns) > 0 && turns[len(turns)-1].Layer() == cube.U {
		turns = turns[:len(turns)-1]
	}
	require.Equal(t, turns.Count(), o.Count, about)

	s := o.Seconds
	parts := site.Milliseconds(t, s.Insert) + site.Milliseconds(t, s.Recognise) + site.Milliseconds(t, s.Execute)
	require.Equal(t, site.Milliseconds(t, s.Total), parts, about)
}

// sameUpToAUF says whether one facing becomes the other by turns of U.
func sameUpToAUF(a, b string) bool {
	// U brings what is at the left to the back, and so on: where each place of
	// topNames is filled from, and where a side then faces.
	from, side := []int{5, 3, 0, 6, 1, 7, 4, 2}, strings.NewReplacer("L", "B", "B", "R", "R", "F", "F", "L")
	for range 4 {
		if a == b {
			return true
		}
		turned := make([]byte, len(a))
		for to, i := range from {
			turned[to] = a[i]
		}
		a = side.Replace(string(turned))
	}
	return false
}

func checkOrder(t *testing.T, options []site.OptionAnswer) {
	t.Helper()
	seen := map[string]bool{}
	for _, o := range options {
		require.False(t, seen[o.Turns], "twice: %s", o.Turns)
		seen[o.Turns] = true
	}
	require.True(t, slices.IsSortedFunc(options, func(a, b site.OptionAnswer) int {
		return cmp.Or(
			cmp.Compare(site.Milliseconds(t, a.Seconds.Total), site.Milliseconds(t, b.Seconds.Total)),
			cmp.Compare(a.Count, b.Count),
			cmp.Compare(a.Turns, b.Turns),
		)
	}))
}

func TestOtherParameters(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	random := rand.New(rand.NewPCG(3, 2))
	for range 20 / cubetest.Stride(t, 5) {
		code := lastslot.CaseAt(random.IntN(lastslot.Cases)).Code()
		all := site.AskForecast(t, h, "case", code, "limit", "500").Options

		assert.Len(t, site.AskForecast(t, h, "case", code).Options, min(50, len(all)))
		assert.Equal(t, all[:1], site.AskForecast(t, h, "case", code, "limit", "1").Options)
		assert.Equal(t, all[:7], site.AskForecast(t, h, "case", code, "limit", "007", "view", "all").Options)

		var best []site.OptionAnswer
		patterns := map[int]bool{}
		for _, o := range all {
			if !patterns[o.Leaves.OLL] {
				patterns[o.Leaves.OLL] = true
				best = append(best, o)
			}
		}
		perPattern := site.AskForecast(t, h, "case", code, "per", "pattern", "limit", "500").Options
		assert.Equal(t, best, perPattern[:len(best)], "patterns whose best option is among the first 500 stand first")
		assert.Equal(t, perPattern[:2], site.AskForecast(t, h, "case", code, "per", "pattern", "limit", "2").Options)

		predicted := site.AskForecast(t, h, "case", code, "predicted", "true", "limit", "500").Options
		checkOrder(t, predicted)
		for _, o := range predicted {
			assert.Equal(t, o.Track > 0, o.Predicted)
			if o.Predicted {
				recognise, err := o.Seconds.Recognise.Float64()
				require.NoError(t, err)
				assert.LessOrEqual(t, recognise, float64(o.Track)*0.05)
			}
		}
		assert.Equal(t, all, site.AskForecast(t, h, "case", code, "predicted", "false", "limit", "500").Options)
	}
}

// With all four slots solved the first is taken, or the one that is named; one
// that is open may be named too.
func TestSlot(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	const keeps = "F R U R' U' F'"
	assert.Equal(t, "FR", site.AskForecast(t, h, "scramble", keeps).Slot)
	codes := map[string]bool{}
	for _, slot := range slotNames {
		f := site.AskForecast(t, h, "scramble", keeps, "slot", slot)
		assert.Equal(t, slot, f.Slot)
		codes[f.Case] = true
		lower := site.AskForecast(t, h, "scramble", keeps, "slot", strings.ToLower(slot))
		assert.Equal(t, f, lower)
	}
	assert.Len(t, codes, 4)
	assert.Equal(t, "BR", site.AskForecast(t, h, "scramble", "R' U R", "slot", "BR").Slot)
	assert.Equal(t, "", site.AskForecast(t, h, "scramble", "x2").Options[0].Turns, "doing nothing is the best for a solved puzzle")
}

func TestPatterns(t *testing.T) {
	t.Parallel()
	got, body := site.Ask(t, site.NewHandler(t), http.MethodGet, "/api/v1/patterns")
	require.Equal(t, 200, got.StatusCode)
	assert.Equal(t, "application/json", got.Header.Get("Content-Type"))
	var answer struct {
		Patterns []struct {
			site.OutcomeAnswer
			Sequence string
		}
	}
	require.NoError(t, json.Unmarshal([]byte(body), &answer))
	require.Len(t, answer.Patterns, 58)
	for i, p := range publishedPatterns(t) {
		got := answer.Patterns[i]
		assert.Equal(t, p, got.OutcomeAnswer)
		// Undone, the sequence makes the pattern, up to AUF.
		made := cubetest.Solved.Do(site.MustParse(t, got.Sequence).Inverse())
		assert.True(t, sameUpToAUF(p.Facing, facing(made)), "%d: %s", i, got.Sequence)
	}
}
