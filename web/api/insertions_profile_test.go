package api_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

// A profile's marks are told of the shortest insertions too: which it knows, and
// what it has hidden is not offered.
func TestInsertionsOfAProfile(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	// After R U' R' the pair goes back with R U R', and all is oriented.
	const address = "/api/v1/insertions?scramble=R+U%27+R%27&oll=0"
	first := func(more string) map[string]any {
		options := s.Ask("GET", address+more, key, "").Must(t)["options"].([]any)
		require.NotEmpty(t, options)
		return options[0].(map[string]any)
	}
	assert.Equal(t, true, first("")["known"], "the usual one")
	s.Ask("PUT", "/api/v1/preferences/usual", key, `{"value": "none"}`).Must(t)
	before := first("")
	assert.Equal(t, "R U R'", before["turns"])
	assert.Equal(t, false, before["known"])
	assert.Contains(t, before, "gain")
	assert.Empty(t, s.Ask("GET", address+"&view=known", key, "").Must(t)["options"])

	s.Ask("PUT", "/api/v1/own-insertions", key, `{"slot": "FR", "turns": "R U R'", "known": true}`).Must(t)
	for _, more := range []string{"", "&order=easiest", "&view=known", "&view=known&order=easiest"} {
		o := first(more)
		assert.Equal(t, "R U R'", o["turns"], more)
		assert.Equal(t, true, o["known"], more)
		assert.NotContains(t, o, "gain", more)
	}

	s.Ask("PUT", "/api/v1/own-insertions", key, `{"slot": "FR", "turns": "R U R'", "hidden": true}`).Must(t)
	for _, more := range []string{"", "&order=easiest"} {
		assert.NotEqual(t, "R U R'", first(more)["turns"], more)
	}

	s.Ask("PUT", "/api/v1/scale/track", key, `{"seconds": 0.001}`).Must(t)
	predicted := first("&predicted=true")
	assert.Equal(t, true, predicted["predicted"])
	assert.Equal(t, predicted["track"].(float64)/1000, predicted["seconds"].(map[string]any)["recognise"])
	assert.Equal(t, "private, no-cache", s.Ask("GET", address, key, "").Header().Get("Cache-Control"))
}
