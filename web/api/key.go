package api

import (
	"errors"
	"io"
	"net/http"

	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/session"
)

// ownHandler answers a request about the profile whose key it has.
type ownHandler func(http.ResponseWriter, *http.Request, profile.Profile) error

// Own makes a handler of one that needs a profile.
func (s *Server) Own(h ownHandler) http.HandlerFunc {
	return s.JSON(func(w http.ResponseWriter, r *http.Request) error {
		w.Header().Set("Cache-Control", "no-store")
		p, err := s.sessions.ProfileOf(r)
		if err == nil {
			err = h(w, r, p)
		}
		switch {
		case errors.Is(err, session.ErrNoKey):
			err = session.Unauthorized("a key is needed: make a profile with POST /api/v1/profiles, and send Authorization: Bearer and its key")
		case errors.Is(err, profile.ErrNotFound):
			err = session.Unauthorized("the profile has been deleted")
		}
		if told := (*problem.Problem)(nil); errors.As(err, &told) && told.Status == http.StatusUnauthorized {
			w.Header().Set("WWW-Authenticate", "Bearer")
			// Whoever is still sending a file could not read why it is refused.
			_, _ = io.CopyN(io.Discard, r.Body, profile.MaxImport)
		}
		return err
	})
}

// remove removes records and answers that they are gone.
func (s *Server) remove(w http.ResponseWriter, r *http.Request, p profile.Profile, gone profile.Records) error {
	if err := s.store.Remove(r.Context(), p.ID, gone); err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}
