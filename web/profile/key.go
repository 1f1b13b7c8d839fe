package profile

import (
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"slotcast/web/problem"
)

// Key is what is known of a key: never the key itself.
type Key struct {
	ID KeyID
	// Name is what the person calls the device, "" where it has no name.
	Name string
	// Made and Used are when it was given and last used, the latter to the day; zero
	// where that is not known.
	Made, Used time.Time
}

// KeyID tells the keys of a profile apart: the first 16 hexadecimal digits of its hash.
type KeyID string

// ID is that of the key with the hash.
func (h KeyHash) ID() KeyID { return KeyID(fmt.Sprintf("%x", h[:8])) }

// LongestKeyName is in characters.
const LongestKeyName = 40

// CheckKeyName reads what a person calls a device.
func CheckKeyName(text string) (string, error) {
	name := strings.Join(strings.Fields(text), " ")
	if n := utf8.RuneCountInString(name); n > LongestKeyName {
		return "", problem.BadRequest("name", fmt.Sprintf("%d characters; a name has at most %d", n, LongestKeyName))
	}
	if strings.ContainsFunc(name, unicode.IsControl) || !utf8.ValidString(name) {
		return "", problem.BadRequest("name", "a name has no control characters")
	}
	return name, nil
}

// ErrLastKey says that the key is the profile's only one.
var ErrLastKey error = lastKey{}

type lastKey struct{}

func (lastKey) Error() string { return "the profile’s only key" }

// Problem is for whoever wanted to revoke it.
func (lastKey) Problem() *problem.Problem {
	return &problem.Problem{Status: http.StatusUnprocessableEntity, Title: "The only key", Detail: "nothing was changed: this is the profile’s only key; to remove it, delete the profile"}
}

// KeyFound says of a key that is not there that it is none of the profile's.
func KeyFound(err error) error {
	if errors.Is(err, ErrNotFound) {
		return &problem.Problem{Status: http.StatusNotFound, Title: "No such key", Detail: "no such key in the profile; it may have been revoked"}
	}
	return err
}
