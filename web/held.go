package web

import (
	"bytes"
	"net/http"
	"strconv"
	"sync"

	"github.com/go-chi/chi/v5/middleware"
	"github.com/go-chi/httprate"

	"slotcast/web/problem"
)

// Answers are whole, and packed, before any of them is sent, so that who reads slowly
// holds neither a half-made page nor a place in a line. What they do hold is
// bounded, in bytes: of all together, and of one address, so that it leaves room for
// others. A page takes about 60 kB where it is packed.
const (
	heldByAll = 256 << 20
	heldByOne = heldByAll / 4
	// heldAlways is what an answer may have that is sent all the same: a connection
	// takes about as much.
	heldAlways = 32 << 10
)

// held counts the bytes of answers that are being sent, or of files that arrive.
type held struct {
	mu    sync.Mutex
	all   int
	of    map[string]int
	most  int
	share int
}

func newHeld() *held { return &held{of: map[string]int{}, most: heldByAll, share: heldByOne} }

// take takes room for an answer, if there is any.
func (h *held) take(address string, n int) bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	if n > heldAlways && (h.all+n > h.most || h.of[address]+n > h.share) {
		return false
	}
	h.all += n
	h.of[address] += n
	return true
}

func (h *held) give(address string, n int) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.all -= n
	if h.of[address] -= n; h.of[address] == 0 {
		delete(h.of, address)
	}
}

// answer is one that is made, and not sent yet.
type answer struct {
	http.ResponseWriter
	status int
	body   bytes.Buffer
}

func (a *answer) WriteHeader(status int) {
	if a.status == 0 {
		a.status = status
	}
}

func (a *answer) Write(p []byte) (int, error) {
	a.WriteHeader(http.StatusOK)
	return a.body.Write(p)
}

// whole sends answers once they are whole, and in place of one for which there is no
// room that it is to be asked for again.
func (w wrapper) whole(h *held) func(http.Handler) http.Handler {
	refuse := w.refuse(&problem.Problem{
		Status: http.StatusServiceUnavailable, Title: "Busy", RetryAfter: lineTimeout,
		Detail: "too much is being sent right now; try again in a few seconds",
	})
	return func(next http.Handler) http.Handler {
		return http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) {
			made := answer{ResponseWriter: rw}
			next.ServeHTTP(&made, r)
			address := client(r)
			n := made.body.Cap()
			if !h.take(address, n) {
				// A change was made all the same: only what tells of it is missing.
				for name := range rw.Header() {
					if name != "Set-Cookie" {
						rw.Header().Del(name)
					}
				}
				w.secure(rw, r)
				refuse(rw, r)
				return
			}
			defer h.give(address, n)
			if made.status == 0 {
				made.status = http.StatusOK
			}
			if made.body.Len() > 0 {
				rw.Header().Set("Content-Length", strconv.Itoa(made.body.Len()))
			}
			rw.WriteHeader(made.status)
			// Whoever does not wait for the answer does not need it.
			_, _ = rw.Write(made.body.Bytes())
		})
	}
}

// client is who asks, by address; one of IPv6 by the 64 bits that a network has.
func client(r *http.Request) string {
	return httprate.CanonicalizeIP(middleware.GetClientIP(r.Context()))
}
