package api_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/web/webtest/site"
)

// From random positions, whatever colour the cross has, however the puzzle is
// held and wherever the slot is: for every pattern the insertions do what they
// say, on plain stickers, and the first has as few turns as the atlas says.
func TestShortestForEveryPattern(t *testing.T) {
	t.Parallel()
	h, patterns := site.NewHandler(t), publishedPatterns(t)
	shortest, err := site.LoadedAtlas()
	require.NoError(t, err)
	random := rand.New(rand.NewPCG(4, 1))
	positions := 700 / cubetest.Stride(t, 17)
	holds, slots := map[string]int{}, map[string]int{}
	for n := range positions {
		scramble, solution := lastSlotPosition(t, random)
		parameters := []string{"scramble", scramble.String(), "limit", "500", "per", "pattern"}
		if len(solution) > 0 {
			parameters = append(parameters, "solution", solution.String())
		}
		about := fmt.Sprintf("scramble %s, solution %s", scramble, solution)
		position := cubetest.Solved.Do(scramble).Do(solution)
		left := map[int]bool{}
		for _, edges := range []string{"dot", "line", "L", "cross"} {
			f := site.AskInsertions(t, h, append(parameters, "edges", edges)...)
			holds[f.Hold]++
			slots[f.Slot]++
			c, err := lastslot.ParseCode(f.Case)
			require.NoError(t, err)
			held := position.Do(site.MustParse(t, f.Hold))
			for i, o := range f.Options {
				if i > 0 && f.Options[i-1].Count > o.Count {
					t.Fatalf("%s: out of order: %s", about, o.Turns)
				}
				if o.Leaves.Edges != edges || o.Count != len(shortest.Shortest(c, lastslot.Pattern(o.Leaves.OLL)).Insertion) || strings.ContainsAny(o.Turns, "rludfbMESxyz") {
					t.Fatalf("%s: %+v", about, o)
				}
				if n%10 == i%10 {
					checkOption(t, held, o, patterns, about+": "+o.Turns)
				}
				left[o.Leaves.OLL] = true
			}
		}
		require.Len(t, left, lastslot.Patterns, about)
	}
	assert.Len(t, holds, 6, "the cross was on every face")
	assert.Len(t, slots, 4, "every slot was open")
}

// No insertion of the forecast is shorter than the shortest or easier than the
// easiest, and both orders leave what is wanted.
func TestInsertionsAgreeWithTheForecast(t *testing.T) {
	t.Parallel()
	h, patterns := site.NewHandler(t), publishedPatterns(t)
	step := cubetest.Stride(t, 5)
	for index := 11; index < lastslot.Cases; index += 4999 * step {
		code := lastslot.CaseAt(index).Code()
		byPattern := map[int][]site.OptionAnswer{}
		for _, o := range site.AskForecast(t, h, "case", code, "limit", "500").Options {
			byPattern[o.Leaves.OLL] = append(byPattern[o.Leaves.OLL], o)
		}
		for oll := range patterns {
			number := strconv.Itoa(oll)
			short := site.AskInsertions(t, h, "case", code, "oll", number).Options
			easy := site.AskInsertions(t, h, "case", code, "oll", number, "order", "easiest").Options
			require.NotEmpty(t, short)
			require.NotEmpty(t, easy)
			for _, o := range slices.Concat(short, easy) {
				require.Equal(t, oll, o.Leaves.OLL, o.Turns)
			}
			require.True(t, slices.IsSortedFunc(easy, func(a, b site.OptionAnswer) int {
				return site.Milliseconds(t, a.Seconds.Insert) - site.Milliseconds(t, b.Seconds.Insert)
			}))
			for _, o := range byPattern[oll] {
				require.LessOrEqual(t, short[0].Count, o.Count, "%s, but %s", short[0].Turns, o.Turns)
				require.LessOrEqual(t, site.Milliseconds(t, easy[0].Seconds.Insert), site.Milliseconds(t, o.Seconds.Insert), "%s, but %s", easy[0].Turns, o.Turns)
			}
		}
	}
}

