package profile

import (
	"encoding/base64"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A key that a browser proposes is as random as one of the service's, or is refused.
func TestProposedKeysLookRandom(t *testing.T) {
	for range 10_000 {
		key := NewSecret()
		require.True(t, LooksRandom(key), key)
	}
	counted := make([]byte, 16)
	for i := range counted {
		counted[i] = byte(3 * i)
	}
	for _, bits := range [][]byte{make([]byte, 16), counted, []byte("aaaaaaaaaaaaaaab"), []byte("abcabcabcabcabca"), []byte("1234567890123456")} {
		key := base64.RawURLEncoding.EncodeToString(bits)
		require.True(t, IsSecret(key))
		assert.False(t, LooksRandom(key), "%q", bits)
	}
	assert.False(t, LooksRandom("short"))
}
