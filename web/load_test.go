package web_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"slotcast/forecast/lastslot"
)

// A thousand profiles with 58 ratings and 30 insertions each: a forecast with a
// profile, each asked in turn, is to take at most 1.3 times one without. What a
// profile's first forecast takes is told apart: it reads all records.
func BenchmarkForecastWithProfiles(b *testing.B) {
	s := newService(b)
	var ratings, insertions []string
	for p := range lastslot.Patterns {
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
		codes = append(codes, lastslot.CaseAt(random.IntN(lastslot.Cases)).Code())
	}
	run := func(name string, prepare func(i int), key func(i int) string) {
		b.Run(name, func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				if prepare != nil {
					b.StopTimer()
					prepare(i)
					b.StartTimer()
				}
				if a := s.ask("GET", "/api/v1/forecast?case="+codes[i%len(codes)], key(i), ""); a.Code != 200 {
					b.Fatal(a.Body)
				}
			}
		})
	}
	turn := func(i int) string { return keys[i%len(keys)] }
	for i := range keys {
		s.ask("GET", "/api/v1/forecast?case="+codes[0], turn(i), "").must(b)
	}
	run("without", nil, func(int) string { return "" })
	run("with", nil, turn)
	run("with, after a change", func(i int) {
		s.ask("PUT", "/api/v1/ratings/27", turn(i), `{"recognise": 4, "execute": 5}`).must(b)
	}, turn)
}
