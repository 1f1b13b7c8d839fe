package web

import (
	"net/http"
	"runtime"
	"time"

	"slotcast/web/problem"
)

// What takes long is done by half of the processors, one on a small machine, so that
// the other half answers what takes a millisecond; and files are imported one at a
// time, as each writes thousands of rows while others wait to write one. Others stand in line, but only so
// many and only so long: who is told at once to come again is served better than who
// waits for an answer that comes after they have gone.
const (
	lineLength  = 64
	lineTimeout = 5 * time.Second
)

// dearAtOnce is half of the processors.
func dearAtOnce() int { return max(1, runtime.GOMAXPROCS(0)/2) }

// line is where requests stand whose answers take long.
type line struct {
	working chan struct{}
	// standing has those in line, and those who are served.
	standing chan struct{}
	timeout  time.Duration
	refuse   http.HandlerFunc
}

// newLine is one from which so many are served at once.
func (w wrapper) newLine(atOnce int) *line {
	return &line{
		working: make(chan struct{}, atOnce), standing: make(chan struct{}, atOnce+lineLength), timeout: lineTimeout,
		refuse: w.refuse(&problem.Problem{
			Status: http.StatusServiceUnavailable, Title: "Busy", RetryAfter: lineTimeout,
			Detail: "too many slow requests right now; nothing was changed, try again in a few seconds",
		}),
	}
}

// stand has a route's requests stand in line.
func (l *line) stand(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		select {
		case l.standing <- struct{}{}:
		default:
			l.refuse(w, r)
			return
		}
		defer func() { <-l.standing }()
		late := time.NewTimer(l.timeout)
		defer late.Stop()
		select {
		case l.working <- struct{}{}:
		case <-r.Context().Done(): // nobody reads the answer
			return
		case <-late.C:
			l.refuse(w, r)
			return
		}
		defer func() { <-l.working }()
		next.ServeHTTP(w, r)
	})
}