// “Easiest of N”: N is the number of ways, whatever the limit, and it is said in
// what they were searched.
func TestEasiestOfHowMany(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	code := lastslot.CaseAt(31_416).Code()
	all := 0
	for oll := range lastslot.Patterns {
		parameters := []string{"case", code, "oll", strconv.Itoa(oll), "order", "easiest"}
		whole, first := site.AskInsertions(t, h, append(parameters, "limit", "500")...), site.AskInsertions(t, h, append(parameters, "limit", "1")...)
		require.Len(t, first.Options, 1)
		assert.Equal(t, whole.Ways, first.Ways)
		assert.Len(t, whole.Options, min(whole.Ways, 500))
		assert.Equal(t, whole.Options[0], first.Options[0])
		assert.Contains(t, first.Searched, "R U to 13")
		all += whole.Ways
	}
	book := forecasttest.Book()
	assert.Len(t, book.For(forecast.Anyone()).Forecast(forecast.Request{Case: lastslot.CaseAt(31_416)}), all)
	assert.Contains(t, site.AskInsertions(t, h, "case", code, "oll", "0").Searched, "none is shorter")
}

// Where the pair is solved nothing needs to be done to leave what is there.
func TestNothingToInsert(t *testing.T) {
	t.Parallel()
	f := site.AskInsertions(t, site.NewHandler(t), "scramble", "R U R' U R U2 R'", "oll", "27", "limit", "1")
	other := site.AskInsertions(t, site.NewHandler(t), "scramble", "R U R' U R U2 R'", "oll", "26", "limit", "1")
	zero := slices.DeleteFunc(slices.Concat(f.Options, other.Options), func(o site.OptionAnswer) bool { return o.Count > 0 })
	require.Len(t, zero, 1, "the scramble leaves one of the two")
	assert.Empty(t, zero[0].Turns)
}

func TestWhatBadWishesGet(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	code := lastslot.CaseAt(5).Code()
	for _, tt := range []struct {
		name       string
		parameters []string
		field      string
		offset     int
	}{
		{"no wish", nil, "oll", site.None},
		{"both wishes", []string{"oll", "3", "edges", "dot"}, "oll", site.None},
		{"pattern twice", []string{"oll", "3", "oll", "4"}, "oll", site.None},
		{"edges twice", []string{"edges", "L", "edges", "dot"}, "edges", site.None},
		{"order twice", []string{"oll", "3", "order", "easiest", "order", "easiest"}, "order", site.None},
		{"pattern 58", []string{"oll", "58"}, "oll", 0},
		{"no number", []string{"oll", "-1"}, "oll", 0},
		{"empty pattern", []string{"oll", ""}, "oll", 0},
		{"unknown edges", []string{"edges", "star"}, "edges", 0},
		{"empty edges", []string{"edges", ""}, "edges", 0},
		{"unknown order", []string{"oll", "3", "order", "longest"}, "order", 0},
		{"limit", []string{"oll", "3", "limit", "0"}, "limit", 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, body := site.Ask(t, h, http.MethodGet, site.InsertionsURL(append([]string{"case", code}, tt.parameters...)...))
			assert.Equal(t, 400, got.StatusCode)
			assert.Equal(t, "application/problem+json", got.Header.Get("Content-Type"))
			var p site.ProblemAnswer
			require.NoError(t, json.Unmarshal([]byte(body), &p))
			assert.Equal(t, tt.field, p.Field, body)
			if tt.offset == site.None {
				assert.Nil(t, p.Offset)
			} else if assert.NotNil(t, p.Offset) {
				assert.Equal(t, tt.offset, *p.Offset)
			}
		})
	}
	got, _ := site.Ask(t, h, http.MethodGet, site.InsertionsURL("scramble", "R U F D L B2", "oll", "3"))
	assert.Equal(t, 422, got.StatusCode)
}
