package cubetest

import (
	"runtime"
	"strconv"
	"sync/atomic"
	"testing"
)

// Each checks the numbers from 0 to n-1 on all processors, in a short run one of so
// many, as [Stride] has it.
func Each(t *testing.T, n, oneOf int, check func(t *testing.T, i int)) {
	t.Helper()
	step := Stride(t, oneOf)
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
}
