package cube_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
)

// regulations finds the rows of wca_notation.tsv by their regulation's number.
func regulations(t *testing.T) map[string]row {
	t.Helper()
	byNumber := map[string]row{}
	for _, r := range published(t, "wca_notation.tsv") {
		byNumber[r["regulation"]] = r
	}
	return byNumber
}

// Every token of Article 12 is the turn that the article says, counts as it says
// and can be read again as it is printed.
func TestNotationOfTheRegulations(t *testing.T) {
	rules := regulations(t)
	wide := "fbrlud"
	for _, rule := range []struct {
		number  string
		letters string // the layers of its tokens, in the order of the table
		// quarters is "clockwise 90" and so on as the row's kind says it.
		kind     cube.Kind
		quarters int
	}{
		{"12a1a", "FBRLUD", cube.FaceTurn, 1},
		{"12a1b", "FBRLUD", cube.FaceTurn, 3},
		{"12a1c", "FBRLUD", cube.FaceTurn, 2},
		{"12a2a", wide + wide, cube.WideTurn, 1},
		{"12a2b", wide + wide, cube.WideTurn, 3},
		{"12a2c", wide + wide, cube.WideTurn, 2},
		{"12a4a", "xyz", cube.Rotation, 1},
		{"12a4b", "xyz", cube.Rotation, 3},
		{"12a4c", "xyz", cube.Rotation, 2},
		{"12a13 (2010)", "MSE", cube.SliceTurn, 1},
		{"12a14 (2010)", "MSE", cube.SliceTurn, 3},
		{"12a15 (2010)", "MSE", cube.SliceTurn, 2},
	} {
		r := rules[rule.number]
		require.NotNil(t, r, rule.number)
		said := map[int]string{1: "clockwise 90", 2: "180", 3: "counter-clockwise 90"}[rule.quarters]
		require.True(t, strings.HasSuffix(r["kind"], ", "+said), r["kind"])
		// What stands in brackets says which way the turn goes.
		tokens := strings.Fields(regexp.MustCompile(`\([^()]*\)`).ReplaceAllString(r["tokens_or_fact"], ""))
		require.Len(t, tokens, len(rule.letters), rule.number)
		for i, token := range tokens {
			s := parsed(t, token)
			require.Len(t, s, 1, token)
			turn := s[0]
			assert.Equal(t, rule.kind, turn.Kind(), token)
			assert.Equal(t, rule.quarters, turn.Quarters(), token)
			layer := parsed(t, rule.letters[i:i+1])[0].Layer()
			assert.Equal(t, layer, turn.Layer(), token)
			assert.Equal(t, s, parsed(t, turn.String()), "%s printed as %s", token, turn)
			if rule.kind == cube.FaceTurn || rule.kind == cube.WideTurn {
				assert.Equal(t, strings.ToUpper(rule.letters[i:i+1]), turn.Layer().Reference().String(), token)
			}
			if r["obtm"] != "" {
				assert.Equal(t, number(t, r["obtm"]), s.Count(), token)
			}
		}
	}
}

// Slices and rotations go the way of the face that the regulations name.
func TestTurnsLikeFaces(t *testing.T) {
	rules := regulations(t)
	like := regexp.MustCompile(`([MESxyz]) \((?:same direction as|like) ([UDLRFB])`)
	found := append(
		like.FindAllStringSubmatch(rules["12a4a"]["tokens_or_fact"], -1),
		like.FindAllStringSubmatch(rules["12a13 (2010)"]["tokens_or_fact"], -1)...)
	require.Len(t, found, 6)
	for _, f := range found {
		turn, face := parsed(t, f[1])[0], parsed(t, f[2])[0]
		assert.Equal(t, f[2], turn.Layer().Reference().String(), f[1])
		opposite := cube.TurnOf(cube.Layer(face.Layer().Reference().Opposite()), -1)
		together := cube.Sequence{face, opposite}.Cube()
		// A slice with the two outer layers turned its way is the whole puzzle
		// turned; a rotation with them turned back leaves every corner in place.
		if turn.Kind() == cube.SliceTurn {
			together = together.Turn(turn)
			assert.Equal(t, together.Hold().Cube(), together, "%s with %s is a rotation", f[1], f[2])
		} else {
			assert.Equal(t, cube.Solved.Corners, turn.Cube().Then(together.Inverse()).Corners, "%s without its outer layers is a slice", f[1])
		}
	}
}

// Metrics: 12a5 counts for all that it defines, the text of 2010 for slices.
func TestCount(t *testing.T) {
	rules := regulations(t)
	require.Contains(t, rules["12a17-12a19 (2010)"]["tokens_or_fact"], "middle slice moves 2")
	for turn := range cube.Turn(cube.Turns) {
		want := number(t, rules["12a5a"]["obtm"])
		switch turn.Kind() {
		case cube.SliceTurn:
			want = 2
		case cube.Rotation:
			want = number(t, rules["12a5b"]["obtm"])
		}
		assert.Equal(t, want, cube.Sequence{turn}.Count(), turn.String())
	}
	assert.Equal(t, 0, cube.Sequence{}.Count())
	assert.Equal(t, 7, parsed(t, "x R U2 r' M2 y' (F)2").Count())
}

// Half turns the other way round were in the text of 2010. Lower case is wide
// here, as people write today, and not the inner slice that it was then.
func TestNotationOf2010(t *testing.T) {
	rules := regulations(t)
	tokens := strings.Fields(strings.TrimSuffix(rules["12a4/12a8/12a16 (2010)"]["tokens_or_fact"], "..."))
	require.Equal(t, []string{"F2'", "Fw2'", "M2'"}, tokens)
	for _, token := range tokens {
		assert.Equal(t, parsed(t, strings.TrimSuffix(token, "'")), parsed(t, token))
	}
	letters := strings.Fields(rules["12a9 (2010)"]["tokens_or_fact"])
	require.Len(t, letters, 6)
	for _, letter := range letters {
		assert.Equal(t, parsed(t, strings.ToUpper(letter)+"w"), parsed(t, letter))
	}
}

// What a written solution of the Fewest Moves event must not contain: either
// people paste it all the same and it is read as they mean it, or it is refused.
func TestTokensNotPermittedInWrittenSolutions(t *testing.T) {
	read := map[string]string{
		"M": "M", "r": "r", "R2'": "R2", "Rr": "R r",
		"[r]": "r", "[r u]": "r u", "[F]": "F", "[f]'": "f'", "[f]2": "f f", "[x]": "x",
		"(x)": "x", "(L)": "L", "(U)2": "U U", "(U)'": "U'", "(R U)'": "U' R'", "(R U R')": "R U R'",
	}
	tokens := strings.Split(regulations(t)["E2c4+"]["tokens_or_fact"], " | ")
	require.Len(t, tokens, 44)
	for _, token := range tokens {
		s, err := cube.Parse(token)
		if want, ok := read[token]; ok {
			require.NoError(t, err, token)
			assert.Equal(t, want, s.String(), token)
			delete(read, token)
		} else {
			var e *cube.ParseError
			assert.ErrorAs(t, err, &e, "%s is read as %s", token, s)
		}
	}
	assert.Empty(t, read, "not in the list of the regulations")
}
