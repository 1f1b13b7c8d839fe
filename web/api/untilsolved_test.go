package api_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/pll"
	"slotcast/web/webtest/site"
)

// finishers are keys of people who do PLL in different ways: one who rates all alike, one by
// letters, with a sequence of their own that leaves another face on top, and one with one hand who
// has learnt ten algorithms.
func finishers(t *testing.T, s site.Service) (keys []string) {
	t.Helper()
	alike, byLetters, ten := s.NewKey(t), s.NewKey(t), s.NewKey(t)
	s.Ask("PUT", "/api/v1/preferences/pll", alike, `{"value": "5"}`).Must(t)
	s.Ask("PUT", "/api/v1/preferences/pll", byLetters, `{"value": "2"}`).Must(t)
	for i, letters := range pll.Letters() {
		s.Ask("PUT", "/api/v1/plls/"+letters, byLetters, fmt.Sprintf(`{"rating": %d}`, i%5+1)).Must(t)
	}
	s.Ask("PUT", "/api/v1/plls/T", byLetters, `{"rating": 4, "turns": "R U R' U' R' F R2 U' R' U' R U R' F' x"}`).Must(t)
	s.Ask("PUT", "/api/v1/own-sequences", byLetters, `{"oll": 27, "turns": "R U R' U R U2 R' x"}`).Must(t)
	s.Ask("PUT", "/api/v1/preferences/learnt", ten, `{"value": "ten"}`).Must(t)
	s.Ask("PUT", "/api/v1/preferences/hands", ten, `{"value": "left"}`).Must(t)
	return []string{"", alike, byLetters, ten}
}

// 500 pasted positions, all that is free drawn and any face with the cross, are solved to the end
// by the sticker model: hold, turns, then, sequence, pll_turns and last leave every face of one
// colour. Totals are the plain sums, in order; and but for the PLL an option says what it says
// until the top is oriented.
func TestPastedPositionsAreSolvedToTheEnd(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	random := rand.New(rand.NewPCG(500, 13))
	keys := finishers(t, s)
	asked := func(key string, parameters ...string) (f site.ForecastAnswer) {
		t.Helper()
		a := s.Ask("GET", site.ForecastURL(parameters...), key, "")
		require.Equal(t, http.StatusOK, a.Code, "%s", a.Body)
		require.NoError(t, json.Unmarshal(a.Body.Bytes(), &f))
		return f
	}
	met := map[string]bool{}
	positions := 500 / cubetest.Stride(t, 23)
	for n := range positions {
		c := lastslot.CaseAt(random.IntN(lastslot.Cases))
		scramble := cube.Join(c.Scramble(cube.FaceD, random), cube.Hold(n%cube.Holds).Turns())
		parameters := []string{"scramble", scramble.String()}
		f := asked(keys[n%len(keys)], append(parameters, "until", "solved", "limit", "5")...)
		require.NotEmpty(t, f.Options)
		plain := map[string]site.OptionAnswer{}
		if n%25 == 0 {
			for _, o := range asked(keys[n%len(keys)], append(parameters, "limit", "500")...).Options {
				assert.Nil(t, o.PLL)
				plain[o.Turns] = o
			}
		}
		before := 0
		for _, o := range f.Options {
			require.NotNil(t, o.PLL)
			met[*o.PLL] = true
			var all cube.Sequence
			for _, part := range []string{scramble.String(), f.Hold, o.Turns, o.Then, o.Sequence, *o.PLLTurns, *o.Last} {
				all = cube.Join(all, site.MustParse(t, part))
			}
			end := all.Cube().Hold()
			require.Equal(t, cubetest.Of(end.Cube()), cubetest.Of(cube.Solved).Do(all), "%+v", o)
			total := site.Milliseconds(t, o.Seconds.Total)
			sum := site.Milliseconds(t, o.Seconds.Insert) + site.Milliseconds(t, o.Seconds.Recognise) + site.Milliseconds(t, o.Seconds.Execute) + site.Milliseconds(t, o.Seconds.PLL)
			require.Equal(t, sum, total)
			require.GreaterOrEqual(t, total, before, "in order")
			before = total
			if until, ok := plain[o.Turns]; ok {
				until.PLL, until.PLLTurns, until.Last, until.Seconds.PLL, until.Seconds.Total = o.PLL, o.PLLTurns, o.Last, o.Seconds.PLL, o.Seconds.Total
				assert.Equal(t, until, o)
			}
		}
	}
	if positions == 500 {
		assert.Len(t, met, pll.PLLs, "every PLL, and none")
	}
}

// until is read with a scramble alone.
func TestUntilIsRead(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	scramble := url.QueryEscape("R U R'")
	plain := s.Ask("GET", "/api/v1/forecast?scramble="+scramble, "", "").Body.String()
	assert.Equal(t, plain, s.Ask("GET", "/api/v1/forecast?until=oriented&scramble="+scramble, "", "").Body.String())
	assert.Equal(t, http.StatusOK, s.Ask("GET", "/api/v1/forecast?until=oriented&case="+lastslot.CaseAt(7).Code(), "", "").Code)
	for address, says := range map[string]string{
		"/api/v1/forecast?until=solved&case=" + lastslot.CaseAt(7).Code(): "give a scramble",
		"/api/v1/forecast?until=done&scramble=" + scramble:                "use oriented or solved",
		"/api/v1/forecast?until=&scramble=" + scramble:                    "use oriented or solved",
		"/api/v1/forecast?until=solved&until=solved&scramble=" + scramble: "2 times",
		"/api/v1/insertions?oll=0&until=solved&scramble=" + scramble:      "unknown here",
	} {
		field, detail := s.Ask("GET", address, "", "").Refused(t, http.StatusBadRequest)
		assert.Equal(t, "until", field)
		assert.Contains(t, detail, says, address)
	}
	// Only the best for each pattern, and what is known, in the order until solved.
	for _, more := range []string{"&per=pattern", "&view=known", "&predicted=true", "&max_count=7&rotation=none&hand=right"} {
		options := s.Ask("GET", "/api/v1/forecast?until=solved&scramble="+scramble+more, "", "").Must(t)["options"].([]any)
		assert.NotEmpty(t, options, more)
		for _, o := range options {
			assert.Contains(t, o, "pll_turns")
		}
	}
}

