package api_test

import (
	"encoding/json"
	"math/rand/v2"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
	"slotcast/web/webtest/site"
)

// routesTold is what /api/v1/routes answers, as it is read outside.
type routesTold struct {
	Case, Hold string
	Open       []string
	All        int
	Alike      int
	Routes     []struct {
		Fills string
		First struct {
			Turns      string
			Count      int
			Known      bool
			Techniques []string
		}
		Case, Slot string
		Last       json.RawMessage
		Near       bool
		Seconds    struct{ First, Last, Total float64 }
	}
}

func routesOf(t *testing.T, s site.Service, key, query string) (told routesTold) {
	t.Helper()
	a := s.Ask("GET", "/api/v1/routes?"+query, key, "")
	require.Equal(t, 200, a.Code, a.Body)
	require.NoError(t, json.Unmarshal(a.Body.Bytes(), &told))
	return told
}

// The routes of random positions, told by a scramble with the cross on any face and by the
// code: after hold and turns the cross and three slots are solved and the case is the one
// that is named; its best option is what the forecast says first, and times add up.
func TestRoutes(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	s.Ask("PUT", "/api/v1/ratings/27", key, `{"recognise": 1, "execute": 1}`).Must(t)
	random := rand.New(rand.NewPCG(31, 32))
	for i := range 40 / cubetest.Stride(t, 5) {
		c := twoslots.CaseAt(random.IntN(twoslots.Cases))
		down := lastslot.CrossHolds[i%len(lastslot.CrossHolds)]
		// Who holds the puzzle with another face down turns the scramble's mirror of that.
		scramble := c.Scramble(cube.FaceD, random).In(down.Inverse())
		who := []string{"", key}[i%2]
		view := []string{"all", "known"}[i/2%2]
		query := "limit=5&view=" + view + "&scramble=" + url.QueryEscape(scramble.String())
		told := routesOf(t, s, who, query)
		found, err := twoslots.Find(scramble.Cube(), nil)
		require.NoError(t, err)
		require.Equal(t, found.Case.Code(), told.Case)
		require.Equal(t, found.Hold.Turns().String(), told.Hold)
		require.Equal(t, found.Case.Open.String(), strings.Join(told.Open, ","))
		byCode := routesOf(t, s, who, "limit=5&view="+view+"&case="+strings.ToLower(told.Case))
		assert.Empty(t, byCode.Hold)
		require.Equal(t, told.Routes, byCode.Routes)
		require.NotEmpty(t, told.Routes)
		require.True(t, told.Routes[0].Near)
		for n, r := range told.Routes {
			assert.InDelta(t, r.Seconds.Total, r.Seconds.First+r.Seconds.Last, 1e-9)
			require.True(t, n == 0 || told.Routes[n-1].Seconds.Total <= r.Seconds.Total)
			require.Contains(t, told.Open, r.Fills)
			slot, err := lastslot.ParseSlot(r.Slot)
			require.NoError(t, err)
			after := scramble.Cube().Do(cubetest.Sequence(t, told.Hold+" "+r.First.Turns))
			left, err := lastslot.Find(after, &slot)
			require.NoError(t, err)
			require.Equal(t, cube.Hold(0), left.Hold)
			require.Equal(t, r.Case, left.Case.Code())

			var forecast struct{ Options []json.RawMessage }
			a := s.Ask("GET", "/api/v1/forecast?limit=1&view="+view+"&case="+r.Case, who, "")
			require.NoError(t, json.Unmarshal(a.Body.Bytes(), &forecast))
			require.JSONEq(t, string(forecast.Options[0]), string(r.Last))
		}
	}
}

