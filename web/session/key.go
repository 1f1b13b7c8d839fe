package session

import (
	"errors"
	"net/http"
	"strings"

	"slotcast/web/problem"
	"slotcast/web/profile"
)

// KeyCookie is where a browser keeps the key. Over TLS it has secureCookie's name:
// one with that prefix is from the service itself, as a browser takes it from no
// other host and from nobody who can only write in a connection without TLS.
const (
	KeyCookie    = "slotcast"
	secureCookie = "__Host-" + KeyCookie
)

// keyLife is how long a browser is to keep the key after it was given, in
// seconds: as long as browsers keep anything (RFC 6265bis: 400 days).
const keyLife = 400 * 24 * 60 * 60

// SetKey gives the key to the browser in a way that scripts cannot read; "" takes
// it away.
func (s *Sessions) SetKey(w http.ResponseWriter, r *http.Request, key string) {
	age := keyLife
	if key == "" {
		age = -1
	}
	cookie := http.Cookie{Name: KeyCookie, Value: key, Path: "/", MaxAge: age, HttpOnly: true, SameSite: http.SameSiteLaxMode} // #nosec G124 -- Secure where it came over TLS, below
	if s.OverTLS(r) {
		if _, err := r.Cookie(KeyCookie); err == nil {
			// The one of before it had the prefix would open the profile without it.
			old := cookie // #nosec G124 -- as above
			old.Value, old.MaxAge, old.Secure = "", -1, true
			http.SetCookie(w, &old)
		}
		cookie.Name, cookie.Secure = secureCookie, true
	}
	http.SetCookie(w, &cookie)
}

// keyInCookie is the key that the request's browser keeps. One that was given
// before the cookie had a prefix counts where there is none that has it.
func (s *Sessions) keyInCookie(r *http.Request) (key string, ok bool) {
	names := []string{KeyCookie}
	if s.OverTLS(r) {
		names = []string{secureCookie, KeyCookie}
	}
	for _, name := range names {
		if cookie, err := r.Cookie(name); err == nil {
			return cookie.Value, true
		}
	}
	return "", false
}

// HasKey says whether the request's browser keeps a key, whatever it opens.
func (s *Sessions) HasKey(r *http.Request) bool {
	_, ok := s.keyInCookie(r)
	return ok
}

// ErrNoKey says that a request has no key, or in its cookie one that opens
// nothing: after the profile was deleted on another device, say.
var ErrNoKey = errors.New("no key")

// ProfileOf is the profile whose key the request has, in its header or else in
// its cookie. It is [ErrNoKey] where there is none, and a [*problem.Problem] where the
// header's is wrong.
func (s *Sessions) ProfileOf(r *http.Request) (profile.Profile, error) {
	if header := r.Header.Values("Authorization"); len(header) > 0 {
		if key, ok := bearer(header); ok {
			p, err := s.store.Profile(r.Context(), profile.HashOf(key))
			if !errors.Is(err, profile.ErrNotFound) {
				return p, err
			}
		}
		return profile.Profile{}, Unauthorized("the key in the header Authorization opens no profile; it is sent as Bearer and the key")
	}
	key, ok := s.keyInCookie(r)
	if !ok {
		return profile.Profile{}, ErrNoKey
	}
	p, err := s.store.Profile(r.Context(), profile.HashOf(key))
	if errors.Is(err, profile.ErrNotFound) {
		return profile.Profile{}, ErrNoKey
	}
	return p, err
}

// bearer is the key in a header Authorization.
func bearer(header []string) (key string, ok bool) {
	scheme, key, _ := strings.Cut(header[0], " ")
	return strings.TrimSpace(key), len(header) == 1 && strings.EqualFold(scheme, "Bearer")
}

// KeyOf tells which of its profile's keys the request has.
func (s *Sessions) KeyOf(r *http.Request) profile.KeyID {
	if header := r.Header.Values("Authorization"); len(header) > 0 {
		key, _ := bearer(header)
		return profile.HashOf(key).ID()
	}
	key, _ := s.keyInCookie(r)
	return profile.HashOf(key).ID()
}

// Unauthorized is the problem of a request that needs a key, or has a wrong one.
func Unauthorized(detail string) *problem.Problem {
	return &problem.Problem{Status: http.StatusUnauthorized, Title: "No profile", Detail: detail}
}

// PublicURL is the address that links to the service carry.
func (s *Sessions) PublicURL(r *http.Request) string {
	if s.publicURL != "" {
		return strings.TrimSuffix(s.publicURL, "/")
	}
	if passedOn, _ := r.Context().Value(arrivedKey{}).(bool); passedOn || r.TLS != nil {
		return "https://" + r.Host
	}
	return "http://" + r.Host
}
