package api_test

import (
	"net/http"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

// As solves reach the places, each counts as often as it was met: the frequencies are those of the
// counted file, and what a lesson saves in all is what it saves at its place, so often. What is
// next saves most in all, and is in its place's own list.
func TestLearningAsSolvesReachThePlaces(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	file, err := os.ReadFile("../../forecast/routes/places/places.tsv")
	require.NoError(t, err)
	met, sum := map[string]float64{}, 0.0
	for line := range strings.Lines(string(file)) {
		if name, count, ok := strings.Cut(strings.TrimSpace(line), "\t"); ok && strings.HasPrefix(name, "BL-") {
			met[name], err = strconv.ParseFloat(count, 64)
			require.NoError(t, err)
			sum += met[name]
		}
	}
	require.Len(t, met, 42)
	for count, frequency := range map[string]func(place map[string]any) float64{
		"":             func(place map[string]any) float64 { return place["cases"].(float64) / 32400 },
		"&count=cases": func(place map[string]any) float64 { return place["cases"].(float64) / 32400 },
		"&count=met":   func(place map[string]any) float64 { return met[place["place"].(string)] / sum },
	} {
		told := s.Ask("GET", "/api/v1/learning/places?slot=BL"+count, "", "").Must(t)
		often := map[string]float64{}
		for _, p := range told["places"].([]any) {
			place := p.(map[string]any)
			often[place["place"].(string)] = frequency(place)
			assert.InDelta(t, frequency(place), place["frequency"].(float64), 1e-6)
		}
		next := told["next"].([]any)
		require.NotEmpty(t, next)
		last := 1.0
		for i, n := range next {
			lesson := n.(map[string]any)
			name := lesson["place"].(string)
			assert.InDelta(t, lesson["saves"].(float64)*often[name], lesson["saves_in_all"].(float64), 0.00101)
			assert.LessOrEqual(t, lesson["saves_in_all"].(float64), last)
			last = lesson["saves_in_all"].(float64)
			if i > 0 {
				continue
			}
			list := s.Ask("GET", "/api/v1/learning?place="+name+count, "", "").Must(t)
			assert.InDelta(t, often[name], list["frequency"].(float64), 1e-6)
			found := false
			for _, l := range list["lessons"].([]any) {
				of := l.(map[string]any)
				assert.InDelta(t, of["saves"].(float64)*often[name], of["saves_in_all"].(float64), 0.00101)
				found = found || of["turns"] == lesson["turns"] && of["saves_in_all"] == lesson["saves_in_all"]
			}
			assert.True(t, found, lesson)
		}
	}
	assert.Contains(t, s.Ask("GET", "/manual", "", "").Body.String(), "How often each place comes", "the manual says what count is as a parameter")
	alike, reached := s.Ask("GET", "/api/v1/learning/places?slot=BL", "", "").Must(t)["next"], s.Ask("GET", "/api/v1/learning/places?count=met&slot=BL", "", "").Must(t)["next"]
	assert.NotEqual(t, alike, reached)
	for _, address := range []string{"/api/v1/learning/places?slot=BL&count=", "/api/v1/learning?place=FR-UFR.R-UB.U&count="} {
		for wrong, says := range map[string]string{"often": "use cases or met", "": "use cases or met", "met&count=met": "2 times"} {
			field, detail := s.Ask("GET", address+wrong, "", "").Refused(t, http.StatusBadRequest)
			assert.Equal(t, "count", field)
			assert.Contains(t, detail, says)
		}
	}
}
