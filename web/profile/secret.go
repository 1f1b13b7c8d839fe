package profile

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
)

// NewSecret is 128 random bits as text that an address can hold.
func NewSecret() string {
	var bits [16]byte
	_, _ = rand.Read(bits[:]) // ends the program rather than fail
	return base64.RawURLEncoding.EncodeToString(bits[:])
}

// IsSecret says whether a text can be one of [NewSecret]'s.
func IsSecret(text string) bool {
	bits, err := base64.RawURLEncoding.DecodeString(text)
	return err == nil && len(bits) == 16
}

// LooksRandom says whether a secret that somebody else made can be one: of 16 random
// bytes fewer than 10 are different once in millions of times, and of what somebody
// typed or counted more are alike.
func LooksRandom(text string) bool {
	bits, err := base64.RawURLEncoding.DecodeString(text)
	if err != nil || len(bits) != 16 {
		return false
	}
	different, steps := map[byte]bool{}, map[byte]bool{}
	for i, b := range bits {
		different[b] = true
		steps[b-bits[max(0, i-1)]] = true
	}
	return len(different) >= 10 && len(steps) >= 10
}

// NotSecret is what is said of a text that is none.
const NotSecret = "not 128 random bits in base64url" // #nosec G101 -- a sentence

// HashOf is what is stored of a secret.
func HashOf(secret string) KeyHash { return sha256.Sum256([]byte(secret)) }
