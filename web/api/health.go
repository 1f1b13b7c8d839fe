package api

import (
	"context"
	"errors"
	"net/http"
	"time"

	"slotcast/web/problem"
)

// healthTimeout is how long the database may take to answer: whoever asks
// whether the program is well asks again soon.
const healthTimeout = 5 * time.Second

// Healthz answers GET /healthz.
func (s *Server) Healthz(w http.ResponseWriter, r *http.Request) error {
	ctx, cancel := context.WithTimeout(r.Context(), healthTimeout)
	defer cancel()
	if err := s.healthy(ctx); err != nil {
		return errors.Join(&problem.Problem{Status: http.StatusServiceUnavailable, Detail: "the database does not answer"}, err)
	}
	w.Header().Set("Cache-Control", "no-store")
	problem.WriteJSON(w, http.StatusOK, healthAnswer{"ok"})
	return nil
}
