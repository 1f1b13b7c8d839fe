package web_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"slotcast/forecast"
)

// A thousand profiles with 58 ratings and 30 insertions each: a forecast with a
// profile, each asked in turn, is to take at most 1.3 times one without.
func BenchmarkForecastWithProfiles(b *testing.B) {
	s := newService(b)
	var ratings, insertions []string
	for p := range forecast.Patterns {
		ratings = append(ratings, fmt.Sprintf(`{"oll": %d, "recognise": %d, "execute": %d}`, p, p%5+1, p%4+1))
	}
	// Nine ways to take the pair out and put it in, and those with another before.
	var short []string
	for _, u := range []string{"U", "U2", "U'"} {
		short = append(short, "R "+u+" R'", "F' "+u+" F", "R' F R F' R "+u+" R'")
	}
	for _, first := range append([]string{""}, short...) {
		for _, second := range short {
			if len(insertions) < 30 {
				insertions = append(insertions, fmt.Sprintf(`{"slot": "FR", "turns": "%s U2 %s", "known": true, "seconds": 1.1}`, first, second))
			}
		}
	}
	book := fmt.Sprintf(`{"format": "slotcast", "version": 1, "ratings": [%s], "insertions": [%s]}`, strings.Join(ratings, ","), strings.Join(insertions, ","))
	var keys []string
	for range 1000 {
		key := s.newKey(b)
		s.ask("POST", "/api/v1/import", key, book).must(b)
		keys = append(keys, key)
	}
	var codes []string
	random := rand.New(rand.NewPCG(1, 2))
	for range 500 {
		codes = append(codes, forecast.CaseAt(random.IntN(forecast.Cases)).Code())
	}
	for _, with := range []bool{false, true} {
		b.Run(fmt.Sprintf("with=%t", with), func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				key := ""
				if with {
					key = keys[i%len(keys)]
				}
				if a := s.ask("GET", "/api/v1/forecast?case="+codes[i%len(codes)], key, ""); a.Code != 200 {
					b.Fatal(a.Body)
				}
			}
		})
	}
}
