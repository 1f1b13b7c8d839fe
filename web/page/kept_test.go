package page_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/web/profile"
	"slotcast/web/webtest/site"
)

// What is kept of a profile in memory stays what the database has, whatever pages are
// asked for, whoever changes it, and wherever: from the interface, and from another
// program on the same database.
func TestWhatIsKeptIsWhatTheDatabaseHas(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	require.Equal(t, http.StatusSeeOther, s.post("/insertions", "turns", "R U R'").Code)
	key := s.cookie.Value
	s.FillAll(t, key)
	same := func(after string) {
		t.Helper()
		require.JSONEq(t, s.Export(t, key), s.exported(t), after)
	}
	same("filled")
	pages, step := samplePages(t, s.Service), cubetest.Stride(t, 17)
	for n := 0; n < len(pages); n += step {
		s.get(pages[n].Address)
		same(pages[n].Address)
	}
	for _, refused := range [][]string{
		{"/ratings/27", "recognise", "9"}, {"/profile/scale", "recognise-5", "60"}, {"/insertions", "turns", "R"},
		{"/patterns/27/sequences", "turns", "R U"}, {"/cases", "case", "wrong"}, {"/profile/preferences", "theme", "none"},
	} {
		s.save(refused[0], refused[1:]...)
		same(refused[0])
	}
	for _, change := range [][3]string{
		{"PUT", "/api/v1/names/1", `{"name": "by the interface"}`},
		{"DELETE", "/api/v1/ratings/27", ""},
		{"DELETE", "/api/v1/own-sequences/27", ""},
		{"DELETE", "/api/v1/recent-cases", ""},
	} {
		s.Ask(change[0], change[1], key, change[2]).Must(t)
		same(change[1])
	}
	p, err := s.Store.Profile(t.Context(), profile.HashOf(key))
	require.NoError(t, err)
	require.NoError(t, s.Store.Put(t.Context(), p.ID, profile.Records{Names: []profile.Name{{Pattern: 2, Name: "by another program"}}}))
	same("changed elsewhere")
	assert.Contains(t, s.exported(t), "by another program")
	require.NoError(t, s.Store.DeleteProfile(t.Context(), p.ID))
	assert.NotContains(t, s.exported(t), "by another program")
}
