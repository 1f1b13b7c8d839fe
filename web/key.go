package web

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"net/http"
	"strings"
)

// newSecret is 128 random bits as text that an address can hold.
func newSecret() string {
	var bits [16]byte
	_, _ = rand.Read(bits[:]) // ends the program rather than fail
	return base64.RawURLEncoding.EncodeToString(bits[:])
}

// isSecret says whether a text can be one of [newSecret]'s.
func isSecret(text string) bool {
	bits, err := base64.RawURLEncoding.DecodeString(text)
	return err == nil && len(bits) == 16
}

// notSecret is what is said of a text that is none.
const notSecret = "not 128 random bits in base64url"

func hashOf(secret string) KeyHash { return sha256.Sum256([]byte(secret)) }

// keyCookie is where a browser keeps the key.
const keyCookie = "slotcast"

// keyLife is how long a browser is to keep the key after it was given, in
// seconds: as long as browsers keep anything (RFC 6265bis: 400 days).
const keyLife = 400 * 24 * 60 * 60

// keepKey gives the key to the browser in a way that scripts cannot read; "" takes
// it away.
func (s *site) keepKey(w http.ResponseWriter, r *http.Request, key string) {
	age := keyLife
	if key == "" {
		age = -1
	}
	http.SetCookie(w, &http.Cookie{
		Name: keyCookie, Value: key, Path: "/", MaxAge: age,
		HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: strings.HasPrefix(s.publicURL(r), "https://"),
	})
}

// errNoKey says that a request has no key, or in its cookie one that opens
// nothing: after the profile was deleted on another device, say.
var errNoKey = errors.New("no key")

// profileOf is the profile whose key the request has, in its header or else in
// its cookie. It is [errNoKey] where there is none, and a [*problem] where the
// header's is wrong.
func (s *site) profileOf(r *http.Request) (Profile, error) {
	if header := r.Header.Values("Authorization"); len(header) > 0 {
		scheme, key, _ := strings.Cut(header[0], " ")
		if len(header) == 1 && strings.EqualFold(scheme, "Bearer") {
			p, err := s.Store.Profile(r.Context(), hashOf(strings.TrimSpace(key)))
			if !errors.Is(err, ErrNotFound) {
				return p, err
			}
		}
		return Profile{}, unauthorized("the key in the header Authorization opens no profile; it is sent as Bearer and the key")
	}
	cookie, err := r.Cookie(keyCookie)
	if err != nil {
		return Profile{}, errNoKey
	}
	p, err := s.Store.Profile(r.Context(), hashOf(cookie.Value))
	if errors.Is(err, ErrNotFound) {
		return Profile{}, errNoKey
	}
	return p, err
}

func unauthorized(detail string) *problem {
	return &problem{Status: http.StatusUnauthorized, Title: "No profile", Detail: detail}
}

// ownHandler answers a request about the profile whose key it has.
type ownHandler func(http.ResponseWriter, *http.Request, Profile) error

// own makes a handler of one that needs a profile.
func (s *site) own(h ownHandler) http.HandlerFunc {
	return answering(s.Log, func(w http.ResponseWriter, r *http.Request) error {
		w.Header().Set("Cache-Control", "no-store")
		p, err := s.profileOf(r)
		if err == nil {
			err = h(w, r, p)
		}
		switch {
		case errors.Is(err, errNoKey):
			err = unauthorized("a key is needed: make a profile with POST /api/v1/profiles, and send Authorization: Bearer and its key")
		case errors.Is(err, ErrNotFound):
			err = unauthorized("the profile was deleted meanwhile")
		}
		if told := (*problem)(nil); errors.As(err, &told) && told.Status == http.StatusUnauthorized {
			w.Header().Set("WWW-Authenticate", "Bearer")
		}
		return err
	})
}
