package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/server/store/storetest"
)

// onBoth runs a benchmark with the program on either database.
func onBoth(b *testing.B, run func(b *testing.B, s *started)) {
	postgres := storetest.StartPostgres(b, true)
	for _, kind := range []struct{ name, database string }{
		{"SQLite", filepath.Join(b.TempDir(), "slotcast.db")},
		{"PostgreSQL", postgres.NewDatabase(b)},
	} {
		b.Run(kind.name, func(b *testing.B) {
			s := start(b, binaryCommand(b, "-listen", "127.0.0.1:0", "-rate", "0", "-database", kind.database))
			run(b, s)
			require.NoError(b, s.Process.Kill())
			s.wait(b)
		})
	}
}

// worked is how much time of a processor the program has taken.
func (s *started) worked(t testing.TB) time.Duration {
	t.Helper()
	stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", s.Process.Pid))
	require.NoError(t, err)
	// The numbers of fields in proc(5), less what stands before the name's end.
	fields := strings.Fields(string(stat[strings.LastIndex(string(stat), ")"):]))
	var ticks int
	for _, n := range []int{12, 13} { // utime, stime
		more, err := strconv.Atoi(fields[n])
		require.NoError(t, err)
		ticks += more
	}
	const perSecond = 100 // USER_HZ, on every Linux
	return time.Duration(ticks) * time.Second / perSecond
}

// report says how long half, 99 of 100 and all took at most.
func report(b *testing.B, took []time.Duration) {
	slices.Sort(took)
	ms := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
	b.ReportMetric(ms(took[len(took)/2]), "p50-ms")
	b.ReportMetric(ms(took[len(took)*99/100]), "p99-ms")
	b.ReportMetric(ms(took[len(took)-1]), "max-ms")
}

// BenchmarkRatingBesideImports saves a rating, alone and while 20 others import full
// files as fast as they are answered.
func BenchmarkRatingBesideImports(b *testing.B) {
	onBoth(b, func(b *testing.B, s *started) {
		url := s.url
		people := newWriters(b, url)
		rate := func(b *testing.B) {
			var took []time.Duration
			for n := 0; b.Loop(); n++ {
				begun := time.Now()
				_, err := people[0].call(b.Context(), "PUT", url+"/api/v1/ratings/27", fmt.Sprintf(`{"recognise": %d, "execute": 5}`, n%5+1))
				require.NoError(b, err)
				took = append(took, time.Since(begun))
				time.Sleep(5 * time.Millisecond)
			}
			report(b, took)
		}
		b.Run("alone", rate)
		b.Run("beside", func(b *testing.B) {
			file := fullFile(900)
			ctx, stop := context.WithCancel(b.Context())
			var all sync.WaitGroup
			var imported, refused atomic.Int64
			for _, w := range people[1:21] {
				all.Go(func() {
					for ctx.Err() == nil {
						_, err := w.call(ctx, "POST", url+"/api/v1/import", file)
						switch {
						case err == nil:
							imported.Add(1)
						case ctx.Err() == nil && strings.HasPrefix(err.Error(), "503"):
							refused.Add(1)
						case ctx.Err() == nil:
							b.Error(err)
							return
						}
					}
				})
			}
			time.Sleep(time.Second)
			rate(b)
			b.ReportMetric(float64(imported.Load())/b.Elapsed().Seconds(), "imports/s")
			b.ReportMetric(float64(refused.Load()), "refused")
			stop()
			all.Wait()
		})
	})
}

// BenchmarkManyConnections has 200 connections ask for cases' pages at once, as fast
// as they are answered, without a profile and each with one of its own.
func BenchmarkManyConnections(b *testing.B) {
	const connections = 200
	onBoth(b, func(b *testing.B, s *started) {
		url := s.url
		client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: connections}}
		var people []*writer
		for len(people) < connections {
			people = append(people, newWriters(b, url)...)
		}
		for _, w := range people[:connections] {
			_, err := w.call(b.Context(), "POST", url+"/api/v1/import", `{"format": "slotcast", "version": 3, "ratings": [{"oll": 27, "recognise": 4, "execute": 3}], "preferences": [{"name": "theme", "value": "dark"}]}`)
			require.NoError(b, err)
		}
		for _, with := range []string{"without a profile", "with a profile"} {
			b.Run(with, func(b *testing.B) {
				var asked atomic.Int64
				took := make([][]time.Duration, connections)
				before := s.worked(b)
				b.ResetTimer()
				var all sync.WaitGroup
				for c := range connections {
					all.Go(func() {
						for {
							n := asked.Add(1)
							if n > int64(b.N) {
								return
							}
							r, err := http.NewRequestWithContext(b.Context(), "GET", url+"/case/"+lastslot.CaseAt(int(n*7919)%lastslot.Cases).Code(), nil)
							if err != nil {
								b.Error(err)
								return
							}
							r.Header.Set("Accept", "text/html")
							if with == "with a profile" {
								r.AddCookie(&http.Cookie{Name: "slotcast", Value: people[c].key})
							}
							begun := time.Now()
							got, err := client.Do(r)
							if err == nil {
								_, err = io.Copy(io.Discard, got.Body)
								err = errors.Join(err, got.Body.Close())
							}
							if err != nil || got.StatusCode != http.StatusOK {
								b.Error(err, got)
								return
							}
							took[c] = append(took[c], time.Since(begun))
						}
					})
				}
				all.Wait()
				report(b, slices.Concat(took...))
				b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "pages/s")
				b.ReportMetric(float64((s.worked(b)-before).Microseconds())/1000/float64(b.N), "processor-ms/page")
			})
		}
	})
}
