package session

import (
	"context"
	"net/http"
	"strings"
	"time"

	"slotcast/forecast/lastslot"
)

// submittedHeader is sent by the pages' script with what a person submitted, as
// against what is asked for with every tap.
const submittedHeader = "Slotcast-Submitted"

// rememberAfter is how long the case looked up last need not be remembered anew.
const rememberAfter = time.Minute

// visitTimeout is how long a page waits for that: who looks cases up only reads.
const visitTimeout = time.Second

// Visit puts a case first among those that the visitor looked up lately. A
// page says so when it was meant by the visitor: not what a browser fetches
// ahead, and not what the script asks for on the way. It is no reason to refuse
// the page.
func (s *Sessions) Visit(r *http.Request, c lastslot.Case) {
	if r.Method != http.MethodGet || !meant(r.Header) {
		return
	}
	visitor, err := s.Visitor(r)
	if err != nil || visitor.Profile == nil {
		return
	}
	now := time.Now()
	if recent := visitor.Records.Recent; len(recent) > 0 && recent[0].Code == c.Code() && now.Sub(recent[0].Looked) < rememberAfter {
		return
	}
	// Whoever does not wait for the page looked it up all the same.
	ctx, cancel := context.WithTimeout(context.WithoutCancel(r.Context()), visitTimeout)
	defer cancel()
	if err := s.store.Visit(ctx, visitor.Profile.ID, c.Code(), now); err != nil {
		s.log.WarnContext(r.Context(), "a case that was looked up is not remembered", "error", err)
	}
}

// meant says whether a person asked for the page: browsers ask for a page itself
// as HTML, and mark what they fetch ahead (Sec-Purpose, in the Fetch standard).
func meant(h http.Header) bool {
	if strings.Contains(h.Get("Sec-Purpose"), "prefetch") {
		return false
	}
	return strings.Contains(h.Get("Accept"), "text/html") || h.Get(submittedHeader) != ""
}
