package api_test

import (
	"math/rand/v2"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/web/webtest/site"
)

// What is offered within bounds, by both routes, is what all of it has within
// them.
func TestBoundsOfWhatIsOffered(t *testing.T) {
	t.Parallel()
	h := site.NewHandler(t)
	random := rand.New(rand.NewPCG(5, 5))
	bounds := []struct {
		query []string
		lets  func(site.OptionAnswer) bool
	}{
		{[]string{"rotation", "none"}, func(o site.OptionAnswer) bool { return !strings.Contains(o.Turns, "y") }},
		{[]string{"hand", "right"}, func(o site.OptionAnswer) bool { return !strings.ContainsAny(o.Turns, "Ll") }},
		{[]string{"hand", "left"}, func(o site.OptionAnswer) bool { return !strings.ContainsAny(o.Turns, "Rr") }},
		{[]string{"max_count", "8"}, func(o site.OptionAnswer) bool { return o.Count <= 8 }},
		{[]string{"hand", "right", "max_count", "9", "rotation", "none"}, func(o site.OptionAnswer) bool {
			return o.Count <= 9 && !strings.ContainsAny(o.Turns, "yLl")
		}},
	}
	for range 10 {
		code := lastslot.CaseAt(random.IntN(lastslot.Cases)).Code()
		for _, b := range bounds {
			for _, o := range site.AskInsertions(t, h, append([]string{"case", code, "limit", "500", "edges", "cross", "order", "easiest"}, b.query...)...).Options {
				assert.True(t, b.lets(o), "%v: %s", b.query, o.Turns)
			}
		}
		all := site.AskForecast(t, h, "case", code, "limit", "500").Options
		for _, b := range bounds {
			want := []site.OptionAnswer{}
			for _, o := range all {
				if b.lets(o) {
					want = append(want, o)
				}
			}
			offered := site.AskForecast(t, h, append([]string{"case", code, "limit", "500"}, b.query...)...).Options
			require.GreaterOrEqual(t, len(offered), len(want))
			assert.Equal(t, want, offered[:len(want)], "%v", b.query)
		}
	}
	for _, s := range [][3]string{{"rotation", "y", "use none"}, {"hand", "both", "right or left"}, {"max_count", "0", "from 1 to 100"}, {"max_count", "ten", "not a whole number"}} {
		got, body := site.Ask(t, h, http.MethodGet, site.ForecastURL("case", lastslot.CaseAt(7).Code(), s[0], s[1]))
		assert.Equal(t, http.StatusBadRequest, got.StatusCode)
		assert.Contains(t, body, `"field":"`+s[0]+`"`)
		assert.Contains(t, body, s[2])
	}
}
