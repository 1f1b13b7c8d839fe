package site

import (
	"encoding/json"
	"net/http"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/cube"
)

// ForecastAnswer is a forecast as it is read outside.
type ForecastAnswer struct {
	Case, Hold, Slot string
	Options          []OptionAnswer
}

type OptionAnswer struct {
	Turns            string
	Leaves           OutcomeAnswer
	Then, Sequence   string
	Count, Track     int
	Predicted, Known bool
	Seconds          struct{ Insert, Recognise, Execute, Total, PLL json.Number }
	// With until=solved.
	PLL, Last *string
	PLLTurns  *string `json:"pll_turns"`
}

type OutcomeAnswer struct {
	OLL             int
	Edges           string
	CornersOriented int `json:"corners_oriented"`
	Facing          string
}

func AskForecast(t testing.TB, h http.Handler, parameters ...string) ForecastAnswer {
	t.Helper()
	got, body := Ask(t, h, http.MethodGet, ForecastURL(parameters...))
	require.Equal(t, 200, got.StatusCode, body)
	require.Equal(t, "application/json", got.Header.Get("Content-Type"))
	var f ForecastAnswer
	decoder := json.NewDecoder(strings.NewReader(body))
	decoder.DisallowUnknownFields()
	require.NoError(t, decoder.Decode(&f), body)
	return f
}

// Milliseconds reads seconds with at most three decimals.
func Milliseconds(t testing.TB, n json.Number) int {
	t.Helper()
	whole, part, _ := strings.Cut(n.String(), ".")
	require.LessOrEqual(t, len(part), 3, n)
	ms, err := strconv.Atoi(whole + part + strings.Repeat("0", 3-len(part)))
	require.NoError(t, err, n)
	return ms
}

func MustParse(t testing.TB, text string) cube.Sequence {
	t.Helper()
	s, err := cube.Parse(text)
	require.NoError(t, err)
	return s
}

func InsertionsURL(parameters ...string) string {
	return strings.Replace(ForecastURL(parameters...), "/forecast?", "/insertions?", 1)
}

// InsertionsAnswer is the answer as the interface's page has it.
type InsertionsAnswer struct {
	ForecastAnswer
	Ways     int    `json:"ways"`
	Searched string `json:"searched"`
}

func AskInsertions(t testing.TB, h http.Handler, parameters ...string) InsertionsAnswer {
	t.Helper()
	got, body := Ask(t, h, http.MethodGet, InsertionsURL(parameters...))
	require.Equal(t, 200, got.StatusCode, body)
	var f InsertionsAnswer
	decoder := json.NewDecoder(strings.NewReader(body))
	decoder.DisallowUnknownFields()
	require.NoError(t, decoder.Decode(&f), body)
	return f
}

// LearningAnswer is the interface's list of a place, as it is read outside.
type LearningAnswer struct {
	Place, Case  string
	Cases        int
	KnownLessons int `json:"known_lessons"`
	Average      float64
	Lessons      []struct {
		Turns              string
		Level, Count, Best int
		Known              bool
		Insert, Average    float64
		Saves              float64
		Leaves             []int
		Techniques         []string
	}
}

func (s Service) Learning(t *testing.T, key, place string) (told LearningAnswer) {
	t.Helper()
	a := s.Ask("GET", "/api/v1/learning?place="+place, key, "")
	require.Equal(t, http.StatusOK, a.Code, "%s", a.Body)
	require.NoError(t, json.Unmarshal(a.Body.Bytes(), &told))
	return told
}
