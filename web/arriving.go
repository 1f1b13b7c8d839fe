package web

import (
	"bytes"
	"io"
	"net/http"

	"slotcast/web/problem"
	"slotcast/web/profile"
)

// Files that are on their way here hold so many bytes, all together and those of one
// address. A full profile's has half a megabyte.
const (
	arrivingOfAll = 128 << 20
	arrivingOfOne = arrivingOfAll / 4
)

func newArriving() *held {
	return &held{of: map[string]int{}, most: arrivingOfAll, share: arrivingOfOne}
}

// arrived has requests go on once all that they send is here, so that none has its
// turn while it still waits for the network; there is room for so much.
func (w wrapper) arrived(h *held) func(http.Handler) http.Handler {
	// What comes in a form has a few words beside the file.
	const most = profile.MaxImport + 64<<10
	refuse := w.refuse(&problem.Problem{
		Status: http.StatusServiceUnavailable, Title: "Busy", RetryAfter: lineTimeout,
		Detail: "too many files are being sent here at this moment; nothing was changed, ask again in a few seconds",
	})
	return func(next http.Handler) http.Handler {
		return http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) {
			address, n := client(r), int(r.ContentLength)
			if n > most { // whoever answers says that it is too much, and need not read it
				next.ServeHTTP(rw, r)
				return
			}
			if n < 0 { // which is not told
				n = most
			}
			if !h.take(address, n) {
				refuse(rw, r)
				return
			}
			defer h.give(address, n)
			here, err := io.ReadAll(io.LimitReader(r.Body, most))
			if err != nil && r.Context().Err() != nil {
				return // nobody reads the answer
			}
			// Whatever is wrong with the rest is found by who reads on.
			r.Body = struct {
				io.Reader
				io.Closer
			}{io.MultiReader(bytes.NewReader(here), r.Body), r.Body}
			next.ServeHTTP(rw, r)
		})
	}
}
