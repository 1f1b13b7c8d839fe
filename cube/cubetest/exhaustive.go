package cubetest

import (
	"testing"
	"time"
)

// Stride is how far apart the things are that an exhaustive test looks at: each in
// the full run, and with "go test -short" one in so many: make that a prime, so that
// the part is spread over all that is counted. When the test ends it says how long it
// took.
func Stride(t testing.TB, oneIn int) int {
	t.Helper()
	stride := 1
	if testing.Short() {
		stride = oneIn
	}
	start := time.Now()
	t.Cleanup(func() { t.Logf("one in %d looked at, in %v", stride, time.Since(start).Round(time.Millisecond)) })
	return stride
}
