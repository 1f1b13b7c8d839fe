package api

import (
	"errors"
	"fmt"
	"io"
	"net/http"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast/lastslot"
	"slotcast/web/problem"
	"slotcast/web/profile"
)

// readBody reads a request's JSON: one value of that shape and nothing besides.
// An error is a [*problem.Problem].
func readBody(w http.ResponseWriter, r *http.Request, longest int64, into any) error {
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, longest))
	if tooLong := (*http.MaxBytesError)(nil); errors.As(err, &tooLong) {
		return &problem.Problem{Status: http.StatusRequestEntityTooLarge, Title: "Too long", Detail: fmt.Sprintf("more than %d bytes", longest)}
	}
	if err != nil {
		return problem.BadRequest("", "the body did not arrive whole")
	}
	return profile.Decode(body, into)
}

// pathSlot is the slot that the address names.
func pathSlot(r *http.Request) (lastslot.Slot, error) {
	text := chi.URLParam(r, "slot")
	slot, err := lastslot.ParseSlot(text)
	if err != nil {
		return 0, problem.NoSlot(text)
	}
	return slot, nil
}
