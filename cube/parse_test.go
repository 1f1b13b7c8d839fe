package cube_test

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
)

func TestParse(t *testing.T) {
	for text, want := range map[string]string{
		"":             "",
		" \t\n ":       "",
		"R U R' U'":    "R U R' U'",
		"RUR'U'":       "R U R' U'",
		"R  U\tR'\nU'": "R U R' U'",
		"R\r\nU\r\n":   "R U",
		"RUR'U'R'FR2":  "R U R' U' R' F R2",

		// Half turns, either way round.
		"R2 R2' r2' M2'": "R2 R2 r2 M2",
		// Apostrophes of keyboards, word processors and input methods.
		"R’ R‘ R′ R` R´ Rʼ Rʹ R＇": "R' R' R' R' R' R' R' R'",
		// A 2 belongs to what stands before it where it can.
		"U2Rw": "U2 r", "U 2Rw": "U r", "U22Rw": "U2 r", "U'2Rw": "U' r", "2Rw2": "r2", "2Rw2'2Lw'": "r2 l'",
		// Wide turns in their three spellings.
		"r Rw 2Rw":    "r r r",
		"u'd2l fb":    "u' d2 l f b",
		"M E' S2xy'z": "M E' S2 x y' z",

		// Groups, nested, repeated, undone.
		"(R U R' U')":       "R U R' U'",
		"[R U] (F)":         "R U F",
		"(R U)2":            "R U R U",
		"(R U)'":            "U' R'",
		"(R U)2'":           "U' R' U' R'",
		"(R [U F]2)' D":     "F' U' F' U' R' D",
		"(R)2Rw":            "R R r",
		"()99 [ ]":          "",
		"(R2)12 ":           strings.TrimSpace(strings.Repeat("R2 ", 12)),
		"(x)(y)(z')":        "x y z'",
		"y'(R U' R')\n(U)2": "y' R U' R' U U",

		// Comments and invisible characters that come with pasted text.
		"R U // cross\nF // first pair": "R U F",
		"// R U":                        "",
		"R//\rU//\nF":                   "R U F",
		"\ufeffR\u00a0U\u200bF":         "R U F",
		"R U // (":                      "R U",
		"(R // )\nU)2":                  "R U R U",
	} {
		s, err := cube.Parse(text)
		if assert.NoError(t, err, text) {
			assert.Equal(t, want, s.String(), text)
		}
	}
}

// An error says where, in characters and not bytes, and what stands there.
func TestParseErrors(t *testing.T) {
	const (
		notATurn = "not a turn"
		unopened = "a closing bracket without its opening one"
		unclosed = "a bracket that is not closed"
		repeated = "a group is repeated 1 to 99 times"
	)
	for _, c := range []struct {
		text   string
		offset int
		token  string
		reason string
	}{
		{"R U Q", 4, "Q", notATurn},
		{"Q", 0, "Q", notATurn},
		{"R U hello F", 4, "hello", notATurn},
		{"R’ ’", 3, "’", notATurn},
		{"R′U′€ F", 4, "€", notATurn},
		{"R3", 0, "R3", notATurn},
		{"R U4 F", 2, "U4", notATurn},
		{"R''", 0, "R''", notATurn},
		{"R'2", 0, "R'2", notATurn},
		{"R22", 0, "R22", notATurn},
		{"2R", 0, "2R", notATurn},
		{"3Rw", 0, "3Rw", notATurn},
		{"1Rw", 0, "1Rw", notATurn},
		{"2rw", 0, "2rw", notATurn},
		{"rw", 0, "rw", notATurn},
		{"Mw", 0, "Mw", notATurn},
		{"2Mw", 0, "2Mw", notATurn},
		{"R2w", 2, "w", notATurn},
		{"R'w U", 2, "w", notATurn},
		{"X", 0, "X", notATurn},
		{"e", 0, "e", notATurn},
		{"R U2 - F", 5, "-", notATurn},
		{"R / U", 2, "/", notATurn},
		{"R, U", 1, ",", notATurn},
		{"(R, U)", 2, ",", notATurn},
		{"Ra(U)", 1, "a", notATurn},
		{"R\nU\nnope", 4, "nope", notATurn},
		{"R // Q\nQ", 7, "Q", notATurn},
		{"R \xff", 2, "\ufffd", notATurn},
		{"R \x00", 2, "\x00", notATurn},
		{"thisisnoturnbutaverylongword", 0, "thisisnoturnbutavery…", notATurn},
		{"R)", 1, ")", unopened},
		{"(R]", 2, "]", unopened},
		{"[R (U]", 5, "]", unopened},
		{"R (U F", 2, "(", unclosed},
		{"R (U [F)]", 7, ")", unopened},
		{"(R [U", 3, "[", unclosed},
		{"(R // )", 0, "(", unclosed},
		{"(R)0", 3, "0", repeated},
		{"(R U)100", 5, "100", repeated},
		{"(R)00", 3, "00", repeated},
		{"(R)'2", 4, "2", notATurn},
		{"(R)''", 4, "'", notATurn},
		{"(R) 2", 4, "2", notATurn},
		{"U ((R)99)99", 2, "((R)99)99", "repeated, it makes more than 4096 turns"},
		{"(((R)64)64) U", 12, "U", "a sequence has at most 4096 turns"},
		{strings.Repeat("U", 4097), 4096, "", "a sequence has at most 4096 characters; this one has 4097"},
	} {
		s, err := cube.Parse(c.text)
		var e *cube.ParseError
		if assert.ErrorAs(t, err, &e, "%q is read as %s", c.text, s) {
			assert.Equal(t, cube.ParseError{Offset: c.offset, Token: c.token, Reason: c.reason}, *e, "%q", c.text)
			assert.Nil(t, s, "%q", c.text)
		}
	}
}