// What is said of PLLs is kept in both databases, exported and read again, and removed; what does
// not solve the PLL is refused with what it does.
func TestPLLsAreKept(t *testing.T) {
	t.Parallel()
	for name, database := range databases(t) {
		t.Run(name, func(t *testing.T) {
			s := site.At(t, database, "")
			key, other := s.NewKey(t), s.NewKey(t)
			assert.JSONEq(t, `{"plls": []}`, s.Ask("GET", "/api/v1/plls", key, "").Body.String())
			s.Ask("PUT", "/api/v1/plls/Ua", key, `{"rating": 2, "turns": "U R U' R U R U R U' R' U' R2"}`).Must(t)
			answer := s.Ask("PUT", "/api/v1/plls/T", key, `{"rating": 5}`).Must(t)
			assert.Equal(t, map[string]any{"pll": "T", "rating": 5.0}, answer)
			const given = `{"plls": [{"pll": "T", "rating": 5}, {"pll": "Ua", "rating": 2, "turns": "R U' R U R U R U' R' U' R2"}]}`
			assert.JSONEq(t, given, s.Ask("GET", "/api/v1/plls", key, "").Body.String())
			require.Equal(t, http.StatusNoContent, s.Ask("POST", "/api/v1/import", other, s.Export(t, key)).Code)
			assert.JSONEq(t, given, s.Ask("GET", "/api/v1/plls", other, "").Body.String())
			s.Ask("PUT", "/api/v1/plls/Ua", key, `{"turns": "M2 U M U2 M' U M2"}`).Must(t)
			assert.JSONEq(t, `{"plls": [{"pll": "T", "rating": 5}, {"pll": "Ua", "turns": "M2 U M U2 M' U M2"}]}`, s.Ask("GET", "/api/v1/plls", key, "").Body.String())
			assert.Equal(t, http.StatusNoContent, s.Ask("DELETE", "/api/v1/plls/T", key, "").Code)
			assert.Equal(t, http.StatusNoContent, s.Ask("DELETE", "/api/v1/plls/Ua", key, "").Code)
			assert.JSONEq(t, `{"plls": []}`, s.Ask("GET", "/api/v1/plls", key, "").Body.String())

			field, detail := s.Ask("PUT", "/api/v1/plls/X", key, `{"rating": 2}`).Refused(t, http.StatusBadRequest)
			assert.Equal(t, "pll", field)
			assert.Contains(t, detail, "no PLL “X”")
			for body, says := range map[string]string{`{}`: "nothing said", `{"rating": 6}`: "6 is not a rating", `{"turns": "R Q"}`: "Q"} {
				_, detail := s.Ask("PUT", "/api/v1/plls/H", key, body).Refused(t, http.StatusBadRequest)
				assert.Contains(t, detail, says, body)
			}
			field, detail = s.Ask("PUT", "/api/v1/plls/H", key, `{"turns": "R U' R U R U R U' R' U' R2"}`).Refused(t, http.StatusUnprocessableEntity)
			assert.Equal(t, "turns", field)
			assert.Contains(t, detail, "it solves PLL Ua, not H")
			for list, says := range map[string]string{`[{"pll": "A"}]`: "plls[0].pll", `[{"pll": "Aa"}]`: "plls[0]", `[{"pll": "H", "turns": "R U R'"}]`: "plls[0].turns"} {
				answer := s.Ask("POST", "/api/v1/import", key, `{"format": "slotcast", "version": 5, "plls": `+list+`}`)
				assert.Contains(t, []int{http.StatusBadRequest, http.StatusUnprocessableEntity}, answer.Code)
				assert.Contains(t, answer.Body.String(), says)
			}
			// A file from before there were PLLs in it.
			require.Equal(t, http.StatusNoContent, s.Ask("POST", "/api/v1/import", key, `{"format": "slotcast", "version": 4, "ratings": [{"oll": 27, "execute": 4, "learnt": true}]}`).Code)
			assert.JSONEq(t, `{"ratings": [{"oll": 27, "execute": 4, "learnt": true}]}`, s.Ask("GET", "/api/v1/ratings", key, "").Body.String())
			s.Ask("PUT", "/api/v1/preferences/pll", key, `{"value": "6"}`).Refused(t, http.StatusBadRequest)
		})
	}
}

// The book's sequences are listed, several for each of the 21.
func TestPLLSequences(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	list := s.Ask("GET", "/api/v1/pll-sequences", "", "").Must(t)["plls"].([]any)
	require.Len(t, list, pll.PLLs-1)
	for i, one := range list {
		of := pll.PLL(i + 1)
		assert.Equal(t, of.String(), one.(map[string]any)["pll"])
		sequences := one.(map[string]any)["sequences"].([]any)
		assert.Greater(t, len(sequences), 1)
		for _, turns := range sequences {
			_, err := pll.CheckSequence(of, site.MustParse(t, turns.(string)))
			assert.NoError(t, err)
		}
	}
}
