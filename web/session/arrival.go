package session

import (
	"context"
	"net/http"
	"net/netip"
	"strings"

	"github.com/go-chi/chi/v5/middleware"
)

// arrivedKey is where a request's context has that it came over TLS to a proxy.
type arrivedKey struct{}

// Arrival notes from which address each request comes and whether over TLS. Of
// those that the proxies pass on, what these say of it counts (X-Forwarded-For,
// X-Forwarded-Proto); whoever else sends such headers makes them up.
func Arrival(proxies []netip.Prefix) func(http.Handler) http.Handler {
	if len(proxies) == 0 {
		return middleware.ClientIPFromRemoteAddr
	}
	var trusted []string
	for _, p := range proxies {
		trusted = append(trusted, p.String())
	}
	address := middleware.ClientIPFromXFF(trusted...)
	return func(next http.Handler) http.Handler {
		return address(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			peer, err := netip.ParseAddrPort(r.RemoteAddr)
			passedOn := err == nil && within(peer.Addr().Unmap().WithZone(""), proxies)
			// Of several the last is that of the proxy beside this program.
			if said := r.Header.Values("X-Forwarded-Proto"); passedOn && len(said) > 0 {
				last := said[len(said)-1]
				last = strings.TrimSpace(last[strings.LastIndex(last, ",")+1:])
				if strings.EqualFold(last, "https") {
					r = r.WithContext(context.WithValue(r.Context(), arrivedKey{}, true))
				}
			}
			next.ServeHTTP(w, r)
		}))
	}
}

func within(address netip.Addr, prefixes []netip.Prefix) bool {
	for _, p := range prefixes {
		if p.Contains(address) {
			return true
		}
	}
	return false
}

// OverTLS says whether the request's sender and the service, or the proxy in front
// of it, talk in a way that nobody between them can read.
func (s *Sessions) OverTLS(r *http.Request) bool {
	return strings.HasPrefix(s.PublicURL(r), "https://")
}