// The message counts characters from 1, as people do.
func TestParseErrorMessage(t *testing.T) {
	_, err := cube.Parse("R U Q")
	assert.EqualError(t, err, "not a turn: “Q” (at character 5)")
	_, err = cube.Parse(strings.Repeat("U", 5000))
	assert.EqualError(t, err, "a sequence has at most 4096 characters; this one has 5000 (at character 4097)")
}

func TestParseAtItsLimits(t *testing.T) {
	assert.Len(t, parsed(t, strings.Repeat("U", cube.MaxLength)), cube.MaxLength)
	assert.Len(t, parsed(t, "((R)64)64"), cube.MaxLength)
	deep := cube.MaxLength / 2
	assert.Empty(t, parsed(t, strings.Repeat("(", deep)+strings.Repeat(")", deep)))
	// Characters are counted, not bytes.
	assert.Len(t, parsed(t, strings.Repeat("U’", cube.MaxLength/2)), cube.MaxLength/2)
}

// Every turn is read as it is printed.
func TestParseReadsWhatIsPrinted(t *testing.T) {
	var all cube.Sequence
	for turn := range cube.Turn(cube.Turns) {
		assert.Equal(t, cube.Sequence{turn}, parsed(t, turn.String()))
		all = append(all, turn)
	}
	assert.Equal(t, all, parsed(t, all.String()))
	assert.Equal(t, all, parsed(t, strings.ReplaceAll(all.String(), " ", "")))
}

func FuzzParse(f *testing.F) {
	f.Fuzz(func(t *testing.T, text string) {
		s, err := cube.Parse(text)
		if err != nil {
			var e *cube.ParseError
			require.True(t, errors.As(err, &e))
			characters := []rune(text)
			require.GreaterOrEqual(t, e.Offset, 0)
			require.LessOrEqual(t, e.Offset, len(characters))
			require.NotEmpty(t, e.Reason)
			require.True(t, utf8.ValidString(e.Error()))
			// A long token is cut and marked so.
			rest := string(characters[e.Offset:])
			require.True(t, strings.HasPrefix(rest, strings.TrimSuffix(e.Token, "…")), "%q at %d of %q", e.Token, e.Offset, text)
			return
		}
		require.LessOrEqual(t, len(s), cube.MaxLength)
		// Printed, a turn takes up to three characters with its space, so what
		// fits when read may not fit when printed.
		if printed := s.String(); len(printed) <= cube.MaxLength {
			again, err := cube.Parse(printed)
			require.NoError(t, err, "%q printed as %q", text, printed)
			require.Equal(t, s, again, "%q printed as %q", text, printed)
		}
		require.Equal(t, cube.Solved, cube.Join(s, s.Inverse()).Cube())
	})
}
