package web_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOwnSequences(t *testing.T) {
	s := &surfer{service: newService(t)}
	added := s.post("/patterns/27/sequences", "turns", "U "+orients27+" U2")
	require.Equal(t, http.StatusSeeOther, added.Code, "%s", added.Body)
	assert.Equal(t, "/patterns/27", added.Header().Get("Location"))
	assert.Contains(t, s.exported(t), `"`+orients27+`"`, "without the AUF")
	page := s.get("/patterns/27").Body.String()
	assert.Contains(t, page, "R U R&#39; U R U2 R&#39;")
	assert.Contains(t, page, "about 0.77 s")

	before := s.exported(t)
	for _, wrong := range []struct {
		turns, says string
		status      int
	}{
		{orients26, "It orients pattern 26, not 27", http.StatusUnprocessableEntity},
		{"R U R'", "It does not keep", http.StatusUnprocessableEntity},
		{"R U Q", "<mark>Q</mark>", http.StatusBadRequest},
		{"", "No turns in it", http.StatusBadRequest},
	} {
		page := s.post("/patterns/27/sequences", "turns", wrong.turns)
		assert.Equal(t, wrong.status, page.Code, wrong.turns)
		assert.Contains(t, page.Body.String(), wrong.says)
	}
	assert.Contains(t, s.post("/patterns/27/sequences", "turns", "R U Q").Body.String(), ">R U Q</textarea>", "what was typed stays")
	assert.Equal(t, before, s.exported(t))
	assert.Equal(t, http.StatusBadRequest, s.post("/patterns/0/sequences", "turns", orients27).Code)

	require.Equal(t, http.StatusSeeOther, s.post("/patterns/27/sequences/remove", "turns", orients27).Code)
	assert.NotContains(t, s.exported(t), orients27)
}
