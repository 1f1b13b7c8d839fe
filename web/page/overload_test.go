package page_test

import (
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

// BenchmarkOverload asks for what is cheap while 20 clients ask for the dearest there
// is as fast as they are answered, and says how long 99 of 100 take at most, alone
// and beside them.
func BenchmarkOverload(b *testing.B) {
	server := httptest.NewServer(site.New(b))
	defer server.Close()
	code := site.CodeAt(9)
	cheap := []string{"/case/" + code + "/picture.png", "/print/place/1K1H7", "/api/v1/forecast?case=" + code, "/case/" + code, "/healthz", "/help"}
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 64}}
	ask := func(ctx context.Context, path string) (int, error) {
		r, err := http.NewRequestWithContext(ctx, http.MethodGet, server.URL+path, nil)
		if err != nil {
			return 0, err
		}
		got, err := client.Do(r)
		if err != nil {
			return 0, err
		}
		_, err = io.Copy(io.Discard, got.Body)
		return got.StatusCode, errorOr(err, got.Body.Close())
	}
	measure := func(b *testing.B) {
		var took []time.Duration
		n := 0
		for b.Loop() {
			begun := time.Now()
			status, err := ask(b.Context(), cheap[n%len(cheap)])
			took = append(took, time.Since(begun))
			require.NoError(b, err)
			require.Equal(b, http.StatusOK, status)
			n++
		}
		slices.Sort(took)
		b.ReportMetric(float64(took[len(took)*99/100].Microseconds())/1000, "p99-ms")
	}
	b.Run("alone", measure)
	for _, dear := range []string{"/case/" + code + "/picture.png", "/print/place/1K1H7", "/api/v1/practice-scramble?case=" + code} {
		b.Run("beside "+dear, func(b *testing.B) {
			ctx, stop := context.WithCancel(b.Context())
			var all sync.WaitGroup
			var answered, refused atomic.Int64
			for range 20 {
				all.Go(func() {
					for ctx.Err() == nil {
						switch status, err := ask(ctx, dear); {
						case err != nil:
						case status == http.StatusOK:
							answered.Add(1)
						default:
							refused.Add(1)
						}
					}
				})
			}
			measure(b)
			stop()
			all.Wait()
			b.ReportMetric(float64(answered.Load())/b.Elapsed().Seconds(), "dear/s")
			b.ReportMetric(float64(refused.Load()), "refused")
		})
	}
}

func errorOr(first, second error) error {
	if first != nil {
		return first
	}
	return second
}
