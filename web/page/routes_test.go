package page_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/forecast/twoslots"
	"slotcast/web/webtest/site"
)

// twoOpenScramble leaves front right and front left open.
const twoOpenScramble = "R U R' L' U2 L"

// A scramble or a code of two open slots is known for what it is on the page where last
// slots are looked up, also when the script asks; from there every way opens over both
// steps and leads to the last slot's case.
func TestTwoOpenSlotsAreLookedUp(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	c := twoslots.CaseOf(cubetest.Sequence(t, twoOpenScramble).Cube(), 0)
	for _, address := range []string{
		"/?scramble=" + url.QueryEscape(twoOpenScramble), "/?part=answer&slot=&solution=&scramble=" + url.QueryEscape(twoOpenScramble),
		"/?case=" + strings.ToLower(c.Code()),
	} {
		a := s.Ask("GET", address, "", "")
		require.Equal(t, http.StatusSeeOther, a.Code, address)
		page := s.Ask("GET", a.Header().Get("Location"), "", "")
		require.Equal(t, http.StatusOK, page.Code, address)
		assert.Contains(t, page.Body.String(), "Two slots open: case "+c.Code())
		assert.Contains(t, page.Body.String(), "front right and front left")
	}
	// What is neither stays where it was.
	assert.Equal(t, http.StatusUnprocessableEntity, s.Ask("GET", "/?scramble="+url.QueryEscape("R U R' F"), "", "").Code)
	assert.Equal(t, http.StatusBadRequest, s.Ask("GET", "/?case=0000001", "", "").Code)

	told := s.Ask("GET", "/api/v1/routes?limit=3&case="+c.Code(), "", "").Must(t)
	list := s.Ask("GET", "/routes/"+c.Code(), "", "").Body.String()
	for _, r := range told["routes"].([]any) {
		route := r.(map[string]any)
		turns := route["first"].(map[string]any)["turns"].(string)
		path := "/routes/" + c.Code() + "/route?fills=" + route["fills"].(string) + "&turns=" + url.QueryEscape(turns)
		if !route["last"].(map[string]any)["known"].(bool) || route["last"].(map[string]any)["turns"] != "" {
			require.Contains(t, list, strings.ReplaceAll(path, "&", "&amp;"))
		}
		opened := s.Ask("GET", path, "", "")
		require.Equal(t, http.StatusOK, opened.Code)
		assert.Contains(t, opened.Body.String(), "/case/"+route["case"].(string)+"/option?turns=")
	}
	assert.Equal(t, http.StatusNotFound, s.Ask("GET", "/routes/"+c.Code()+"/route?fills=FR&turns=R", "", "").Code)
	assert.Equal(t, http.StatusBadRequest, s.Ask("GET", "/routes/"+c.Code()+"/route?fills=FR&turns=Q", "", "").Code)
	assert.Equal(t, http.StatusBadRequest, s.Ask("GET", "/routes/"+c.Code()+"/route?fills=BL&turns=R", "", "").Code)
	assert.Equal(t, http.StatusBadRequest, s.Ask("GET", "/routes/00000", "", "").Code)
}

// Who knows nothing is told so, and led to everything.
func TestRoutesOfNothingKnown(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	key := s.NewKey(t)
	s.Ask("PUT", "/api/v1/preferences/usual", key, `{"value": "none"}`).Must(t)
	c := twoslots.CaseOf(cubetest.Sequence(t, twoOpenScramble).Cube(), 0)
	told := s.Ask("GET", "/api/v1/routes?view=known&case="+c.Code(), key, "").Must(t)
	assert.Empty(t, told["routes"])
	assert.InDelta(t, 0, told["all"], 0)
}