// Where only the pairs are seen, or one of them, there is no case left to name, seconds are
// means, and whatever looks the same is answered the same.
func TestRoutesOfWhatIsSeen(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	random := rand.New(rand.NewPCG(71, 72))
	c := twoslots.CaseAt(random.IntN(twoslots.Cases))
	open := c.Open.Slots()
	for seen, alike := range map[string]int{"all": 1, "pairs": 216, open[0].String(): 32400, strings.ToLower(open[1].String()): 32400} {
		told := routesOf(t, s, "", "case="+c.Code()+"&limit=10&seen="+seen)
		require.Len(t, told.Routes, 10)
		assert.Equal(t, alike, told.Alike)
		for _, r := range told.Routes {
			assert.Equal(t, seen == "all", r.Case != "")
			assert.Equal(t, seen == "all", r.Last != nil)
			assert.InDelta(t, r.Seconds.Total, r.Seconds.First+r.Seconds.Last, 1e-9)
			if alike == 32400 {
				assert.Equal(t, strings.ToUpper(seen), r.Fills)
			}
		}
		// Another top, with both pairs where they were.
		other := c
		for i := range twoslots.CasesPerOpen {
			other = twoslots.CaseAt(int(c.Open)*twoslots.CasesPerOpen + i)
			if other != c && other.PairPlace(open[0]) == c.PairPlace(open[0]) && other.PairPlace(open[1]) == c.PairPlace(open[1]) {
				break
			}
		}
		again := routesOf(t, s, "", "case="+other.Code()+"&limit=10&seen="+seen)
		assert.Equal(t, seen != "all", assert.ObjectsAreEqual(told.Routes, again.Routes), seen)
	}
}

// Where fewer than two slots are open the first solved ones are taken with them, or those
// that are named.
func TestRoutesTakeSolvedSlots(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	for query, open := range map[string]string{
		"scramble=U":                                                           "FR,FL",
		"scramble=U&open=br,fl":                                                "FL,BR",
		"scramble=" + url.QueryEscape("R' U R"):                                "FR,BR",
		"scramble=" + url.QueryEscape("R' U R") + "&open=BL,BR":                "BL,BR",
		"scramble=" + url.QueryEscape("R U R' L' U L"):                         "FR,FL",
		"scramble=" + url.QueryEscape("R U R'") + "&solution=x2":               "FR,FL",
		"open=FR,FL&scramble=" + url.QueryEscape("R U R' L' U L") + "&limit=3": "FR,FL",
	} {
		told := routesOf(t, s, "", query)
		assert.Equal(t, open, strings.Join(told.Open, ","), query)
		assert.GreaterOrEqual(t, told.All, len(told.Routes))
	}
	// A slot that is filled already is filled by doing nothing.
	told := routesOf(t, s, "", "limit=100&scramble="+url.QueryEscape("R U R'"))
	nothing := 0
	for _, r := range told.Routes {
		if r.First.Turns == "" {
			nothing++
			assert.Equal(t, "FL", r.Fills)
			assert.Zero(t, r.Seconds.First)
			assert.True(t, r.First.Known)
		}
	}
	assert.Equal(t, 1, nothing)
}

// Trouble is told with the parameter and, where it can be, the place in it.
func TestRoutesThatCannotBe(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	code := twoslots.CaseAt(4711).Code()
	for query, want := range map[string]struct {
		status      int
		field, says string
	}{
		"":                                                {400, "scramble", "missing"},
		"case=" + code + "&scramble=U":                    {400, "case", "beside scramble"},
		"case=" + code + "&solution=U":                    {400, "solution", "beside case"},
		"case=" + code + "&open=FR,FL":                    {400, "open", "beside case"},
		"case=" + code + "&case=" + code:                  {400, "case", "2 times"},
		"case=00000":                                      {400, "case", "7 characters"},
		"case=" + code[:6]:                                {400, "case", "7 characters"},
		"case=" + code + "&limit=0":                       {400, "limit", "1 to 100"},
		"case=" + code + "&seen=":                         {400, "seen", "use all, pairs, FR or FL"},
		"case=" + code + "&seen=BR":                       {400, "seen", "use all, pairs, FR or FL"},
		"case=" + code + "&view=mine":                     {400, "view", "all or known"},
		"case=" + code + "&per=pattern":                   {400, "per", "unknown here"},
		"scramble=Q":                                      {400, "scramble", "Q"},
		"scramble=U&open=FR":                              {400, "open", "two slots"},
		"scramble=U&open=FR,FR":                           {400, "open", "two slots"},
		"open=FL,BL&scramble=R+U+R%27":                    {422, "open", "FR (front right) is open"},
		"scramble=R+F+B2+D+L":                             {422, "scramble", "no face has a cross edge"},
		"scramble=U&solution=R+F+B2+D+L":                  {422, "solution", "no face has a cross edge"},
		"scramble=R+U+R%27+L+U+L%27+B+U+B%27+U2+L%27+U+L": {422, "scramble", "slots are open"},
	} {
		field, detail := s.Ask("GET", "/api/v1/routes?"+query, "", "").Refused(t, want.status)
		assert.Equal(t, want.field, field, query)
		assert.Contains(t, detail, want.says, query)
	}
}
