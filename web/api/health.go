package api

import (
	"context"
	"errors"
	"net/http"
	"time"

	"slotcast/web/problem"
	"slotcast/web/profile"
)

// healthTimeout is a little longer than the store takes to say that it cannot answer:
// whoever asks whether the program is well asks again soon.
const healthTimeout = 6 * time.Second

// Healthz answers GET /healthz. Why the program is not well is said in plain words.
func (s *Server) Healthz(w http.ResponseWriter, r *http.Request) error {
	ctx, cancel := context.WithTimeout(r.Context(), healthTimeout)
	defer cancel()
	if err := s.healthy(ctx); err != nil {
		if r.Context().Err() != nil {
			return err // to nobody
		}
		why := &profile.UnavailableError{Reason: "the database does not answer"}
		errors.As(err, &why)
		p := why.Problem()
		p.Detail = why.Reason
		return errors.Join(p, err)
	}
	w.Header().Set("Cache-Control", "no-store")
	problem.WriteJSON(w, http.StatusOK, healthAnswer{"ok"})
	return nil
}
