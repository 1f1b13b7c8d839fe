package page_test

import (
	"encoding/json"
	"fmt"
	"html"
	"net/http"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

func TestOwnSequences(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	added := s.post("/patterns/27/sequences", "turns", "U "+site.Orients27+" U2")
	require.Equal(t, http.StatusSeeOther, added.Code, "%s", added.Body)
	assert.Equal(t, "/patterns/27", added.Header().Get("Location"))
	assert.Contains(t, s.exported(t), `"`+site.Orients27+`"`, "without the AUF")
	page := s.get("/patterns/27").Body.String()
	assert.Contains(t, page, "R U R&#39; U R U2 R&#39;")
	assert.Contains(t, page, "about 1.16 s")

	before := s.exported(t)
	for _, wrong := range []struct {
		turns, says string
		status      int
	}{
		{site.Orients26, "It orients pattern 26, not 27", http.StatusUnprocessableEntity},
		{"R U R'", "It does not keep", http.StatusUnprocessableEntity},
		{"R U Q", "<mark>Q</mark>", http.StatusBadRequest},
		{"", "No turns in it", http.StatusBadRequest},
	} {
		page := s.postTurns(t, "/patterns/27/sequences", "turns", wrong.turns)
		assert.Equal(t, wrong.status, page.Code, wrong.turns)
		assert.Contains(t, page.Body.String(), wrong.says)
	}
	assert.Contains(t, s.postTurns(t, "/patterns/27/sequences", "turns", "R U Q").Body.String(), ">R U Q</textarea>", "what was typed stays")
	assert.Equal(t, before, s.exported(t))
	assert.Equal(t, http.StatusBadRequest, s.postTurns(t, "/patterns/0/sequences", "turns", site.Orients27).Code)

	require.Equal(t, http.StatusSeeOther, s.post("/patterns/27/sequences/remove", "turns", site.Orients27).Code)
	assert.NotContains(t, s.exported(t), site.Orients27)
}

// Who turns with one hand sees the sequences that their forecasts use, on a
// pattern's page and on its sheet, and an insertion of theirs is the book's.
func TestOneHandHasABookOfItsOwn(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	require.Equal(t, http.StatusSeeOther, s.post("/profile/preferences", "hands", "left").Code)
	code := s.SampleCode(t)
	type option struct {
		Turns, Sequence string
		Leaves          struct{ OLL int }
	}
	var got struct{ Options []option }
	answer := s.Ask(http.MethodGet, "/api/v1/forecast?per=pattern&limit=20&case="+code, s.cookie.Value, "")
	require.NoError(t, json.Unmarshal(answer.Body.Bytes(), &got))
	require.Len(t, got.Options, 20)
	sheet := s.get("/print/patterns").Body.String()
	for _, o := range got.Options {
		if o.Leaves.OLL == 0 {
			continue
		}
		page := s.get(fmt.Sprintf("/patterns/%d", o.Leaves.OLL)).Body.String()
		assert.Contains(t, page, html.EscapeString(o.Sequence)+"</span>", "OLL %d", o.Leaves.OLL)
		assert.Contains(t, sheet, html.EscapeString(o.Sequence), "OLL %d", o.Leaves.OLL)
	}

	// A way without AUF and rotation is an insertion as it is.
	at := slices.IndexFunc(got.Options, func(o option) bool { return o.Turns[0] != 'U' && o.Turns[0] != 'y' })
	require.GreaterOrEqual(t, at, 0)
	turns := got.Options[at].Turns
	require.Equal(t, http.StatusSeeOther, s.post("/insertions/marks", "know", "FR "+turns).Code)
	kept := s.Ask(http.MethodGet, "/api/v1/own-insertions", s.cookie.Value, "").Body.String()
	assert.Contains(t, kept, `"turns":"`+turns+`","own":false,"known":true`)
}
