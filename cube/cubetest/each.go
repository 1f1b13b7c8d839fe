package cubetest

import (
	"runtime"
	"strconv"
	"sync/atomic"
	"testing"
	"time"
)

// Each checks the numbers from 0 to n-1 on all processors, and logs how long that
// took. In a short run (go test -short) it checks one of so many: make that a
// prime, so that the part is spread over all that the numbers count.
func Each(t *testing.T, n, oneOf int, check func(t *testing.T, i int)) {
	t.Helper()
	step := 1
	if testing.Short() {
		step = oneOf
	}
	start := time.Now()
	var next atomic.Int64
	t.Run("each", func(t *testing.T) {
		for part := range runtime.GOMAXPROCS(0) {
			t.Run(strconv.Itoa(part), func(t *testing.T) {
				t.Parallel()
				for !t.Failed() {
					i := (int(next.Add(1)) - 1) * step
					if i >= n {
						return
					}
					check(t, i)
				}
			})
		}
	})
	t.Logf("%d of %d checked in %v", (n+step-1)/step, n, time.Since(start).Round(time.Millisecond))
}
