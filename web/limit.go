package web

import (
	"math"
	"net"
	"net/http"
	"time"

	"github.com/go-chi/chi/v5/middleware"
	"github.com/go-chi/httprate"
)

// DefaultRate is how many requests a second one client may send on average. A person at a
// page sends a few; a club behind one address, or a script that works through all
// cases, has room.
const DefaultRate = 200

const (
	// rateWindow is over how long the average is taken.
	rateWindow = 10 * time.Second
	// readsForWrite is how many reads a change counts for: it costs the disk.
	readsForWrite = 8
)

// limited answers 429 to a client that sends more requests a second than the rate on
// average, or changes more than an eighth of it; 0 is no limit. Clients are told apart by
// their address: that of the connection or, behind so many proxies that each add to
// X-Forwarded-For, the one that the first of them saw.
func (w wrapper) limited(rate float64, proxies int) func(http.Handler) http.Handler {
	if rate == 0 {
		return func(next http.Handler) http.Handler { return next }
	}
	limit := func(rate float64) func(http.Handler) http.Handler {
		most := max(1, int(math.Ceil(rate*rateWindow.Seconds())))
		return httprate.LimitBy(most, rateWindow, clientOf,
			httprate.WithLimitHandler(w.either(http.StatusTooManyRequests)),
			httprate.WithResponseHeaders(httprate.ResponseHeaders{RetryAfter: "Retry-After"}))
	}
	address := middleware.ClientIPFromRemoteAddr
	if proxies > 0 {
		address = middleware.ClientIPFromXFFTrustedProxies(proxies)
	}
	all, changes := limit(rate), limit(rate/readsForWrite)
	return func(next http.Handler) http.Handler {
		reads, writes := all(next), all(changes(next))
		return address(http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) {
			switch {
			case r.URL.Path == "/healthz":
				// Who watches over the program is to learn how it is whatever else comes from
				// there.
				next.ServeHTTP(rw, r)
			case r.Method == http.MethodGet || r.Method == http.MethodHead || r.Method == http.MethodOptions:
				reads.ServeHTTP(rw, r)
			default:
				writes.ServeHTTP(rw, r)
			}
		}))
	}
}

// clientOf is the address by which a client is told apart: with IPv6 the network that one
// customer has. Who comes past the proxies is told by the connection.
func clientOf(r *http.Request) (string, error) {
	client := middleware.GetClientIP(r.Context())
	if client == "" {
		host, _, err := net.SplitHostPort(r.RemoteAddr)
		if err != nil {
			host = r.RemoteAddr
		}
		client = host
	}
	return httprate.CanonicalizeIP(client), nil
}
