package site

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
)

// A name as long as may be, without a place to break it.
var longName = strings.Repeat("Wandering", 6) + "Corner"

// FillAll gives a profile something of each kind and a rating for each pattern.
func (s Service) FillAll(t testing.TB, key string) {
	t.Helper()
	for p := range lastslot.Patterns {
		s.Ask("PUT", fmt.Sprintf("/api/v1/ratings/%d", p), key, fmt.Sprintf(`{"recognise": %d, "execute": %d}`, p%5+1, p%4+1)).Must(t)
	}
	s.Fill(t, key)
	s.Ask("PUT", "/api/v1/names/26", key, `{"name": "`+longName+`"}`).Must(t)
	s.Ask("PUT", "/api/v1/own-insertions", key, `{"turns": "`+strings.Repeat("R U R' U' ", 12)+`R U R'", "own": true}`).Must(t)
}

// SampleCode is the code of a case that an insertion of [Service.fill] is for.
func (s Service) SampleCode(t testing.TB) string {
	t.Helper()
	return s.Ask("GET", "/api/v1/forecast?scramble="+url.QueryEscape("R U' R'"), "", "").Must(t)["case"].(string)
}

// LongestWay has the most turns of those to patterns of the case.
func (s Service) LongestWay(t testing.TB, code string) (turns string) {
	t.Helper()
	options := s.Ask("GET", "/api/v1/forecast?per=pattern&view=all&case="+code, "", "").Must(t)["options"].([]any)
	require.NotEmpty(t, options)
	for _, o := range options {
		if t := o.(map[string]any)["turns"].(string); len(t) > len(turns) {
			turns = t
		}
	}
	return turns
}

// TappedCase has the corner at UFR facing right, the edge at UB with its front
// colour up, and in the slot a corner that shows the top colour at the right.
var TappedCase = lastslot.Case{Slot: lastslot.FR, Corner: 3, Edge: 0, Twists: [lastslot.Spots]int{3: 1, 4: 2}}

func TappedCode(t testing.TB) string {
	t.Helper()
	c, err := lastslot.NewCase(TappedCase)
	require.NoError(t, err)
	return c.Code()
}
